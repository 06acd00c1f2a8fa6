"""Another tempo at the same pitch, for playing a passage slowly."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import numpy.typing as npt
from python_stretch.Signalsmith import Stretch

__all__ = ["stretched"]

SEED = 1

Samples = npt.NDArray[np.float32]


def stretched(samples: Samples, rate: int, tempo: Fraction) -> Samples:
    """Samples played at a share of their tempo (3/5 is slower), at the same pitch.

    Args:
        samples: Shape (frames, channels).
        rate: Their rate in Hz.
        tempo: The new tempo as a share of the old.

    Returns:
        Shape (round(frames / tempo), channels); what happened at t happens at t / tempo.

    Raises:
        ValueError: The tempo is not positive.
    """
    if tempo <= 0:
        raise ValueError(f"a tempo must be positive: {tempo}")
    frames = round(len(samples) / tempo)
    if tempo == 1 or frames == 0:
        return samples
    stretch = Stretch(SEED)
    stretch.preset(samples.shape[1], float(rate))
    stretch.setTimeFactor(float(tempo))
    played = np.asarray(stretch.process(np.ascontiguousarray(samples.T)), np.float32).T[:frames]
    return np.pad(played, ((0, frames - len(played)), (0, 0)))
