"""Where the player left the page: wrong, octave-off, missing and added notes, and whole bars of something else.

Each note of the line is looked at in the middle of its place: how much its own pitch sounds there, which
other pitch sounds most, whether that one begins and stops with the place (a chord, a bass or a room's tail
does not), how the same pitch sounds elsewhere in the take (so that no timbre is blamed), and how loud it is.
A small network weighs these; it was trained to keep silent where it is not sure. Added notes are sought where
the line rests and in the later part of long notes. What scoops, grace notes and vibrato do is over before the
middle of a note or stays near its pitch.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Literal

import numpy as np
import numpy.typing as npt
from scipy.ndimage import uniform_filter1d

from lessonmaker.sound.align.features import FRAME_S, LOWEST_PITCH, PITCHES, Features
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.weights import trained_weights

__all__ = [
    "CLUES",
    "Departures",
    "LineDeparture",
    "OffPage",
    "StrayNetwork",
    "Wide",
    "bar_sureness",
    "clues",
    "departures_of",
    "trained_network",
    "wide_evidence",
]

Kind = Literal["wrong", "octave", "missing", "added"]
Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

CLUES = 21
ADDED_CLUES = 17
RIGHT, OTHER, MISSING = 0, 1, 2
SURE_ENOUGH = {OTHER: 0.6, MISSING: 0.7}
AROUND_SEMITONES = 13
HIGHEST_PITCH = LOWEST_PITCH + PITCHES - 15
BODY = (0.2, 0.85)
SHORTEST_FRAMES = 3
PEAK_FRAMES = 5
NEAR_SEMITONES = 2
FEWEST_NEAR = 4
OFF_PAGE_SHARE = 0.6
OFF_PAGE_NOTES = 3
SAME_INTERVAL_SHARE = 0.6
LEAST_CLARITY = 0.5
LEAST_OWN_S, OWN_SHARE = 0.12, 0.35
SHORTEST_ADDED_FRAMES = 8
ADDED_FLOOR = 1.0
TAIL_S = 0.15


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


@dataclass(frozen=True, eq=False)
class Wide:
    """Pitch evidence (frames, pitches) from `lowest` on, an octave wider than the line to either side."""

    evidence: Float
    lowest: int


@dataclass(frozen=True, eq=False)
class StrayNetwork:
    """`mean` and `deviation` (CLUES,), `hidden` (CLUES, units), `bias` (units,), `out` (units, 3), `rest` (3,)."""

    mean: Float
    deviation: Float
    hidden: Float
    bias: Float
    out: Float
    rest: Float

    def chances(self, clues: Array) -> Array:
        """(notes, CLUES) to the chances (notes, 3) of right, another pitch, missing."""
        units = np.tanh((clues - self.mean) / self.deviation @ self.hidden + self.bias)
        logits = units @ self.out + self.rest
        chances = np.exp(logits - logits.max(axis=1, keepdims=True))
        return np.asarray(chances / chances.sum(axis=1, keepdims=True), np.float64)


@lru_cache(maxsize=1)
def trained_network() -> StrayNetwork:
    """The network the package carries."""
    data = json.loads(files(__package__).joinpath("departures.json").read_text(encoding="utf-8"))
    names = ("mean", "deviation", "hidden", "bias", "out", "rest")
    return StrayNetwork(*(np.array(data[name], np.float32) for name in names))


def departures_of(features: Features, line: Line, timing: Timing) -> Departures:
    """Find where the player left the page.

    Args:
        features: The take's features.
        line: The line in the order played, at the take's transposition.
        timing: When its notes sound.
    """
    wide = wide_evidence(features.whitened, line)
    found, others = clues(wide, features.level, line, timing)
    chances = trained_network().chances(found)
    odd = _odd(line, timing, chances, others)
    runs = _off_page(line, odd, bool(np.median(found[:, 0]) >= LEAST_CLARITY))
    aside = {bar for run in runs for bar in range(run.first, run.last + 1)}
    return Departures(tuple(one for one in odd if one.bar not in aside), runs)


def wide_evidence(whitened: Float, line: Line) -> Wide:
    """Evidence for the pitches of the line and an octave around."""
    lowest = max(LOWEST_PITCH, int(line.pitches.min()) - AROUND_SEMITONES)
    highest = min(HIGHEST_PITCH, int(line.pitches.max()) + AROUND_SEMITONES)
    return Wide(pitch_evidence(whitened, lowest, highest, trained_weights().pitch), lowest)


def clues(wide: Wide, level: Float, line: Line, timing: Timing) -> tuple[Array, Ints]:
    """What the network goes by, (notes, CLUES), and the likeliest other pitch (notes,) of each note."""
    ends = _ends(line, timing)
    spans = _spans(timing.onsets, ends, len(wide.evidence))
    means = np.array([wide.evidence[a:b].mean(axis=0) for a, b in spans], np.float64)
    loud = np.array([level[a:b].mean() for a, b in spans], np.float64)
    columns = line.pitches - wide.lowest
    before, after = _neighbours(means)
    rise, fall = means - before, means - after
    score = means + 0.5 * np.clip(rise, -4, 4) + 0.5 * np.clip(fall, -4, 4)
    rows = np.arange(len(columns))
    score[rows, columns] = -np.inf
    other = score.argmax(axis=1)
    previous, following = np.roll(columns, 1), np.roll(columns, -1)
    previous[0], following[-1] = -1, -1
    own = means[rows, columns]
    held_on = np.where(previous == columns, 0.0, means[rows, np.maximum(previous, 0)])
    found = (
        own,
        means[rows, other],
        rise[rows, other],
        fall[rows, other],
        rise[rows, columns],
        fall[rows, columns],
        own - _typical(line.pitches, own),
        np.full(len(own), np.median(own)),
        _peaks(wide, columns, timing.onsets, ends),
        held_on,
        loud,
        loud - np.median(loud),
        np.log(np.maximum(ends - timing.onsets, FRAME_S)),
        other - columns == 12,
        other - columns == -12,
        other == previous,
        other == following,
        (other + wide.lowest < line.pitches.min()) | (other + wide.lowest > line.pitches.max()),
        *_company(line.pitches, own, other - columns),
        means[rows, other] - np.median(own),
    )
    return np.stack([np.asarray(clue, np.float64) for clue in found], axis=1), other + wide.lowest


@dataclass(frozen=True, eq=False)
class Extras:
    """Candidates for added notes: a row each.

    `note` is the note of the line before it, `pitch` what sounds, `begin` and `end` frames, `clues`
    (candidates, ADDED_CLUES) what the network goes by.
    """

    note: Ints
    pitch: Ints
    begin: Ints
    end: Ints
    clues: Array


def extras(wide: Wide, level: Float, line: Line, timing: Timing) -> Extras:
    """The clearest stretch of another pitch after each note's first part, until the next note."""
    ends = _ends(line, timing)
    spans = _spans(timing.onsets, ends, len(wide.evidence))
    columns = line.pitches - wide.lowest
    own = np.array([wide.evidence[a:b, column].mean() for (a, b), column in zip(spans, columns, strict=True)])
    take = _Take(wide, level, columns, float(np.median(own)), _rest_evidence(wide, timing, ends))
    rows = []
    for note, (onset, end) in enumerate(zip(timing.onsets, ends, strict=True)):
        begin = int((onset + max(LEAST_OWN_S, OWN_SHARE * (end - onset))) / FRAME_S)
        limit = int(timing.onsets[note + 1] / FRAME_S) if note + 1 < len(columns) else int(end / FRAME_S)
        stretch = _clearest(take, note, begin, min(limit, len(wide.evidence)))
        if stretch is not None:
            pitch, first, last = stretch
            rows.append(
                (note, pitch + wide.lowest, first, last, take.clues(note, pitch, first, last, end, limit))
            )
    if not rows:
        none = np.zeros(0, np.intp)
        return Extras(none, none, none, none, np.zeros((0, ADDED_CLUES)))
    notes, pitches, firsts, lasts, found = zip(*rows, strict=True)
    return Extras(*(np.array(column, np.intp) for column in (notes, pitches, firsts, lasts)), np.array(found))


