"""How low each sign hangs under a row: clear of what is drawn above it, as near to the notes as that allows.

What has been drawn under a staff is a skyline turned upside down. Signs come to it as a copyist writes them (common
practice, no source): numerals first, then brackets, short ones nearest to the notes, each device's beats under its
brackets, then arcs, and a scale's notes outermost. Signs of one lane and kind stand at one height; those of them that
would meet side by side stand in two lines. Where a page has no room for all, the least important are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from lessonmaker.picture.figures import Figure
from lessonmaker.picture.look import Kind
from lessonmaker.picture.marks import AREA_RISE, bar_figures
from lessonmaker.picture.page import Row, settled, stack_rows
from lessonmaker.picture.shapes import Box, union
from lessonmaker.picture.signs import sign_figures
from lessonmaker.timeline.model import SignShape

__all__ = ["LEAST_FIRST", "place_signs", "stack_with_signs"]

AIR = 7  # between what hangs above and a sign
OUTWARDS = {"numeral": 0, "bracket": 1, "beats": 1, "arc": 2, "scale": 3}
SIDE = {"numeral": 8.0, "bracket": 1.0, "beats": 1.0, "arc": 1.0, "scale": 12.0}  # air at either side
LEAST_FIRST = ("beats", "arc", "numeral", "scale", "bracket")  # which sign is the least loss


Drawn = tuple[SignShape, tuple[Figure, ...]]


@dataclass(frozen=True)
class Line:
    """Signs that stand at one height, with what they draw there."""

    signs: tuple[Drawn, ...]

    @property
    def kind(self) -> str:
        """The kind of its signs."""
        return self.signs[0][0].kind

    @property
    def boxes(self) -> list[Box]:
        """What its signs take, with the air at their sides."""
        return [figure.box.grown(SIDE[shape.kind], 0) for shape, figures in self.signs for figure in figures]

    def moved(self, dy: float) -> Line:
        """The line lower down."""
        return Line(
            tuple((shape, tuple(one.moved(0, dy) for one in figures)) for shape, figures in self.signs)
        )


@dataclass
class Skyline:
    """The lower edge of what is drawn under a row."""

    boxes: list[Box] = field(default_factory=list)

    def depth(self, box: Box) -> float:
        """How far down something as wide as a box must move to hang clear."""
        over = [one.bottom for one in self.boxes if one.left < box.right and box.left < one.right]
        return max(over, default=box.top - AIR) + AIR - box.top

    def hang(self, line: Line) -> Line:
        """A line at its height, which from now on is part of the skyline."""
        hung = line.moved(max(map(self.depth, line.boxes)))
        self.boxes += hung.boxes
        return hung


def place_signs(row: Row, shapes: Sequence[SignShape]) -> Row:
    """The row with its signs, each clear of the notes, of the row's lights and labels, and of every other sign."""
    drawn = [(shape, figures) for shape in shapes if (figures := sign_figures(row, shape))]
    skyline = Skyline(_lights(row))
    hung = [skyline.hang(line) for line in _lines(drawn)]
    return replace(row, signs={shape: figures for line in hung for shape, figures in line.signs})


def _lights(row: Row) -> list[Box]:
    """What hangs lowest under a row before it has signs: the light of each bar, labels with their arrows."""
    bars = [figure.box for bar in row.bars for figure in bar_figures(row, bar)]
    staff = Box(row.x, row.staff_top, row.x + row.system.width, row.staff_bottom)
    labels = [] if row.lane_above else [box.grown(0, AREA_RISE) for box in row.lane_boxes]
    return [staff, *bars, *labels]


def _lines(drawn: Sequence[Drawn]) -> list[Line]:
    """The lines of some signs, from the notes outwards."""
    lanes: dict[tuple[str, str], list[Drawn]] = {}
    for shape, figures in drawn:
        lanes.setdefault((shape.lane, shape.kind), []).append((shape, figures))
    widths: dict[str, float] = {}
    for (lane, kind), signs in lanes.items():
        if kind != "beats":
            widths[lane] = max(widths.get(lane, 0.0), *(_width(figures) for _, figures in signs))
    order = sorted(lanes, key=lambda name: (OUTWARDS[name[1]], widths.get(name[0], 0.0), name[0]))
    return [line for name in order for line in _parted(lanes[name])]


def _width(figures: Sequence[Figure]) -> float:
    around = union(figure.box for figure in figures)
    return around.width if around else 0.0


def _parted(signs: Sequence[Drawn]) -> Iterator[Line]:
    """Signs of a lane in as few lines as it takes for none to stand beside another too near."""
    left = [Line((sign,)) for sign in sorted(signs, key=lambda one: one[1][0].box.left)]
    while left:
        line, above = Line(()), left
        left = []
        for one in above:
            if _meet(line, one):
                left.append(one)
            else:
                line = Line((*line.signs, *one.signs))
        yield line


def _meet(line: Line, other: Line) -> bool:
    return any(a.left < b.right and b.left < a.right for a in line.boxes for b in other.boxes)


def stack_with_signs(kind: Kind, rows: Sequence[Row | None]) -> list[Row | None]:
    """Rows at their places on a page, with as many of their signs as the page has room for."""
    stacked = stack_rows(kind, rows)
    while not settled(kind, stacked, 0.0) and any(row is not None and row.signs for row in rows):
        rows = _without_least(rows)
        stacked = stack_rows(kind, rows)
    return stacked


def _without_least(rows: Sequence[Row | None]) -> list[Row | None]:
    """The rows without the lane that is the least loss, in the highest of the rows that have such a one."""
    least = min(
        (LEAST_FIRST.index(shape.kind), -row.extent.height, number, shape.lane)
        for number, row in enumerate(rows)
        if row is not None
        for shape in row.signs
    )
    kind, number, lane = LEAST_FIRST[least[0]], least[2], least[3]
    row = rows[number]
    assert row is not None
    kept = [shape for shape in row.signs if (shape.kind, shape.lane) != (kind, lane)]
    return [*rows[:number], place_signs(row, kept), *rows[number + 1 :]]
