"""A humanised performance of a demo etude: when each note sounds, how long, how loud and how it is begun.

Times are in seconds from the start of the recording, beats in quarters. Everything is drawn from one seeded
generator, so that the same seed always plays the same. Swing falls as the tempo rises, and soloists lay back
on the beat while their off-beats stay with the ride cymbal (Friberg and Sundström 2002, "Swing ratios and
ensemble timing in jazz performance", figures from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from random import Random

import numpy as np
from etude_text import Bar, Etude, Event, bars_played, midi_of

__all__ = ["Feel", "Grid", "Performance", "Played", "PlayedBar", "Symbols", "perform", "swing_ratio"]

DRIFT_SHARE = 0.035
DRIFT_PERIODS_S = (14.0, 50.0)
LAG_S = (0.010, 0.034)
JITTER_S = 0.007
GHOST_CHANCE = 0.09
SHORTEST_S = 0.06
Symbols = list[tuple[float, str, str, str | None]]


@dataclass(frozen=True)
class Feel:
    """How an etude is played: swung or straight, alone or with a band, which beats are counted, when."""

    swings: bool
    alone: bool
    count_in: tuple[float, ...]
    silence_s: float


@dataclass(frozen=True)
class Played:
    """One note as played; `index` counts printed struck notes from 0, `time_round` the bar's visits."""

    index: int
    bar: int
    time_round: int
    beat: Fraction
    midi: int
    onset_s: float
    end_s: float
    velocity: int
    ghosted: bool


@dataclass(frozen=True)
class PlayedBar:
    """One bar as played; `time_s` is where a listener hears it: the band's beat, or a lone player's."""

    bar: int
    time_round: int
    time_s: float


@dataclass
class Performance:
    """A whole take's events, before they sound."""

    notes: list[Played]
    bars: list[PlayedBar]
    symbols: Symbols
    grid: Grid
    count_beats: list[float]
    ratio: float
    end_beat: float


def swing_ratio(tempo: float) -> float:
    """Long to short eighth of a ride cymbal: beyond 2 at slow tempos, 1 at 300 a minute (from memory)."""
    return float(np.interp(tempo, [100, 120, 200, 300], [2.9, 2.5, 1.7, 1.0]))


def slow_curve(rng: Random, duration_s: float, low: float, high: float) -> Callable[[float], float]:
    """A slow random function of time that stays within [low, high]."""
    times = np.arange(0, duration_s, 0.05)
    waves = [(rng.uniform(*DRIFT_PERIODS_S), rng.uniform(0, 2 * np.pi)) for _ in range(3)]
    curve = np.sum([np.sin(2 * np.pi * times / period + phase) for period, phase in waves], axis=0)
    curve = (curve - curve.min()) / np.ptp(curve)
    return lambda time_s: float(np.interp(time_s, times, low + (high - low) * curve))


class Grid:
    """Beats to seconds, along a tempo that drifts; beat 0 is the first full bar's first beat."""

    STEPS = 8

    def __init__(
        self, rng: Random, tempo: float, first_beat: float, last_beat: float, start_s: float
    ) -> None:
        self.beats = np.arange(first_beat, last_beat + 8, 1 / self.STEPS)
        drift = slow_curve(rng, len(self.beats) / self.STEPS * 60 / tempo * 1.3, -DRIFT_SHARE, DRIFT_SHARE)
        seconds = [start_s]
        for _ in self.beats[1:]:
            step_s = 60 / tempo / self.STEPS
            seconds.append(seconds[-1] + step_s * (1 + drift(seconds[-1])))
        self.seconds = np.array(seconds)

    def __call__(self, beat: float) -> float:
        return float(np.interp(beat, self.beats, self.seconds))

    def beat_at(self, time_s: float) -> float:
        """The beat at a time."""
        return float(np.interp(time_s, self.seconds, self.beats))


def swung(beat: float, ratio: float) -> float:
    """A straight beat position moved to where unequal eighths put it."""
    whole, part = divmod(beat, 1.0)
    long = ratio / (1 + ratio)
    return whole + float(np.interp(part, [0, 0.5, 1], [0, long, 1]))


