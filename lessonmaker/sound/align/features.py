"""Spectral features of a take, a semitone and a hundredth of a second at a time.

Frames are `FRAME_S` apart and centred on their time; columns are semitones, MIDI `LOWEST_PITCH` upwards.
Three windows serve three ends: 186 ms tells low pitches apart, 93 ms high ones, 46 ms finds onsets.
Spectra are made a block of frames at a time, so memory holds the features and little else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
import scipy.fft
import soxr
from numpy.lib.stride_tricks import sliding_window_view
from scipy.ndimage import uniform_filter1d

from lessonmaker.sound.model import Audio

__all__ = [
    "FRAME_S",
    "GLANCE_FRAMES",
    "LOWEST_PITCH",
    "PITCHES",
    "RATE",
    "Features",
    "best_tuning",
    "features",
    "glance",
    "samples_of",
    "short_whitened",
]

RATE = 22050
HOP = 220
FRAME_S = HOP / RATE
LOWEST_PITCH = 34
PITCHES = 91
SPLIT_PITCH = 78
BLOCK = 512
GLANCE_FRAMES = 4
NEIGHBOUR_SEMITONES = 0.2
LOG_FLOOR = 1e-3
ONSET_LOG_FLOOR = 2e-3
WHITENING_SEMITONES = 13
TUNINGS = np.arange(-45, 46, 5) / 100

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.floating]


@dataclass(frozen=True, eq=False)
class Features:
    """`whitened` (frames, PITCHES), `level` (frames,) in nepers below the take's loud part.

    `tuning` is in semitones above A = 440 Hz, `samples` (n,) is the take at `RATE`.
    """

    whitened: Float
    level: Float
    tuning: float
    samples: Float

    @cached_property
    def attack(self) -> Float:
        """Log magnitudes (frames, PITCHES) in short windows; made when first asked for."""
        attack = _attack_spectra(self.samples, self.tuning)
        attack += _loud(attack) * ONSET_LOG_FLOOR
        return np.log(attack, out=attack)

    @property
    def frames(self) -> int:
        """How many frames there are."""
        return len(self.level)


def samples_of(take: Audio) -> Float:
    """A take as mono samples (n,) at `RATE`."""
    mono = take.samples if take.samples.ndim == 1 else take.samples.mean(axis=1, dtype=np.float32)
    return mono if take.rate == RATE else np.asarray(soxr.resample(mono, take.rate, RATE), np.float32)


def features(samples: Float, tuning: float) -> Features:
    """The features of mono samples (n,) at `RATE`, for a player `tuning` semitones above 440 Hz."""
    tonal = _tonal_spectra(samples, tuning, HOP)
    loud = _loud(tonal)
    level = np.log(np.sqrt(np.einsum("ij,ij->i", tonal, tonal)) + loud * LOG_FLOOR)
    level -= np.percentile(level, 95)
    return Features(_whitened(tonal, loud), level, tuning, samples)


def glance(samples: Float, tuning: float) -> Float:
    """`Features.whitened` of every `GLANCE_FRAMES`-th frame only."""
    tonal = _tonal_spectra(samples, tuning, HOP * GLANCE_FRAMES)
    return _whitened(tonal, _loud(tonal))


def short_whitened(attack: Float) -> Iterator[Float]:
    """`Features.attack` as `Features.whitened` is, a block of frames at a time."""
    total = squares = 0.0
    for first, last in _blocks(len(attack)):
        around = _around(attack[first:last]).astype(np.float64)
        total, squares = total + around.sum(), squares + (around**2).sum()
    deviation = np.sqrt(squares / attack.size - (total / attack.size) ** 2)
    for first, last in _blocks(len(attack)):
        yield _around(attack[first:last]) / np.float32(deviation + 1e-9)


def _around(logs: Float) -> Float:
    """Logs against their running mean over semitones."""
    return np.asarray(logs - uniform_filter1d(logs, WHITENING_SEMITONES, axis=1), np.float32)


def _loud(magnitudes: Float) -> float:
    """A level that all but the loudest frames stay below."""
    return float(np.percentile(magnitudes.max(axis=1), 95)) + 1e-9


def _whitened(tonal: Float, loud: float) -> Float:
    """Log magnitudes against their neighbourhood, in units of their deviation; made in place."""
    tonal += np.float32(loud * LOG_FLOOR)
    np.log(tonal, out=tonal)
    return _against_neighbours(tonal)


def _against_neighbours(logs: Float) -> Float:
    """The same array less its running mean over semitones, over its deviation; made in place."""
    for first, last in _blocks(len(logs)):
        logs[first:last] = _around(logs[first:last])
    logs /= logs.std() + np.float32(1e-9)
    return logs


def best_tuning(samples: Float) -> float:
    """The tuning, in semitones, that gathers most root magnitude on the upper semitones' centres."""
    total = np.zeros(len(TUNINGS))
    pitches = np.arange(70, 100)
    for first in range(0, len(samples) // HOP + 1, BLOCK):
        spectrum = np.sqrt(_spectrum(samples, HOP, 2048, first, first + BLOCK // 8))
        total += [_at_pitches(spectrum, RATE, 2048, pitches + cents).sum() for cents in TUNINGS]
    return float(TUNINGS[np.argmax(total)])


def _tonal_spectra(samples: Float, tuning: float, hop: int) -> Float:
    """Magnitudes (len(samples) // hop + 1, PITCHES) with windows long enough to tell pitches apart."""
    quarter = np.asarray(soxr.resample(samples, RATE, RATE / 4), np.float32)
    low, high = np.split(_pitches(tuning), [SPLIT_PITCH - LOWEST_PITCH])
    tonal = np.empty((len(samples) // hop + 1, PITCHES), np.float32)
    for first, last in _blocks(len(tonal)):
        deep = _spectrum(quarter, hop // 4, 1024, first, last)
        middle = _spectrum(samples, hop, 2048, first, last)
        tonal[first:last, : len(low)] = _near_pitches(deep, RATE / 4, 1024, low)
        tonal[first:last, len(low) :] = _near_pitches(middle, RATE, 2048, high)
    return tonal


def _attack_spectra(samples: Float, tuning: float) -> Float:
    """Magnitudes (frames, PITCHES) with a short window."""
    attack = np.empty((len(samples) // HOP + 1, PITCHES), np.float32)
    for first, last in _blocks(len(attack)):
        attack[first:last] = _at_pitches(
            _spectrum(samples, HOP, 1024, first, last), RATE, 1024, _pitches(tuning)
        )
    return attack


def _pitches(tuning: float) -> npt.NDArray[np.float64]:
    return np.arange(LOWEST_PITCH, LOWEST_PITCH + PITCHES, dtype=np.float64) + np.float64(tuning)


def _blocks(count: int) -> Iterator[tuple[int, int]]:
    for first in range(0, count, BLOCK):
        yield first, min(count, first + BLOCK)


def _spectrum(samples: Float, hop: int, size: int, first: int, last: int) -> Float:
    """Magnitudes (last - first, size // 2 + 1) of Hann-windowed frames; silence beyond the ends."""
    begin, end = first * hop - size // 2, (last - 1) * hop + size // 2
    inside = samples[max(0, begin) : max(0, end)]
    before = max(0, -begin)
    padded = np.pad(inside, (before, max(0, end - begin - before - len(inside))))
    window = np.hanning(size)
    weighted = sliding_window_view(padded, size)[::hop] * (window / window.sum()).astype(np.float32)
    return np.asarray(np.abs(scipy.fft.rfft(weighted, axis=1)), np.float32)


def _at_pitches(spectrum: Float, rate: float, size: int, pitches: Array) -> Float:
    """Magnitudes (frames, pitches), straight between the Fourier bins."""
    bins = np.clip(440 * 2 ** ((pitches - 69) / 12) / rate * size, 0, spectrum.shape[1] - 2)
    whole = bins.astype(int)
    share = (bins - whole).astype(np.float32)
    return np.asarray(spectrum[:, whole] * (1 - share) + spectrum[:, whole + 1] * share, np.float32)


def _near_pitches(spectrum: Float, rate: float, size: int, pitches: Array) -> Float:
    """The largest magnitude a little below, at and a little above each pitch."""
    offsets = (-NEIGHBOUR_SEMITONES, 0.0, NEIGHBOUR_SEMITONES)
    near = [_at_pitches(spectrum, rate, size, pitches + offset) for offset in offsets]
    return np.asarray(np.maximum.reduce(near))
