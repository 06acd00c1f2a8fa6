"""What lights up on a page: tints, rings, coloured notes, labels, arrows and capsules, as figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonmaker.picture.chords import capsule_box, set_chord
from lessonmaker.picture.figures import Figure
from lessonmaker.picture.page import Row, label_height, ring_box
from lessonmaker.picture.shapes import Box, Shape, ShapePen, circle, polygon, rectangle, union
from lessonmaker.theory.chord import Chord

__all__ = [
    "Ring",
    "area_figures",
    "arrow_figures",
    "bar_figures",
    "chord_figures",
    "label_figures",
    "note_ring",
    "span_figures",
]

SPLIT_BARS = 1  # notes further apart than neighbouring bars have a light each
CUT_KINDS = ("note", "accidental", "dot", "rest", "metre", "flag")
CUT_AIR = 8
HALF_BOW = 40  # the least length of the half of an arrow that goes on in another row
LEAST_DROP = 3  # pixels from a bar's lowest ink to its rule's foot, where systems stand as near as they may
AREA_RISE = 8  # from the highest beam to the light's upper edge


@dataclass(frozen=True)
class Ring:
    """A lit note: its ring, the boxes round which the ring opens, and the boxes that take the colour."""

    figure: Figure
    openings: tuple[Box, ...]
    coloured: tuple[Box, ...]


def bar_figures(row: Row, bar: int) -> list[Figure]:
    """The bar that sounds: a tint from above its chord symbols, and a rule under it."""
    look, light = row.look, row.look.sizes["light"]
    left, right = row.bar_edges(bar)
    drop = max(row.light_share * light["rule_drop"], LEAST_DROP)
    bottom = max([row.staff_bottom, *(box.bottom for box in row.within(left, right))]) + drop
    if row.labels and not row.lane_above:
        bottom = max(bottom, row.lane + drop)
    box = Box(left + light["inset"], light_top(row, left, right), right - light["inset"], bottom)
    rule = Box(box.left, box.bottom - light["rule"], box.right, box.bottom)
    radius = row.kind.light_radius
    return [
        Figure((rectangle(box, radius),), box, "light"),
        Figure((rectangle(rule, look.sizes["light"]["rule"] / 2),), rule, "now"),
    ]


def light_top(row: Row, left: float, right: float) -> float:
    """The upper edge of a bar's tint: above the row's chord symbols, or above the music where it has none."""
    symbols = [setting.box.top for setting in row.symbols.values() if setting.box]
    drawn = [row.staff_top, *(box.top for box in row.within(left, right))]
    drawn += [one.box.top for one in row.endings if one.box.left < right and left < one.box.right]
    air = row.light_share * row.look.size("light", "air")
    return max(min([*symbols, *drawn]) - air, row.look.size("header", "rule") + 6)


def span_figures(row: Row, bars: Sequence[int]) -> list[Figure]:
    """Amber light over whole bars, a box a run of neighbours."""
    runs: list[list[int]] = []
    for bar in (bar for bar in row.bars if bar in bars):
        runs.append([*runs.pop(), bar] if runs and bar == runs[-1][-1] + 1 else [bar])
    figures = []
    for run in runs:
        inset = row.look.size("light", "inset")
        left, right = row.bar_edges(run[0])[0] + inset, row.bar_edges(run[-1])[1] - inset
        figures.append(light_box(row, left, right))
    return figures


def light_box(row: Row, left: float, right: float) -> Figure:
    """Amber light between two x, from the beams down to the lane."""
    near = row.within(left, right)
    top = min([row.staff_top - 2 * AREA_RISE, *(box.top - AREA_RISE for box in near)])
    bottom = max([row.staff_bottom + 2 * AREA_RISE, *(box.bottom + AREA_RISE for box in near)])
    labels = [
        one.box for one in row.labels.values() if one.box and one.box.left < right and left < one.box.right
    ]
    if labels and row.lane_above:
        top = min(top, row.lane - label_height(row) - row.arrow_room)
    elif labels:
        bottom = max(bottom, row.lane + row.arrow_room + AREA_RISE)
    box = Box(left, top, right, min(bottom, row.kind.bottom))
    return Figure((rectangle(box, row.kind.light_radius),), box, "light")


def area_figures(row: Row, notes: Sequence[str]) -> list[Figure]:
    """Amber light over a run of notes; notes far apart have a light each."""
    figures = []
    for run in note_runs(row, notes):
        around = union([box for note in run for box in note_boxes(row, note)])
        held = union([box for note in run for box in held_boxes(row, note)])
        if around is not None and held is not None:
            pad = row.look.size("light", "area_pad")
            left, right = clear_edges(row, held, around.left - pad, around.right + pad)
            figures.append(light_box(row, left, right))
    return figures


def note_runs(row: Row, notes: Sequence[str]) -> list[list[str]]:
    """The row's notes of a light, cut where they lie more than a bar apart."""
    here = [note for note in notes if row.shape(note) is not None]
    here.sort(key=lambda note: head_box(row, note).left)
    runs: list[list[str]] = []
    for note in here:
        if runs and bar_place(row, note) - bar_place(row, runs[-1][-1]) <= SPLIT_BARS:
            runs[-1].append(note)
        else:
            runs.append([note])
    return runs


