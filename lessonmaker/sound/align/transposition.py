"""How far from the score's pitches a take sounds: pitch pairs in the take against those of the score."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import FRAME_S, GLANCE_FRAMES
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.pitch import pitch_evidence

__all__ = ["rank_transpositions"]

LOWEST, HIGHEST = 36, 100
SURE = 0.3
TOUCHING_BEATS = 0.05

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]


def rank_transpositions(
    glanced: Float, weights: Float, line: Line, quarter_s: float, shifts: Iterable[int]
) -> list[tuple[float, int]]:
    """(likeness 0 to 1, semitones), the likeliest transposition of the line first.

    Pitches half a quarter apart in the take are compared with those that follow each other in the line
    (cosine of the roots of their counts), for every shift. `glanced` is every fourth frame, as from `glance`.
    """
    heard = _pairs_heard(glanced, weights, quarter_s)
    printed = _pairs_printed(line)
    return sorted(((_likeness(heard, printed, shift), shift) for shift in shifts), reverse=True)


def _pairs_heard(glanced: Float, weights: Float, quarter_s: float) -> Array:
    """(pitches, pitches): root weight of each pitch followed by each other."""
    chance = np.exp(pitch_evidence(glanced, LOWEST, HIGHEST, weights))
    chance /= chance.sum(axis=1, keepdims=True)
    chance *= chance > SURE
    lag = max(1, round(quarter_s / 2 / (GLANCE_FRAMES * FRAME_S)))
    pairs = (chance[:-lag].T @ chance[lag:]).astype(float)
    np.fill_diagonal(pairs, 0)
    return np.asarray(np.sqrt(pairs))


def _pairs_printed(line: Line) -> list[tuple[int, int]]:
    """Neighbours in the line that touch and differ."""
    touch = line.onsets[1:] - line.ends[:-1] < TOUCHING_BEATS
    pairs = zip(line.pitches[:-1][touch], line.pitches[1:][touch], strict=True)
    return [(int(a), int(b)) for a, b in pairs if a != b]


def _likeness(heard: Array, printed: list[tuple[int, int]], shift: int) -> float:
    counts = np.zeros_like(heard)
    size = len(heard)
    for pair in printed:
        a, b = (pitch + shift - LOWEST for pitch in pair)
        if 0 <= a < size and 0 <= b < size:
            counts[a, b] += 1
    root = np.sqrt(counts)
    return float((root * heard).sum() / (np.linalg.norm(root) * np.linalg.norm(heard) + 1e-9))
