"""Signs under the staff: brackets, arcs, beats, numerals, a scale's notes; each kind in a lane of its own.

The lanes hang under everything else that the row may show, so that no sign meets a note, a label or an arrow.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.picture.figures import Figure
from lessonmaker.picture.marks import AREA_RISE
from lessonmaker.picture.page import Row
from lessonmaker.picture.shapes import Box, Shape, ShapePen, circle, rectangle, union
from lessonmaker.picture.text import Setting, set_text
from lessonmaker.timeline.model import SignShape

__all__ = ["place_signs"]

LANES = (("numeral",), ("bracket",), ("beats",), ("arc",), ("scale",))
AIR = 7  # between what hangs above and a lane
HEIGHT = {"numeral": 40, "bracket": 34, "beats": 28, "arc": 30, "scale": 50}
SIZE = 40
DESCENT = 10  # of a numeral's "maj7" under its baseline
LINE = 3.5
HOOK = 14
TEXT_AIR = 12
ARC_DEPTH = 26
TICK, FIRST_TICK = 16, 28
FLAT = re.compile(r"(?<!su)b(?=[IViv0-9])")  # not the one in "subV7"
WORD_GAP = 34
RING_AIR = 7
UNDERLINE_DROP = 9


def place_signs(row: Row, shapes: Sequence[SignShape]) -> Row:
    """The row with its signs laid out in lanes, those in use from the top down."""
    here = [shape for shape in shapes if any(_x(row, target) is not None for target in shape.targets)]
    if not here:
        return row
    lit = [box.bottom + AREA_RISE for box in row.lane_boxes]
    top = max([row.ink.bottom, row.staff_bottom, *lit])
    placed: dict[SignShape, tuple[Figure, ...]] = {}
    for kinds in LANES:
        lane = [shape for shape in here if shape.kind in kinds]
        if lane:
            height = HEIGHT[kinds[0]]
            placed |= {shape: tuple(_figures(row, shape, top + AIR, top + AIR + height)) for shape in lane}
            top += AIR + height
    return replace(row, signs=placed)


def _x(row: Row, target: str) -> float | None:
    """Where a note's head, or a chord symbol, stands."""
    shape = row.shape(target)
    if shape is not None:
        return row.placed(shape.head).centre[0]
    change = row.system.changes.get(target)
    return None if change is None else change + row.x


def _figures(row: Row, shape: SignShape, top: float, bottom: float) -> Iterator[Figure]:
    xs = [x for target in shape.targets if (x := _x(row, target)) is not None]
    whole = _x(row, shape.targets[0]) is not None
    if shape.kind == "bracket":
        yield from _bracket(row, min(xs), max(xs), bottom, shape.text if whole else "")
    elif shape.kind == "arc":
        yield _arc(min(xs), max(xs), top)
    elif shape.kind == "beats":
        yield from _ticks(row, shape, top)
    elif shape.kind == "numeral":
        setting = set_text(_signs(shape.text), row.look.face("symbol"), SIZE)
        yield from _text(setting, xs[0], bottom - DESCENT, "second")
    else:
        yield from _scale(row, shape, xs[0], bottom)


def _signs(text: str) -> str:
    return FLAT.sub("♭", text).replace("#", "♯")


def _text(setting: Setting, x: float, baseline: float, use: str) -> Iterator[Figure]:
    placed = setting.at(x, baseline)
    if placed.box is not None:
        yield Figure(placed.shapes, placed.box, use)


def _bracket(row: Row, left: float, right: float, bottom: float, text: str) -> Iterator[Figure]:
    """A line from the first head to the last, open upwards, with its number in a gap."""
    half = row.kind.space * 0.7
    left, right = left - half, right + half
    setting = set_text(text, row.look.face("strong"), SIZE)
    width = setting.advance + 2 * TEXT_AIR if text else 0.0
    middle, line = (left + right) / 2, bottom - SIZE / 3
    parts = [
        Box(left, line - HOOK, left + LINE, line + LINE),
        Box(right - LINE, line - HOOK, right, line + LINE),
    ]
    if width < right - left - 2 * HOOK:
        parts += [
            Box(left, line, middle - width / 2, line + LINE),
            Box(middle + width / 2, line, right, line + LINE),
        ]
    yield _solid([part for part in parts if part.width > 0], "ink")
    yield from _text(setting, middle - setting.advance / 2, bottom, "ink")


def _solid(boxes: Sequence[Box], use: str) -> Figure:
    return Figure(tuple(rectangle(box) for box in boxes), union(boxes) or boxes[0], use)


def _arc(left: float, right: float, top: float) -> Figure:
    """A bow under the notes of a phrase."""
    pen = ShapePen()
    depth = top + ARC_DEPTH * 4 / 3
    pen.moveTo((left, top))
    pen.curveTo((left + (right - left) / 8, depth), (right - (right - left) / 8, depth), (right, top))
    box = Box(left, top, right, top + ARC_DEPTH).grown(LINE)
    return Figure((Shape(pen.commands, line=LINE, filled=False),), box, "ink")


def _ticks(row: Row, shape: SignShape, top: float) -> Iterator[Figure]:
    """A tick for each beat, longer where a bar begins."""
    boxes = []
    for before, after, share, first in shape.points:
        start, end = _x(row, before), _x(row, after)
        if start is None or end is None:
            continue
        x = start + share * (end - start)
        boxes.append(Box(x - LINE / 2, top, x + LINE / 2, top + (FIRST_TICK if first else TICK)))
    if boxes:
        yield _solid(boxes, "second")


def _scale(row: Row, shape: SignShape, x: float, bottom: float) -> Iterator[Figure]:
    """The notes of a scale in a row: those that sound in ink and underlined, those that decide in a ring."""
    look = row.look
    settings = [set_text(name, look.face("strong" if state else "text"), SIZE) for name, state in shape.words]
    width = sum(setting.advance for setting in settings) + WORD_GAP * (len(settings) - 1)
    right = row.x + row.system.width
    left = max(min(x - settings[0].advance / 2, right - width), row.x)
    for (_, state), setting in zip(shape.words, settings, strict=True):
        yield from _text(setting, left, bottom, {"deciding": "tension", "used": "ink"}.get(state, "second"))
        yield from _word_mark(left, setting, bottom, state)
        left += setting.advance + WORD_GAP


def _word_mark(left: float, setting: Setting, bottom: float, state: str) -> Iterator[Figure]:
    if state == "used":
        box = Box(left, bottom + UNDERLINE_DROP, left + setting.advance, bottom + UNDERLINE_DROP + LINE)
        yield _solid([box], "ink")
    elif state == "deciding":
        radius = max(setting.advance, SIZE * 0.8) / 2 + RING_AIR
        x, y = left + setting.advance / 2, bottom - SIZE / 3
        ring = Box(x - radius, y - radius, x + radius, y + radius).grown(LINE / 2)
        yield Figure((circle(x, y, radius, LINE),), ring, "tension")