def bar_place(row: Row, note: str) -> int:
    """Which of the row's bars a note stands in."""
    x = head_box(row, note).centre[0]
    return sum(row.placed(row.system.bars[bar]).right <= x for bar in row.bars)


def head_box(row: Row, note: str) -> Box:
    """A note's head on the page."""
    shape = row.shape(note)
    assert shape is not None
    return row.placed(shape.head)


def note_boxes(row: Row, note: str) -> list[Box]:
    """What a light over a note is to hold: ring, accidental, dots, labels."""
    if row.shape(note) is None:
        return []
    return [note_ring(row, note, "now").figure.box, *held_boxes(row, note)]


def held_boxes(row: Row, note: str) -> list[Box]:
    """What a light over a note must hold: head, accidental, dots, labels."""
    shape = row.shape(note)
    parts = (shape.head, shape.accidental, shape.dots) if shape is not None else ()
    labels = [one.box for (owner, _), one in row.labels.items() if owner == note and one.box]
    return [*(row.placed(box) for box in parts if box is not None), *labels]


def clear_edges(row: Row, held: Box, left: float, right: float) -> tuple[float, float]:
    """A light's edges so that they cut no notehead, accidental, dot, rest or sign.

    An edge that would cut something stands as near as can be to what the light must hold.
    """
    upright = [box for kind, box in row.obstacles if kind in CUT_KINDS]
    mirrored = [Box(-box.right, box.top, -box.left, box.bottom) for box in upright]
    return -clear_edge(mirrored, -held.left, -left), clear_edge(upright, held.right, right)


def clear_edge(upright: Sequence[Box], least: float, wanted: float) -> float:
    """A light's right edge: where it is wanted, or moved from the least outwards until it cuts nothing."""
    edge = least + CUT_AIR / 2 if cuts(upright, wanted) else wanted
    while beyond := cuts(upright, edge):
        edge = max(box.right for box in beyond) + CUT_AIR
    return edge


def cuts(upright: Sequence[Box], edge: float) -> list[Box]:
    """What a light's right edge would cut, or come too near to."""
    return [box for box in upright if box.left - CUT_AIR / 2 < edge < box.right + CUT_AIR]


def note_ring(row: Row, note: str, use: str) -> Ring:
    """The ring round a notehead."""
    ring = row.look.sizes["ring"]
    shape = row.shape(note)
    assert shape is not None
    box = ring_box(row, note)
    radius = ring["radius"] * row.kind.space
    line = box.width - 2 * radius
    own = tuple(row.placed(part) for part in (shape.accidental, shape.dots) if part is not None)
    return Ring(Figure((circle(*box.centre, radius, line),), box, use), own, (row.placed(shape.head), *own))


