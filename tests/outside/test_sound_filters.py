"""The filters of the loudness and of the limiter against SciPy's."""

import numpy as np
import pytest
from scipy.ndimage import convolve1d, minimum_filter1d
from scipy.signal import sosfilt

from lessonmaker.sound.limiter import limiting_gains
from lessonmaker.sound.loudness import K_WEIGHTING, weighted_power


@pytest.mark.parametrize("channels", [1, 2])
def test_the_weighted_power_is_that_of_scipys_filter(channels):
    """Over a second, so that the filter goes on from block to block; the last millisecond is not whole."""
    samples = np.random.default_rng(1).normal(0, 0.1, (2 * 48_000 + 48 + 7, channels)).astype(np.float32)
    filtered = sosfilt(K_WEIGHTING, samples, axis=0)
    padded = np.pad(filtered, ((0, -len(filtered) % 48), (0, 0))).reshape(-1, 48, channels)
    expected = np.square(padded).mean(axis=1).sum(axis=1) * (2 // channels)
    np.testing.assert_allclose(weighted_power(samples), expected, rtol=1e-6)


def test_the_limiters_gain_is_the_least_about_smoothed():
    peaks = np.abs(np.random.default_rng(2).normal(0, 0.4, 5000)).astype(np.float32)
    needed = np.minimum(10 ** (-1.1 / 20) / peaks, 1)
    window = np.hanning(23)[1:-1]
    least = minimum_filter1d(needed, 23, mode="nearest")
    expected = convolve1d(least, window / window.sum(), mode="nearest")
    np.testing.assert_allclose(limiting_gains(peaks, -1.0), expected, rtol=1e-5)
