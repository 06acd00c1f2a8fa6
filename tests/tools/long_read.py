"""A long read made up for tests: the draft voice reads from a sheet, begins again, pauses and says other things."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.breaths import VoiceSettings
from lessonmaker.sound.model import Audio
from lessonmaker.sound.voice import speak

__all__ = ["Read", "long_read", "said"]

RATE = 24_000
ROOM_LEVEL = 3e-4

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Read:
    """A long read, mono, and where each text that was said begins in it, in seconds."""

    audio: Audio
    starts_s: tuple[float, ...]


@cache
def said(text: str, speed: float = 1.0) -> Samples:
    """A text in the draft voice, (frames,) at 24 kHz."""
    return speak(text, settings=VoiceSettings(speed=speed)).samples


def long_read(parts: Sequence[str | tuple[str, float] | float]) -> Read:
    """What is said in order, with the room's noise all along.

    Args:
        parts: texts, texts with a pace as a share of the voice's own, and pauses in seconds.
    """
    pieces: list[Samples] = []
    starts = []
    for part in parts:
        if isinstance(part, float):
            pieces.append(np.zeros(round(part * RATE), np.float32))
            continue
        starts.append(sum(map(len, pieces)) / RATE)
        pieces.append(said(part) if isinstance(part, str) else said(*part))
    whole = np.concatenate(pieces)
    noise = np.random.default_rng(3).normal(0, ROOM_LEVEL, len(whole)).astype(np.float32)
    return Read(Audio(whole + noise, RATE), tuple(starts))