def chord_figures(row: Row, change: str, heard: Chord | None = None) -> list[Figure]:
    """The capsule of the current chord: an ink box, the symbol in paper; what is heard covers what is printed."""
    printed = row.symbols.get(change)
    if printed is None or printed.box is None:
        return []
    box = capsule_box(row.look, printed, row.kind.chord_size)
    setting = printed
    if heard is not None:
        setting = set_chord(heard, row.kind.chord_size, row.look).at(
            row.x + row.system.changes[change], printed.baseline
        )
        box = union((box, capsule_box(row.look, setting, row.kind.chord_size))) or box
    if setting.box is None:
        return []
    radius = row.look.size("chord", "radius") * row.kind.chord_size
    return [
        Figure((rectangle(box, radius),), box, "ink"),
        Figure(setting.shapes, setting.box, "paper"),
    ]


def label_figures(row: Row, name: tuple[str, str], use: str) -> list[Figure]:
    """A degree label in the lane."""
    setting = row.labels.get(name)
    return [Figure(setting.shapes, setting.box, use)] if setting is not None and setting.box else []


def arrow_figures(row: Row, from_note: str, to_note: str) -> list[Figure]:
    """A bow from one label to another, with its head pointing at the second.

    Where only one of the notes stands in the row, its half of the bow: it leaves at the row's end, or comes in before
    the note, as a slur does that goes on in the next system.
    """
    start, end = head_x(row, from_note), head_x(row, to_note)
    if start is None and end is None:
        return []
    arrow = row.kind.arrow
    way = -1 if row.lane_above else 1
    base = row.lane - label_height(row) if row.lane_above else row.lane
    near, far = base + way * arrow["drop"], base + way * arrow["depth"]
    foot, bend = near + way * arrow["head"], far - way * arrow["line"] / 2
    begin = near + way * arrow["line"] / 2
    if end is None:
        assert start is not None
        end = max(row.x + row.system.width, start + HALF_BOW)
        shapes = [half_bow((start, begin), end, bend, arrow["line"])]
    elif start is None:
        start = min(row.x + row.system.music_left, end - HALF_BOW)
        shapes = [
            half_bow((end, foot), start, bend, arrow["line"]),
            arrow_head(end, near, foot, arrow["half"]),
        ]
    else:
        bow = bow_shape((start, begin), (end, foot), bend, arrow["line"])
        shapes = [bow, arrow_head(end, near, foot, arrow["half"])]
    left, right = min(start, end) - arrow["half"], max(start, end) + arrow["half"]
    box = Box(left, min(near, far), right, max(near, far)).grown(arrow["line"])
    return [Figure(tuple(shapes), box, "ink")]


def head_x(row: Row, note: str) -> float | None:
    """The middle of a note's head, if the row has the note."""
    return None if row.shape(note) is None else head_box(row, note).centre[0]


def arrow_head(x: float, tip: float, foot: float, half: float) -> Shape:
    """A solid head that points from `foot` to `tip`."""
    return polygon([(x, tip), (x + half, foot), (x - half, foot)])


def half_bow(start: tuple[float, float], end_x: float, far: float, line: float) -> Shape:
    """The half of a bow at one note: out of its label, then level to `end_x`."""
    pen = ShapePen()
    pen.moveTo(start)
    pen.curveTo((start[0], (start[1] + 2 * far) / 3), ((start[0] + end_x) / 2, far), (end_x, far))
    return Shape(pen.commands, line=line, filled=False)


def bow_shape(start: tuple[float, float], end: tuple[float, float], far: float, line: float) -> Shape:
    """A U-shaped curve whose furthest point is at y `far`.

    A cubic from y0 to y1 with both control points at y c is furthest at its middle: (y0 + y1) / 8 + 3 c / 4.
    """
    control = (far - (start[1] + end[1]) / 8) * 4 / 3
    pen = ShapePen()
    pen.moveTo(start)
    pen.curveTo((start[0], control), (end[0], control), end)
    return Shape(pen.commands, line=line, filled=False)
