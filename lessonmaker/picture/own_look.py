"""A book's own look, read from its file and held against what can be seen: colours, faces, sizes, logo, cards.

What the file does not name stays as in the standard look; greys and lights that are not named follow from the paper and
the ink. Every fault has its place in the file, and all of them come in one run.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from importlib.metadata import PackageNotFoundError, distributions
from pathlib import Path
from typing import Any, NamedTuple

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.picture.cards import BOOK_NAMES, CARD_NAMES, PLACEHOLDER, filled
from lessonmaker.picture.contrast import (
    Pair,
    between,
    hardly_told_apart,
    legible,
    mixed,
    too_faint,
    without_flash,
)
from lessonmaker.picture.faces import Face, face_at, uprights
from lessonmaker.picture.logo import read_picture
from lessonmaker.picture.look import Logo, Look, Rgb, hex_to_rgb, read_look, rgb_to_hex, standard_data
from lessonmaker.picture.text import set_text
from lessonmaker.script.fields import (
    Fields,
    Reading,
    existing_file,
    list_of,
    near,
    one_of,
    percentage,
    read_fields,
    scalar_text,
    whole_number,
)
from lessonmaker.script.yamltext import Listing, Node, Scalar, read_yaml

__all__ = ["OwnLook", "read_own_look"]

Data = dict[str, Any]
GREYS = {"second": 0.72, "staff": 0.66, "hairline": 0.17, "cell": 0.1, "cell_edge": 0.58}
"""How far from the paper to the ink the greys are that are not named."""
LIGHTS = {"light": 0.2, "discussed": 0.45}
AMBER: Rgb = (230, 159, 0)
FACES = {"titles": {"title": 600, "symbol": 500}, "text": {"text": 400, "strong": 600}}
"""Which weights of a font are used for what."""
STANDS_OUT_FROM = 100  # of weight
SMALL_LETTERS = 0.9  # small letters are at most so high, as a share of the capitals
NEARLY = 0.9  # the likeness of names of which one may be meant for the other
PACKAGE = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,98}[A-Za-z0-9])?")
PERCENTAGES = {"titles": (80, 120), "captions": (85, 120), "chords": (100, 115), "labels": (85, 115)}
"""The least sizes that a phone can show are 40 of 1080 lines: bounds follow from the standard sizes."""
LEADING, CAPITALS = 62, 36  # of captions, in pixels
CORNERS = ("top left", "top right", "bottom left", "bottom right")
SHOWN_ON = ("title", "end", "pages")
LOGO_HEIGHTS = (40, 200)
LOGO_HEIGHT = 90
BROADEST_LOGO = 800
MOST_LINES = 6
CARDS = {"title_card": "title", "end_card": "end"}


@dataclass(frozen=True)
class OwnLook:
    """A look and what is noteworthy about it."""

    look: Look
    remarks: tuple[Fault, ...] = ()


class Section(NamedTuple):
    """What could be read of a section of a look file: values and their places, and whether that was all."""

    values: Mapping[str, Any]
    places: Mapping[str, Place]
    whole: bool = True


@dataclass(frozen=True)
class LookFile:
    """What could be read of a look file, and where its sections stand."""

    sections: Mapping[str, Section]
    places: Mapping[str, Place]

    def section(self, name: str) -> Section:
        """A section, empty where the file has none."""
        return self.sections.get(name, Section({}, {}))


def read_own_look(path: Path, folder: Path, book: Mapping[str, str]) -> OwnLook:
    """Read a book's look and hold it against what can be seen.

    Args:
        path: the look file.
        folder: the book's folder: the logo lies in it.
        book: the book's title and author, as "book" and "author".

    Raises:
        MaterialError: all faults of the file, each with its place.
    """
    reading = Reading(path)
    file = read_keys(path, reading)
    data = standard_data()
    own_colours(data, file, reading)
    own_faces(data, file, reading)
    for name, share in file.section("sizes").values.items():
        SIZES[name](data, share)
    own_cards(data, file, book)
    logo = own_logo(file, folder, reading)
    reading.raise_faults()
    return OwnLook(replace(read_look(data), logo=logo), tuple(reading.remarks))


def read_keys(path: Path, reading: Reading) -> LookFile:
    """What can be read of a look file."""
    root = read_yaml(path, reading.faults)
    return LookFile(*read_fields(root, LOOK_FIELDS, reading, "the look file"))


# Colours ------------------------------------------------------------------------------------------------------


def own_colours(data: Data, file: LookFile, reading: Reading) -> None:
    """Put the author's colours into the data of a look, and those that follow from them."""
    section = file.section("colours")
    if not section.values:
        return
    standard = {use: hex_to_rgb(value) for use, value in data["colours"].items()}
    colours = {**standard, **following(section.values, standard), **section.values}
    data["colours"] = {use: rgb_to_hex(colour) for use, colour in colours.items()}
    if section.whole:
        check_colours(section, colours, file.places["colours"], reading)