@dataclass(frozen=True, eq=False)
class _Take:
    """What the candidates of a take are judged against."""

    wide: Wide
    level: Float
    columns: Ints
    clarity: float
    rests: float

    def clues(self, note: int, pitch: int, first: int, last: int, end_s: float, limit: int) -> list[float]:
        """One candidate's clues (ADDED_CLUES,)."""
        evidence, own = self.wide.evidence, int(self.columns[note])
        inside, here = evidence[first:last], evidence[first:last, pitch]
        early = evidence[max(0, first - 16) : max(1, first - 5)]
        late = evidence[last + 5 : last + 16, pitch]
        quiet = self.level[max(0, first - 6) : first]
        loud = self.level[first:last]
        following = int(self.columns[note + 1]) if note + 1 < len(self.columns) else own
        recent = self.columns[max(0, note - 3) : note]
        return [
            here.mean(),
            here.mean() - self.clarity,
            np.log((last - first) * FRAME_S),
            here.mean() - early[:, pitch].mean(),
            here.mean() - (late.mean() if len(late) else -4.0),
            inside[:, own].mean(),
            early[:, own].mean(),
            loud.mean(),
            loud.max() - quiet.min() if len(quiet) else 0.0,
            min(1.0, (limit - last) * FRAME_S),
            min(1.0, first * FRAME_S - end_s),
            pitch in recent,
            abs(pitch - own) in (12, 19, 24),
            abs(pitch - own) <= 1,
            abs(pitch - following) <= 2,
            self.rests,
            pitch < self.columns.min() or pitch > self.columns.max(),
        ]


