"""Small scores and takes of them, made of plain tones: no SoundFont, a second of work."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Bar, Clef, Key, Note, Score, Visit
from lessonmaker.sound.model import Audio
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

RATE = 22050
LETTERS = "CCDEEFFGAABB"
ALTERATIONS = (0, 1, 0, -1, 0, 0, 1, 0, -1, 0, -1, 0)

Samples = npt.NDArray[np.float32]


def random_score(
    seed: int,
    metres: Sequence[Metre],
    order: Sequence[tuple[int, int]] = (),
    tempo: float | None = 132.0,
    pickup: bool = False,
) -> Score:
    """A random line in eighths, quarters and triplets, one bar a metre.

    `order` lists (bar index, time round) where it is not straight through; `pickup` cuts the first bar to
    its last quarter.
    """
    rng = np.random.default_rng(seed)
    bars = _bars(metres, pickup)
    notes, midi = [], 62
    for bar in bars:
        onset = bar.start
        while onset < bar.end:
            lengths = _cell(rng, bar.end - onset, bar.metre)
            for length in lengths:
                midi = int(np.clip(midi + rng.choice([-5, -3, -2, -1, 1, 2, 3, 4]), 55, 79))
                pitch = Pitch(LETTERS[midi % 12], ALTERATIONS[midi % 12], midi // 12 - 1)
                tuplet = length.denominator % 3 == 0
                if rng.random() < 0.9:
                    notes.append(
                        Note(
                            f"n{len(notes)}", bar.index, onset, length, length, pitch, pitch, in_tuplet=tuplet
                        )
                    )
                onset += length
    visits = _visits(bars, order or [(bar.index, 1) for bar in bars])
    return Score("Tones", "", "", bars, tuple(notes), (), visits, Interval(0, 0), Clef("G", 2), tempo, "")


def _bars(metres: Sequence[Metre], pickup: bool) -> tuple[Bar, ...]:
    start, bars = Fraction(-1 if pickup else 0), []
    for index, metre in enumerate(metres):
        length = Fraction(1) if pickup and index == 0 else metre.bar_quarters
        number = str(index if pickup else index + 1)
        bars.append(Bar(index, f"m{index}", number, start, length, metre, Key(0)))
        start += length
    return tuple(bars)


def _cell(rng: np.random.Generator, room: Fraction, metre: Metre) -> list[Fraction]:
    """One beat's lengths in quarters, no longer than the room left."""
    eighth = Fraction(1, 2)
    if metre.unit == 8:
        return [eighth] if rng.random() < 0.8 or room < 1 else [Fraction(1)]
    triplet = [Fraction(1, 3)] * 3
    cells = [[eighth, eighth], [Fraction(1)], triplet, [Fraction(2)]]
    cell = cells[rng.choice(4, p=[0.6, 0.2, 0.1, 0.1])]
    return cell if sum(cell) <= room else [room]


def _visits(bars: Sequence[Bar], order: Sequence[tuple[int, int]]) -> tuple[Visit, ...]:
    start, visits = bars[0].start, []
    for index, number in order:
        visits.append(Visit(index, number, start))
        start += bars[index].length
    return tuple(visits)


def in_order(score: Score, order: Sequence[tuple[int, int]]) -> Score:
    """The same bars in another playing order."""
    return replace(score, order=_visits(score.bars, order))


def play(
    score: Score,
    quarter_s: float = 0.45,
    start_s: float = 2.0,
    semitones: float = 0.0,
    swing_share: float = 0.5,
    seed: int = 0,
) -> tuple[Audio, dict[tuple[str, int], float], dict[tuple[int, int], float]]:
    """A take of the score's own order, and when its notes (id, visit) and bars (index, visit) start.

    The tempo breathes by five per cent, each onset strays by 8 ms (standard deviation), and a low noise
    lies under everything.
    """
    rng = np.random.default_rng(seed)
    last = score.order[-1]
    quarters = last.start + score.bars[last.bar].length - score.order[0].start
    clock = _clock(quarter_s, float(quarters), start_s)
    sound = rng.normal(0, 0.001, int((clock(float(quarters)) + 1.5) * RATE)).astype(np.float32)
    notes, bars = {}, {}
    for visit in score.order:
        bar = score.bars[visit.bar]
        offset = visit.start - score.order[0].start
        bars[bar.index, visit.number] = clock(float(offset))
        for note in (note for note in score.struck if note.bar == bar.index):
            onset, end = (
                clock(_swung(offset + place - bar.start, note.in_tuplet, swing_share))
                for place in (note.onset, note.onset + note.held)
            )
            onset += rng.normal(0, 0.008)
            notes[note.id, visit.number] = onset
            _add_tone(sound, onset, end - onset, note.sounding.midi + semitones)
    return Audio(sound, RATE), notes, bars


def add_clicks(audio: Audio, times_s: Sequence[float]) -> Audio:
    """Count-in clicks laid over a take."""
    sound = audio.samples.copy()
    time_s = np.arange(int(0.03 * audio.rate)) / audio.rate
    click = (0.25 * np.sin(2 * np.pi * 1100 * time_s) * np.exp(-time_s * 160)).astype(np.float32)
    for start_s in times_s:
        begin = int(start_s * audio.rate)
        sound[begin : begin + len(click)] += click
    return Audio(sound, audio.rate)


def _clock(quarter_s: float, quarters: float, start_s: float) -> Callable[[float], float]:
    places = np.arange(0, quarters + 2, 0.25)
    lengths = quarter_s * (1 + 0.05 * np.sin(2 * np.pi * places / 37))
    times = start_s + np.append(0, np.cumsum(lengths[:-1] * 0.25))
    return lambda place: float(np.interp(place, places, times))


def _swung(place: Fraction, tuplet: bool, share: float) -> float:
    whole = place.numerator // place.denominator
    within = float(place - whole)
    return float(place) if tuplet else whole + float(np.interp(within, [0, 0.5, 1], [0, share, 1]))


def _add_tone(sound: Samples, onset_s: float, length_s: float, midi: float) -> None:
    """A tone of eight harmonics with a 10 ms attack and a 30 ms release, added in place."""
    time_s = np.arange(int(length_s * RATE)) / RATE
    frequency = 440 * 2 ** ((midi - 69) / 12)
    tone = sum(np.sin(2 * np.pi * frequency * k * time_s) / k**1.2 for k in range(1, 9))
    shape = np.minimum(1, time_s / 0.01) * np.minimum(1, (length_s - time_s) / 0.03)
    begin = int(onset_s * RATE)
    sound[begin : begin + len(time_s)] += (0.08 * tone * shape).astype(np.float32)