def check_colours(section: Section, colours: Mapping[str, Rgb], otherwise: Place, reading: Reading) -> None:
    """Note what cannot be read, could flash, or is hardly told apart."""
    named = section.values

    def place(*uses: str) -> Place:
        return next((section.places[use] for use in uses if use in named), otherwise)

    for pair, reached in worst_pairs(colours):
        what = f"{pair.use} on {pair.ground} has a contrast of {reached:.2f}: {pair.rule}"
        where = place(pair.use, pair.ground, "paper", "ink")
        reading.fault(where, what, advice(pair.use, named, legible(pair.use, colours)))
    calmer = without_flash(colours["light"], colours["paper"])
    if calmer is not None:
        what = "light that comes and goes on paper could flash: they differ too much (WCAG 2.3.1)"
        reading.fault(place("light", "paper"), what, advice("light", named, calmer))
    for first, second, eyes in hardly_told_apart(colours):
        what = f"{eyes} hardly tell {first} from {second}"
        reading.remark(place(first, second), what, "shapes still tell; colours further apart are easier")


def worst_pairs(colours: Mapping[str, Rgb]) -> list[tuple[Pair, float]]:
    """Of each use that is too faint, the pair that is furthest from what it needs, with the contrast it reaches."""
    worst: dict[str, tuple[Pair, float]] = {}
    for one in sorted(too_faint(colours), key=lambda found: found[1] / found[0].needed):
        worst.setdefault(one[0].use, one)
    return list(worst.values())


def following(named: Mapping[str, Rgb], standard: Mapping[str, Rgb]) -> dict[str, Rgb]:
    """The colours that follow from the author's: greys between paper and ink, amber light on the paper, rest as now."""
    paper, ink = named.get("paper", standard["paper"]), named.get("ink", standard["ink"])
    found: dict[str, Rgb] = {}
    if "paper" in named or "ink" in named:
        found |= {use: mixed(paper, ink, share) for use, share in GREYS.items()}
        found["played"] = between(named.get("cell", found["cell"]), ink)
    if "paper" in named:
        found |= {use: mixed(paper, AMBER, share) for use, share in LIGHTS.items()}
    if "now" in named:
        found["rest"] = named["now"]
    return found


def advice(use: str, named: Mapping[str, Rgb], better: Rgb | None) -> str:
    """What to do about a colour."""
    if better is None:
        return "choose another paper, or a light nearer to it"
    return f'{"make it" if use in named else f"name {use} yourself, as in"} "{rgb_to_hex(better)}"'


def read_colour(node: Node, reading: Reading) -> Rgb | None:
    """A colour of six hexadecimal digits."""
    if isinstance(node, Scalar) and not node.text and node.style is None:
        todo = 'put it in quotes, as in "#1A1A1A": YAML takes what follows # for a comment'
        reading.fault(node.place, "no colour stands here", todo)
        return None
    text = scalar_text(node, reading, 'a colour such as "#1A1A1A"')
    if text is None or re.fullmatch(r"#[0-9A-Fa-f]{6}", text):
        return None if text is None else hex_to_rgb(text)
    reading.fault(
        node.place, f"{text!r} is no colour", 'write red, green and blue in hexadecimal, as in "#1A1A1A"'
    )
    return None


# Faces --------------------------------------------------------------------------------------------------------


def own_faces(data: Data, file: LookFile, reading: Reading) -> None:
    """Put the fonts of the author's packages into the data of a look."""
    section = file.section("fonts")
    for use, package in section.values.items():
        place = section.places[use]
        faces = faces_in(package, use, place, reading)
        data["faces"] |= {
            name: {"package": face.file.package, "file": face.file.path, "weight": face.weight}
            for name, face in faces.items()
        }
        if use == "titles" and faces and capitals_only(faces["symbol"]):
            what = f"{package} has capitals only: a minor chord would look like a major one"
            reading.fault(place, what, "name another font package")
        if use == "text" and faces and faces["strong"].weight - faces["text"].weight < STANDS_OUT_FROM:
            what = f"{package} has no semibold weight: words that are spoken stand out by their colour alone"
            reading.remark(place, what, "a package with several weights is easier to follow")


