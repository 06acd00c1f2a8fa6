"""Signs under the staff, each by itself: brackets, arcs, beats, numerals, a scale's notes (`skyline` says how low).

A sign is drawn with its top near y 0 and stands at its place in the row from left to right.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from lessonmaker.picture.figures import Figure
from lessonmaker.picture.page import Row
from lessonmaker.picture.shapes import Box, Shape, ShapePen, circle, rectangle, union
from lessonmaker.picture.text import Setting, set_text
from lessonmaker.timeline.model import SignShape

__all__ = ["sign_figures"]

SIZE = 40
CAP = 29  # the height of its digits
LINE = 3.5
HOOK = 14
TEXT_AIR, UNDER_AIR = 12, 6  # of a number beside its bracket's line, and under it
BRACKET_SIDE = (
    0.6  # beyond the middle of the outer heads, in staff spaces: neighbours' heads have brackets that part
)
ARC_DEPTH = 26
TICK, FIRST_TICK = 16, 28
FLAT = re.compile(r"(?<!su)b(?=[IViv0-9])")  # not the one in "subV7"
WORD_GAP = 34
RING_AIR = 7
UNDERLINE_DROP = 9


def sign_figures(row: Row, shape: SignShape) -> tuple[Figure, ...]:
    """What a sign draws in a row; nothing where none of its notes and chord symbols stand there."""
    xs = [x for target in shape.targets if (x := _x(row, target)) is not None]
    return tuple(_figures(row, shape, xs)) if xs else ()


def _x(row: Row, target: str) -> float | None:
    """Where a note's head, or a chord symbol, stands."""
    shape = row.shape(target)
    if shape is not None:
        return row.placed(shape.head).centre[0]
    change = row.system.changes.get(target)
    return None if change is None else change + row.x


def _figures(row: Row, shape: SignShape, xs: Sequence[float]) -> Iterator[Figure]:
    if shape.kind == "bracket":
        yield from _bracket(row, shape, _reach(row, shape, xs, row.kind.space * BRACKET_SIDE))
    elif shape.kind == "arc":
        yield from _arc(row, _reach(row, shape, xs, 0.0))
    elif shape.kind == "beats":
        yield from _ticks(row, shape)
    elif shape.kind == "numeral":
        setting = set_text(_signs(shape.text), row.look.face("symbol"), SIZE)
        yield from _text(setting, max(min(xs[0], _right(row) - setting.advance), row.x), CAP, "second")
    else:
        yield from _scale(row, shape, xs[0])


class _Reach(NamedTuple):
    """How far a sign over notes goes in a row, and whether it begins and ends there."""

    left: float
    right: float
    begins: bool
    ends: bool


def _reach(row: Row, shape: SignShape, xs: Sequence[float], side: float) -> _Reach:
    """From the first note to the last one; to the row's edge where the notes go on in another row."""
    begins, ends = _x(row, shape.targets[0]) is not None, _x(row, shape.targets[-1]) is not None
    left, right = min(xs) - side, max(xs) + side
    if not begins:
        left = min(row.x + row.system.music_left, left)
    if not ends:
        right = max(row.x + row.system.width, right)
    return _Reach(left, right, begins, ends)


def _right(row: Row) -> float:
    """The right edge of the measure."""
    return row.look.size("frame", "width") - row.look.size("frame", "right")


def _signs(text: str) -> str:
    return FLAT.sub("♭", text).replace("#", "♯")


def _text(setting: Setting, x: float, baseline: float, use: str) -> Iterator[Figure]:
    placed = setting.at(x, baseline)
    if placed.box is not None:
        yield Figure(placed.shapes, placed.box, use)


