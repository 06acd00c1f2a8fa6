"""A lesson, or a part of one, as a MoviePy clip."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
from moviepy import VideoClip

from lessonmaker.build.book_look import look_of
from lessonmaker.build.check import check_order
from lessonmaker.build.fits import FOLDER as FITS
from lessonmaker.build.fits import KeptFits
from lessonmaker.build.lesson import ready_lesson
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, editions_said, find_order
from lessonmaker.build.own_code import refuse_code
from lessonmaker.build.own_scenes import MadeScene, made_scenes
from lessonmaker.build.parts import Part as PartOfLesson
from lessonmaker.build.parts import cues_of, stretches_of
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.build.voice import Voice
from lessonmaker.build.workshop import Part
from lessonmaker.faults import UsageError
from lessonmaker.picture.look import Rgb
from lessonmaker.picture.painter import Painter
from lessonmaker.score.edition import Edition
from lessonmaker.video.clip import Stretch, lesson_clip

__all__ = ["clip_of"]

PIXELS_KEPT = 24 * 1920 * 1080
FEWEST_PAGES, MOST_PAGES = 3, 64
BLACK, WHITE = (0, 0, 0), (255, 255, 255)


def clip_of(
    lesson: str | Path,
    edition: str | None = None,
    part: PartOfLesson | None = None,
    size: tuple[int, int] | None = None,
    allow_code: bool = False,
    layer: bool = False,
) -> VideoClip:
    """A lesson in an edition as a clip; see `lessonmaker.clip`."""
    order = one_lesson(lesson, edition, size)
    (checked,) = check_order(order)
    chosen = None if part is None else cues_of(part, checked)
    if not allow_code:
        refuse_code([checked])
    output = order.book.folder / "out"
    ready, store = ready_lesson(checked, KeptFits(output / FITS)), Store(output / STORE)
    voice, pause_s = Voice.of(order.book), order.book.longest_pause_s
    narrator = narrator_of(checked, editions_said(order), voice, longest_pause_s=pause_s, by_tasks=True)
    speak(narrator, order.editions[0], store)
    scenes = made_scenes(checked, order.book.size)
    scenario = stage(ready, order.editions[0], order.book, narrator, look_of(order.book).look, scenes)
    duration = scenario.timeline.duration
    cut = ((0, duration),) if chosen is None else stretches_of(chosen, scenario.timeline)
    stretches = tuple(Stretch(start, end, last_of_its_own(end, scenario)) for start, end in cut)
    samples = scenario.programme.mixed()
    if not layer:
        return lesson_clip(InAnyOrder.of(scenario), stretches, order.book.rate, samples)
    pictures = Transparent(InAnyOrder.of(scenario, BLACK), InAnyOrder.of(scenario, WHITE))
    return lesson_clip(pictures, stretches, order.book.rate, samples, pictures.cover)


def speak(narrator: Narrator, edition: Edition, store: Store) -> None:
    """Have an edition's recordings listened to and the rest spoken, or take what is kept of it."""
    listener = narrator.listener
    while hearing := narrator.to_hear(edition.id):
        for one in hearing:
            listener.take(*one, Part(listener.task(*one), store))
    for saying in narrator.asked(edition.id):
        narrator.voice.take(saying, Part(narrator.voice.task(saying), store))


def one_lesson(lesson: str | Path, edition: str | None, size: tuple[int, int] | None) -> Order:
    """The order for one lesson in one edition, the book's first unless another is named.

    Raises:
        MaterialError: the book is faulty, or there is none.
        UsageError: there is no such lesson or edition, or several lessons are named; or the size is odd.
    """
    order = find_order([str(lesson)], None if edition is None else [edition])
    if len(order.lessons) != 1:
        names = ", ".join(path.stem for path in order.lessons) or "none, being a film"
        raise UsageError(f"a clip is of one lesson; {lesson} has: {names}")
    if size is not None and (min(size) <= 0 or size[0] % 2 or size[1] % 2):
        raise UsageError(f"{size[0]}x{size[1]} is no picture size: both sides must be even")
    book = order.book if size is None else replace(order.book, size=size)
    return Order(book, order.lessons, order.editions[:1])


def last_of_its_own(end: int, scenario: Scenario) -> int:
    """The last tick whose picture shows nothing yet of what follows at `end`: neither its page nor its light."""
    timeline, lead = scenario.timeline, scenario.painter.sights.lead
    rises = [page.start - page.dissolve for page in timeline.pages if page.start == end]
    return min([end, *rises]) - 1 - (lead if end < timeline.duration else 0)


@dataclass(frozen=True)
class InAnyOrder:
    """The pictures of a lesson, the author's own scenes (start, end, scene) among them, in any order."""

    painter: Painter
    own: tuple[tuple[int, int, MadeScene], ...]

    @classmethod
    def of(cls, scenario: Scenario, paper: Rgb | None = None) -> InAnyOrder:
        """The pictures of a staged lesson, by a painter that keeps many pages, on the look's paper or another."""
        painter = scenario.painter
        width, height = painter.size
        pixels = PIXELS_KEPT if paper is None else PIXELS_KEPT // 2  # a layer is painted twice
        pages = min(max(pixels // (width * height), FEWEST_PAGES), MOST_PAGES)
        kept = Painter(
            painter.timeline, painter.score, painter.given_look, painter.size, painter.rate, pages, paper
        )
        ends = {scene.start: scene.end for scene in scenario.timeline.scenes}
        own = [
            (cue.start, ends[cue.start], scenario.scenes[cue.number - 1])
            for cue in scenario.timeline.cues
            if cue.number - 1 in scenario.scenes
        ]
        return cls(kept, tuple(own))

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.painter.size

    def rgb(self, tick: int) -> npt.NDArray[np.uint8]:
        """The picture at a tick, (height, width, 3), the caller's own."""
        for start, end, scene in self.own:
            if start <= tick < end:
                return scene.picture_at(tick - start, self.painter.rate).copy()
        return self.painter.rgb(tick)


@dataclass
class Transparent:
    """The pictures of a lesson without their paper: what is the same on black and on white covers what lies beneath."""

    on_black: InAnyOrder
    on_white: InAnyOrder
    last: tuple[int, npt.NDArray[np.uint8], npt.NDArray[np.float64]] | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.on_black.size

    def rgb(self, tick: int) -> npt.NDArray[np.uint8]:
        """The colours at a tick, (height, width, 3), the caller's own."""
        return self.taken_apart(tick)[0].copy()

    def cover(self, tick: int) -> npt.NDArray[np.float64]:
        """How much is covered at a tick, from 0 to 1, (height, width), the caller's own."""
        return self.taken_apart(tick)[1].copy()

    def taken_apart(self, tick: int) -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.float64]]:
        """Colours and cover at a tick, kept for whoever asks for the other."""
        if self.last is None or self.last[0] != tick:
            dark, bright = self.on_black.rgb(tick), self.on_white.rgb(tick)
            cover = 1 - np.clip(bright.astype(np.int16) - dark, 0, 255).mean(axis=2) / 255
            colours = dark / np.maximum(cover, 1 / 255)[:, :, None]
            self.last = (tick, np.clip(colours + 0.5, 0, 255).astype(np.uint8), cover)
        return self.last[1:]
