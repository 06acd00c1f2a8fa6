"""The look: sizes, colours and faces, read from `look.yaml` beside this file.

Sizes are pixels of a picture whose shorter side is 1080; `scale_of` gives the factor for another size, and
`Look.fitted` lays the look out for a picture's shape: what differs in a narrow one, and where things stand in a high
one. Colours are named by use (the timeline's "now", "tension", "rest" among them) and kept as sRGB triples 0 to 255;
faces too: "title", "symbol" (of chords), "text", "strong" (text that stands out).
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from importlib import resources
from typing import Any

import yaml

from lessonmaker.digest import digest_of
from lessonmaker.picture.faces import Face, font_file

__all__ = [
    "Card",
    "Kind",
    "Logo",
    "Look",
    "Rgb",
    "hex_to_rgb",
    "read_look",
    "rgb_to_hex",
    "scale_of",
    "standard_data",
    "standard_look",
]

Rgb = tuple[int, int, int]
Size = tuple[int, int]
Sizes = Mapping[str, Mapping[str, float]]

SHORTER_SIDE = 1080
WIDE_FROM = 4 / 3  # width by height
SAFE = 0.05  # of the picture's height, free above and below
# What hangs from the upper edge, what stands on the lower one, and what keeps its share of the height.
FROM_TOP = (
    ("header", "baseline"),
    ("header", "place_baseline"),
    ("header", "box_bottom"),
    ("header", "rule"),
)
FROM_BOTTOM = (
    *(("strip", name) for name in ("top", "bottom", "baseline")),
    *(("caption", name) for name in ("first", "second", "single", "top", "bottom")),
)
CARD_SHARE = 0.3
MOST_ROWS = {"play": 5, "analysis": 4, "tension": 1}


@dataclass(frozen=True)
class Kind:
    """The sizes of one kind of picture ("play", "analysis", "tension"); see `look.yaml`."""

    staff: float
    tops: list[float]
    single: float
    chord_size: float
    chord_rise: float
    chord_clear: float
    label_size: float
    lane_drop: float
    lane_rise: float
    lane_clear: float
    light_radius: float
    arrow: Mapping[str, float]
    spacing: list[float]
    capsules: bool
    endings: bool
    top: float
    bottom: float

    @property
    def space(self) -> float:
        """The distance of two staff lines."""
        return self.staff / 4

    def with_labels(self, share: float) -> Kind:
        """The kind with labels of a share of their size."""
        return replace(self, label_size=self.label_size * share, lane_rise=self.lane_rise * share)


@dataclass(frozen=True)
class Card:
    """What a card says: large, under that, and in the lines below the rule.

    Names in braces stand for what differs between films (see `cards.py`).
    """

    heading: str
    under: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Logo:
    """A logo: its picture as PNG, its size in look units, which corner of a card it keeps to, and where it is shown.

    `on` holds "title", "end" (the cards) and "pages" (the header of every page of music).
    """

    picture: bytes
    width: float
    height: float
    place: str
    on: tuple[str, ...]


@dataclass(frozen=True)
class Look:
    """All sizes, colours and faces of a picture. Equal looks have equal values; `digest` names them in text.

    `narrow` holds what differs in a narrow picture, by group and name, and by kind and name; `cards` the texts of the
    cards ("title", "end").
    """

    colours: Mapping[str, Rgb]
    faces: Mapping[str, Face]
    kinds: Mapping[str, Kind]
    sizes: Sizes
    narrow: Mapping[str, Any] = field(default_factory=dict)
    cards: Mapping[str, Card] = field(default_factory=dict)
    logo: Logo | None = None

    def __hash__(self) -> int:
        return hash(self.digest)

    @cached_property
    def digest(self) -> str:
        """The whole look as text, alike for equal looks."""
        return digest_of(self)

    def colour(self, use: str) -> Rgb:
        """The colour of a use.

        Raises:
            KeyError: the look has no such use.
        """
        return self.colours[use]

    def face(self, use: str) -> Face:
        """The face of a use.

        Raises:
            KeyError: the look has no such use.
        """
        return self.faces[use]

    def size(self, group: str, name: str) -> float:
        """One size of a group, in pixels of a picture whose shorter side is 1080.

        Raises:
            KeyError: the look has no such size.
        """
        return self.sizes[group][name]

    def seen_on(self, ground: str) -> Look:
        """The look without what is not seen on a ground: a card ("title", "end") or "pages"."""
        cards = {name: card for name, card in self.cards.items() if name == ground}
        logo = self.logo if self.logo is not None and ground in self.logo.on else None
        return replace(self, cards=cards, logo=logo)

    def fitted(self, size: Size) -> Look:
        """The look laid out for a picture of a width and height in pixels."""
        width, height = (side * SHORTER_SIDE / min(size) for side in size)
        shaped = self if width >= WIDE_FROM * height else overlaid(self, self.narrow)
        return heightened(shaped, width, height)


def scale_of(size: Size) -> float:
    """Pixels of a picture of this width and height per pixel of the look."""
    return min(size) / SHORTER_SIDE


def overlaid(look: Look, changes: Mapping[str, Any]) -> Look:
    """A look with some of its sizes changed."""
    kinds = {
        name: replace(kind, **changes.get("kinds", {}).get(name, {})) for name, kind in look.kinds.items()
    }
    sizes = {name: {**group, **changes.get(name, {})} for name, group in look.sizes.items()}
    return replace(look, kinds=kinds, sizes=sizes)


def heightened(look: Look, width: float, height: float) -> Look:
    """A look for 1080 lines in a picture of another height: safe edges kept, more rows where they have room."""
    more = height - SHORTER_SIDE
    down, foot = SAFE * more, (1 - SAFE) * more
    sizes = {name: dict(group) for name, group in look.sizes.items()}
    sizes["frame"] |= {"width": width, "height": height}
    sizes["card"]["title_baseline"] += CARD_SHARE * more
    for shift, names in ((down, FROM_TOP), (foot, FROM_BOTTOM)):
        for group, name in names:
            sizes[group][name] += shift
    kinds = {name: taller(kind, down, foot, MOST_ROWS[name]) for name, kind in look.kinds.items()}
    return replace(look, kinds=kinds, sizes=sizes)


def taller(kind: Kind, down: float, foot: float, most: int) -> Kind:
    """A kind of picture whose room begins so much and ends so much lower: up to `most` rows share it evenly."""
    more, rows = foot - down, len(kind.tops)
    pitch = (kind.tops[-1] - kind.tops[0]) / (rows - 1) if rows > 1 else more
    count = min(rows + int(more // pitch), most) if pitch else rows
    air = (more - (count - rows) * pitch) / count
    first = kind.tops[0] + down + air / 2
    return replace(
        kind,
        tops=[first + number * (pitch + air) for number in range(count)],
        single=kind.single + down + more / 2,
        top=kind.top + down,
        bottom=kind.bottom + foot,
    )


@cache
def standard_look() -> Look:
    """The look that comes with the program."""
    return read_look(standard_data())


def standard_data() -> dict[str, Any]:
    """The look that comes with the program as plain data, the caller's own."""
    return deepcopy(parsed_look())


