"""Pauses: where a recording is quiet, and where it can be cut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

__all__ = ["FRAME_S", "loudness_db", "pieces", "quietest"]

FRAME_S = 0.01
SHORTEST_PIECE_S = 8.0
LONGEST_PIECE_S = 20.0
PAUSE_S = 0.3
SILENCE_DB = -120.0

Samples = npt.NDArray[np.float32]
Levels = npt.NDArray[np.float32]


def loudness_db(samples: Samples, rate: int) -> Levels:
    """The level of each 10 ms in dB against full scale, (frames,); a last one that is not whole is left out."""
    frame = round(FRAME_S * rate)
    whole = samples[: len(samples) // frame * frame].reshape(-1, frame)
    power = np.einsum("ij,ij->i", whole, whole) / frame
    return np.asarray(10 * np.log10(np.maximum(power, 10 ** (SILENCE_DB / 10))), np.float32)


def pieces(samples: Samples, rate: int) -> Iterator[tuple[int, int]]:
    """Cut a recording in pauses where it is quietest into pieces of 8 to 20 s, given in samples."""
    levels = loudness_db(samples, rate)
    frame = round(FRAME_S * rate)
    start = 0
    while (len(levels) - start) * FRAME_S > LONGEST_PIECE_S:
        first, last = (start + round(edge / FRAME_S) for edge in (SHORTEST_PIECE_S, LONGEST_PIECE_S))
        cut = first + quietest(levels[first:last])
        yield start * frame, cut * frame
        start = cut
    if start * frame < len(samples):
        yield start * frame, len(samples)


def quietest(levels: Levels, seconds: float = PAUSE_S) -> int:
    """The middle of the quietest stretch that lasts so long, as an index into the levels."""
    length = max(1, min(round(seconds / FRAME_S), len(levels)))
    means = np.convolve(levels, np.full(length, 1 / length), "valid")
    return int(np.argmin(means)) + length // 2