def _rest_evidence(wide: Wide, timing: Timing, ends: Array) -> float:
    """How clearly something is heard in the line's rests: a band plays on in them."""
    heard = [
        wide.evidence[int((end + TAIL_S) / FRAME_S) : int(onset / FRAME_S)].max(axis=1).mean()
        for end, onset in zip(ends[:-1], timing.onsets[1:], strict=True)
        if onset - end > TAIL_S + 0.1
    ]
    return float(np.median(heard)) if heard else 0.0


def _clearest(take: _Take, note: int, begin: int, end: int) -> tuple[int, int, int] | None:
    """The pitch (a column), first and end frame of the stretch that gathers most evidence, if there is one."""
    if end - begin < SHORTEST_ADDED_FRAMES:
        return None
    evidence = uniform_filter1d(take.wide.evidence[begin:end], PEAK_FRAMES, axis=0, mode="nearest")
    evidence[:, take.columns[note]] = np.minimum(evidence[:, take.columns[note]], ADDED_FLOOR)
    over = np.maximum(evidence - ADDED_FLOOR, 0)
    best, found = 0.0, None
    for pitch in np.flatnonzero((over > 0).sum(axis=0) >= SHORTEST_ADDED_FRAMES):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], over[:, pitch] > 0, [0]]))).reshape(-1, 2)
        for first, last in edges:
            total = float(over[first:last, pitch].sum())
            if last - first >= SHORTEST_ADDED_FRAMES and total > best:
                best, found = total, (int(pitch), begin + int(first), begin + int(last))
    return found


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
    spans = _spans(timing.onsets, _ends(line, timing), len(evidence))
    columns = line.pitches - lowest
    own = np.array([evidence[a:b, column].mean() for (a, b), column in zip(spans, columns, strict=True)])
    typical = max(float(np.median(own)), LEAST_CLARITY)
    heard = np.clip(own / typical, 0, 1)
    count = len(line.visits)
    notes = np.bincount(line.bars, minlength=count)
    sums = np.bincount(line.bars, heard, minlength=count)
    with_notes = np.flatnonzero(notes)
    return np.interp(np.arange(count), with_notes, sums[with_notes] / notes[with_notes])


def _ends(line: Line, timing: Timing) -> Array:
    """Where each note stops or the next one begins (notes,)."""
    held = timing.onsets + timing.at(line.ends) - timing.at(line.onsets)
    return np.asarray(np.minimum(np.append(timing.onsets[1:], np.inf), held))


