"""Pitch evidence: how much likelier each pitch of the line is than anything else, frame by frame.

A multinomial logit with one weight vector over semitone offsets, the same for every pitch (harmonics
count for it, neighbours against it).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import LOWEST_PITCH, PITCHES
from lessonmaker.sound.align.weights import PITCH_OFFSETS

__all__ = ["pitch_evidence"]

FLOOR = -4.0
BLOCK = 4096

Float = npt.NDArray[np.float32]


def pitch_evidence(whitened: Float, lowest: int, highest: int, weights: Float) -> Float:
    """Log-likelihood ratios against a flat filler.

    Args:
        whitened: (frames, PITCHES) from `features`.
        lowest: First pitch, MIDI.
        highest: Last pitch, MIDI.
        weights: (PITCH_OFFSETS,).

    Returns:
        (frames, highest - lowest + 1), not below `FLOOR`.
    """
    logits = whitened @ _templates(lowest, highest, weights)
    logits -= logits.max(axis=1, keepdims=True)
    for first in range(0, len(logits), BLOCK):
        block = logits[first : first + BLOCK]
        block -= np.log(np.exp(block).sum(axis=1, keepdims=True))
    logits += np.float32(np.log(logits.shape[1]))
    return np.asarray(np.maximum(logits, np.float32(FLOOR), out=logits))


def _templates(lowest: int, highest: int, weights: Float) -> Float:
    """One column a pitch: (PITCHES, highest - lowest + 1)."""
    columns = np.zeros((PITCHES, highest - lowest + 1), np.float32)
    for column, pitch in enumerate(range(lowest, highest + 1)):
        rows = pitch + PITCH_OFFSETS - LOWEST_PITCH
        inside = (rows >= 0) & (rows < PITCHES)
        columns[rows[inside], column] = weights[inside]
    return columns
