"""The sound of a film as tasks: each stretch between two silences is measured, then finished, wherever it stands."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cached_property, partial

import numpy as np
import numpy.typing as npt

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.takes import TakeFile, TakeSound
from lessonmaker.build.workshop import JOIN_S, Part, Task
from lessonmaker.digest import digest_of
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
from lessonmaker.timeline.model import SOUND_RATE, TICKS_PER_SAMPLE, AudioClip, Timeline
from lessonmaker.timeline.performance import TAKE
from lessonmaker.video.aac import packed_sound

__all__ = ["Programme"]

LEVEL = Level(peak_dbtp=-1.5)  # the encoder of the sound may add a few tenths of a decibel to a peak
MEASURED_S, FINISHED_S = 0.008, 0.022
"""About how long a second of sound takes to measure, and to finish and encode."""

AFTER_S = 3.0
"""About how long the way is from there to a finished film."""


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
