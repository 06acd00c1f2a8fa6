"""Loudness and true peak: the measures of ITU-R BS.1770-4 and EBU R 128.

Loudness is measured by FFmpeg's meter (its `ebur128` filter, reached through PyAV) in LUFS: integrated with both
gates, and short-term over 3 s. What is measured in parts and judged as a whole is measured here: the power of each
millisecond at 48 kHz (`weighted_power`), of which the gated loudness of any parts together is made (`gated_lufs`).
Its filters are FFmpeg's too (`biquad`): to import SciPy's takes a worker a second.
True peak is measured by oversampling, four times at 48 kHz, in dBTP. A mono signal is measured as it will be heard:
the same in both channels.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import reduce

import av
import numpy as np
import numpy.typing as npt
import soxr

from lessonmaker.sound.model import Audio, Sound

__all__ = [
    "LOUDNESS_STEP_S",
    "Meter",
    "gated_lufs",
    "integrated_lufs",
    "oversampled_peaks",
    "short_term_lufs",
    "stereo",
    "true_peak_dbtp",
    "weighted_power",
]

LOUDNESS_STEP_S = 0.1
SHORT_TERM_S = 3.0
SHORTEST_S = 0.4
"""One gating block: nothing shorter has an integrated loudness."""

SILENCE_LUFS = -70.0
"""The absolute gate: what the meter shows when nothing has passed it."""

OVERSAMPLING = 4
BLOCK_FRAMES = 48_000

FRAMES_PER_MS = 48
WEIGHTED_RATE = 1000 * FRAMES_PER_MS
K_WEIGHTING = np.array(
    [
        [1.53512485958697, -2.69169618940638, 1.19839281085285, 1.0, -1.69065929318241, 0.73248077421585],
        [1.0, -2.0, 1.0, 1.0, -1.99004745483398, 0.99007225036621],
    ]
)
"""The two filters of ITU-R BS.1770-4, tables 1 and 2, for 48 kHz: a row has b0, b1, b2, a0, a1, a2."""

FULL_SCALE_LUFS = -0.691
"""The loudness of a weighted power of one (ITU-R BS.1770-4, annex 1)."""

GATING_STEP_MS, GATING_BLOCK_STEPS, RELATIVE_GATE_LU = 100, 4, 10.0

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


def integrated_lufs(audio: Sound) -> float | None:
    """Integrated loudness in LUFS; None for silence or less than 0.4 s."""
    meter = Meter(audio.rate)
    meter.feed(audio.samples)
    return meter.integrated


def short_term_lufs(audio: Audio) -> npt.NDArray[np.float64]:
    """Short-term loudness in LUFS over the 3 s that end at 3.0, 3.1, 3.2 ... seconds."""
    meter = Meter(audio.rate)
    meter.feed(audio.samples)
    return meter.short_term


def weighted_power(samples: Samples) -> Samples:
    """The K-weighted power of each millisecond, both channels together.

    Args:
        samples: Shape (frames, 1) or (frames, 2) at 48 kHz.

    Returns:
        Mean squares, shape (milliseconds,); a last millisecond that is not whole is filled up with silence.
    """
    found: list[Samples] = []
    for block in _k_weighted(samples):
        padded = np.pad(block, ((0, -len(block) % FRAMES_PER_MS), (0, 0))).reshape(
            -1, FRAMES_PER_MS * block.shape[1]
        )
        found.append(np.einsum("ij,ij->i", padded, padded).astype(np.float32))
    heard_in = 2 // samples.shape[1]
    return np.concatenate(found or [np.zeros(0, np.float32)]) * np.float32(heard_in / FRAMES_PER_MS)


def _k_weighted(samples: Samples) -> Iterator[npt.NDArray[np.float64]]:
    """Samples (frames, channels) at 48 kHz, weighted, a block at a time."""
    layout = "mono" if samples.shape[1] == 1 else "stereo"
    graph = av.filter.Graph()
    source = graph.add_abuffer(
        sample_rate=WEIGHTED_RATE, format="dblp", layout=layout, time_base=Fraction(1, WEIGHTED_RATE)
    )
    filters = [graph.add("biquad", _biquad(row)) for row in K_WEIGHTING]
    graph.link_nodes(source, *filters, graph.add("abuffersink")).configure()
    for start in range(0, len(samples), BLOCK_FRAMES):
        block = np.ascontiguousarray(samples[start : start + BLOCK_FRAMES].T, np.float64)
        frame = av.AudioFrame.from_ndarray(block, format="dblp", layout=layout)
        frame.sample_rate, frame.pts = WEIGHTED_RATE, start
        graph.push(frame)
        weighted = graph.pull()
        assert isinstance(weighted, av.AudioFrame)
        yield np.asarray(weighted.to_ndarray().T, np.float64)


def _biquad(row: npt.NDArray[np.float64]) -> str:
    """A filter as FFmpeg is told it."""
    coefficients = zip(("b0", "b1", "b2", "a0", "a1", "a2"), row.tolist(), strict=True)
    return ":".join(f"{name}={value!r}" for name, value in coefficients) + ":transform=tdii:precision=f64"


def gated_lufs(parts: Sequence[Samples]) -> float | None:
    """The integrated loudness of several parts together, with both gates (ITU-R BS.1770-4, annex 1).

    Args:
        parts: The weighted power of each millisecond, a part each; no block is measured across two parts.

    Returns:
        LUFS; None where nothing is loud or long enough to have one.
    """
    blocks = np.concatenate([np.zeros(0), *map(_gating_blocks, parts)])
    kept = blocks[blocks > _lufs_to_power(SILENCE_LUFS)]
    if not len(kept):
        return None
    gate = _power_to_lufs(float(kept.mean())) - RELATIVE_GATE_LU
    return _power_to_lufs(float(kept[kept > _lufs_to_power(gate)].mean()))


def _gating_blocks(power: Samples) -> npt.NDArray[np.float64]:
    """The power of each whole block of 400 ms, one every 100 ms."""
    whole = power[: len(power) // GATING_STEP_MS * GATING_STEP_MS].astype(np.float64)
    steps = whole.reshape(-1, GATING_STEP_MS).mean(axis=1)
    if len(steps) < GATING_BLOCK_STEPS:
        return np.zeros(0)
    return np.convolve(steps, np.full(GATING_BLOCK_STEPS, 1 / GATING_BLOCK_STEPS), mode="valid")


def _power_to_lufs(power: float) -> float:
    return FULL_SCALE_LUFS + 10 * math.log10(power)


def _lufs_to_power(lufs: float) -> float:
    return float(10 ** ((lufs - FULL_SCALE_LUFS) / 10))


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
