"""What the sound room hands on: samples, a take fitted to its score, narration with its word times.

Conventions: samples are float32 in -1..1, shape (frames,) mono or (frames, 2) stereo; times are seconds
from the start of the file as floats (measured values); the timeline turns them into integer ticks once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

__all__ = ["Audio", "BarTime", "Fit", "Narration", "NoteTime", "WordTime"]


@dataclass(frozen=True)
class Audio:
    """Samples (frames,) or (frames, channels), float32, and their rate in Hz."""

    samples: npt.NDArray[np.float32]
    rate: int

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return len(self.samples) / self.rate


@dataclass(frozen=True)
class BarTime:
    """When a bar starts in the take: `bar` is an index into Score.bars, `visit` the time round from 1."""

    bar: int
    visit: int
    time_s: float


@dataclass(frozen=True)
class NoteTime:
    """When a struck note starts in the take; `end_s` when it stops or the next one starts."""

    note: str
    visit: int
    time_s: float
    end_s: float


@dataclass(frozen=True)
class Fit:
    """A take against its score. `bars` are in playing order; `end_s` is where the last bar ends."""

    accepted: bool
    confidence: float
    bars: tuple[BarTime, ...]
    notes: tuple[NoteTime, ...]
    end_s: float
    swing: float
    details: dict[str, Any]


@dataclass(frozen=True)
class WordTime:
    """A spoken word's place in its file; `guessed` where it was filled in between its neighbours."""

    word: str
    start_s: float
    end_s: float
    guessed: bool = False


@dataclass(frozen=True)
class Narration:
    """One cue's narration: mono samples, and a time for each spoken word asked for, in order."""

    audio: Audio
    words: tuple[WordTime, ...]
    draft: bool