def faces_in(package: str, use: str, place: Place, reading: Reading) -> dict[str, Face]:
    """A package's faces for titles or for text; none where it has a fault."""
    try:
        found = uprights(package)
    except PackageNotFoundError:
        reading.fault(place, f"no package {package} is installed here", install_todo(package))
        return {}
    if not found:
        what = f"{package} holds no upright font with Latin letters"
        reading.fault(place, what, "name another font package")
        return {}
    return {name: face_at(found, weight) for name, weight in FACES[use].items()}


def install_todo(package: str) -> str:
    """What to do about a package that is not installed."""
    close = get_close_matches(package, sorted({one.name for one in distributions()}), 1, NEARLY)
    return "".join(f"did you mean {one}? Otherwise: " for one in close) + f"pip install {package}"


def capitals_only(face: Face) -> bool:
    """Whether small letters are as high as capitals."""
    small, capital = (set_text(letter, face, 100).box for letter in "mM")
    return small is not None and capital is not None and small.height > SMALL_LETTERS * capital.height


def read_package(node: Node, reading: Reading) -> str | None:
    """The name of a Python package."""
    text = scalar_text(node, reading, "a font package's name")
    if text is None or PACKAGE.fullmatch(text):
        return text
    reading.fault(
        node.place, f"{text!r} is no package's name", "write it as pip has it, as in fontpkg-source-sans-3"
    )
    return None


# Sizes --------------------------------------------------------------------------------------------------------


def larger_titles(data: Data, share: float) -> None:
    """Titles in the header and on cards."""
    for part in (data, data["narrow"]):
        scale(part.get("header", {}), ("title_size",), share)
        scale(part.get("card", {}), ("title_size", "end_size"), share)


def larger_captions(data: Data, share: float) -> None:
    """Captions; a first line that is higher leaves the music less room."""
    up = max(share - 1, 0) * LEADING
    room = up + max(share - 1, 0) * CAPITALS
    scale(data["caption"], ("size",), share)
    for part in (data, data["narrow"]):
        shift(part["caption"], {"first": up, "single": up / 2, "top": room})
        for kind in ("analysis", "tension"):
            shift(part["kinds"][kind], {"bottom": room})


def larger_kinds(*names: str) -> Callable[[Data, float], None]:
    """Some sizes of every kind of picture."""

    def enlarge(data: Data, share: float) -> None:
        for part in (data, data["narrow"]):
            for kind in part["kinds"].values():
                scale(kind, names, share)

    return enlarge


def scale(group: Data, names: tuple[str, ...], share: float) -> None:
    """Multiply the sizes that a group has."""
    group |= {name: group[name] * share for name in names if name in group}


def shift(group: Data, by: Mapping[str, float]) -> None:
    """Move what a group has upwards."""
    group |= {name: group[name] - up for name, up in by.items() if name in group}


SIZES: Mapping[str, Callable[[Data, float], None]] = {
    "titles": larger_titles,
    "captions": larger_captions,
    "chords": larger_kinds("chord_size"),
    "labels": larger_kinds("label_size", "lane_rise"),
}


def read_share(name: str) -> Callable[[Node, Reading], float | None]:
    """A reader of a size as a percentage of the standard one."""
    least, most = PERCENTAGES[name]

    def read(node: Node, reading: Reading) -> float | None:
        text = scalar_text(node, reading, "a percentage such as 110%")
        share = percentage(text or "", least, most)
        if text is not None and share is None:
            what = f"{text!r} is no size of {name}"
            reading.fault(node.place, what, f"write {least}% to {most}% of the usual size")
        return None if share is None else float(share)

    return read


# Logo ---------------------------------------------------------------------------------------------------------