def visits(etude: Etude) -> Iterator[tuple[int, Bar, float]]:
    """(visit of this bar from 1, bar, start beat) in playing order; a pickup starts before beat 0."""
    seen: dict[int, int] = {}
    start = -float(etude.bars[0].length) if etude.bars[0].number == 0 else 0.0
    for _, bar in bars_played(etude):
        seen[bar.number] = seen.get(bar.number, 0) + 1
        yield seen[bar.number], bar, start
        start += float(bar.length)


def struck_notes(etude: Etude) -> dict[tuple[int, int], tuple[int, Fraction]]:
    """(bar number, event index) of every struck note -> (its index, its length with what is tied on)."""
    struck: dict[tuple[int, int], tuple[int, Fraction]] = {}
    places = [
        (bar.number, i, event) for bar in etude.bars for i, event in enumerate(bar.events) if event.step
    ]
    head: tuple[int, int] | None = None
    for number, i, event in places:
        if head is None:
            head = (number, i)
            struck[head] = (len(struck), event.length)
        else:
            struck[head] = (struck[head][0], struck[head][1] + event.length)
        head = head if event.tie else None
    return struck


def perform(etude: Etude, feel: Feel, rng: Random) -> Performance:
    """Play an etude: every printed note once a visit, with a count-in before it."""
    tempo = float(etude.header["tempo"])
    order = list(visits(etude))
    end_beat = order[-1][2] + float(order[-1][1].length)
    grid = Grid(rng, tempo, min(feel.count_in), end_beat, feel.silence_s)
    ratio = swing_ratio(tempo) if feel.swings else 1.0
    lag = slow_curve(rng, grid(end_beat) + 5, *LAG_S)
    player = _Player(etude, grid, ratio, rng, lag)
    notes = [note for visit in order for note in player.bar(*visit)]
    starts = [grid(at) + (lag(grid(at)) if feel.alone else 0) for _, _, at in order]
    bars = [PlayedBar(bar.number, n, start_s) for (n, bar, _), start_s in zip(order, starts, strict=True)]
    symbols = [(at + float(s.at), s.root, s.suffix, s.bass) for _, bar, at in order for s in bar.symbols]
    return Performance(_parted(notes), bars, symbols, grid, list(feel.count_in), ratio, end_beat)


@dataclass
class _Player:
    etude: Etude
    grid: Grid
    ratio: float
    rng: Random
    lag: Callable[[float], float]

    def __post_init__(self) -> None:
        self.struck = struck_notes(self.etude)

    def bar(self, time_round: int, bar: Bar, start: float) -> Iterator[Played]:
        """The struck notes of one bar."""
        for i, event in enumerate(bar.events):
            if (bar.number, i) in self.struck:
                index, held = self.struck[bar.number, i]
                yield self._note(index, held, time_round, bar, event, start)

    def _note(
        self, index: int, held: Fraction, time_round: int, bar: Bar, event: Event, start: float
    ) -> Played:
        beat = start + float(event.at)
        triplet = event.token.endswith("t")
        onset_s = self._time(beat, triplet) + self.rng.gauss(0, JITTER_S)
        end_s = self._time(beat + float(held), triplet)
        ghosted = event.token == "8" and event.at.denominator == 2 and self.rng.random() < GHOST_CHANCE
        printed_beat = event.at + 1 + (0 if bar.number else self.etude.metre[0] - bar.length)
        return Played(
            index,
            bar.number,
            time_round,
            printed_beat,
            midi_of(event),
            onset_s,
            end_s,
            self._velocity(event, ghosted),
            ghosted,
        )

    def _time(self, beat: float, triplet: bool) -> float:
        time_s = self.grid(beat if triplet else swung(beat, self.ratio))
        share = 1.0 if self.ratio == 1.0 or beat % 1 == 0 else 0.35
        return time_s + share * self.lag(time_s)

    def _velocity(self, event: Event, ghosted: bool) -> int:
        if ghosted:
            return round(self.rng.uniform(42, 54))
        height = (midi_of(event) - 69) * 0.6
        push = 6 if event.at.denominator == 2 else 0
        return round(min(max(self.rng.gauss(86, 5) + height + push, 60), 118))


def _parted(notes: list[Played]) -> list[Played]:
    """The same notes, none begun before the one before it has sounded for a moment."""
    for before, after in pairwise(notes):
        if after.onset_s < before.onset_s + SHORTEST_S:
            raise ValueError(f"bar {after.bar}: note {after.index} comes too soon after the one before")
    return notes
