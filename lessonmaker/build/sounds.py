"""The sound of a film as a task, known by what is heard in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
import numpy.typing as npt

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import Task
from lessonmaker.digest import digest_of
from lessonmaker.sound.mix import Clip, Level, mix
from lessonmaker.sound.model import Audio
from lessonmaker.sound.read import read_audio
from lessonmaker.timeline.model import TICKS_PER_SECOND, AudioClip, Timeline
from lessonmaker.timeline.performance import TAKE
from lessonmaker.video.aac import packed_sound

__all__ = ["Programme", "TakeFile"]

SOUND_RATE = 48_000
TICKS_PER_SAMPLE = TICKS_PER_SECOND // SOUND_RATE
LEVEL = Level(peak_dbtp=-1.5)  # the encoder of the sound may add a few tenths of a decibel to a peak
SECOND_S = 0.04
"""About how long a second of sound takes to mix and encode."""


@dataclass(frozen=True)
class TakeFile:
    """A take's file, known by what it holds."""

    path: Path
    digest: str

    def read(self) -> Audio:
        """Its sound, at 48 kHz.

        Raises:
            MaterialError: it cannot be read.
        """
        return take_sound(self)


@lru_cache(maxsize=1)
def take_sound(take: TakeFile) -> Audio:
    """A take's sound, kept for the next who asks."""
    return read_audio(take.path, SOUND_RATE, mono=False)


@dataclass(frozen=True)
class Programme:
    """What is heard when: clips of a take, and of narrations and scenes (by the timeline's name for each).

    It is `frames` long at 48 kHz.
    """

    clips: tuple[AudioClip, ...]
    narrations: Mapping[str, Audio]
    take: TakeFile | None
    frames: int

    @classmethod
    def of(cls, timeline: Timeline, narrations: Mapping[str, Audio], take: TakeFile | None) -> Programme:
        """The programme of a timeline."""
        return cls(timeline.clips, narrations, take, timeline.duration // TICKS_PER_SAMPLE)

    @property
    def task(self) -> Task:
        """The sound of a film, mixed and encoded."""
        spoken = {name: digest_of(audio.samples, audio.rate) for name, audio in self.narrations.items()}
        played = self.take and self.take.digest
        key = digest_of("sound", tools_digest(), self.clips, spoken, played, self.frames, LEVEL)
        return Task(key, partial(encoded, self), SECOND_S * self.frames / SOUND_RATE)

    def mixed(self) -> npt.NDArray[np.float32]:
        """The sound, (frames, 2) at 48 kHz.

        Raises:
            MaterialError: the take cannot be read.
        """
        sources = {**self.narrations, **({TAKE: self.take.read()} if self.take else {})}
        clips = [
            Clip(
                start=clip.start // TICKS_PER_SAMPLE,
                audio=sources[clip.source],
                kind=clip.kind,
                cut_start_s=clip.cut_start_s,
                cut_end_s=clip.cut_end_s,
                stretch=clip.stretch,
            )
            for clip in self.clips
        ]
        return mix(clips, self.frames, LEVEL).samples


def encoded(programme: Programme) -> bytes:
    """A programme's packets."""
    return packed_sound(programme.mixed())