def _spans(onsets: Array, ends: Array, frames: int) -> Ints:
    """First frame and the one after the last (notes, 2) of the middle of each note; some frames at least."""
    lengths = np.maximum(ends - onsets, FRAME_S)
    first, last = (np.round((onsets + share * lengths) / FRAME_S) for share in BODY)
    first = np.clip(first, 0, frames - SHORTEST_FRAMES)
    last = np.clip(np.maximum(last, first + SHORTEST_FRAMES), SHORTEST_FRAMES, frames)
    return np.stack([first, last], axis=1).astype(np.intp)


def _neighbours(means: Array) -> tuple[Array, Array]:
    """The rows before and after; at the ends the row of nothing heard."""
    nothing = np.full((1, means.shape[1]), means.min())
    return np.concatenate([nothing, means[:-1]]), np.concatenate([means[1:], nothing])


def _typical(pitches: Ints, own: Array) -> Array:
    """The median evidence (notes,) of notes that are near in pitch; of all, where few are."""
    by_pitch = {}
    for pitch in np.unique(pitches):
        near = np.abs(pitches - pitch) <= NEAR_SEMITONES
        by_pitch[pitch] = np.median(own[near] if near.sum() >= FEWEST_NEAR else own)
    return np.array([by_pitch[pitch] for pitch in pitches])


def _company(pitches: Ints, own: Array, steps: Ints) -> tuple[Array, Array]:
    """How other notes of nearly the same pitch fare: own evidence above theirs, share with the same step.

    An instrument whose overtone outsings a tone does so each time.
    """
    above, same = np.zeros(len(own)), np.zeros(len(own))
    for note, pitch in enumerate(pitches):
        near = np.abs(pitches - pitch) <= 1
        near[note] = False
        if near.any():
            above[note] = own[note] - np.median(own[near])
            same[note] = (steps[near] == steps[note]).sum() / (near.sum() + 1)
    return above, same


def _peaks(wide: Wide, columns: Ints, onsets: Array, ends: Array) -> Array:
    """The most evidence (notes,) that each note's pitch has for a moment anywhere in its place."""
    peaks = []
    for column, onset, end in zip(columns, onsets, ends, strict=True):
        first = int(np.clip(onset / FRAME_S, 0, len(wide.evidence) - PEAK_FRAMES))
        last = max(first + PEAK_FRAMES, int(end / FRAME_S))
        peaks.append(uniform_filter1d(wide.evidence[first:last, column], PEAK_FRAMES, mode="nearest").max())
    return np.array(peaks)


def _odd(line: Line, timing: Timing, chances: Array, others: Ints) -> list[LineDeparture]:
    """The notes that are not as printed."""
    odd = []
    for note in np.flatnonzero(chances[:, RIGHT] < 0.5):
        what = OTHER if chances[note, OTHER] >= chances[note, MISSING] else MISSING
        if chances[note, what] < SURE_ENOUGH[what]:
            continue
        heard = int(others[note]) if what == OTHER else None
        kind: Kind = "missing"
        if heard is not None:
            kind = "octave" if (heard - int(line.pitches[note])) % 12 == 0 else "wrong"
        odd.append(
            LineDeparture(
                kind,
                int(note),
                int(line.bars[note]),
                heard,
                float(timing.onsets[note]),
                float(chances[note, what]),
            )
        )
    return odd


def _off_page(line: Line, odd: list[LineDeparture], clear: bool) -> tuple[OffPage, ...]:
    """Runs of bars in most of whose notes something else sounds."""
    count = len(line.visits)
    notes = np.bincount(line.bars, minlength=count)
    away = np.bincount([one.bar for one in odd], minlength=count) if odd else np.zeros(count)
    off = (away >= OFF_PAGE_SHARE * notes) & (notes >= OFF_PAGE_NOTES)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], off, [False]]).astype(int)))
    runs = [(int(first), int(last) - 1) for first, last in edges.reshape(-1, 2)] if clear else []
    return tuple(OffPage(first, last, _interval(line, odd, first, last)) for first, last in runs)


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
