"""A lesson as a MoviePy clip, for films of one's own composed with ordinary MoviePy code."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from typing import Protocol

import numpy as np
import numpy.typing as npt
from moviepy import VideoClip
from moviepy.audio.AudioClip import AudioArrayClip

from lessonmaker.timeline.model import SOUND_RATE, TICKS_PER_SAMPLE, seconds_to_ticks, ticks_to_seconds

__all__ = ["Painted", "Stretch", "lesson_clip"]


class Painted(Protocol):
    """Pictures as full RGB."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""

    def rgb(self, tick: int) -> npt.NDArray[np.uint8]:
        """The picture at a tick, (height, width, 3), the caller's own."""


@dataclass(frozen=True)
class Stretch:
    """Ticks start..end-1 of a lesson, whole samples long. From `still` on the picture stands still."""

    start: int
    end: int
    still: int

    def tick(self, into: int) -> int:
        """The tick whose picture is seen so many ticks into the stretch."""
        return min(self.start + max(into, 0), self.end - 1, self.still)


def lesson_clip(
    pictures: Painted,
    stretches: Sequence[Stretch],
    rate: Fraction,
    samples: npt.NDArray[np.float32] | None = None,
    cover: Callable[[int], npt.NDArray[np.float64]] | None = None,
) -> VideoClip:
    """A clip of exact duration whose frames are a lesson's pictures.

    Args:
        pictures: what is seen.
        stretches: which parts of the lesson, one after the other.
        rate: frames a second, used where the clip is written and nothing else is asked for.
        samples: the whole lesson's (frames, 2) at 48 kHz, or None for a silent clip.
        cover: how much the picture at a tick covers, from 0 to 1, (height, width), or None for all of it.
    """
    ends = list(accumulate(stretch.end - stretch.start for stretch in stretches))

    def tick_at(seconds: float) -> int:
        tick = min(seconds_to_ticks(max(seconds, 0.0)), ends[-1] - 1)
        number = bisect_right(ends, tick)
        stretch = stretches[number]
        return stretch.tick(tick - ends[number] + stretch.end - stretch.start)

    duration = float(ticks_to_seconds(ends[-1]))
    clip = VideoClip(lambda seconds: pictures.rgb(tick_at(seconds)), duration=duration).with_fps(float(rate))
    if cover is not None:
        mask = VideoClip(lambda seconds: cover(tick_at(seconds)), is_mask=True, duration=duration)
        clip = clip.with_mask(mask)
    if samples is None:
        return clip
    heard = [samples[one.start // TICKS_PER_SAMPLE : one.end // TICKS_PER_SAMPLE] for one in stretches]
    return clip.with_audio(AudioArrayClip(np.concatenate(heard), fps=SOUND_RATE))
