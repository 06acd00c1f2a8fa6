"""What is drawn outside the staves, as figures: shapes of one colour. Header, form strip, captions, cards."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from lessonmaker.picture.faces import Face
from lessonmaker.picture.look import SAFE, Look
from lessonmaker.picture.shapes import Box, Shape, rectangle
from lessonmaker.picture.text import Setting, set_text, shorten
from lessonmaker.timeline.model import Caption, CaptionTerm

__all__ = [
    "Figure",
    "Frame",
    "caption_figures",
    "header_figures",
    "letter_box",
    "logo_box",
    "place_figures",
    "text_figure",
    "title_excess",
]

HEADER_LOGO = 60  # the most of its height in the header
TITLE_MIDDLE = 0.33  # of its size, from a title's baseline to the middle of its capitals
LOGO_AIR = 20


@dataclass(frozen=True)
class Figure:
    """Shapes of one colour (named by use), and the box they keep to."""

    shapes: tuple[Shape, ...]
    box: Box
    use: str

    def moved(self, x: float, y: float) -> Figure:
        """The same figure elsewhere."""
        return Figure(tuple(shape.moved(x, y) for shape in self.shapes), self.box.moved(x, y), self.use)


@dataclass(frozen=True)
class Frame:
    """A look that is laid out for a picture: `right` is the right edge of the measure, in look units."""

    look: Look

    @property
    def width(self) -> float:
        """The picture's width."""
        return self.look.size("frame", "width")

    @property
    def left(self) -> float:
        """The left edge of the measure that header, staves and strip share."""
        return self.look.size("frame", "left")

    @property
    def right(self) -> float:
        """The right edge of the measure."""
        return self.width - self.look.size("frame", "right")

    @property
    def middle(self) -> float:
        """The middle of the picture."""
        return self.width / 2


def text_figure(setting: Setting, x: float, y: float, use: str) -> list[Figure]:
    """Text at a place; nothing where the text is blank."""
    placed = setting.at(x, y)
    return [Figure(placed.shapes, placed.box, use)] if placed.box else []


def letter_box(look: Look, letter: str, x: float, bottom: float) -> list[Figure]:
    """A boxed section letter whose box has its left edge at x and stands on `bottom`."""
    side, line = look.size("letter_box", "side"), look.size("letter_box", "line")
    setting = set_text(letter, look.face("title"), look.size("letter_box", "size"))
    width = max(side, setting.advance + side / 2)
    box = Box(x, bottom - side, x + width, bottom)
    ink = setting.box or Box(0, 0, 0, 0)
    x_text = box.centre[0] - (ink.left + ink.right) / 2
    cap = set_text("H", look.face("title"), look.size("letter_box", "size")).box or ink
    outer = box.grown(line / 2)
    edge = rectangle(outer, look.size("letter_box", "radius") + line / 2, line)
    return [
        Figure((edge,), outer, "ink"),
        *text_figure(setting, x_text, box.centre[1] + cap.height / 2, "ink"),
    ]


def edition_setting(look: Look, edition: str) -> Setting:
    """The edition's name as the header has it."""
    return set_text(edition, look.face("text"), look.size("text", "place"))


def title_setting(frame: Frame, title: str, edition: str) -> Setting:
    """The title, made smaller or cut so that it fits: beside what else the header says, or in a line of its own."""
    look = frame.look
    largest, least = look.size("header", "title_size"), look.size("header", "title_least")
    sizes = tuple(range(round(largest), round(least) - 1, -4))
    return shorten(title, look.face("title"), sizes, title_room(frame, edition))


def title_room(frame: Frame, edition: str) -> float:
    """How wide the title may be."""
    beside = 0 if own_line(frame.look) else beside_title(frame.look, edition)
    return frame.right - frame.left - beside - logo_room(frame.look)


def title_excess(frame: Frame, title: str, edition: str) -> float:
    """By how many pixels the title is too long for the header even in its smallest type; it is cut by that."""
    least = set_text(title, frame.look.face("title"), frame.look.size("header", "title_least"))
    return max(least.advance - title_room(frame, edition), 0.0)


def logo_room(look: Look) -> float:
    """What a logo takes of the header."""
    box = logo_box(look, "pages")
    return box.width + look.size("header", "gap") if box else 0.0


def logo_box(look: Look, ground: str) -> Box | None:
    """Where the logo stands on a card ("title", "end") or in the header ("pages"); None where it is not shown."""
    logo, header, frame = look.logo, look.sizes["header"], look.sizes["frame"]
    if logo is None or ground not in logo.on:
        return None
    share = min(HEADER_LOGO / logo.height, 1.0) if ground == "pages" else 1.0
    width, height = logo.width * share, logo.height * share
    at_left = ground != "pages" and "left" in logo.place
    left = frame["left"] if at_left else frame["width"] - frame["right"] - width
    if ground == "pages":
        top = header["baseline"] - TITLE_MIDDLE * header["title_size"] - height / 2
    elif "top" in logo.place:
        top = SAFE * frame["height"]
    else:
        top = look.size("strip", "baseline") - look.size("strip", "letter_size") - LOGO_AIR - height
    return Box(left, top, left + width, top + height)


