"""Takes as they are heard in films: known by what their files hold, and read where their sound is needed.

That is by a worker that weighs one, and here when a piece of it is sent to a worker that has not got it yet. What reads
and measures sound takes a quarter of a second to import, and most builds need none of it here.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
import numpy.typing as npt

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Audio
from lessonmaker.timeline.model import SOUND_RATE

__all__ = ["Loudness", "TakeFile", "TakeSound"]

WEIGHED_S, AFTER_WEIGHING_S = 0.5, 12.0
"""About how long a take's loudness takes, and a film from there on."""


@dataclass(frozen=True)
class Loudness:
    """How loud a take is in LUFS; None for silence."""

    lufs: float | None


@dataclass(frozen=True)
class TakeFile:
    """A take's file, known by what it holds, and its loudness where that has been measured."""

    path: Path = field(compare=False)
    digest: str
    weighed: Loudness | None = field(default=None, compare=False)

    @property
    def lufs(self) -> float | None:
        """The loudness of all of it, in LUFS.

        Raises:
            MaterialError: it is measured now, and cannot be read.
        """
        return self.weighed.lufs if self.weighed else take_lufs(self)

    @property
    def weighing(self) -> Task:
        """Its loudness, to be measured by a worker."""
        key = digest_of("take's loudness", tools_digest(), self.digest)
        return Task(key, partial(lufs_bytes, CarriedFile(self.path)), "weighing", WEIGHED_S, AFTER_WEIGHING_S)

    def weighed_by(self, part: Part) -> TakeFile:
        """It with the loudness that a worker has measured."""
        return replace(self, weighed=Loudness(json.loads(part.read())))


@lru_cache(maxsize=1)
def take_sound(take: TakeFile) -> Audio:
    """A take's sound, kept for the next who asks."""
    from lessonmaker.sound.read import read_audio

    return read_audio(take.path, SOUND_RATE, mono=False)


@lru_cache(maxsize=1)
def take_lufs(take: TakeFile) -> float | None:
    """A take's loudness, measured here."""
    from lessonmaker.sound.loudness import integrated_lufs

    return integrated_lufs(take_sound(take))


def lufs_bytes(file: CarriedFile) -> bytes:
    """The loudness of a take, to be kept."""
    from lessonmaker.sound.loudness import integrated_lufs
    from lessonmaker.sound.read import read_audio

    return json.dumps(integrated_lufs(read_audio(file, SOUND_RATE, mono=False))).encode()


@dataclass(frozen=True)
class TakeSound:
    """Frames [first, last) of a take at 48 kHz, read when they are asked for; who is sent them gets the samples."""

    take: TakeFile
    first: int = 0
    last: int | None = None
    rate: int = SOUND_RATE

    def __reduce__(self) -> tuple[type[Audio], tuple[npt.NDArray[np.float32], int]]:
        """As what is heard."""
        return Audio, (self.samples, self.rate)

    @property
    def samples(self) -> npt.NDArray[np.float32]:
        """Samples (frames,) or (frames, 2).

        Raises:
            MaterialError: the take cannot be read.
        """
        return take_sound(self.take).samples[self.first : self.last]

    @property
    def content(self) -> str:
        """A digest of what it is a part of, and which."""
        return digest_of(self.take, self.first, self.last)

    def part(self, first: int, last: int) -> TakeSound:
        """Frames [first, last) of it."""
        end = self.first + last
        return replace(self, first=self.first + first, last=end if self.last is None else min(end, self.last))
