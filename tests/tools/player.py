"""A player with habits: when the notes of a score sound in a performance, and as what MIDI.

Time drifts, eighths swing, the player lags behind the beat by a smoothly changing amount, notes stray, some
are dropped, ghosted, scooped or slurred to without an attack, some have a grace note before them. The
benchmark's player; the one that the aligner's weights are trained on is another (performed_takes.py).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

import numpy as np

from lessonmaker.score.model import Score, Visit
from tests.tools.take_sound import BEND_SEMITONES, Track

__all__ = [
    "HARD",
    "PLAIN",
    "Clock",
    "Curve",
    "Habits",
    "Sounded",
    "add_graces",
    "play_notes",
    "slow_curve",
    "slurs",
    "solo_track",
    "swung",
]

SHORTEST_S = 0.03
GLIDE_S = 0.012
SCOOP_S, SCOOP_SHARE = 0.08, 0.8  # a scoop is over before the next note is slurred to
SLUR_REACH, SLUR_NOTES = 5, 4
VIBRATO_HZ, VIBRATO_AFTER_S = 5.3, 0.25
Curve = Callable[[float], float]


@dataclass(frozen=True)
class Habits:
    """How loosely is played: shares of notes, seconds, cents.

    `drift` is how far the tempo strays at most, as a share, over `drift_s` seconds; `jitter_s` a standard
    deviation.
    """

    jitter_s: float
    drift: float
    drift_s: tuple[float, float]
    lag_s: tuple[float, float]
    dropped: float
    graced: float
    ghosted: float
    scooped: float
    slurred: float
    cents: float
    grace_s: tuple[float, float] = (0.06, 0.1)


PLAIN = Habits(0.014, 0.08, (12, 60), (0.01, 0.04), 0.05, 0.05, 0.08, 0.1, 0.5, 20)
HARD = Habits(0.025, 0.14, (7, 35), (0.01, 0.045), 0.1, 0.1, 0.1, 0.15, 0.6, 38)


@dataclass(frozen=True)
class Sounded:
    """A note as played: an index into Score.struck (None for a grace note) and the time round of its bar."""

    index: int | None
    bar: int
    visit: int
    pitch: int
    onset_s: float
    end_s: float
    velocity: float


class Clock:
    """Quarters from the start of what is played (any sign) to seconds, along a tempo that drifts."""

    STEPS = 8
    LEAD_QUARTERS = 16

    def __init__(
        self, rng: np.random.Generator, tempo: float, quarters: float, start_s: float, habits: Habits
    ) -> None:
        self.places = np.arange(-self.LEAD_QUARTERS, quarters + 8, 1 / self.STEPS)
        steps_s = np.full(len(self.places), 60 / tempo / self.STEPS)
        drift = slow_curve(rng, 1.3 * steps_s.sum(), (-habits.drift, habits.drift), habits.drift_s)
        times = np.append(0, np.cumsum(steps_s))[:-1]
        seconds = np.append(0, np.cumsum(steps_s * (1 + np.array([drift(time) for time in times]))))[:-1]
        zero = self.LEAD_QUARTERS * self.STEPS
        self.seconds = seconds - seconds[zero] + start_s

    def __call__(self, place: float) -> float:
        return float(np.interp(place, self.places, self.seconds))


def slow_curve(
    rng: np.random.Generator, seconds: float, limits: tuple[float, float], periods_s: tuple[float, float]
) -> Curve:
    """A slow random function of time that touches both limits."""
    times = np.arange(0, seconds + 5, 0.1)
    waves = zip(rng.uniform(*periods_s, 4), rng.uniform(0, 2 * np.pi, 4), strict=True)
    curve = np.sum([np.sin(2 * np.pi * times / period + phase) for period, phase in waves], axis=0)
    curve = limits[0] + (limits[1] - limits[0]) * (curve - curve.min()) / np.ptp(curve)
    return lambda time_s: float(np.interp(time_s, times, curve))


def swung(place: Fraction, even: bool, share: float) -> float:
    """A place in quarters, its off-beat moved so that the first eighth has this share of the beat."""
    if even:
        return float(place)
    whole = place.numerator // place.denominator
    return whole + float(np.interp(float(place - whole), [0, 0.5, 1], [0, share, 1]))


def play_notes(
    rng: np.random.Generator,
    score: Score,
    order: Sequence[Visit],
    at: Callable[[Fraction, bool], float],
    habits: Habits,
    pitch_in: Callable[[int, int], int],
) -> list[Sounded]:
    """The struck notes of the bars in the order given, as played, in the order of time.

    Args:
        at: (quarters from the start of what is played, is even) to seconds, the player's lag included.
        pitch_in: (slot in the order, printed sounding pitch) to the pitch that is played.
    """
    notes = []
    for slot, visit in enumerate(order):
        bar = score.bars[visit.bar]
        for index, note in enumerate(score.struck):
            if note.bar != visit.bar or rng.random() < habits.dropped:
                continue
            place = visit.start - order[0].start + note.onset - bar.start
            onset_s = at(place, note.in_tuplet) + float(rng.normal(0, habits.jitter_s))
            end_s = at(place + note.held, note.in_tuplet)
            ghosted = rng.random() < habits.ghosted
            velocity = rng.uniform(35, 55) if ghosted else rng.normal(88, 9)
            pitch = pitch_in(slot, note.sounding.midi)
            notes.append(Sounded(index, visit.bar, visit.number, pitch, onset_s, end_s, float(velocity)))
    return parted(sorted(notes, key=lambda note: note.onset_s))


def parted(notes: list[Sounded]) -> list[Sounded]:
    """The same notes, each begun a moment after the one before, which stops by then."""
    for number in range(1, len(notes)):
        earliest = notes[number - 1].onset_s + SHORTEST_S
        notes[number] = replace(notes[number], onset_s=max(notes[number].onset_s, earliest))
    following = [note.onset_s for note in notes[1:]] + [np.inf]
    return [
        replace(note, end_s=float(min(max(note.end_s, note.onset_s + 2 * SHORTEST_S), limit)))
        for note, limit in zip(notes, following, strict=True)
    ]


def add_graces(rng: np.random.Generator, notes: Sequence[Sounded], habits: Habits) -> list[Sounded]:
    """The notes with grace notes before some of them, where there is room."""
    out: list[Sounded] = []
    for note in notes:
        onset_s = note.onset_s - float(rng.uniform(*habits.grace_s))
        free = not out or out[-1].onset_s + SHORTEST_S < onset_s
        if rng.random() < habits.graced and free and onset_s > 0:
            if out:
                out[-1] = replace(out[-1], end_s=min(out[-1].end_s, onset_s))
            pitch = note.pitch + int(rng.choice([-2, -1, 1, 2]))
            out.append(
                Sounded(None, note.bar, note.visit, pitch, onset_s, note.onset_s, 0.75 * note.velocity)
            )
        out.append(note)
    return out


def slurs(rng: np.random.Generator, notes: Sequence[Sounded], habits: Habits) -> list[list[Sounded]]:
    """The notes in runs, each played on one attack; a grace note is slurred into its note."""
    runs: list[list[Sounded]] = []
    for note in notes:
        run = runs[-1] if runs else []
        near = (
            run
            and len(run) < SLUR_NOTES
            and 0 < abs(note.pitch - run[0].pitch) <= SLUR_REACH
            and note.pitch != run[-1].pitch
            and note.onset_s - run[-1].end_s < 0.06
        )
        if near and (run[-1].index is None or rng.random() < habits.slurred):
            run.append(note)
        else:
            runs.append([note])
    return runs


def solo_track(
    rng: np.random.Generator, notes: Sequence[Sounded], program: int, cents: float, habits: Habits
) -> Track:
    """The player as MIDI; notes slurred to are bends of the pitch, without an attack."""
    track = Track()
    track.add(0, "program_change", program=program)
    for control, value in ((101, 0), (100, 0), (6, BEND_SEMITONES), (38, 0)):
        track.add(0, "control_change", control=control, value=value)
    runs = slurs(rng, notes, habits)
    limits = [run[0].onset_s - 0.004 for run in runs[1:]] + [np.inf]
    for run, limit in zip(runs, limits, strict=True):
        _play_run(rng, track, run, float(limit), cents / 100, habits)
    return track


def _play_run(
    rng: np.random.Generator,
    track: Track,
    run: Sequence[Sounded],
    limit_s: float,
    tuning: float,
    habits: Habits,
) -> None:
    base, last = run[0].pitch, run[-1]
    share = rng.uniform(0.82, 1.0) if last.end_s - last.onset_s < 0.4 else rng.uniform(0.9, 1.0)
    end_s = max(min(last.onset_s + share * (last.end_s - last.onset_s), limit_s), run[0].onset_s + SHORTEST_S)
    if rng.random() < habits.scooped:
        room_s = run[1].onset_s - run[0].onset_s if len(run) > 1 else np.inf
        _glide(
            track, run[0].onset_s, tuning - rng.uniform(0.5, 1.0), tuning, min(SCOOP_S, SCOOP_SHARE * room_s)
        )
    else:
        track.bend(run[0].onset_s - 0.001, tuning)
    track.note(run[0].onset_s, end_s, base, run[0].velocity)
    for before, note in pairwise(run):
        _glide(track, note.onset_s, before.pitch - base + tuning, note.pitch - base + tuning, GLIDE_S)
    if end_s - last.onset_s > 0.45:
        depth, centre = rng.uniform(0.08, 0.25), last.pitch - base + tuning
        for time_s in np.arange(last.onset_s + VIBRATO_AFTER_S, end_s - 0.03, 0.02):
            phase = 2 * np.pi * VIBRATO_HZ * (time_s - last.onset_s)
            track.bend(float(time_s), centre + depth * float(np.sin(phase)))


def _glide(track: Track, start_s: float, low: float, high: float, seconds: float) -> None:
    for share in np.linspace(0, 1, 5):
        track.bend(start_s + share * seconds, low + share * (high - low))
