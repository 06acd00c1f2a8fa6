"""Where the player left the page: wrong, octave-off, missing and added notes, and whole bars of something else.

What is found is silent rather than wrong: a place counts only where the networks are sure. Runs of bars in
which most notes are not the line's are named as such, with the interval if one transposition explains them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.added import Extras, extras
from lessonmaker.sound.align.features import FRAME_S, Features
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.strays import (
    note_bodies,
    note_clues,
    trained_networks,
    wide_evidence,
)

__all__ = ["Departures", "LineDeparture", "OffPage", "bar_sureness", "departures_of"]

Kind = Literal["wrong", "octave", "missing", "added"]
Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

RIGHT, OTHER, MISSING = 0, 1, 2
SURE_ENOUGH = {OTHER: 0.6, MISSING: 0.7}
SURE_ENOUGH_ADDED = 0.75
# The octave of a note that sounds above its neighbours too is the instrument's, unless it is beyond doubt.
OVERTONE_SHARE, CERTAIN = 0.25, 0.985
NEAR_SEMITONES = 2
OTHERS_EVIDENCE = 1
OFF_PAGE_SHARE = 0.6
OFF_PAGE_NOTES = 3
SAME_INTERVAL_SHARE = 0.6
LEAST_CLARITY = 0.5


@dataclass(frozen=True)
class LineDeparture:
    """A place where the take leaves the line.

    Attributes:
        kind: As in `Departure`.
        note: The note of the line as played; None for an added one.
        bar: The bar of the line as played.
        heard: The MIDI pitch that sounds in the take; None where the note is missing.
        time_s: When, in the take.
        sure: How sure that is, 0 to 1.
    """

    kind: Kind
    note: int | None
    bar: int
    heard: int | None
    time_s: float
    sure: float


@dataclass(frozen=True)
class OffPage:
    """Bars `first` to `last` (inclusive) of the line as played in which most notes are not the line's.

    `semitones` is how much higher they sound where one transposition explains them, else None.
    """

    first: int
    last: int
    semitones: int | None


@dataclass(frozen=True)
class Departures:
    """Single departures in the order of time, and the runs of bars that are something else altogether.

    No single departure lies in those bars.
    """

    single: tuple[LineDeparture, ...]
    off_page: tuple[OffPage, ...]

    @property
    def bars_off_page(self) -> frozenset[int]:
        """The bars of all runs."""
        return frozenset(bar for run in self.off_page for bar in range(run.first, run.last + 1))


def departures_of(features: Features, line: Line, timing: Timing) -> Departures:
    """Find where the player left the page.

    Args:
        features: The take's features.
        line: The line in the order played, at the take's transposition.
        timing: When its notes sound.
    """
    wide = wide_evidence(features.whitened, line)
    clues, others = note_clues(wide, features.level, line, timing)
    for_notes, for_added = trained_networks()
    odd = _odd(line, timing, clues, for_notes.chances(clues), others)
    candidates = extras(wide, features.level, line, timing)
    added = _added(line, candidates, for_added.chances(candidates.clues)[:, 1], odd)
    runs = _off_page(line, odd, bool(np.median(clues[:, 0]) >= LEAST_CLARITY))
    aside = Departures((), runs).bars_off_page
    kept = [one for one in (*odd, *added) if one.bar not in aside]
    return Departures(tuple(sorted(kept, key=lambda one: one.time_s)), runs)


def bar_sureness(evidence: Float, lowest: int, line: Line, timing: Timing) -> Array:
    """How well the notes of each bar (bars,) were heard at their places, 0 to 1.

    Evidence counts against what notes of this take typically reach, so that a dull instrument or a loud band
    does not make every bar unsure. A bar without notes takes the mean of its neighbours.

    Args:
        evidence: (frames, pitches) from `pitch_evidence`.
        lowest: The MIDI pitch of its first column.
        line: The line in the order played.
        timing: When its notes sound.
    """
    spans = note_bodies(timing.onsets, timing.ends(line), len(evidence))
    columns = line.pitches - lowest
    own = np.array([evidence[a:b, column].mean() for (a, b), column in zip(spans, columns, strict=True)])
    typical = max(float(np.median(own)), LEAST_CLARITY)
    heard = np.clip(own / typical, 0, 1)
    count = len(line.visits)
    notes = np.bincount(line.bars, minlength=count)
    sums = np.bincount(line.bars, heard, minlength=count)
    with_notes = np.flatnonzero(notes)
    return np.interp(np.arange(count), with_notes, sums[with_notes] / notes[with_notes])


def _odd(line: Line, timing: Timing, clues: Array, chances: Array, others: Ints) -> list[LineDeparture]:
    """The notes that are not as printed."""
    steps = others - line.pitches
    usual = _overtones(line.pitches, steps, clues[:, OTHERS_EVIDENCE] > 0)
    odd = []
    for note in np.flatnonzero(chances[:, RIGHT] < 0.5):
        what = OTHER if chances[note, OTHER] >= chances[note, MISSING] else MISSING
        sure, bar, time_s = float(chances[note, what]), int(line.bars[note]), float(timing.onsets[note])
        octave = what == OTHER and steps[note] % 12 == 0
        if sure < SURE_ENOUGH[what] or (octave and usual[note] >= OVERTONE_SHARE and sure < CERTAIN):
            continue
        kind: Kind = "missing" if what == MISSING else "octave" if octave else "wrong"
        heard = int(others[note]) if what == OTHER else None
        odd.append(LineDeparture(kind, int(note), bar, heard, time_s, sure))
    return odd


def _overtones(pitches: Ints, steps: Ints, sounds: Flags) -> Array:
    """Of the other notes near in pitch, the share (notes,) above which the same step sounds as well."""
    shares = np.zeros(len(pitches))
    for note, pitch in enumerate(pitches):
        near = np.abs(pitches - pitch) <= NEAR_SEMITONES
        near[note] = False
        shares[note] = (sounds & (steps == steps[note]))[near].mean() if near.any() else 0.0
    return shares


def _added(line: Line, candidates: Extras, chances: Array, odd: list[LineDeparture]) -> list[LineDeparture]:
    """The added notes; none beside a note that is not as printed, which explains what sounds there."""
    aside = {one.note for one in odd}
    rows = zip(candidates.note, candidates.pitch, candidates.begin, chances, strict=True)
    return [
        LineDeparture("added", None, int(line.bars[note]), int(pitch), float(begin * FRAME_S), float(chance))
        for note, pitch, begin, chance in rows
        if chance >= SURE_ENOUGH_ADDED and note not in aside
    ]


def _off_page(line: Line, odd: list[LineDeparture], clear: bool) -> tuple[OffPage, ...]:
    """Runs of bars in most of whose notes something else sounds, or at one interval."""
    count = len(line.visits)
    notes = np.bincount(line.bars, minlength=count)
    away = np.bincount([one.bar for one in odd], minlength=count) if odd else np.zeros(count)
    off = (away >= OFF_PAGE_SHARE * notes) & (notes >= OFF_PAGE_NOTES)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], off, [False]]).astype(int)))
    runs = [
        OffPage(int(first), int(last) - 1, _interval(line, odd, int(first), int(last) - 1))
        for first, last in edges.reshape(-1, 2)
    ]
    return tuple(run for run in runs if clear and (run.last > run.first or run.semitones is not None))


def _interval(line: Line, odd: list[LineDeparture], first: int, last: int) -> int | None:
    """The one interval by which most of the departures in some bars are off, if there is one."""
    within = [one for one in odd if first <= one.bar <= last]
    steps = [
        one.heard - int(line.pitches[one.note])
        for one in within
        if one.heard is not None and one.note is not None
    ]
    if not steps:
        return None
    values, often = np.unique(steps, return_counts=True)
    return int(values[often.argmax()]) if often.max() >= SAME_INTERVAL_SHARE * len(within) else None
