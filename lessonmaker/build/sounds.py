"""The sound of a film as tasks: each stretch between two silences is measured, then finished, wherever it stands.

A take is read where its sound is needed: by a worker that weighs it, and here when a piece of it is sent to one.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from functools import cached_property, lru_cache, partial
from pathlib import Path

import numpy as np
import numpy.typing as npt

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import JOIN_S, Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.sound.loudness import integrated_lufs
from lessonmaker.sound.mix import (
    Clip,
    Level,
    Measured,
    Stretch,
    finished,
    measured,
    mix,
    programme_gain,
    stretches,
)
from lessonmaker.sound.model import Audio, Sound
from lessonmaker.sound.read import CarriedFile, read_audio
from lessonmaker.timeline.model import SOUND_RATE, TICKS_PER_SAMPLE, AudioClip, Timeline
from lessonmaker.timeline.performance import TAKE
from lessonmaker.video.aac import joined_sound, packed_sound

__all__ = ["Programme", "TakeFile"]

LEVEL = Level(peak_dbtp=-1.5)  # the encoder of the sound may add a few tenths of a decibel to a peak
MEASURED_S, FINISHED_S = 0.008, 0.022
"""About how long a second of sound takes to measure, and to finish and encode."""

AFTER_S = 3.0
"""About how long the way is from there to a finished film."""

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
    return read_audio(take.path, SOUND_RATE, mono=False)


@lru_cache(maxsize=1)
def take_lufs(take: TakeFile) -> float | None:
    """A take's loudness, measured here."""
    return integrated_lufs(take_sound(take))


def lufs_bytes(file: CarriedFile) -> bytes:
    """The loudness of a take, to be kept."""
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


@dataclass(frozen=True)
class Programme:
    """What is heard when: clips of a take and of narrations (by the timeline's name for each), `frames` at 48 kHz."""

    clips: tuple[AudioClip, ...]
    narrations: Mapping[str, Audio]
    take: TakeFile | None
    frames: int

    @classmethod
    def of(cls, timeline: Timeline, narrations: Mapping[str, Audio], take: TakeFile | None) -> Programme:
        """The programme of a timeline."""
        return cls(timeline.clips, narrations, take, timeline.duration // TICKS_PER_SAMPLE)

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """What is heard between one silence and the next."""
        return stretches(self.sounding, self.frames)

    @property
    def sounding(self) -> list[Clip]:
        """The clips with their sound."""
        sources: dict[str, Sound] = {**self.narrations, **({TAKE: TakeSound(self.take)} if self.take else {})}
        lufs = self.take.lufs if self.take else None
        return [
            Clip(
                start=clip.start // TICKS_PER_SAMPLE,
                audio=sources[clip.source],
                kind=clip.kind,
                cut_start_s=clip.cut_start_s,
                cut_end_s=clip.cut_end_s,
                stretch=clip.stretch,
                whole_lufs=lufs if clip.kind == "take" else None,
            )
            for clip in self.clips
        ]

    @property
    def measuring(self) -> list[Task]:
        """Each stretch to be measured."""
        return [
            Task(key, partial(measured_bytes, stretch), "levels", MEASURED_S * seconds_of(stretch), AFTER_S)
            for key, stretch in zip(self.keys, self.stretches, strict=True)
        ]

    @cached_property
    def keys(self) -> list[str]:
        """What each stretch holds, as a digest."""
        return [
            digest_of("stretch", tools_digest(), stretch.frames, [heard_in(clip) for clip in stretch.clips])
            for stretch in self.stretches
        ]

    def finishing(self, parts: Sequence[Part]) -> list[Task]:
        """Each stretch to be finished and encoded, once all have been measured."""
        found = [part.read() for part in parts]
        gain_db = programme_gain([measured_from(data) for data in found], LEVEL)
        return [
            Task(
                digest_of("sound", key, gain_db, LEVEL),
                partial(encoded, stretch, data, gain_db),
                "sound",
                FINISHED_S * seconds_of(stretch),
                JOIN_S,
            )
            for key, stretch, data in zip(self.keys, self.stretches, found, strict=True)
        ]

    def packets(self, parts: Sequence[Part]) -> Iterator[bytes]:
        """The packets of the programme, its stretches finished."""
        starts = [stretch.start for stretch in self.stretches]
        return joined_sound(zip(starts, (part.read() for part in parts), strict=True), self.frames)

    def mixed(self) -> npt.NDArray[np.float32]:
        """The sound, (frames, 2) at 48 kHz.

        Raises:
            MaterialError: the take cannot be read.
        """
        return mix(self.sounding, self.frames, LEVEL).samples


def heard_in(clip: Clip) -> dict[str, object]:
    """What a clip's samples depend on."""
    return {one.name: getattr(clip, one.name) for one in fields(clip)} | {"audio": clip.audio.content}


def seconds_of(stretch: Stretch) -> float:
    """How long a stretch is heard."""
    return stretch.frames / SOUND_RATE


def measured_bytes(stretch: Stretch) -> bytes:
    """What the programme's level is found from, of one stretch, to be kept."""
    found, held = measured(stretch), io.BytesIO()
    np.savez(held, gains_db=np.array(found.gains_db), power=found.power, peaks=found.peaks)
    return held.getvalue()


def measured_from(data: bytes) -> Measured:
    """What was kept."""
    with np.load(io.BytesIO(data), allow_pickle=False) as held:
        return Measured(tuple(held["gains_db"].tolist()), held["power"], held["peaks"])


def encoded(stretch: Stretch, found: bytes, gain_db: float) -> bytes:
    """A stretch's packets."""
    return packed_sound(finished(stretch, measured_from(found), gain_db, LEVEL))
