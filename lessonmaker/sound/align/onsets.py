"""Onset evidence: how much each moment near a note's place looks like its beginning.

Nine streams, each read at lags of a tenth of a second either way, weighed by a small network (one hidden
layer beside a direct path) that was trained for three situations: the pitch changes, the note follows a
rest, the pitch is struck again. An ornament before a note has an attack too; what tells it from the note is
the evidence of short windows for the pitches around the note's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import LOWEST_PITCH, PITCHES, Features, short_whitened
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.weights import ONSET_LAGS, OnsetNetwork

__all__ = ["OnsetStreams", "Situations", "onset_inputs", "onset_logits", "situations"]

CHANGE, AFTER_REST, SAME = 0, 1, 2
REST_BEATS = 0.05
RISE_FRAMES = 2
AROUND = (-2, -1, 1, 2)
HARMONICS = ((0, 0.7), (12, 1.0), (19, 1.0), (24, 1.0), (28, 1.0), (31, 0.8), (34, 0.6), (36, 0.5))

Float = npt.NDArray[np.float32]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Situations:
    """For each note of a line: its situation, and the pitch that sounded before (its own if none)."""

    kind: Ints
    before: Ints


def situations(line: Line) -> Situations:
    """What comes before each note."""
    before = np.concatenate([line.pitches[:1], line.pitches[:-1]])
    gap = line.onsets - np.concatenate([[-1.0], line.ends[:-1]])
    kind = np.where(gap > REST_BEATS, AFTER_REST, np.where(before == line.pitches, SAME, CHANGE))
    return Situations(kind.astype(np.intp), np.where(kind == CHANGE, before, line.pitches))


class OnsetStreams:
    """The streams of a take, made once a pitch.

    Args:
        features: The take's features.
        evidence: (frames, pitches) from `pitch_evidence`.
        lowest: The MIDI pitch of its first column.
        short_pitch: The weights for pitch evidence from short windows.
    """

    def __init__(self, features: Features, evidence: Float, lowest: int, short_pitch: Float) -> None:
        highest = lowest + evidence.shape[1] - 1
        attack = features.attack
        self.rise: Callable[[int], Float] = lru_cache(maxsize=None)(
            lambda pitch: _on_harmonics(attack, pitch, np.maximum)
        )
        self.fall: Callable[[int], Float] = lru_cache(maxsize=None)(
            lambda pitch: _on_harmonics(attack, pitch, np.minimum)
        )
        self.flux = _flux(attack)
        self.level = features.level.astype(np.float32)
        self.evidence, self.lowest = evidence, lowest
        blocks = short_whitened(features.attack)
        self.short = np.concatenate([pitch_evidence(block, lowest, highest, short_pitch) for block in blocks])

    def of(self, pitch: int, before: int) -> tuple[Float, ...]:
        """The streams, each (frames,), of one note."""
        own, earlier = pitch - self.lowest, before - self.lowest
        around = [
            column
            for step in AROUND
            if 0 <= (column := own + step) < self.short.shape[1] and column != earlier
        ]
        return (
            self.evidence[:, own],
            self.evidence[:, earlier],
            self.level,
            self.rise(pitch),
            self.fall(before),
            self.flux,
            self.short[:, own],
            self.short[:, earlier],
            self.short[:, around].max(axis=1),
        )


def onset_inputs(streams: tuple[Float, ...], frames: Ints) -> Float:
    """The streams at every lag around frames (n,): (n, STREAMS * lags); held at the take's ends."""
    index = np.clip(frames[:, None] + ONSET_LAGS, 0, len(streams[0]) - 1)
    return np.concatenate([stream[index] for stream in streams], axis=1)


def onset_logits(inputs: Float, kind: int, network: OnsetNetwork) -> Float:
    """How much each frame looks like the beginning: inputs (n, STREAMS * lags) to (n,)."""
    hidden = np.tanh(inputs @ network.hidden + network.bias[kind])
    return np.asarray(hidden @ network.out + inputs @ network.direct[kind], np.float32)


def _change(level: Float) -> Float:
    """How much a level (frames,) changes about each frame."""
    change = np.zeros_like(level)
    change[RISE_FRAMES:-RISE_FRAMES] = level[2 * RISE_FRAMES :] - level[: -2 * RISE_FRAMES]
    return change


def _flux(attack: Float) -> Float:
    """The mean rise (frames,) of all pitches."""
    total = np.zeros(len(attack), np.float32)
    for column in attack.T:
        total += np.maximum(_change(column), 0)
    return total / np.float32(attack.shape[1])


def _on_harmonics(attack: Float, pitch: int, limit: np.ufunc) -> Float:
    """The weighted change (frames,) on a pitch's harmonics, limited to rises or falls."""
    total = np.zeros(len(attack), np.float32)
    for above, weight in HARMONICS:
        column = attack[:, min(pitch + above - LOWEST_PITCH, PITCHES - 1)]
        total += np.float32(weight / 4) * limit(_change(column), 0)
    return total
