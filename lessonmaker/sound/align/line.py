"""The score as the aligner follows it: one line of notes over a row of beats, in the order played.

Places are counted in beats from the first bar's first beat. A beat is a quarter in x/2 and x/4 metres, a
dotted quarter in compound eighths, an eighth in other eighths. Of notes struck together the highest leads.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Bar, Note, Score
from lessonmaker.theory.metre import Metre

__all__ = ["Line", "follow", "line_of", "place_in_bar", "place_in_beats", "swung"]

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Line:
    """Bars (of `beat_quarters` beats) and notes, in playing order.

    `visits` (bars,) are indices into Score.order; `bar_beats` (bars + 1,) the first beat of each bar;
    `beat_quarters` (beats,) the length of each beat; `lead_in` the beats left out before a short pickup.
    The rest has one entry a note: index into Score.struck, bar of the line, onset and end in beats,
    MIDI pitch, and whether it is played as written when eighths swing.
    """

    visits: tuple[int, ...]
    bar_beats: Ints
    beat_quarters: Array
    lead_in: float
    struck: Ints
    bars: Ints
    onsets: Array
    ends: Array
    pitches: Ints
    straight: Flags

    @property
    def beats(self) -> int:
        """How many beats there are."""
        return len(self.beat_quarters)

    def transposed(self, semitones: int) -> Line:
        """The same line that many semitones higher."""
        return replace(self, pitches=self.pitches + semitones)


def line_of(score: Score) -> Line:
    """The line of a score in its printed order."""
    lengths = [_beat_lengths(score.bars[visit.bar]) for visit in score.order]
    bar_beats = np.cumsum([0, *map(len, lengths)])
    leading = _leading_notes(score)
    lead_in = _lead_in(score.bars[score.order[0].bar])
    rows = [
        (index, order, *_span(note, score.bars[visit.bar], bar_beats[order], lead_in if order == 0 else 0.0))
        for order, visit in enumerate(score.order)
        for index, note in leading.get(visit.bar, ())
    ]
    struck, bars, onsets, ends = (np.array(column) for column in zip(*rows, strict=True))
    printed = score.struck
    notes = [printed[index] for index in struck]
    return Line(
        tuple(range(len(score.order))),
        bar_beats,
        np.array([float(length) for bar in lengths for length in bar]),
        lead_in,
        struck,
        bars,
        onsets,
        np.maximum(ends, onsets + 1e-3),
        np.array([note.sounding.midi for note in notes]),
        np.array([_is_straight(note, score.bars[note.bar]) for note in notes]),
    )


def follow(line: Line, route: Sequence[int]) -> Line:
    """The line with its bars in another order: `route` are bars of `line`, some perhaps twice or never."""
    sizes = np.diff(line.bar_beats)
    bar_beats = np.concatenate([[0], np.cumsum(sizes[list(route)])])
    notes = [np.flatnonzero(line.bars == bar) for bar in route]
    moved = [
        np.full(len(part), bar_beats[i] - line.bar_beats[bar])
        for i, (bar, part) in enumerate(zip(route, notes, strict=True))
    ]
    chosen, shift = np.concatenate(notes), np.concatenate(moved)
    return Line(
        tuple(line.visits[bar] for bar in route),
        bar_beats,
        np.concatenate([line.beat_quarters[line.bar_beats[bar] : line.bar_beats[bar + 1]] for bar in route]),
        line.lead_in if route[0] == 0 else 0.0,
        line.struck[chosen],
        np.concatenate([np.full(len(part), i) for i, part in enumerate(notes)]),
        line.onsets[chosen] + shift,
        line.ends[chosen] + shift,
        line.pitches[chosen],
        line.straight[chosen],
    )


def swung(places: Array, straight: Flags, share: float) -> Array:
    """Places in beats as played when a beat's first half takes `share` of it."""
    beat = np.floor(places + 1e-6)
    within = np.maximum(0.0, places - beat)
    first = within / 0.5 * share
    second = share + (within - 0.5) / 0.5 * (1 - share)
    return np.asarray(beat + np.where(straight, within, np.where(within <= 0.5, first, second)))


def place_in_beats(note: Note, bar: Bar, line: Line, order: int) -> tuple[float, float]:
    """Where a note begins and ends, in beats, in bar `order` of a line."""
    lead_in = line.lead_in if order == 0 else 0.0
    return _span(note, bar, int(line.bar_beats[order]), lead_in)


def place_in_bar(place: Fraction, bar: Bar, line: Line, order: int) -> float:
    """In beats, a place given in quarters from the start of bar `order` of a line."""
    edges = np.cumsum([0.0, *map(float, _beat_lengths(bar))])
    into = float(place) + (line.lead_in if order == 0 else 0.0) * float(_beat(bar.metre))
    return float(line.bar_beats[order] + np.interp(into, edges, np.arange(len(edges))))


def _beat(metre: Metre) -> Fraction:
    if metre.unit <= 4:
        return Fraction(1)
    compound = metre.beats % 3 == 0
    return Fraction(4, metre.unit) * (3 if compound else 1)


def _beat_lengths(bar: Bar) -> list[Fraction]:
    """Whole beats, the last one shorter where the bar has no whole number of them."""
    beat = _beat(bar.metre)
    count = max(1, ceil(bar.length / beat))
    if _lead_in(bar):
        return [beat] * count
    return [beat] * (count - 1) + [bar.length - (count - 1) * beat]


def _lead_in(bar: Bar) -> float:
    """The part of its first beat, in beats, that a pickup (a bar before the start) leaves out."""
    beats = bar.length / _beat(bar.metre)
    return float(ceil(beats) - beats) if bar.start < 0 else 0.0


def _span(note: Note, bar: Bar, first_beat: int, lead_in: float) -> tuple[float, float]:
    """Onset and end in beats from the line's start."""
    edges = np.cumsum([0.0, *map(float, _beat_lengths(bar))])
    beat = float(_beat(bar.metre))
    onset = float(note.onset - bar.start) + lead_in * beat
    end = onset + float(note.held)
    whole = np.interp([onset, min(end, edges[-1])], edges, np.arange(len(edges)))
    return first_beat + whole[0], first_beat + whole[1] + max(0.0, end - edges[-1]) / beat


def _leading_notes(score: Score) -> dict[int, list[tuple[int, Note]]]:
    """By bar: (index into Score.struck, note) of the busiest voice, the highest note of each onset."""
    voice = Counter(note.voice for note in score.struck).most_common(1)[0][0]
    highest: dict[Fraction, tuple[int, Note]] = {}
    for index, note in enumerate(score.struck):
        if note.voice == voice and note.sounding.midi > _midi(highest.get(note.onset)):
            highest[note.onset] = (index, note)
    by_bar: dict[int, list[tuple[int, Note]]] = {}
    for onset in sorted(highest):
        by_bar.setdefault(highest[onset][1].bar, []).append(highest[onset])
    return by_bar


def _midi(found: tuple[int, Note] | None) -> int:
    return found[1].sounding.midi if found else -1


def _is_straight(note: Note, bar: Bar) -> bool:
    """Whether swing leaves the note alone: tuplets, and beats that are not quarters."""
    beat = _beat(bar.metre)
    place = (note.onset - bar.start) / beat
    return bool(note.in_tuplet or beat != 1 or place.denominator % 3 == 0)