def _bracket(row: Row, shape: SignShape, reach: _Reach) -> Iterator[Figure]:
    """A line under some notes, open upwards, with its number in a gap, or under it where the line is short.

    The number stands in the row in which the notes begin.
    """
    left, right, begins, ends = reach
    setting = set_text(shape.text if begins else "", row.look.face("strong"), SIZE)
    gap = setting.advance + 2 * TEXT_AIR if setting.advance else 0.0
    beside = gap < right - left - 2 * HOOK
    middle = (left + right) / 2
    hooks = [Box(left, 0, left + LINE, HOOK)] if begins else []
    hooks += [Box(right - LINE, 0, right, HOOK)] if ends else []
    halves = [(left, middle - gap / 2), (middle + gap / 2, right)] if beside else [(left, right)]
    yield _solid([*hooks, *(Box(start, HOOK, end, HOOK + LINE) for start, end in halves)], "ink")
    baseline = HOOK + (CAP + LINE) / 2 if beside else HOOK + LINE + UNDER_AIR + CAP
    x = min(middle - setting.advance / 2, _right(row) - setting.advance)
    yield from _text(setting, max(x, row.x), baseline, "ink")


def _solid(boxes: Sequence[Box], use: str) -> Figure:
    return Figure(tuple(rectangle(box) for box in boxes), union(boxes) or boxes[0], use)


def _arc(row: Row, reach: _Reach) -> Iterator[Figure]:
    """A bow under the notes of a phrase, level where it goes on in another row, as a slur is; none under one note."""
    left, right, begins, ends = reach
    if right - left < row.kind.space:
        return
    whole = begins and ends
    bend, control = (right - left) / 8, ARC_DEPTH * 4 / 3 if whole else ARC_DEPTH
    pen = ShapePen()
    pen.moveTo((left, 0 if begins else ARC_DEPTH))
    pen.curveTo((left + bend, control), (right - bend, control), (right, 0 if ends else ARC_DEPTH))
    box = Box(left, 0, right, ARC_DEPTH).grown(LINE)
    yield Figure((Shape(pen.commands, line=LINE, filled=False),), box, "ink")


def _ticks(row: Row, shape: SignShape) -> Iterator[Figure]:
    """A tick for each beat, longer where a bar begins."""
    boxes = []
    for before, after, share, first in shape.points:
        start, end = _x(row, before), _x(row, after)
        if start is None or end is None:
            continue
        x = start + share * (end - start)
        boxes.append(Box(x - LINE / 2, 0, x + LINE / 2, FIRST_TICK if first else TICK))
    if boxes:
        yield _solid(boxes, "second")


def _scale(row: Row, shape: SignShape, x: float) -> Iterator[Figure]:
    """The notes of a scale in a row: those that sound in ink and underlined, those that decide in a ring."""
    settings = [
        set_text(name, row.look.face("strong" if state else "text"), SIZE) for name, state in shape.words
    ]
    letters, gaps = sum(setting.advance for setting in settings), len(settings) - 1
    gap = min(WORD_GAP, (_right(row) - row.x - letters) / gaps) if gaps else 0.0
    left = max(min(x - settings[0].advance / 2, _right(row) - letters - gap * gaps), row.x)
    for (_, state), setting in zip(shape.words, settings, strict=True):
        use = {"deciding": "tension", "used": "ink"}.get(state, "second")
        yield from _text(setting, left, CAP, use)
        yield from _word_mark(left, setting, state)
        left += setting.advance + gap


def _word_mark(left: float, setting: Setting, state: str) -> Iterator[Figure]:
    if state == "used":
        yield _solid(
            [Box(left, CAP + UNDERLINE_DROP, left + setting.advance, CAP + UNDERLINE_DROP + LINE)], "ink"
        )
    elif state == "deciding":
        radius = max(setting.advance, SIZE * 0.8) / 2 + RING_AIR
        x, y = left + setting.advance / 2, CAP - SIZE / 3
        ring = Box(x - radius, y - radius, x + radius, y + radius).grown(LINE / 2)
        yield Figure((circle(x, y, radius, LINE),), ring, "tension")
