"""A timeline in the making: what has been laid down so far, and where it stands.

The cursor only moves forward, in whole samples at 48 kHz, so that sound and picture start on the same tick. Scenes
begin on a grid of frames and of blocks of coded sound, and all that a scene holds is laid from its beginning: what an
earlier scene gains or loses moves it by whole steps, and its pictures and its sound stay what they were.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import lcm

from lessonmaker.timeline.model import (
    SOUND_RATE,
    TICKS_PER_SAMPLE,
    TICKS_PER_SECOND,
    Arrow,
    AudioClip,
    Caption,
    Chapter,
    CueTime,
    Label,
    Light,
    Page,
    Scene,
    SceneKind,
    Sign,
)

__all__ = ["MILLISECOND", "Reel", "scene_step", "whole_samples"]

TICKS_PER_SOUND_BLOCK = 1024 * TICKS_PER_SAMPLE
"""A block of AAC-LC: 1024 samples (ISO/IEC 14496-3, from memory)."""

LONGEST_STEP = 6 * TICKS_PER_SECOND // 10
MILLISECOND = TICKS_PER_SECOND // 1000


def whole_samples(seconds: float | Fraction) -> int:
    """A length in ticks, rounded to whole samples at 48 kHz."""
    return round(Fraction(seconds) * SOUND_RATE) * TICKS_PER_SAMPLE


def scene_step(rate: Fraction) -> int:
    """The grid in ticks on which scenes begin at a frame rate: whole frames, whole blocks of coded sound.

    Where both meet too seldom to wait for (at 24 frames a second, and at the rates over 1001), whole frames and whole
    samples.

    Raises:
        ValueError: a frame at this rate is not a whole number of ticks.
    """
    frame = TICKS_PER_SECOND / rate
    if frame.denominator != 1:
        raise ValueError(f"a frame at {rate} frames a second is not a whole number of ticks")
    step = lcm(frame.numerator, TICKS_PER_SOUND_BLOCK)
    return step if step <= LONGEST_STEP else lcm(frame.numerator, TICKS_PER_SAMPLE)


@dataclass
class Reel:
    """Everything laid down so far. `step` is the grid of the scenes in ticks, a whole number of samples."""

    step: int = TICKS_PER_SAMPLE
    cursor: int = 0
    scenes: list[Scene] = field(default_factory=list)
    pages: list[Page] = field(default_factory=list)
    lights: list[Light] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    arrows: list[Arrow] = field(default_factory=list)
    signs: list[Sign] = field(default_factory=list)
    captions: list[Caption] = field(default_factory=list)
    chapters: list[Chapter] = field(default_factory=list)
    clips: list[AudioClip] = field(default_factory=list)
    cues: list[CueTime] = field(default_factory=list)

    def wait(self, seconds: float | Fraction) -> None:
        """Let time pass."""
        self.cursor += whole_samples(seconds)

    def pause(self, seconds: float) -> None:
        """Let time pass before a scene ends: so much in the mean, as the scene lasts on to its grid."""
        self.wait(max(Fraction(seconds) - Fraction(self.step, 2 * TICKS_PER_SECOND), Fraction(0)))

    def show(self, page: Page) -> None:
        """Put a page up from its start on; the page before ends there. An equal page just stays.

        A scene of the author's own is seen whole: it ends with a cut.
        """
        last = self.pages[-1] if self.pages else None
        if last is not None:
            if (last.kind, last.rows, last.playing) == (page.kind, page.rows, page.playing):
                return
            if last.kind == "own":
                page = replace(page, dissolve=0)
            self.pages[-1:] = [replace(last, end=page.start)] if last.start < page.start else []
        self.pages.append(page)

    def close_scene(self, kind: SceneKind, bars: tuple[int, ...] = (), heading: str = "") -> None:
        """A scene from the end of the one before to the cursor, put forward to the grid: scenes leave no gaps."""
        self._to_grid()
        began = self.scenes[-1].end if self.scenes else 0
        self.scenes.append(Scene(kind, began, self.cursor, bars, heading))

    def prolong_scene(self) -> None:
        """Let the scene last until the cursor, put forward to the grid: nothing new is shown to what is said."""
        self._to_grid()
        self.scenes[-1] = replace(self.scenes[-1], end=self.cursor)

    def _to_grid(self) -> None:
        self.cursor += -self.cursor % self.step
