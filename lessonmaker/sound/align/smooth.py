"""From onset evidence and a rough beat curve to note times, a smooth beat curve and the swing.

Rounds of: the posterior of each onset under a Gaussian about the curve, which narrows; weighted least
squares of the beat times, with a penalty on how much the beat's length changes; the swing share anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.linalg import solveh_banded

from lessonmaker.sound.align.features import FRAME_S
from lessonmaker.sound.align.line import Line, swung
from lessonmaker.sound.align.onsets import OnsetStreams, Situations, onset_inputs, onset_logits
from lessonmaker.sound.align.pins import Pin
from lessonmaker.sound.align.structure import SWING_SHARE
from lessonmaker.sound.align.weights import OnsetNetwork

__all__ = ["Timing", "place_onsets"]

PLAYING_SPREAD_S = 0.018
WIDTHS_S = (0.06, 0.05, 0.04, 0.03, 0.025, 0.02, *(PLAYING_SPREAD_S,) * 3)
HALF_WINDOW = 36
LENGTH_CHANGE = 0.06
LENGTH_CHANGE_S = 0.001
HOLD = 1e-3
PIN_SPREAD_S = 0.001
SAME_PLACE_BEATS = 1e-3
SWING_LIMITS = (0.48, 0.72)
FEWEST_OFFBEATS = 8

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Timing:
    """`onsets` and their `variance` (notes,), `beat_times` (beats + 1,), `share` of a beat's first half."""

    onsets: Array
    variance: Array
    beat_times: Array
    share: float

    def at(self, places: Array) -> Array:
        """The times of places in beats that are not swung."""
        return np.interp(places, np.arange(len(self.beat_times)), self.beat_times)

    def ends(self, line: Line) -> Array:
        """Where each note of the line (notes,) stops or the next begins."""
        held = self.onsets + self.at(line.ends) - self.at(line.onsets)
        return np.asarray(np.minimum(held, np.append(self.onsets[1:], np.inf)))


def place_onsets(
    streams: OnsetStreams,
    line: Line,
    around: Situations,
    beat_times: Array,
    network: OnsetNetwork,
    pins: Sequence[Pin] = (),
) -> Timing:
    """The times of a line's notes.

    Args:
        streams: The take's onset streams.
        line: The line in the order played.
        around: The notes' situations.
        beat_times: (beats + 1,) from `refine`.
        network: What weighs the streams.
        pins: Places that sound at known times.
    """
    share = SWING_SHARE if _offbeats(line).sum() >= FEWEST_OFFBEATS else 0.5
    beat, within = _beats_of(line, share)
    times, logits = _evidence(streams, line, around, _curve(beat_times, beat, within), network)
    stiffness = _stiffness(line, beat_times)
    for width in WIDTHS_S:
        expected = _curve(beat_times, beat, within)
        onsets, variance = _posterior(times, logits, expected, width)
        trust = np.minimum(1, 2 * width / np.maximum(np.abs(onsets - expected), 1e-6))
        weight = trust / (PLAYING_SPREAD_S**2 + variance)
        onsets = _pinned(line, onsets, pins)
        beat_times = _fitted(line, beat_times, within, onsets, weight, stiffness, _swung_pins(pins, share))
        share = _swing_share(line, beat_times, onsets, weight, share)
        beat, within = _beats_of(line, share)
    return Timing(onsets, variance, beat_times, share)


def _beats_of(line: Line, share: float) -> tuple[Ints, Array]:
    """The beat each note falls in and its place within it as played."""
    beat = np.minimum(np.floor(line.onsets + 1e-6).astype(np.intp), line.beats - 1)
    return beat, swung(line.onsets, line.straight, share) - beat


def _curve(beat_times: Array, beat: Ints, within: Array) -> Array:
    return np.asarray(beat_times[beat] * (1 - within) + beat_times[beat + 1] * within)


def _evidence(
    streams: OnsetStreams, line: Line, around: Situations, expected: Array, network: OnsetNetwork
) -> tuple[Array, Array]:
    """Candidate times and their logits, both (notes, 2 HALF_WINDOW + 1)."""
    frames = np.round(expected / FRAME_S).astype(np.intp)[:, None] + np.arange(-HALF_WINDOW, HALF_WINDOW + 1)
    logits = [
        onset_logits(onset_inputs(streams.of(int(pitch), int(before)), row), int(kind), network)
        for pitch, before, kind, row in zip(line.pitches, around.before, around.kind, frames, strict=True)
    ]
    return np.asarray(frames * FRAME_S, np.float64), np.array(logits, np.float64)


