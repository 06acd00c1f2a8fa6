"""Loudness and true peak: the measures of ITU-R BS.1770-4 and EBU R 128.

Loudness is measured by FFmpeg's meter (its `ebur128` filter, reached through PyAV) in LUFS: integrated with both
gates, and short-term over 3 s. True peak is measured by oversampling, four times at 48 kHz, in dBTP. A mono
signal is measured as it will be heard: the same in both channels.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import reduce

import av
import numpy as np
import numpy.typing as npt
import soxr

from lessonmaker.sound.model import Audio

__all__ = [
    "LOUDNESS_STEP_S",
    "Meter",
    "integrated_lufs",
    "oversampled_peaks",
    "short_term_lufs",
    "true_peak_dbtp",
]

LOUDNESS_STEP_S = 0.1
SHORT_TERM_S = 3.0
SHORTEST_S = 0.4
"""One gating block: nothing shorter has an integrated loudness."""

SILENCE_LUFS = -70.0
"""The absolute gate: what the meter shows when nothing has passed it."""

OVERSAMPLING = 4
BLOCK_FRAMES = 48_000

Samples = npt.NDArray[np.float32]


def stereo(samples: Samples) -> Samples:
    """Samples as (frames, 2): mono in both channels."""
    if samples.ndim == 1:
        return np.stack([samples, samples], axis=1)
    return np.repeat(samples, 2, axis=1) if samples.shape[1] == 1 else samples


class Meter:
    """Measures a programme as it passes: feed it blocks in order, then ask."""

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._frames = 0
        self._integrated = -math.inf
        self._short_term: list[float] = []
        self._graph = av.filter.Graph()
        self._source = self._graph.add_abuffer(
            sample_rate=rate, format="fltp", layout="stereo", time_base=Fraction(1, rate)
        )
        meter = self._graph.add("ebur128", "metadata=1:framelog=quiet")
        self._sink = self._graph.add("abuffersink")
        self._source.link_to(meter)
        meter.link_to(self._sink)
        self._graph.configure()

    def feed(self, samples: Samples) -> None:
        """Measure on. Samples (frames,) or (frames, 2), float32."""
        for start in range(0, len(samples), BLOCK_FRAMES):
            block = stereo(samples[start : start + BLOCK_FRAMES])
            frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(block.T), format="fltp", layout="stereo")
            frame.sample_rate = self._rate
            frame.pts = self._frames
            self._frames += len(block)
            self._source.push(frame)
            self._drain()

    def _drain(self) -> None:
        while True:
            try:
                frame = self._sink.pull()
            except (av.error.BlockingIOError, av.error.EOFError):
                return
            self._integrated = float(frame.metadata["lavfi.r128.I"])
            self._short_term.append(float(frame.metadata["lavfi.r128.S"]))

    @property
    def integrated(self) -> float | None:
        """Integrated loudness in LUFS; None where nothing was loud or long enough to have one."""
        heard = self._frames >= SHORTEST_S * self._rate and self._integrated > SILENCE_LUFS
        return self._integrated if heard else None

    @property
    def short_term(self) -> npt.NDArray[np.float64]:
        """Short-term loudness in LUFS over the 3 s that end at 3.0, 3.1, 3.2 ... seconds."""
        return np.array(self._short_term[round(SHORT_TERM_S / LOUDNESS_STEP_S) - 1 :])


def integrated_lufs(audio: Audio) -> float | None:
    """Integrated loudness in LUFS; None for silence or less than 0.4 s."""
    meter = Meter(audio.rate)
    meter.feed(audio.samples)
    return meter.integrated


def short_term_lufs(audio: Audio) -> npt.NDArray[np.float64]:
    """Short-term loudness in LUFS over the 3 s that end at 3.0, 3.1, 3.2 ... seconds."""
    meter = Meter(audio.rate)
    meter.feed(audio.samples)
    return meter.short_term


def oversampled_peaks(samples: Samples, rate: int) -> Samples:
    """The largest magnitude in any channel from each frame to the next, between the samples included.

    Args:
        samples: Shape (frames,) or (frames, channels).
        rate: Their rate in Hz.

    Returns:
        Magnitudes, shape (frames,).
    """
    fine = np.abs(soxr.resample(samples, rate, rate * OVERSAMPLING))
    loudest = fine if fine.ndim == 1 else reduce(np.maximum, fine.T)
    between = (loudest[first::OVERSAMPLING] for first in range(OVERSAMPLING))
    return np.asarray(reduce(np.maximum, between), np.float32)


def true_peak_dbtp(audio: Audio) -> float:
    """True peak in dBTP (ITU-R BS.1770-4, annex 2); minus infinity for digital silence."""
    margin = 256
    peak = 0.0
    for start in range(0, len(audio.samples), BLOCK_FRAMES * 10):
        first = max(0, start - margin)
        block = audio.samples[first : start + BLOCK_FRAMES * 10 + margin]
        peak = max(peak, float(oversampled_peaks(block, audio.rate).max(initial=0.0)))
    return 20 * math.log10(peak) if peak else -math.inf
