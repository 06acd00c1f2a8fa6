"""Engraving a few bars as one system, with the place of everything in it.

Each system is engraved by itself by Verovio, so that a note elsewhere moves nothing here. Room for chord
symbols and for labels at notes is reached by spacing: where they would come too near to each other, the bar
is widened and the layout made again. Labels never take the room of the notes: where a system would be set too
tight for them, they are to be smaller, as far as the style allows. All results are in pixels: x from the left
edge of the staff, y from the top of the drawing.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import verovio

from lessonmaker.score.cut import Anchor, cut_bars
from lessonmaker.score.drawing import Box, Obstacle, Sketch, placed_note, read_drawing
from lessonmaker.score.model import Score
from lessonmaker.score.system import Ink, System
from lessonmaker.score.toolkit import new_toolkit

__all__ = ["AIR_PX", "EngraveStyle", "engrave"]

# Verovio's units: the staff space is 18 page units, 180 drawn ones.
PAGE_UNITS_A_SPACE = 18
DRAWN_UNITS_A_SPACE = 180
# How wide one anchor character is drawn, and what Verovio keeps free between two anchors (both measured).
ANCHOR_CHARACTER = "|"
LABEL, CHANGE, BEAT = "label-", "change-", "beat-"
ANCHOR_UNITS = 82
ANCHOR_AIR_UNITS = 180
# The anchor at the end of the last bar. It moves the bar line off the edge, so it stands only where needed.
END = "end"
# The least air between two chord symbols or two labels, and at the end of the system, in pixels.
AIR_PX = 14
# Spacing is only ever compressed this far below its natural width: tighter looks crowded.
TIGHTEST = 0.95
TIGHTER_SPACINGS = ((0.42, 0.2), (0.32, 0.15), (0.26, 0.1))
ROUNDS = 6
LABEL_STEP = 0.88
PAD_PX = 2
FIXED_OPTIONS = {
    "font": "Bravura",
    "xmlIdSeed": 1,
    "breaks": "encoded",
    "header": "none",
    "footer": "none",
    "pageHeight": 4000,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "minLastJustification": 0,
    "mnumInterval": 0,
    "svgBoundingBoxes": True,
    "smuflTextFont": "none",
    "staffLineWidth": 0.19,
    "ledgerLineThickness": 0.3,
    "stemWidth": 0.24,
    "barLineWidth": 0.3,
    "repeatEndingLineThickness": 0.24,
    "tupletBracketThickness": 0.24,
}
NO_WIDTHS: Mapping[str, float] = MappingProxyType({})
NO_REACHES: Mapping[str, tuple[float, float]] = MappingProxyType({})
_THREAD = threading.local()


@dataclass(frozen=True)
class EngraveStyle:
    """How a system is set.

    Attributes:
        width: from the left to the right edge of the staff, in pixels.
        staff_height: between the middles of the outer staff lines, in pixels.
        spacing_nonlinear: how much longer notes are given more room (Verovio's `spacingNonLinear`).
        spacing_linear: how wide the notes stand by themselves (Verovio's `spacingLinear`).
        bar_line_margin: air beside bar lines, in half staff spaces.
        show_time: whether the metre is printed at the start; None prints it where it is new.
        fill: the share of `width` to fill; a short last row takes less, never less than it needs.
        least_label: the share of their size to which labels may go down where they have no room.
    """

    width: float
    staff_height: float
    spacing_nonlinear: float = 0.5
    spacing_linear: float = 0.25
    bar_line_margin: float = 0.6
    show_time: bool | None = None
    fill: float = 1.0
    least_label: float = 1.0


@dataclass(frozen=True)
class _Demand:
    """Two anchors (or an anchor and the end) and how far apart they must stand, in pixels."""

    first: str
    second: str
    distance: float


@dataclass(frozen=True)
class _Job:
    """What stays the same while a system is laid out again and again."""

    score: Score
    bars: tuple[int, ...]
    style: EngraveStyle
    anchors: tuple[Anchor, ...]
    end: Anchor
    demands: tuple[_Demand, ...]
    show_time: bool
    label_share: float

    @property
    def units_a_px(self) -> float:
        return 4 * DRAWN_UNITS_A_SPACE / self.style.staff_height


def engrave(
    score: Score,
    bars: Sequence[int],
    style: EngraveStyle,
    chord_widths: Mapping[str, float] = NO_WIDTHS,
    label_reaches: Mapping[str, tuple[float, float]] = NO_REACHES,
    beat_widths: Sequence[float] = (),
) -> System:
    """Engrave some bars of a score as one system.

    Args:
        score: the score, or an edition of it.
        bars: indices into `score.bars`, ascending.
        style: sizes and spacing.
        chord_widths: the width in pixels of each chord symbol, by the id of its change.
        label_reaches: how far in pixels the label at a note reaches left and right of the note's middle, by its id.
        beat_widths: the least width in pixels of each beat of the bars, or nothing.

    Raises:
        ValueError: there are no bars to engrave.
    """
    if not bars:
        raise ValueError("a system needs at least one bar")
    for share in _label_shares(style if label_reaches else replace(style, least_label=1.0)):
        job = _job(score, tuple(bars), style, chord_widths, _scaled(label_reaches, share), beat_widths)
        job = replace(job, label_share=share)
        anchors, spacing, natural = _spaced(job)
        if not _is_too_tight(job, natural):
            break
    natural_px = natural.staff.width / job.units_a_px
    width = max(natural_px, style.width * style.fill) if style.fill < 1 else style.width
    width = min(width, style.width)
    return _system(job, _lay_out(job, anchors, spacing, width), natural_px, width)


def _label_shares(style: EngraveStyle) -> Iterator[float]:
    """The shares of their size at which labels may be set, the largest first."""
    share = 1.0
    while share > style.least_label:
        yield share
        share *= LABEL_STEP
    yield style.least_label


def _scaled(reaches: Mapping[str, tuple[float, float]], share: float) -> dict[str, tuple[float, float]]:
    return {note: (left * share, right * share) for note, (left, right) in reaches.items()}


def _job(
    score: Score,
    bars: tuple[int, ...],
    style: EngraveStyle,
    chord_widths: Mapping[str, float],
    label_reaches: Mapping[str, tuple[float, float]],
    beat_widths: Sequence[float],
) -> _Job:
    beats = _beat_anchors(score, bars) if beat_widths else []
    starts = [anchor.id for anchor in beats]
    chords = _chord_anchors(score, bars)
    notes = [note for note in score.notes if note.bar in bars and note.id in label_reaches]
    labels = [Anchor(f"{LABEL}{note.id}", 2, note.bar, ANCHOR_CHARACTER, note=note.id) for note in notes]
    widths = [chord_widths.get(anchor.id.removeprefix(CHANGE), 0.0) + AIR_PX for anchor in chords[:-1]]
    lefts, rights = ([label_reaches[note.id][side] for note in notes] for side in (0, 1))
    demands = [
        *(_Demand(a.id, b.id, width) for a, b, width in zip(chords, chords[1:], widths, strict=False)),
        *(
            _Demand(labels[n].id, labels[n + 1].id, rights[n] + lefts[n + 1] + AIR_PX)
            for n in range(len(labels) - 1)
        ),
        *(_Demand(*pair) for pair in zip(starts, [*starts[1:], END], beat_widths, strict=False)),
    ]
    show_time = _time_is_new(score, bars[0]) if style.show_time is None else style.show_time
    return _Job(
        score, bars, style, (*chords[:-1], *labels, *beats), chords[-1], tuple(demands), show_time, 1.0
    )


def _chord_anchors(score: Score, bars: tuple[int, ...]) -> list[Anchor]:
    """An anchor for each chord symbol, and one at the end of the last bar."""
    anchors = []
    for change in score.changes:
        if change.bar in bars:
            bar = score.bars[change.bar]
            stamp = 1 + (change.onset - bar.start) * bar.metre.unit / 4
            anchors.append(
                Anchor(f"{CHANGE}{change.id}", 1, change.bar, ANCHOR_CHARACTER, tstamp=f"{float(stamp):.5f}")
            )
    last = score.bars[bars[-1]]
    end = 1 + last.length * last.metre.unit / 4
    return [*anchors, Anchor(END, 1, bars[-1], ANCHOR_CHARACTER, tstamp=f"{float(end):.5f}")]


def _beat_anchors(score: Score, bars: tuple[int, ...]) -> list[Anchor]:
    """An anchor at each beat of the bars."""
    return [
        Anchor(f"{BEAT}{bar}-{number}", 3, bar, ANCHOR_CHARACTER, tstamp=f"{number + 1:.5f}")
        for bar in bars
        for number in range(int(score.bars[bar].length / score.bars[bar].metre.unit_quarters))
    ]


def _time_is_new(score: Score, bar: int) -> bool:
    return bar == 0 or score.bars[bar].metre != score.bars[bar - 1].metre


def _spaced(job: _Job) -> tuple[tuple[Anchor, ...], tuple[float, float], Sketch]:
    """The anchors and spacing at which the demands are met and the system is not too tight."""
    own = (job.style.spacing_nonlinear, job.style.spacing_linear)
    tighter = [pair for pair in TIGHTER_SPACINGS if pair[0] < own[0] or pair[1] < own[1]]
    for spacing in (own, *tighter):
        anchors, natural = _with_room(job, spacing)
        if not _is_too_tight(job, natural):
            break
    return anchors, spacing, natural


def _is_too_tight(job: _Job, natural: Sketch) -> bool:
    return natural.staff.width * TIGHTEST > job.style.width * job.units_a_px


def _with_room(job: _Job, spacing: tuple[float, float]) -> tuple[tuple[Anchor, ...], Sketch]:
    anchors = job.anchors
    natural = _lay_out(job, anchors, spacing, None)
    for _ in range(ROUNDS):
        stretch = _stretch(job, natural)
        short = [
            demand
            for demand in job.demands
            if _gap(natural, demand) * stretch < demand.distance * job.units_a_px
        ]
        if not short:
            break
        anchors = _widened(job, anchors, natural, short)
        natural = _lay_out(job, anchors, spacing, None)
    return anchors, natural


def _stretch(job: _Job, natural: Sketch) -> float:
    """How much wider than its natural width justification sets the music."""
    fixed = _music_left(job, natural)
    share = job.style.width * min(job.style.fill, 1.0) * job.units_a_px
    return max(share - fixed, 1.0) / max(natural.staff.width - fixed, 1.0)


def _gap(sketch: Sketch, demand: _Demand) -> float:
    return _anchor_x(sketch, demand.second) - _anchor_x(sketch, demand.first)


def _anchor_x(sketch: Sketch, anchor: str) -> float:
    """Where an anchor stands: a chord symbol's left edge, the middle of a label, the end of the staff."""
    if anchor == END:
        return sketch.staff.x1
    box = sketch.anchors[anchor]
    return box.centre[0] if anchor.startswith(LABEL) else box.x0


def _widened(
    job: _Job, anchors: tuple[Anchor, ...], natural: Sketch, short: Sequence[_Demand]
) -> tuple[Anchor, ...]:
    """Anchors with the room that the demands need once the system is justified.

    Wider gaps make the music wider and hence the stretch smaller. With N the natural width, g the short
    gaps, d their demands and W the width to fill, the new natural width solves
    N' = N - sum(g) + sum(d) N' / W, and each gap becomes d N' / W.
    """
    fixed = _music_left(job, natural)
    fill = max(job.style.width * min(job.style.fill, 1.0) * job.units_a_px - fixed, 1.0)
    share = sum(demand.distance for demand in short) * job.units_a_px / fill
    rest = natural.staff.width - fixed - sum(_gap(natural, demand) for demand in short)
    factor = rest / (1 - share) / fill if share < 1 else 1.0
    needed: dict[str, float] = {}
    for demand in short:
        # A label is centred at its note, so that its neighbour must give half of the room.
        for end in (demand.first, demand.second) if demand.first.startswith(LABEL) else (demand.first,):
            needed[end] = max(needed.get(end, 0.0), demand.distance * job.units_a_px * factor)
    at_end = any(demand.second == END for demand in short) and job.end not in anchors
    return tuple(
        replace(anchor, text=_wider(anchor.text, needed[anchor.id])) if anchor.id in needed else anchor
        for anchor in ((*anchors, job.end) if at_end else anchors)
    )


def _wider(text: str, units: float) -> str:
    """An anchor's text for so much room, and in any case a little wider than it was."""
    count = math.ceil((units - ANCHOR_AIR_UNITS) / ANCHOR_UNITS)
    return ANCHOR_CHARACTER * max(count, len(text) + 1)


def _music_left(job: _Job, sketch: Sketch) -> float:
    """Where clef, key and metre of the first bar end."""
    first = sketch.measures[job.score.bars[job.bars[0]].id]
    limit = min((shape.head.x0 for shape in sketch.notes.values()), default=first.x1)
    edges = [
        obstacle.box.x1
        for obstacle in sketch.obstacles
        if obstacle.kind in ("clef", "key", "metre") and obstacle.box.x1 < limit
    ]
    return max(edges, default=first.x0)


def _toolkit() -> verovio.toolkit:
    if not hasattr(_THREAD, "toolkit"):
        _THREAD.toolkit = new_toolkit()
        _THREAD.toolkit.setOptions(FIXED_OPTIONS)
    toolkit: verovio.toolkit = _THREAD.toolkit
    return toolkit


def _lay_out(
    job: _Job, anchors: tuple[Anchor, ...], spacing: tuple[float, float], width_px: float | None
) -> Sketch:
    """Draw the system justified to a width, or in its natural width where none is given."""
    toolkit = _toolkit()
    spaces = (width_px or job.style.width) / (job.style.staff_height / 4)
    toolkit.setOptions(
        {
            "pageWidth": round(spaces * PAGE_UNITS_A_SPACE),
            "noJustification": width_px is None,
            "spacingNonLinear": spacing[0],
            "spacingLinear": spacing[1],
            "leftMarginBarLine": job.style.bar_line_margin,
            "rightMarginBarLine": job.style.bar_line_margin,
        }
    )
    toolkit.loadData(cut_bars(job.score, job.bars, anchors, job.show_time))
    return read_drawing(toolkit.renderToSVG(1), job.score.bars[job.bars[0]].id)


def _beats(job: _Job, sketch: Sketch, scale: float, dx: float) -> tuple[float, ...]:
    """Where the anchors of beats stand, in order, and the end of the staff."""
    named = [anchor.id for anchor in job.anchors if anchor.id.startswith(BEAT)]
    ends = [_anchor_x(sketch, name) for name in ([*named, END] if named else [])]
    return tuple((x + dx) * scale for x in ends)


def _system(job: _Job, sketch: Sketch, natural_px: float, width_px: float) -> System:
    staff, ink = sketch.staff, sketch.ink
    scale = width_px / staff.width
    dx, dy = -staff.x0, -ink.y0 + PAD_PX / scale

    def placed(box: Box) -> Box:
        return box.placed(scale, dx, dy)

    left = _music_left(job, sketch)
    glyphs = "".join(
        f'<g id="{name}"><path transform="scale(1,-1)" d="{outline}"/></g>'
        for name, outline in sorted(sketch.glyphs.items())
    )
    return System(
        width=width_px,
        height=math.ceil(ink.height * scale + 2 * PAD_PX),
        staff_top=placed(staff).y0,
        staff_bottom=placed(staff).y1,
        space=sketch.space * scale,
        music_left=(left + dx) * scale,
        natural_width=natural_px,
        label_share=job.label_share,
        bars={bar: placed(sketch.measures[job.score.bars[bar].id]) for bar in job.bars},
        notes={note: placed_note(shape, scale, dx, dy) for note, shape in sketch.notes.items()},
        changes={
            anchor.removeprefix(CHANGE): (box.x0 + dx) * scale
            for anchor, box in sketch.anchors.items()
            if anchor.startswith(CHANGE)
        },
        beats=_beats(job, sketch, scale, dx),
        obstacles=tuple(Obstacle(one.kind, placed(one.box)) for one in sketch.obstacles),
        texts=tuple(
            replace(
                text, x=(text.x + dx) * scale, baseline=(text.baseline + dy) * scale, size=text.size * scale
            )
            for text in sketch.texts
        ),
        endings=tuple(
            replace(one, x0=(one.x0 + dx) * scale, x1=(one.x1 + dx) * scale) for one in sketch.endings
        ),
        ink=Ink(
            glyphs=f"<defs>{glyphs}</defs>",
            transform=f"scale({scale:.8f}) translate({dx:.3f} {dy:.3f})",
            staff_lines="".join(sketch.staff_lines),
            heads="".join(sketch.heads),
            rest="".join(sketch.rest),
        ),
    )
