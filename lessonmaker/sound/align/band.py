"""The band's own beat, where a band plays: cymbals and bass strike together with it, a soloist lies about it.

Where nothing of the line begins near a beat, attacks at the very top and at the bottom of the spectrum come
from a band or from nobody; that tells whether there is one. The distance of its beat from the soloist's is
then followed from beat to beat: a Viterbi search over distances that change little, in the attacks of all
beats.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.ndimage import gaussian_filter1d

from lessonmaker.sound.align.features import FRAME_S, LOWEST_PITCH
from lessonmaker.sound.align.smooth import Timing

__all__ = ["band_beat_times"]

CYMBAL_FROM, BASS_TO = 108, 52
RISE_FRAMES = 2
# How much later than the middle of its rise in the spectrum a stroke is heard; measured on rendered bands.
CYMBAL_LATE_S, BASS_LATE_S = 0.0056, -0.0114
FREE_S = 0.12
FEWEST_FREE = 8
CLEAR_PEAK = 2.5
DISTANCES_S = np.arange(-0.07, 0.0501, 0.002)
SMOOTH_BEATS = 3.0
SMOOTH_PATH_BEATS = 2.0
STEPS = np.arange(-3, 4)
STEP_PRICE = 0.5

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


def band_beat_times(attack: Float, timing: Timing) -> Array | None:
    """The times (beats + 1,) of the band's beats; None where no band is heard.

    Args:
        attack: (frames, PITCHES) from `features`.
        timing: The soloist's beats and onsets.
    """
    beats, free = timing.beat_times, _free(timing)
    strokes = [
        around
        for rise, late_s in _rises(attack)
        if _is_clear(around := _around_beats(rise, beats - late_s), free)
    ]
    if not strokes:
        return None
    path = _steadiest(gaussian_filter1d(np.sum(strokes, axis=0), SMOOTH_BEATS, axis=0))
    return np.asarray(beats + gaussian_filter1d(DISTANCES_S[path], SMOOTH_PATH_BEATS))


def _rises(attack: Float) -> Sequence[tuple[Array, float]]:
    """How much the top and the bottom of the spectrum rise, each in units of its mean, and how late it is."""
    parts = (
        (attack[:, CYMBAL_FROM - LOWEST_PITCH :], CYMBAL_LATE_S),
        (attack[:, : BASS_TO - LOWEST_PITCH], BASS_LATE_S),
    )
    rises = []
    for part, late_s in parts:
        rise = np.zeros(len(part))
        change = np.maximum(part[2 * RISE_FRAMES :] - part[: -2 * RISE_FRAMES], 0).mean(axis=1)
        rise[RISE_FRAMES : RISE_FRAMES + len(change)] = change
        rises.append((rise / (rise.mean() + 1e-9), late_s))
    return rises


def _around_beats(rise: Array, beats: Array) -> Array:
    """(beats + 1, distances)."""
    return np.interp(beats[:, None] + DISTANCES_S, np.arange(len(rise)) * FRAME_S, rise)


def _free(timing: Timing) -> npt.NDArray[np.bool_]:
    """Beats near which no note of the line begins."""
    place = np.searchsorted(timing.onsets, timing.beat_times)
    padded = np.concatenate([[-np.inf], timing.onsets, [np.inf]])
    apart = np.minimum(timing.beat_times - padded[place], padded[place + 1] - timing.beat_times)
    return np.asarray(apart > FREE_S)


def _is_clear(around: Array, free: npt.NDArray[np.bool_]) -> bool:
    """Whether free beats have a common attack."""
    return bool(free.sum() >= FEWEST_FREE and around[free].mean(axis=0).max() > CLEAR_PEAK)


def _steadiest(evidence: Array) -> Ints:
    """The path (beats + 1,) through (beats + 1, distances) that gathers most, changes at a price."""
    value, back = evidence[0], []
    reach = int(STEPS.max())
    for row in evidence[1:]:
        padded = np.pad(value, reach, constant_values=-np.inf)
        come = np.stack(
            [padded[reach + step : reach + step + len(value)] - STEP_PRICE * abs(step) for step in STEPS]
        )
        back.append(come.argmax(axis=0))
        value = come.max(axis=0) + row
    path = [int(value.argmax())]
    for choice in reversed(back):
        path.append(path[-1] + int(STEPS[choice[path[-1]]]))
    return np.array(path[::-1])
