"""Passages played at another pitch than printed: found where the line as printed is not heard.

Runs of bars in which the printed pitches have no evidence are tried at every transposition within `FARTHEST`
semitones, each with the beat times refined anew between the bars before and after; one that is heard well, and
far better than any other, is how the passage was played.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import FRAME_S, Features
from lessonmaker.sound.align.line import Line, follow
from lessonmaker.sound.align.pins import Pin
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.reading import Reading
from lessonmaker.sound.align.refine import refine
from lessonmaker.sound.align.structure import summed
from lessonmaker.sound.align.weights import trained_weights

__all__ = ["read_again"]

FARTHEST = 7
OFF = 0.0
HEARD_AGAIN = 0.5
SECOND_AT_MOST = 0.6
FEWEST_NOTES = 5
EDGE_S = 1.0

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]


def read_again(
    reading: Reading, played: Line, beat_times: Array, pins: Sequence[Pin]
) -> tuple[Reading, Line, Array, Mapping[int, int]]:
    """The reading, the line and its beat times with moved passages at their pitch; which bars, by semitones.

    Args:
        reading: The take as it was read.
        played: The line in the order played, as printed.
        beat_times: (beats + 1,) from `refine`.
        pins: Places that sound at known times.
    """
    weights = trained_weights().pitch
    by_bar = _bar_evidence(reading.evidence, reading.lowest, played, beat_times)
    found = _moved_bars(reading.heard, weights, played, beat_times, by_bar)
    if not found:
        return reading, played, beat_times, {}
    moved = {bar: semitones for bar, (semitones, _) in found.items()}
    steps = np.array([moved.get(int(bar), 0) for bar in played.bars])
    played = replace(played, pitches=played.pitches + steps)
    times = beat_times.copy()
    for bar, (_, again) in found.items():
        times[played.bar_beats[bar] : played.bar_beats[bar + 1] + 1] = again
    times = np.maximum.accumulate(times)
    lowest = reading.lowest - FARTHEST
    highest = reading.lowest + reading.evidence.shape[1] - 1 + FARTHEST
    evidence = pitch_evidence(reading.heard.whitened, lowest, highest, weights)
    times, _ = refine(evidence, lowest, played, times, pins)
    return replace(reading, evidence=evidence, lowest=lowest), played, times, moved


def _bar_evidence(evidence: Float, lowest: int, played: Line, beat_times: Array) -> Array:
    """The mean evidence a frame (bars,) that the notes of each bar find at their places; NaN where it has none.

    Args:
        evidence: (frames, pitches) from `pitch_evidence`.
        lowest: The MIDI pitch of its first column.
        played: The line as played.
        beat_times: (beats + 1,) seconds.
    """
    sums = summed(evidence, 1)
    ends = np.minimum(played.ends, np.append(played.onsets[1:], played.beats))
    places = np.interp([played.onsets, ends], np.arange(played.beats + 1), beat_times)
    first, last = np.clip(np.round(places / FRAME_S).astype(np.intp), 0, len(evidence))
    columns = played.pitches - lowest
    total = np.bincount(played.bars, sums[columns, last] - sums[columns, first], len(played.visits))
    frames = np.bincount(played.bars, last - first, len(played.visits))
    return np.where(frames > 0, total / np.maximum(frames, 1), np.nan)


def _moved_bars(
    heard: Features, weights: Float, played: Line, beat_times: Array, by_bar: Array
) -> dict[int, tuple[int, Array]]:
    """For each bar played at another pitch: by how many semitones, and its beat times (beats of the bar + 1,).

    Args:
        heard: The take's features.
        weights: For pitch evidence.
        played: The line as played.
        beat_times: (beats + 1,) seconds.
        by_bar: (bars,) from `_bar_evidence`.
    """
    usual = float(np.nanmedian(by_bar[by_bar > OFF])) if (by_bar > OFF).any() else 0.0
    found: dict[int, tuple[int, Array]] = {}
    for first, last in _runs_off(by_bar):
        passage, begin = follow(played, range(first, last)), int(played.bar_beats[first])
        times = beat_times[begin : begin + passage.beats + 1]
        if usual > 0 and len(passage.pitches) >= FEWEST_NOTES:
            best = _reread(heard, weights, passage, times, usual)
            if best:
                semitones, again = best
                for bar in range(first, last):
                    edges = played.bar_beats[[bar, bar + 1]] - begin
                    found[bar] = (semitones, again[edges[0] : edges[1] + 1])
    return found


def _runs_off(by_bar: Array) -> Iterator[tuple[int, int]]:
    """First bar and end of each run of bars without evidence; bars of rests within a run go with it."""
    off = [bool(value < OFF) or bool(np.isnan(value)) for value in by_bar]
    for is_off, group in groupby(range(len(off)), key=off.__getitem__):
        run = [bar for bar in group if not np.isnan(by_bar[bar])] if is_off else []
        if run:
            yield run[0], run[-1] + 1


def _reread(
    heard: Features, weights: Float, passage: Line, times: Array, usual: float
) -> tuple[int, Array] | None:
    """The transposition that is heard, with its beat times; None where none stands out."""
    first = max(0, int((times[0] - EDGE_S) / FRAME_S))
    whitened = heard.whitened[first : int((times[-1] + EDGE_S) / FRAME_S)]
    lowest, highest = int(passage.pitches.min()) - FARTHEST, int(passage.pitches.max()) + FARTHEST
    evidence = pitch_evidence(whitened, lowest, highest, weights)
    even = np.interp(np.arange(passage.beats + 1), [0, passage.beats], times[[0, -1]]) - first * FRAME_S
    tries = []
    for semitones in range(-FARTHEST, FARTHEST + 1):
        moved = passage.transposed(semitones)
        again, _ = refine(evidence, lowest, moved, even)
        score = float(np.nanmean(_bar_evidence(evidence, lowest, moved, again)))
        tries.append((score, semitones, again + first * FRAME_S))
    tries.sort(key=lambda one: one[0], reverse=True)
    (score, semitones, again), second = tries[0], tries[1][0]
    clear = score > HEARD_AGAIN * usual and second < SECOND_AT_MOST * score
    return (semitones, again) if clear and semitones else None
