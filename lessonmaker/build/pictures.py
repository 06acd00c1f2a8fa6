"""The pictures of a film as tasks: a run a task, each known by what is seen in it, wherever it stands."""

from __future__ import annotations

import io
import pickle
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache, partial
from typing import TYPE_CHECKING, cast

import cairocffi
from PIL import Image

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import JOIN_S, Task
from lessonmaker.digest import digest_of
from lessonmaker.picture.painter import Painter
from lessonmaker.timeline.model import TICKS_PER_SECOND, Timeline
from lessonmaker.video.encode import Format, Run, encode_run, frame_to_tick, packed, runs
from lessonmaker.video.film import frame_count

if TYPE_CHECKING:  # its import takes workers half a second
    from lessonmaker.build.own_scenes import MadeScene

__all__ = ["FilmPictures"]

MOST_CHANGES = 250
CHANGE_S, PAGE_S = 0.008, 0.35
"""About how long it takes to paint and encode a change, and to engrave a page."""
POSTER_TICKS_IN = TICKS_PER_SECOND // 2


@dataclass(frozen=True, eq=False)
class FilmPictures:
    """The pictures of a film; `scenes` are the author's own, by the index of their cues.

    Workers make them where they have the author's files (`code_reaches`).
    """

    painter: Painter
    scenes: Mapping[int, MadeScene] = field(default_factory=dict)
    code_reaches: bool = True

    @property
    def timeline(self) -> Timeline:
        """What is seen when."""
        return self.painter.timeline

    @cached_property
    def form(self) -> Format:
        """The film's shape."""
        return Format(*self.painter.size, self.painter.rate)

    @cached_property
    def frames(self) -> int:
        """How many frames there are."""
        return frame_count(self.timeline.duration, self.form.rate)

    @cached_property
    def changes(self) -> Sequence[int]:
        """The frames at which the picture may differ from the one before."""
        return self.painter.changes(self.form.rate)

    @cached_property
    def contents(self) -> list[str]:
        """What is seen from each change on, as a digest."""
        return [self.content(change) for change in self.changes]

    @cached_property
    def sent(self) -> bytes:
        """The painter as it is sent to workers."""
        return pickle.dumps(self.painter)

    def content(self, frame: int) -> str:
        """What is seen on a frame, as a digest."""
        return self.painter.content(self.painter.key(frame_to_tick(frame, self.form.rate)))

    @property
    def tasks(self) -> list[Task]:
        """The runs, in order: scenes, long ones in parts."""
        starts = [self.first_frame(scene.start) for scene in self.timeline.scenes]
        own = {
            self.first_frame(cue.start): self.scenes[cue.number - 1]
            for cue in self.timeline.cues
            if cue.number - 1 in self.scenes
        }
        return [
            self.own_task(own[run.first], run) if run.first in own else self.task(run)
            for run in runs(self.changes, self.frames, self.form, starts, MOST_CHANGES)
        ]

    def own_task(self, scene: MadeScene, run: Run) -> Task:
        """A scene of the author's.

        Raises:
            MaterialError: it is made here, and the author's code fails.
        """
        make = scene.task if self.code_reaches else scene.task_done_here
        return make(self.form, run.last - run.first)

    def first_frame(self, tick: int) -> int:
        """The first frame that begins at a tick or after it."""
        return frame_count(tick, self.form.rate)

    def task(self, run: Run) -> Task:
        """A run to be encoded."""
        seen = list(self.seen(run))
        key = digest_of("pictures", makers(), self.form, run.last - run.first, seen)
        seconds = PAGE_S + CHANGE_S * len(seen)
        return Task(key, partial(encoded, self.sent, self.form, run), "pictures", seconds, JOIN_S)

    def seen(self, run: Run) -> Iterator[tuple[int, str]]:
        """What is seen in a run: from which of its frames on, and what."""
        first = bisect_right(self.changes, run.first) - 1
        last = bisect_left(self.changes, run.last)
        before = ""
        for change, content in zip(self.changes[first:last], self.contents[first:last], strict=True):
            if content != before:
                yield max(change - run.first, 0), content
            before = content

    @property
    def poster(self) -> Task:
        """The picture that stands for the film."""
        tick = poster_tick(self.timeline)
        key = digest_of("poster", makers(), self.painter.content(self.painter.key(tick)))
        return Task(key, partial(poster_png, self.sent, tick), "poster", PAGE_S, JOIN_S)


def makers() -> tuple[str, str]:
    """What makes pictures: this program with its libraries, and the system's cairo."""
    return tools_digest(), cairocffi.cairo_version_string()


@lru_cache(maxsize=2)
def painter_of(sent: bytes) -> Painter:
    """A painter that was sent here; with it the pages it has engraved."""
    return cast(Painter, pickle.loads(sent))  # from the process that sent the task, not from a file


def encoded(sent: bytes, form: Format, run: Run) -> bytes:
    """A run, packed."""
    return packed(encode_run(painter_of(sent), form, run))


def poster_png(sent: bytes, tick: int) -> bytes:
    """The picture at a tick, as PNG."""
    held = io.BytesIO()
    Image.fromarray(painter_of(sent).rgb(tick)).save(held, format="PNG", optimize=True)
    return held.getvalue()


def poster_tick(timeline: Timeline) -> int:
    """An instant that shows what the lesson is: the first label in sight, else the first bar that sounds."""
    shown = [label.start for label in timeline.labels] or [light.start for light in timeline.lights]
    return min(min(shown, default=0) + POSTER_TICKS_IN, timeline.duration - 1)
