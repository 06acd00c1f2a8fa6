"""Scenes of the author's own, made by functions that a lesson script names: MoviePy clips in the film's size."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache, partial
from numbers import Real
from pathlib import Path
from secrets import token_hex

import numpy as np
import numpy.typing as npt
from moviepy import CompositeVideoClip, VideoClip

from lessonmaker.build.own_code import HOW, OwnCode
from lessonmaker.build.workshop import JOIN_S, Task
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, MaterialError
from lessonmaker.script.model import CheckedLesson, SceneCode
from lessonmaker.sound.model import Audio
from lessonmaker.timeline.compile import OwnScene
from lessonmaker.timeline.model import SOUND_RATE, ticks_to_seconds
from lessonmaker.timeline.reel import whole_samples
from lessonmaker.video.encode import Format, frame_to_tick, packed
from lessonmaker.video.film import frame_count
from lessonmaker.video.moving import encode_moving

__all__ = ["MadeScene", "made_scenes"]

SHORTEST_S = 0.01
PIXEL_S = 4e-8  # about how long it takes to make and encode a pixel of a frame
BLACK = (0, 0, 0)


@dataclass(eq=False)
class MadeScene:
    """A scene of the author's. Its `audio` is stereo at 48 kHz, None where it is silent; `ticks` its length."""

    scene: SceneCode
    code: OwnCode
    clip: VideoClip
    size: tuple[int, int]
    ticks: int
    audio: Audio | None
    token: str = field(default_factory=lambda: token_hex(16))
    """Nobody knows what code depends on: what this call of it made is not taken for what another makes."""

    @property
    def laid(self) -> OwnScene:
        """What the timeline has to know of it."""
        return OwnScene(self.ticks, self.audio is not None)

    def picture(self, seconds: float) -> npt.NDArray[np.uint8]:
        """Its picture at a time: RGB, (height, width, 3). After its end the last one stands.

        Raises:
            MaterialError: the author's code fails, or makes a picture of another shape.
        """
        with self.code.watched(self.scene):
            found = np.asarray(self.clip.get_frame(seconds))
        width, height = self.size
        if found.shape != (height, width, 3):
            shape = " x ".join(map(str, found.shape))
            raise self.fault(
                f"has a picture of {shape} values at {seconds:.2f} s, not {height} x {width} x 3"
            )
        return found if found.dtype == np.uint8 else np.clip(found, 0, 255).astype(np.uint8)

    def picture_at(self, into: int, rate: Fraction) -> npt.NDArray[np.uint8]:
        """Its picture so many ticks into it; after its last frame that one stands."""
        last = frame_count(self.ticks, rate) - 1
        return self.picture(float(ticks_to_seconds(min(into, frame_to_tick(last, rate)))))

    def pictures(self, form: Format, frames: int) -> Iterator[npt.NDArray[np.uint8]]:
        """The pictures of a film's frames; those after its end show the last one."""
        for number in range(frames):
            yield self.picture_at(frame_to_tick(number, form.rate), form.rate)

    def task(self, form: Format, frames: int) -> Task:
        """It as a run of a film, to be made by a worker."""
        key = digest_of("own scene", self.token, form, frames)
        work = partial(
            scene_run, self.token, self.code.script, self.scene, self.size, self.ticks, form, frames
        )
        return Task(key, work, "scene", frames * form.width * form.height * PIXEL_S, JOIN_S, passing=True)

    def task_done_here(self, form: Format, frames: int) -> Task:
        """It as a run of a film, made here: for workers that have not got the author's files.

        Raises:
            MaterialError: the author's code fails.
        """
        made = self.run(form, frames)
        return Task(digest_of("own scene", made), partial(bytes, made), "scene", 0.0, JOIN_S)

    def run(self, form: Format, frames: int) -> bytes:
        """It as a run of a film, packed.

        Raises:
            MaterialError: the author's code fails.
        """
        return packed(encode_moving(self.pictures(form, frames), form))

    def fault(self, what: str) -> MaterialError:
        """What is wrong with what the author's code made."""
        return MaterialError(Fault(f"the scene {self.scene.name} {what}", HOW, self.scene.place))


@lru_cache(maxsize=4)
def scene_again(_token: str, script: Path, scene: SceneCode, size: tuple[int, int]) -> MadeScene:
    """A scene, made by a worker; once for each call of it that is to be repeated.

    Raises:
        MaterialError: the code fails, or makes no clip of the film's size.
    """
    return made_scene(scene, OwnCode(script), size)


def scene_run(
    token: str,
    script: Path,
    scene: SceneCode,
    size: tuple[int, int],
    ticks: int,
    form: Format,
    frames: int,
) -> bytes:
    """A scene as a run of a film, packed. This runs the author's code.

    Raises:
        MaterialError: the code fails, or makes a clip of another length than `ticks`.
    """
    made = scene_again(token, script, scene, size)
    if made.ticks != ticks:
        raise made.fault("returned a clip of another length when it was called again")
    return made.run(form, frames)


def made_scenes(checked: CheckedLesson, size: tuple[int, int]) -> Mapping[int, MadeScene]:
    """The author's scenes of a lesson, by the index of their cues. This runs the author's code.

    Raises:
        MaterialError: the code fails, or makes no clip of the film's size.
    """
    code = OwnCode(checked.lesson.path)
    scenes = {index: cue.cue.scene for index, cue in enumerate(checked.cues) if cue.cue.scene is not None}
    return {index: made_scene(scene, code, size) for index, scene in scenes.items()}


def made_scene(scene: SceneCode, code: OwnCode, size: tuple[int, int]) -> MadeScene:
    """A scene, made by its function.

    Raises:
        MaterialError: the code fails, or makes no clip of the film's size.
    """
    function = code.function(scene)
    with code.watched(scene):
        clip = function(size)
    made = MadeScene(scene, code, clip, size, 0, None)
    if not isinstance(clip, VideoClip):
        raise made.fault(f"returned {type(clip).__name__}, not a MoviePy clip")
    seconds = float(clip.duration) if isinstance(clip.duration, Real) else math.nan
    if not SHORTEST_S <= seconds < math.inf:
        raise made.fault(f"returned a clip whose duration is {clip.duration}")
    if tuple(clip.size) != tuple(size):
        raise made.fault("returned a clip of {} x {}, not {} x {}".format(*clip.size, *size))
    made.ticks = whole_samples(seconds)
    with code.watched(scene):
        made.audio = sound_of(clip)
        if clip.mask is not None:
            made.clip = CompositeVideoClip([clip], size=size, bg_color=BLACK).with_duration(clip.duration)
    return made


def sound_of(clip: VideoClip) -> Audio | None:
    """What is heard in a clip."""
    if clip.audio is None:
        return None
    seconds = min(clip.audio.duration or clip.duration, clip.duration)
    samples = clip.audio.with_duration(seconds).to_soundarray(fps=SOUND_RATE)
    stereo = np.asarray(samples, np.float32).reshape(len(samples), -1)
    return Audio(np.ascontiguousarray(np.broadcast_to(stereo, (len(stereo), 2))), SOUND_RATE)
