"""The pictures of a film as tasks: a run a task, each known by what is seen in it, wherever it stands."""

from __future__ import annotations

import io
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import TYPE_CHECKING

import cairocffi
from PIL import Image

from lessonmaker.build.painters import painter_of, painter_sent
from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.store import Store
from lessonmaker.build.systems import FilmSystems, parsed
from lessonmaker.build.workshop import JOIN_S, Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.sight import pages_in
from lessonmaker.timeline.model import TICKS_PER_SECOND, Timeline
from lessonmaker.video.encode import Format, Run, encode_run, frame_to_tick, packed, runs
from lessonmaker.video.film import frame_count

if TYPE_CHECKING:  # its import takes workers half a second
    from lessonmaker.build.own_scenes import MadeScene

__all__ = ["FilmPictures"]

MOST_CHANGES = 250
CHANGE_S, PAGE_S = 0.008, 0.3
"""About how long it takes to paint and encode a change, and to begin a page."""
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
    def shown(self) -> list[tuple[str, frozenset[int]]]:
        """What is seen from each change on, as a digest, and the pages that are in sight."""
        return [self.shown_on(frame_to_tick(change, self.form.rate)) for change in self.changes]

    def shown_on(self, tick: int) -> tuple[str, frozenset[int]]:
        """What is seen at a tick, as a digest, and the pages that are in sight."""
        key = self.painter.key(tick)
        return self.painter.content(key), pages_in(key)

    @cached_property
    def sent(self) -> bytes:
        """The painter as it is sent to workers."""
        return painter_sent(self.painter)

    @cached_property
    def systems(self) -> FilmSystems:
        """What is engraved of its pages."""
        return FilmSystems(self.painter, self.sent)

    @cached_property
    def runs(self) -> Sequence[Run]:
        """The runs, in order: scenes, long ones in parts."""
        starts = [self.first_frame(scene.start) for scene in self.timeline.scenes]
        return runs(self.changes, self.frames, self.form, starts, MOST_CHANGES)

    @cached_property
    def own(self) -> dict[int, MadeScene]:
        """The author's scenes, by their first frames."""
        return {
            self.first_frame(cue.start): self.scenes[cue.number - 1]
            for cue in self.timeline.cues
            if cue.number - 1 in self.scenes
        }

    @cached_property
    def painted(self) -> dict[Run, list[tuple[int, str]]]:
        """What is seen in each run that is not the author's."""
        return {run: list(self.seen(run)) for run in self.runs if run.first not in self.own}

    @cached_property
    def keys(self) -> dict[Run, str]:
        """All that each of these depends on, as a digest."""
        return {
            run: digest_of("pictures", makers(), self.form, run.last - run.first, seen)
            for run, seen in self.painted.items()
        }

    def engraving(self, store: Store) -> list[Task]:
        """The systems that are wanted for what has to be painted, and to see which signs have room."""
        missing = [run for run, key in self.keys.items() if not store.holds(key)]
        pages = {page for run in missing for page in self.pages(run)}.union(self.painter.signed_pages)
        if not store.holds(self.poster_key):
            pages |= self.poster_shown[1]
        return self.systems.tasks(pages)

    def take_systems(self, parts: Sequence[Part]) -> None:
        """Take the systems that were wanted."""
        self.systems.take(parts)
        self.painter.engraver.kept = parsed(self.systems.on(self.painter.signed_pages))

    @property
    def tasks(self) -> list[Task]:
        """The runs to be encoded, in order; systems that were not taken are engraved where they are painted."""
        return [
            self.own_task(self.own[run.first], run) if run.first in self.own else self.task(run)
            for run in self.runs
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
        seconds = PAGE_S + CHANGE_S * len(self.painted[run])
        work = partial(encoded, self.sent, self.systems.on(self.pages(run)), self.form, run)
        return Task(self.keys[run], work, "pictures", seconds, JOIN_S)

    def within(self, run: Run) -> slice:
        """Which changes belong to a run."""
        return slice(bisect_right(self.changes, run.first) - 1, bisect_left(self.changes, run.last))

    def pages(self, run: Run) -> set[int]:
        """The pages that are seen in a run."""
        return {page for _, pages in self.shown[self.within(run)] for page in pages}

    def seen(self, run: Run) -> Iterator[tuple[int, str]]:
        """What is seen in a run: from which of its frames on, and what."""
        within, before = self.within(run), ""
        for change, (content, _) in zip(self.changes[within], self.shown[within], strict=True):
            if content != before:
                yield max(change - run.first, 0), content
            before = content

    @property
    def poster(self) -> Task:
        """The picture that stands for the film."""
        work = partial(poster_png, self.sent, self.systems.on(self.poster_shown[1]), self.poster_tick)
        return Task(self.poster_key, work, "poster", PAGE_S, JOIN_S)

    @cached_property
    def poster_key(self) -> str:
        """All that the poster depends on, as a digest."""
        return digest_of("poster", makers(), self.poster_shown[0])

    @cached_property
    def poster_shown(self) -> tuple[str, frozenset[int]]:
        """What the poster shows."""
        return self.shown_on(self.poster_tick)

    @cached_property
    def poster_tick(self) -> int:
        """An instant that shows what the lesson is: the first label in sight, else the first bar that sounds."""
        timeline = self.timeline
        shown = [label.start for label in timeline.labels] or [light.start for light in timeline.lights]
        return min(min(shown, default=0) + POSTER_TICKS_IN, timeline.duration - 1)


def makers() -> tuple[str, str]:
    """What makes pictures: this program with its libraries, and the system's cairo."""
    return tools_digest(), cairocffi.cairo_version_string()


def encoded(sent: bytes, systems: Sequence[bytes], form: Format, run: Run) -> bytes:
    """A run, packed."""
    return packed(encode_run(knowing(sent, systems), form, run))


def poster_png(sent: bytes, systems: Sequence[bytes], tick: int) -> bytes:
    """The picture at a tick, as PNG."""
    held = io.BytesIO()
    Image.fromarray(knowing(sent, systems).rgb(tick)).save(held, format="PNG", optimize=True)
    return held.getvalue()


def knowing(sent: bytes, systems: Sequence[bytes]) -> Painter:
    """A painter that was sent here, with systems that it need not engrave."""
    painter = painter_of(sent)
    painter.engraver.kept = parsed(systems)
    return painter