def own_logo(file: LookFile, folder: Path, reading: Reading) -> Logo | None:
    """The author's logo, or None where there is none or it has faults."""
    values, places, _ = file.section("logo")
    path = values.get("picture")
    if path is None:
        return None
    if not path.resolve().is_relative_to(folder.resolve()):
        what, todo = "the logo lies outside the book's folder", "copy it into shared/"
        reading.fault(places["picture"], what, todo)
        return None
    try:
        picture, across, down = read_picture(path, places["picture"])
    except MaterialError as error:
        reading.faults += error.faults
        return None
    height = values.get("height", LOGO_HEIGHT)
    width = height * across / down
    if width > BROADEST_LOGO:
        what = (
            f"so high the logo is {width:.0f} wide, {width - BROADEST_LOGO:.0f} more than there is room for"
        )
        fits = int(BROADEST_LOGO * down / across)
        reading.fault(places.get("height", places["picture"]), what, f"make it {fits} high, or cut it")
    return Logo(picture, width, height, values.get("place", CORNERS[1]), values.get("on", SHOWN_ON[:2]))


def read_height(node: Node, reading: Reading) -> int | None:
    """The logo's height, in pixels of 1080 lines."""
    text = scalar_text(node, reading, f"a height such as {LOGO_HEIGHT}")
    height = whole_number(text or "", *LOGO_HEIGHTS)
    if text is not None and height is None:
        least, most = LOGO_HEIGHTS
        todo = f"write {least} to {most}: pixels of a picture with 1080 lines"
        reading.fault(node.place, f"{text!r} is no height of a logo", todo)
    return height


# Cards --------------------------------------------------------------------------------------------------------


def own_cards(data: Data, file: LookFile, book: Mapping[str, str]) -> None:
    """Put the texts of the author's cards into the data of a look, with the book's own names filled in."""
    for key, name in CARDS.items():
        card = {**data["cards"][name], **file.section(key).values}
        lines = [filled(line, book) for line in card["lines"]]
        texts = {part: filled(card[part], book) for part in ("heading", "under")}
        data["cards"][name] = {**texts, "lines": [line for line in lines if line]}


def read_line(node: Node, reading: Reading) -> str | None:
    """A line of a card, with names in braces."""
    text = scalar_text(node, reading, 'a line such as "{edition}" in quotes')
    if text is None:
        return None
    known = (*CARD_NAMES, *BOOK_NAMES)
    for name in PLACEHOLDER.findall(text):
        if name not in known:
            reading.fault(node.place, f"a card knows no {{{name}}}", near(name, known))
            return None
    if re.search(r"[{}]", PLACEHOLDER.sub("", text)):
        reading.fault(node.place, "a brace without its partner", "write names as {title}")
        return None
    return text


def read_lines(node: Node, reading: Reading) -> tuple[str, ...] | None:
    """The lines of a card below its rule."""
    if isinstance(node, Listing) and not node.items:
        return ()
    lines: tuple[str, ...] | None = list_of(read_line, 'lines, as in ["{edition}", "{form}"]')(node, reading)
    if lines is not None and len(lines) > MOST_LINES:
        what = f"{len(lines)} lines are {len(lines) - MOST_LINES} more than a card has room for"
        reading.fault(node.place, what, f"keep {MOST_LINES}")
    return lines


# Keys ---------------------------------------------------------------------------------------------------------


def section(fields: Fields, what: str, required: tuple[str, ...] = ()) -> Callable[[Node, Reading], Section]:
    """A reader of a map with its own keys."""

    def read(node: Node, reading: Reading) -> Section:
        before = len(reading.faults)
        values, places = read_fields(node, fields, reading, what, required)
        return Section(values, places, len(reading.faults) == before)

    return read


USES = tuple(standard_data()["colours"])
CARD_FIELDS: Fields = {"heading": read_line, "under": read_line, "lines": read_lines}
LOGO_FIELDS: Fields = {
    "picture": existing_file("a path such as logo.png"),
    "height": read_height,
    "place": one_of(CORNERS),
    "on": list_of(one_of(SHOWN_ON), "a list out of title, end, pages"),
}
LOOK_FIELDS: Fields = {
    "colours": section(dict.fromkeys(USES, read_colour), "the colours"),
    "fonts": section(dict.fromkeys(FACES, read_package), "the fonts"),
    "sizes": section({name: read_share(name) for name in PERCENTAGES}, "the sizes"),
    "logo": section(LOGO_FIELDS, "the logo", ("picture",)),
    "title_card": section(CARD_FIELDS, "the title card"),
    "end_card": section(CARD_FIELDS, "the end card"),
}
