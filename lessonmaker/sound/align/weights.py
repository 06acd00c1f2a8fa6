"""The trained weights: two vectors that tell a pitch from its spectrum, and a network that tells an onset.

`weights.json` beside this file holds them and says what made them; the trainer is under tests/tools.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt

__all__ = [
    "ONSET_LAGS",
    "PITCH_OFFSETS",
    "SITUATIONS",
    "STREAMS",
    "OnsetNetwork",
    "Weights",
    "trained_weights",
]

PITCH_OFFSETS = np.arange(-14, 43)
ONSET_LAGS = np.arange(-10, 11)
STREAMS = 9
SITUATIONS = 3

Float = npt.NDArray[np.float32]


@dataclass(frozen=True)
class OnsetNetwork:
    """`hidden` (inputs, units), `bias` (SITUATIONS, units), `out` (units,), `direct` (SITUATIONS, inputs).

    Inputs are the streams at their lags, STREAMS * lags.
    """

    hidden: Float
    bias: Float
    out: Float
    direct: Float


@dataclass(frozen=True)
class Weights:
    """`pitch` and, for short windows, `short_pitch` (PITCH_OFFSETS,) by semitones above the candidate."""

    pitch: Float
    short_pitch: Float
    onset: OnsetNetwork


@lru_cache(maxsize=1)
def trained_weights() -> Weights:
    """The weights the package carries."""
    data = json.loads(files(__package__).joinpath("weights.json").read_text(encoding="utf-8"))
    network = OnsetNetwork(
        *(np.array(data[name], np.float32) for name in ("hidden", "bias", "out", "direct"))
    )
    pitch, short = (np.array(data[name], np.float32) for name in ("pitch", "short_pitch"))
    inputs, units = network.hidden.shape
    assert pitch.shape == short.shape == PITCH_OFFSETS.shape
    assert inputs == STREAMS * len(ONSET_LAGS)
    assert network.bias.shape == (SITUATIONS, units)
    assert network.out.shape == (units,)
    assert network.direct.shape == (SITUATIONS, inputs)
    return Weights(pitch, short, network)
