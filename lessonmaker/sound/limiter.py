"""A look-ahead limiter that holds the true peak under a ceiling.

Gain is set from the four times oversampled peaks of each millisecond: the least gain needed within 11 ms either way,
smoothed by a raised cosine 10 ms wide either way, and led from millisecond to millisecond in straight lines. An
average of values that are each low enough is low enough, so the ceiling holds while the gain never moves abruptly.
The gains can be told from the peaks alone, before there is anything to limit.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view

from lessonmaker.sound.loudness import oversampled_peaks

__all__ = ["limit", "limiting_gains", "peaks_by_ms"]

FRAMES_PER_MS = 48
RATE = 1000 * FRAMES_PER_MS
REACH_MS = 10
"""How far ahead and back a peak turns the gain down; a millisecond more is held for the lines between."""

SAFETY_DB = 0.1
"""For what moving the gain may add between the samples."""

BLOCK_MS = 10_000
MARGIN_FRAMES = 256
"""What oversampling must know of either side."""

Samples = npt.NDArray[np.float32]


def peaks_by_ms(samples: Samples) -> Samples:
    """The true peak of each millisecond, between the samples and towards both neighbours included.

    Args:
        samples: Shape (frames, channels) at 48 kHz.

    Returns:
        Magnitudes, shape (milliseconds,); a last millisecond that is not whole counts as one.
    """
    found: list[Samples] = []
    for start in range(0, len(samples), BLOCK_MS * FRAMES_PER_MS):
        stop = min(start + BLOCK_MS * FRAMES_PER_MS, len(samples))
        first = max(0, start - MARGIN_FRAMES)
        after = oversampled_peaks(samples[first : stop + MARGIN_FRAMES], RATE)
        about = np.maximum(after, np.concatenate([after[:1], after[:-1]]))[start - first : stop - first]
        found.append(np.pad(about, (0, -len(about) % FRAMES_PER_MS)).reshape(-1, FRAMES_PER_MS).max(axis=1))
    return np.concatenate(found or [np.zeros(0, np.float32)])


def limiting_gains(peaks: Samples, ceiling_dbtp: float) -> Samples:
    """The limiter's gain in the middle of each millisecond, from the peaks of each.

    Args:
        peaks: Magnitudes, shape (milliseconds,).
        ceiling_dbtp: The highest true peak.

    Returns:
        Factors of at most one, shape (milliseconds,).
    """
    ceiling = np.float32(10 ** ((ceiling_dbtp - SAFETY_DB) / 20))
    if float(peaks.max(initial=0.0)) <= ceiling:
        return np.ones(len(peaks), np.float32)
    needed = ceiling / np.maximum(peaks, ceiling)
    about = np.pad(needed, REACH_MS + 1, mode="edge")
    least = sliding_window_view(about, 2 * (REACH_MS + 1) + 1).min(axis=1)
    window = np.hanning(2 * REACH_MS + 3)[1:-1]
    held = np.pad(least, REACH_MS, mode="edge")
    return np.convolve(held, window / window.sum(), mode="valid").astype(np.float32)


def limit(samples: Samples, gains: Samples) -> None:
    """Turn samples down, in place.

    Args:
        samples: Shape (frames, channels) at 48 kHz.
        gains: The gain in the middle of each of their milliseconds.
    """
    middles = np.arange(len(gains)) * FRAMES_PER_MS + (FRAMES_PER_MS - 1) / 2
    for start in range(0, len(gains), BLOCK_MS):
        if float(gains[max(start - 1, 0) : start + BLOCK_MS + 1].min()) < 1:
            first = start * FRAMES_PER_MS
            last = min(first + BLOCK_MS * FRAMES_PER_MS, len(samples))
            curve = np.interp(np.arange(first, last), middles, gains)
            samples[first:last] *= curve.astype(np.float32)[:, None]
