"""The trained weights: one vector that tells a pitch from its spectrum, and three that tell an onset.

`weights.json` beside this file holds them and says what made them; the trainer is under tests/tools.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt

__all__ = ["ONSET_LAGS", "PITCH_OFFSETS", "SITUATIONS", "STREAMS", "Weights", "trained_weights"]

PITCH_OFFSETS = np.arange(-14, 43)
ONSET_LAGS = np.arange(-10, 11)
STREAMS = 5
SITUATIONS = 3

Float = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Weights:
    """`pitch` (PITCH_OFFSETS,) by semitones above the candidate; `onset` (SITUATIONS, STREAMS * lags)."""

    pitch: Float
    onset: Float


@lru_cache(maxsize=1)
def trained_weights() -> Weights:
    """The weights the package carries."""
    data = json.loads(files(__package__).joinpath("weights.json").read_text(encoding="utf-8"))
    pitch = np.array(data["pitch"], np.float32)
    onset = np.array(data["onset"], np.float32)
    assert pitch.shape == PITCH_OFFSETS.shape
    assert onset.shape == (SITUATIONS, STREAMS * len(ONSET_LAGS))
    return Weights(pitch, onset)
