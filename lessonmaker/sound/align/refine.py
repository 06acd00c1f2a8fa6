"""Beat times from a rough path: the same search along one order, finer in time, near what was found."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import FRAME_S
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.pins import Pin
from lessonmaker.sound.align.structure import (
    FASTEST,
    OFF_PAGE,
    SLOWEST,
    SWING_SHARE,
    pieces_of,
    step_at,
    summed,
    tempo_moves,
)

__all__ = ["refine"]

FRAMES_A_TICK = 2
TICK_S = FRAMES_A_TICK * FRAME_S
STEP_S = 0.5
BAND_TICKS = int(0.8 / TICK_S)
TEMPO_STEP = 1.03
TEMPO_SPREAD = 0.05
NEAR = 3
PIN_GAIN = 1000.0
PIN_SPREAD_S = 0.03
IMPOSSIBLE = -1e9

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


def refine(
    evidence: Float, lowest: int, line: Line, beat_times: Array, pins: Sequence[Pin] = ()
) -> tuple[Array, float]:
    """Beat times within 0.8 s of the given ones, and the evidence they gather.

    Args:
        evidence: (frames, pitches) from `pitch_evidence`.
        lowest: The MIDI pitch of its first column.
        line: The line in the order played.
        beat_times: (beats + 1,) seconds.
        pins: Places of the line that sound at known times.
    """
    sums = summed(evidence, FRAMES_A_TICK)
    edges = _edges(line, beat_times)
    centres = np.round(beat_times[edges] / TICK_S).astype(np.intp)
    tempi = np.exp(np.arange(np.log(FASTEST), np.log(SLOWEST), np.log(TEMPO_STEP)))
    ticks = _step_ticks(line, edges, beat_times, tempi)
    around = np.arange(-BAND_TICKS, BAND_TICKS + 1)
    moves = tempo_moves(TEMPO_STEP, TEMPO_SPREAD, NEAR)
    neighbours = np.clip(np.arange(len(tempi)) + np.arange(-NEAR, NEAR + 1)[:, None], 0, len(tempi) - 1)
    pieces: list[list[tuple[float, float, int]]] = [[] for _ in ticks]
    for step, begin, end, pitch in pieces_of(line, edges, SWING_SHARE):
        pieces[step].append((begin, end, pitch - lowest))
    held = [(pin.time_s, *step_at(edges, pin.beat)) for pin in pins]
    value = np.zeros((len(tempi), len(around)), np.float32)
    back: list[tuple[npt.NDArray[np.int8], npt.NDArray[np.int16]]] = []
    for step, row in enumerate(ticks):
        starts = centres[step + 1] + around - row[:, None]
        place = starts - centres[step] + BAND_TICKS
        inside = (place >= 0) & (place < len(around))
        place = np.clip(place, 0, len(around) - 1)
        earlier = value[neighbours[:, :, None], place] + (moves[:, None, None] if step else 0)
        back.append((earlier.argmax(axis=0).astype(np.int8), place.astype(np.int16)))
        gains = _step_gains(sums, pieces[step], starts, row)
        for time_s, _, share in (pin for pin in held if pin[1] == step):
            passed_s = (starts + share * row[:, None]) * TICK_S
            gains += PIN_GAIN * np.exp(-0.5 * ((passed_s - time_s) / PIN_SPREAD_S) ** 2)
        value = (np.where(inside, earlier.max(axis=0), IMPOSSIBLE) + gains).astype(np.float32)
    times = _trace(value, back, neighbours) + centres[::-1] - BAND_TICKS
    return np.interp(np.arange(line.beats + 1), edges, times[::-1] * TICK_S), float(value.max())


def _edges(line: Line, beat_times: Array) -> Ints:
    """Steps of about half a second, whole beats: (steps + 1,)."""
    beats = max(1, int(np.ceil(STEP_S / float(np.median(np.diff(beat_times))) - 0.2)))
    return np.append(np.arange(0, max(1e-9, line.beats - beats / 2), beats), line.beats).astype(np.intp)


def _step_ticks(line: Line, edges: Ints, beat_times: Array, tempi: Array) -> Ints:
    """(steps, tempi): the length of each step."""
    quarter_s = float(np.median(np.diff(beat_times) / line.beat_quarters))
    quarters = np.add.reduceat(line.beat_quarters, edges[:-1])
    return np.maximum(1, np.round(quarters[:, None] * quarter_s * tempi / TICK_S)).astype(np.intp)


def _step_gains(sums: Float, pieces: Sequence[tuple[float, float, int]], starts: Ints, ticks: Ints) -> Float:
    """(tempi, band): the evidence a step's notes gather from each start."""
    gains = np.zeros(starts.shape, np.float32)
    last = sums.shape[1] - 1
    for begin, end, column in pieces:
        a, b = (np.round(share * ticks).astype(np.intp)[:, None] for share in (begin, end))
        gains += sums[column][np.clip(starts + b, 0, last)] - sums[column][np.clip(starts + a, 0, last)]
    return np.asarray(np.maximum(gains, OFF_PAGE * FRAMES_A_TICK * ticks[:, None]), np.float32)


def _trace(
    value: Float, back: list[tuple[npt.NDArray[np.int8], npt.NDArray[np.int16]]], neighbours: Ints
) -> Ints:
    """Places in the band at the edges, last first."""
    tempo, place = np.unravel_index(int(value.argmax()), value.shape)
    places = [int(place)]
    for choice, earlier in reversed(back):
        move = choice[tempo, place]
        place, tempo = earlier[tempo, place], neighbours[move, tempo]
        places.append(int(place))
    return np.array(places)
