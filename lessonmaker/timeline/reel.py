"""A timeline in the making: what has been laid down so far, and where it stands.

The cursor only moves forward, in whole samples at 48 kHz, so that sound and picture start on the same tick.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from lessonmaker.timeline.model import (
    TICKS_PER_SECOND,
    Arrow,
    AudioClip,
    Caption,
    Chapter,
    Label,
    Light,
    Page,
    Scene,
    SceneKind,
    Sign,
)

__all__ = ["MILLISECOND", "Reel", "whole_samples"]

TICKS_PER_SAMPLE = TICKS_PER_SECOND // 48_000
MILLISECOND = TICKS_PER_SECOND // 1000


def whole_samples(seconds: float | Fraction) -> int:
    """A length in ticks, rounded to whole samples at 48 kHz."""
    return round(Fraction(seconds) * 48_000) * TICKS_PER_SAMPLE


@dataclass
class Reel:
    """Everything laid down so far."""

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

    def wait(self, seconds: float) -> None:
        """Let time pass."""
        self.cursor += whole_samples(seconds)

    def show(self, page: Page) -> None:
        """Put a page up from its start on; the page before ends there. An equal page just stays."""
        last = self.pages[-1] if self.pages else None
        if last is not None:
            if (last.kind, last.rows, last.playing) == (page.kind, page.rows, page.playing):
                return
            self.pages[-1:] = [replace(last, end=page.start)] if last.start < page.start else []
        self.pages.append(page)

    def close_scene(self, kind: SceneKind, bars: tuple[int, ...] = (), heading: str = "") -> None:
        """A scene from the end of the one before to the cursor: scenes leave no gaps."""
        began = self.scenes[-1].end if self.scenes else 0
        self.scenes.append(Scene(kind, began, self.cursor, bars, heading))

    def prolong_scene(self) -> None:
        """Let the scene last until the cursor: something is said, and nothing new is shown."""
        self.scenes[-1] = replace(self.scenes[-1], end=self.cursor)
