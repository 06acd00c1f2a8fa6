"""A lesson, or a part of one, as a MoviePy clip."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from moviepy import VideoClip

from lessonmaker.build.check import check_order
from lessonmaker.build.fits import FOLDER, KeptFits
from lessonmaker.build.lesson import ready_lesson
from lessonmaker.build.narrator import narrator_of
from lessonmaker.build.order import Order, editions_said, find_order
from lessonmaker.build.parts import Part, cues_of, stretches_of
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.voice import Voice
from lessonmaker.faults import UsageError
from lessonmaker.picture.painter import Painter
from lessonmaker.video.clip import Stretch, lesson_clip

__all__ = ["clip_of"]

PIXELS_KEPT = 24 * 1920 * 1080
FEWEST_PAGES, MOST_PAGES = 3, 64


def clip_of(
    lesson: str | Path,
    edition: str | None = None,
    part: Part | None = None,
    size: tuple[int, int] | None = None,
) -> VideoClip:
    """A lesson in an edition as a clip; see `lessonmaker.clip`."""
    order = one_lesson(lesson, edition, size)
    (checked,) = check_order(order)
    chosen = None if part is None else cues_of(part, checked)
    ready = ready_lesson(checked, KeptFits(order.book.folder / "out" / FOLDER))
    voice = Voice.of(order.book)
    narrator = narrator_of(checked, editions_said(order), voice, longest_pause_s=order.book.longest_pause_s)
    scenario = stage(ready, order.editions[0], order.book, narrator)
    duration = scenario.timeline.duration
    cut = ((0, duration),) if chosen is None else stretches_of(chosen, scenario.timeline)
    stretches = tuple(Stretch(start, end, last_of_its_own(end, scenario)) for start, end in cut)
    return lesson_clip(in_any_order(scenario), stretches, order.book.rate, scenario.programme.mixed())


def one_lesson(lesson: str | Path, edition: str | None, size: tuple[int, int] | None) -> Order:
    """The order for one lesson in one edition, the book's first unless another is named.

    Raises:
        MaterialError: the book is faulty, or there is none.
        UsageError: there is no such lesson or edition, or several lessons are named; or the size is odd.
    """
    order = find_order([str(lesson)], None if edition is None else [edition])
    if len(order.lessons) != 1:
        names = ", ".join(path.stem for path in order.lessons)
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


def in_any_order(scenario: Scenario) -> Painter:
    """A painter of the same pictures that keeps many pages."""
    painter = scenario.painter
    width, height = painter.size
    pages = min(max(PIXELS_KEPT // (width * height), FEWEST_PAGES), MOST_PAGES)
    return Painter(painter.timeline, painter.score, painter.look, painter.size, painter.rate, pages)
