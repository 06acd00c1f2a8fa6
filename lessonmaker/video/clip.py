"""A lesson as a MoviePy clip, for films of one's own composed with ordinary MoviePy code."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Protocol

import numpy as np
import numpy.typing as npt
from moviepy import VideoClip
from moviepy.audio.AudioClip import AudioArrayClip

from lessonmaker.timeline.model import seconds_to_ticks, ticks_to_seconds

__all__ = ["lesson_clip"]

SOUND_RATE = 48_000


class Painted(Protocol):
    """Pictures as full RGB."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""

    def key(self, tick: int) -> Hashable:
        """What is to be seen at a tick."""

    def rgb(self, tick: int) -> npt.NDArray[np.uint8]:
        """The picture at a tick, (height, width, 3)."""


def lesson_clip(
    pictures: Painted, duration: int, samples: npt.NDArray[np.float32] | None = None
) -> VideoClip:
    """A clip of exact duration whose frames are the lesson's pictures.

    Args:
        pictures: what is seen.
        duration: in ticks.
        samples: (frames, 2) at 48 kHz, or None for a silent clip.
    """
    last: dict[Hashable, npt.NDArray[np.uint8]] = {}

    def frame(seconds: float) -> npt.NDArray[np.uint8]:
        tick = min(seconds_to_ticks(max(seconds, 0.0)), duration - 1)
        key = pictures.key(tick)
        if key not in last:
            last.clear()
            last[key] = pictures.rgb(tick)
        return last[key]

    clip = VideoClip(frame, duration=float(ticks_to_seconds(duration)))
    if samples is None:
        return clip
    return clip.with_audio(AudioArrayClip(np.asarray(samples, dtype=np.float64), fps=SOUND_RATE))