@cache
def parsed_look() -> dict[str, Any]:
    """What `look.yaml` holds."""
    text = resources.files(__package__).joinpath("look.yaml").read_text(encoding="utf-8")
    data: dict[str, Any] = yaml.safe_load(text)
    return data


def read_look(data: dict[str, Any]) -> Look:
    """A look from plain data (the shape of `look.yaml`)."""
    data = in_floats(data)
    kinds = {name: Kind(**sizes) for name, sizes in data["kinds"].items()}
    colours = {use: hex_to_rgb(value) for use, value in data["colours"].items()}
    faces = {
        use: Face(font_file(one["package"], one["file"]), round(one["weight"]))
        for use, one in data["faces"].items()
    }
    cards = {
        name: Card(one["heading"], one["under"], tuple(one["lines"]))
        for name, one in data.get("cards", {}).items()
    }
    others = ("kinds", "colours", "faces", "narrow", "cards")
    sizes = {name: dict(group) for name, group in data.items() if name not in others}
    return Look(colours, faces, kinds, sizes, data.get("narrow", {}), cards)


def in_floats(data: Any) -> Any:
    """Plain data with every number a float: equal sizes then have one spelling."""
    if isinstance(data, dict):
        return {key: in_floats(value) for key, value in data.items()}
    if isinstance(data, list):
        return [in_floats(value) for value in data]
    return float(data) if isinstance(data, int) and not isinstance(data, bool) else data


def hex_to_rgb(value: str) -> Rgb:
    """`#0067A3` as a triple.

    Raises:
        ValueError: the value is no colour of six hexadecimal digits.
    """
    red, green, blue = bytes.fromhex(value.removeprefix("#"))
    return red, green, blue


def rgb_to_hex(colour: Rgb) -> str:
    """A triple as `#0067A3`."""
    return f"#{bytes(colour).hex().upper()}"