def _posterior(times: Array, logits: Array, expected: Array, width: float) -> tuple[Array, Array]:
    """Mean and variance (notes,) of the onsets under a Gaussian about the expected times."""
    total = logits - 0.5 * ((times - expected[:, None]) / width) ** 2
    chance = np.exp(total - total.max(axis=1, keepdims=True))
    chance /= chance.sum(axis=1, keepdims=True)
    mean = (chance * times).sum(axis=1)
    return np.asarray(mean), np.asarray((chance * (times - mean[:, None]) ** 2).sum(axis=1))


def _stiffness(line: Line, beat_times: Array) -> Array:
    """The weight (beats - 1,) of each change of the quarter's length: less for slow and for long beats."""
    quarter_s = float(np.median(np.diff(beat_times) / line.beat_quarters))
    spread = LENGTH_CHANGE * quarter_s**2 + LENGTH_CHANGE_S
    apart = (line.beat_quarters[1:] + line.beat_quarters[:-1]) / 2
    return np.asarray(1 / (apart * spread**2))


def _pinned(line: Line, onsets: Array, pins: Sequence[Pin]) -> Array:
    """The onsets with those of pinned places at their times."""
    onsets = onsets.copy()
    for pin in pins:
        onsets[np.abs(line.onsets - pin.beat) < SAME_PLACE_BEATS] = pin.time_s
    return onsets


def _swung_pins(pins: Sequence[Pin], share: float) -> tuple[Array, Array]:
    """Places in beats as played, and their times."""
    places = np.array([pin.beat for pin in pins])
    straight = np.zeros(len(pins), np.bool_)
    return swung(places, straight, share), np.array([pin.time_s for pin in pins])


def _fitted(
    line: Line,
    beat_times: Array,
    within: Array,
    onsets: Array,
    weight: Array,
    stiffness: Array,
    pins: tuple[Array, Array],
) -> Array:
    """Weighted least squares: notes and pins against the curve, and changes of the quarter's length."""
    beat, _ = _beats_of(line, 0.5)
    pinned = np.minimum(np.floor(pins[0] + 1e-6).astype(np.intp), line.beats - 1)
    beat = np.append(beat, pinned)
    within, onsets = np.append(within, pins[0] - pinned), np.append(onsets, pins[1])
    weight = np.append(weight, np.full(len(pinned), 1 / PIN_SPREAD_S**2))
    bands = np.zeros((3, len(beat_times)))
    right = HOLD * beat_times
    bands[2] += HOLD
    np.add.at(bands[2], beat, weight * (1 - within) ** 2)
    np.add.at(bands[2], beat + 1, weight * within**2)
    np.add.at(bands[1], beat + 1, weight * within * (1 - within))
    np.add.at(right, beat, weight * (1 - within) * onsets)
    np.add.at(right, beat + 1, weight * within * onsets)
    _add_length_changes(bands, 1 / line.beat_quarters, stiffness)
    return np.asarray(solveh_banded(bands, right))


def _add_length_changes(bands: Array, per_beat: Array, stiffness: Array) -> None:
    """Add stiffness * (change of the quarter's length)^2 to upper-form bands (3, beats + 1), in place.

    With lengths l the change at beat time k is (t[k+1] - t[k]) / l[k] - (t[k] - t[k-1]) / l[k-1].
    """
    places = np.arange(len(stiffness)) + np.arange(3)[:, None]
    before, after = per_beat[:-1], per_beat[1:]
    factors = (before, -before - after, after)
    for row in range(3):
        for column in range(row, 3):
            np.add.at(bands[2 - column + row], places[column], stiffness * factors[row] * factors[column])


def _offbeats(line: Line) -> npt.NDArray[np.bool_]:
    """Which notes (notes,) are second eighths that may swing."""
    within = line.onsets - np.floor(line.onsets + 1e-6)
    return np.asarray(~line.straight & (np.abs(within - 0.5) < 0.01))


def _swing_share(line: Line, beat_times: Array, onsets: Array, weight: Array, share: float) -> float:
    """The share of the beat before its second eighth, from the off-beat eighths."""
    offbeat = _offbeats(line)
    if offbeat.sum() < FEWEST_OFFBEATS:
        return share
    beat, _ = _beats_of(line, share)
    begin, length = beat_times[beat[offbeat]], np.diff(beat_times)[beat[offbeat]]
    trust = weight[offbeat] * length**2
    place = (onsets[offbeat] - begin) / length
    return float(np.clip((trust * place).sum() / trust.sum(), *SWING_LIMITS))
