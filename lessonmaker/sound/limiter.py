"""A look-ahead limiter that holds the true peak under a ceiling.

Gain is set from the four times oversampled peaks: the least gain needed within 10 ms either way, smoothed by a
raised cosine of the same width. An average of values that are each low enough is low enough, so the ceiling holds
while the gain never moves abruptly. A block needs `MARGIN_FRAMES` of what lies on either side.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.ndimage import minimum_filter1d
from scipy.signal import oaconvolve

from lessonmaker.sound.loudness import oversampled_peaks

__all__ = ["MARGIN_FRAMES", "limited"]

REACH_FRAMES = 480
"""10 ms at 48 kHz: how far ahead and back a peak turns the gain down."""

MARGIN_FRAMES = 2 * REACH_FRAMES + 256
SAFETY_DB = 0.1
"""For what moving the gain may add between the samples."""

Samples = npt.NDArray[np.float32]


def limited(samples: Samples, rate: int, ceiling_dbtp: float) -> Samples:
    """The samples with their true peak at the ceiling or below.

    Args:
        samples: Shape (frames, channels).
        rate: Their rate in Hz.
        ceiling_dbtp: The highest true peak.
    """
    ceiling = np.float32(10 ** ((ceiling_dbtp - SAFETY_DB) / 20))
    if len(samples) == 0 or float(np.abs(samples).max()) < ceiling / 4:
        return samples
    needed = np.minimum(1.0, ceiling / np.maximum(_peaks_about(samples, rate), 1e-9)).astype(np.float32)
    least = minimum_filter1d(needed, 2 * REACH_FRAMES + 1, mode="nearest")
    if float(least.min()) == 1.0:
        return samples
    return np.asarray(samples * _smoothed(least)[:, None], np.float32)


def _smoothed(gain: Samples) -> Samples:
    """The gain averaged over a raised cosine, its ends held on."""
    window = np.hanning(2 * REACH_FRAMES + 3)[1:-1].astype(np.float32)
    held = np.pad(gain, REACH_FRAMES, mode="edge")
    return np.asarray(oaconvolve(held, window / window.sum(), mode="valid"), np.float32)


def _peaks_about(samples: Samples, rate: int) -> Samples:
    """The peak between each frame and its neighbours on both sides."""
    after = oversampled_peaks(samples, rate)
    return np.asarray(np.maximum(after, np.concatenate([after[:1], after[:-1]])), np.float32)
