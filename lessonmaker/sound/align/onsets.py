"""Onset evidence: how much each moment near a note's place looks like its beginning.

Five streams, each read at lags of a tenth of a second either way, weighed by a conditional logit that was
trained for three situations: the pitch changes, the note follows a rest, the pitch is struck again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import LOWEST_PITCH, PITCHES, Features
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.weights import ONSET_LAGS

__all__ = ["OnsetStreams", "Situations", "onset_inputs", "situations"]

CHANGE, AFTER_REST, SAME = 0, 1, 2
REST_BEATS = 0.05
RISE_FRAMES = 2
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
    """

    def __init__(self, features: Features, evidence: Float, lowest: int) -> None:
        change = np.zeros_like(features.attack)
        change[RISE_FRAMES:-RISE_FRAMES] = (
            features.attack[2 * RISE_FRAMES :] - features.attack[: -2 * RISE_FRAMES]
        )
        rising, falling = np.maximum(change, 0), np.minimum(change, 0)
        self.rise: Callable[[int], Float] = lru_cache(maxsize=None)(
            lambda pitch: _on_harmonics(rising, pitch)
        )
        self.fall: Callable[[int], Float] = lru_cache(maxsize=None)(
            lambda pitch: _on_harmonics(falling, pitch)
        )
        self.flux = rising.mean(axis=1)
        self.level = features.level.astype(np.float32)
        self.evidence, self.lowest = evidence, lowest

    def of(self, pitch: int, before: int, kind: int) -> tuple[Float, ...]:
        """The streams, each (frames,), of one note."""
        own = self.evidence[:, pitch - self.lowest]
        earlier = self.evidence[:, before - self.lowest] if kind == CHANGE else self.level
        return own, earlier, self.rise(pitch), self.fall(before), self.flux


def onset_inputs(streams: tuple[Float, ...], frames: Ints) -> Float:
    """The streams at every lag around frames (n,): (n, STREAMS * lags); held at the take's ends."""
    index = np.clip(frames[:, None] + ONSET_LAGS, 0, len(streams[0]) - 1)
    return np.concatenate([stream[index] for stream in streams], axis=1)


def _on_harmonics(change: Float, pitch: int) -> Float:
    """The weighted change (frames,) on a pitch's harmonics."""
    total = np.zeros(len(change), np.float32)
    for above, weight in HARMONICS:
        total += np.float32(weight / 4) * change[:, min(pitch + above - LOWEST_PITCH, PITCHES - 1)]
    return total
