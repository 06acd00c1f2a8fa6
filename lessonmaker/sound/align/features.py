"""Spectral features of a take, a semitone and a hundredth of a second at a time.

Frames are `FRAME_S` apart and centred on their time; columns are semitones, MIDI `LOWEST_PITCH` upwards.
Three windows serve three ends: 186 ms tells low pitches apart, 93 ms high ones, 46 ms finds onsets.
Spectra are made a block of frames at a time, so memory holds the features and little else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import scipy.fft
import scipy.signal
import soxr
from numpy.lib.stride_tricks import sliding_window_view
from scipy.ndimage import uniform_filter1d

from lessonmaker.sound.model import Audio

__all__ = ["FRAME_S", "LOWEST_PITCH", "PITCHES", "RATE", "Features", "best_tuning", "features", "samples_of"]

RATE = 22050
HOP = 220
FRAME_S = HOP / RATE
LOWEST_PITCH = 34
PITCHES = 91
SPLIT_PITCH = 78
BLOCK = 512
NEIGHBOUR_SEMITONES = 0.2
LOG_FLOOR = 1e-3
ONSET_LOG_FLOOR = 2e-3
WHITENING_SEMITONES = 13
TUNINGS = np.arange(-45, 46, 5) / 100

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.floating]


@dataclass(frozen=True)
class Features:
    """`whitened` and `attack` (frames, PITCHES), `level` (frames,) in nepers below the take's loud part.

    `tuning` is in semitones above A = 440 Hz.
    """

    whitened: Float
    attack: Float
    level: Float
    tuning: float

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
    tonal, attack = _semitone_spectra(samples, tuning)
    loud = float(np.percentile(tonal.max(axis=1), 95)) + 1e-9
    level = np.log(np.sqrt((tonal**2).sum(axis=1)) + loud * LOG_FLOOR)
    level -= np.percentile(level, 95)
    whitened = np.log(tonal + loud * LOG_FLOOR)
    whitened -= uniform_filter1d(whitened, WHITENING_SEMITONES, axis=1)
    whitened /= float(whitened.std()) + 1e-9
    loud_attack = float(np.percentile(attack.max(axis=1), 95)) + 1e-9
    return Features(whitened, np.log(attack + loud_attack * ONSET_LOG_FLOOR), level, tuning)


def best_tuning(samples: Float) -> float:
    """The tuning, in semitones, that gathers most root magnitude on the upper semitones' centres."""
    total = np.zeros(len(TUNINGS))
    pitches = np.arange(70, 100)
    for first in range(0, frame_count(samples), BLOCK):
        spectrum = np.sqrt(_spectrum(samples, HOP, 2048, first, first + BLOCK // 8))
        total += [_at_pitches(spectrum, RATE, 2048, pitches + cents).sum() for cents in TUNINGS]
    return float(TUNINGS[np.argmax(total)])


def frame_count(samples: Float) -> int:
    """How many frames cover samples (n,)."""
    return len(samples) // HOP + 1


def _semitone_spectra(samples: Float, tuning: float) -> tuple[Float, Float]:
    """Tonal and attack magnitudes, both (frames, PITCHES)."""
    quarter = scipy.signal.resample_poly(samples, 1, 4).astype(np.float32)
    pitches = np.arange(LOWEST_PITCH, LOWEST_PITCH + PITCHES) + tuning
    low, high = np.split(pitches, [SPLIT_PITCH - LOWEST_PITCH])
    count = frame_count(samples)
    tonal = np.empty((count, PITCHES), np.float32)
    attack = np.empty((count, PITCHES), np.float32)
    for first, last in _blocks(count):
        deep = _spectrum(quarter, HOP // 4, 1024, first, last)
        middle = _spectrum(samples, HOP, 2048, first, last)
        brief = _spectrum(samples, HOP, 1024, first, last)
        tonal[first:last, : len(low)] = _near_pitches(deep, RATE / 4, 1024, low)
        tonal[first:last, len(low) :] = _near_pitches(middle, RATE, 2048, high)
        attack[first:last] = _at_pitches(brief, RATE, 1024, pitches)
    return tonal, attack


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