def own_line(look: Look) -> bool:
    """Whether the title has a line of its own."""
    return look.size("header", "lines") > 1


def beside_title(look: Look, edition: str) -> float:
    """What the section letter, the longest place and the edition take beside the title."""
    place = set_text("bars 888–888, 888–888", look.face("text"), look.size("text", "place")).advance
    box = look.size("letter_box", "side") + look.size("header", "gap_place")
    return 2 * look.size("header", "gap") + box + place + edition_setting(look, edition).advance


def header_figures(frame: Frame, title: str, edition: str) -> list[Figure]:
    """What the header always shows: title, edition, rule."""
    look = frame.look
    baseline, rule = look.size("header", "baseline"), look.size("header", "rule")
    edition_text = edition_setting(look, edition)
    line = Box(frame.left, rule, frame.right, rule + look.size("header", "rule_line"))
    right = frame.right - (0 if own_line(look) else logo_room(look))
    return [
        *text_figure(title_setting(frame, title, edition), frame.left, baseline, "ink"),
        *text_figure(
            edition_text, right - edition_text.advance, look.size("header", "place_baseline"), "second"
        ),
        Figure((rectangle(line),), line, "hairline"),
    ]


def place_figures(frame: Frame, title: str, edition: str, letter: str, place: str) -> list[Figure]:
    """Where we are: the boxed section letter and the bars, after the title or under it."""
    look = frame.look
    x = frame.left
    if not own_line(look):
        x += title_setting(frame, title, edition).advance + look.size("header", "gap")
    figures = letter_box(look, letter, x, look.size("header", "box_bottom")) if letter else []
    if figures:
        x = figures[0].box.right + look.size("header", "gap_place")
    words = set_text(place, look.face("text"), look.size("text", "place"))
    return [*figures, *text_figure(words, x, look.size("header", "place_baseline"), "second")]


def caption_figures(frame: Frame, caption: Caption, spoken: Sequence[CaptionTerm]) -> list[Figure]:
    """A caption's lines, centred, the spoken terms semibold and coloured.

    A line is as wide as with every term semibold, so that nothing moves when a term is spoken.
    """
    look = frame.look
    baselines = (look.size("caption", "first"), look.size("caption", "second"))
    if len(caption.lines) == 1:
        baselines = (look.size("caption", "single"),) * 2
    figures: list[Figure] = []
    for number, (line, baseline) in enumerate(zip(caption.lines, baselines, strict=False)):
        terms = [term for term in caption.terms if term.line == number]
        figures += caption_line(frame, line, terms, [term for term in spoken if term in terms], baseline)
    return figures


def caption_line(
    frame: Frame, line: str, terms: Sequence[CaptionTerm], spoken: Sequence[CaptionTerm], baseline: float
) -> list[Figure]:
    """One centred line of a caption, made smaller where it would leave the measure."""
    pieces = line_pieces(line, terms)
    size = frame.look.size("caption", "size")
    width = sum(slot_widths(frame.look, pieces, size))
    size *= min((frame.right - frame.left) / width, 1.0) if width else 1.0
    slots = slot_widths(frame.look, pieces, size)
    x = frame.middle - sum(slots) / 2
    figures: list[Figure] = []
    for (text, term), slot in zip(pieces, slots, strict=True):
        lit = term is not None and term in spoken
        setting = set_text(text, frame.look.face("strong" if lit else "text"), size).spaced(slot)
        figures += text_figure(setting, x, baseline, term.use if lit and term else "ink")
        x += slot
    return figures


def slot_widths(look: Look, pieces: Iterable[tuple[str, CaptionTerm | None]], size: float) -> list[float]:
    """How wide each piece of a line is in the widest face that it may appear in."""
    return [max(set_text(text, face, size).advance for face in faces(look, term)) for text, term in pieces]


def faces(look: Look, term: CaptionTerm | None) -> tuple[Face, ...]:
    """The faces a piece of a caption may appear in."""
    return (look.face("text"),) if term is None else (look.face("text"), look.face("strong"))


def line_pieces(line: str, terms: Sequence[CaptionTerm]) -> list[tuple[str, CaptionTerm | None]]:
    """A line cut where terms begin and end."""
    owner: list[CaptionTerm | None] = [None] * len(line)
    for term in terms:
        owner[term.first : term.last] = [term] * len(owner[term.first : term.last])
    pieces = groupby(range(len(line)), key=lambda index: id(owner[index]))
    runs = [list(indices) for _, indices in pieces]
    return [(line[run[0] : run[-1] + 1], owner[run[0]]) for run in runs]
