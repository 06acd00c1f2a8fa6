"""What the films of a build share, and the films of a lesson."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from lessonmaker.build.fits import KeptFits, Wanted
from lessonmaker.build.lesson import ReadyLesson, fit_task, wanted_of, with_fit
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, editions_said
from lessonmaker.build.progress import Progress
from lessonmaker.build.reasons import bar_digests
from lessonmaker.build.store import Store
from lessonmaker.build.voice import Voice
from lessonmaker.build.workshop import Line, Part, Task
from lessonmaker.faults import Fault
from lessonmaker.script.model import CheckedLesson, Recording
from lessonmaker.sound.breaths import VoiceSettings
from lessonmaker.sound.model import Fit

if TYPE_CHECKING:
    from lessonmaker.build.own_scenes import MadeScene
    from lessonmaker.picture.own_look import OwnLook

__all__ = ["Bench", "Desk"]


@dataclass
class Bench:
    """What the films of a build share; `files_reach` says whether workers have the book's own files."""

    order: Order
    progress: Progress
    voice: VoiceSettings
    store: Store
    kept: KeptFits
    files_reach: bool

    @cached_property
    def own(self) -> OwnLook:
        """The book's look.

        Raises:
            MaterialError: it has faults.
        """
        from lessonmaker.build.book_look import look_of  # half a second to import

        return look_of(self.order.book)


@dataclass(eq=False)
class Desk:
    """What the films of one lesson share, made when the first of them is begun."""

    bench: Bench
    checked: CheckedLesson
    ready: ReadyLesson | None = None
    made_scenes: dict[tuple[int, int], Mapping[int, MadeScene]] = field(default_factory=dict)
    told_of: set[str] = field(default_factory=set)

    @property
    def name(self) -> str:
        """The lesson's name."""
        return self.checked.lesson.path.stem

    @cached_property
    def wanted(self) -> Wanted:
        """The fit that the lesson wants, if it has a take."""
        return wanted_of(self.checked)

    @cached_property
    def kept_fit(self) -> tuple[Fit | None, tuple[Fault, ...]]:
        """The fit of it that is kept, and what is said of one that is not used."""
        return self.bench.kept.kept(self.wanted)

    @cached_property
    def fitting(self) -> list[Task]:
        """The take's fit, where none is kept.

        Raises:
            MaterialError: the take cannot be read.
        """
        if self.checked.lesson.take is None or self.kept_fit[0] is not None:
            return []
        self.bench.progress.step(f"{self.name}: fitting the take")
        return [fit_task(self.wanted, self.bench.files_reach)]

    def asked(self) -> list[Task]:
        """What has to be made before the lesson is ready."""
        return [] if self.ready else self.fitting

    def made_ready(self, parts: Sequence[Part]) -> ReadyLesson:
        """The lesson with its take fitted, from what it asked for.

        Raises:
            MaterialError: the take is not of this score.
        """
        if self.ready is None:
            self.ready = self.with_take(parts)
        return self.ready

    def with_take(self, parts: Sequence[Part]) -> ReadyLesson:
        """The lesson with its take fitted, if it has one."""
        if self.checked.lesson.take is None:
            return ReadyLesson(self.checked)
        fit, said = self.kept_fit
        if fit is None:
            text = parts[0].read().decode()
            self.bench.store.drop(parts[0].task.key)  # it has a place of its own
            fit, more = self.bench.kept.made(self.wanted, text)
            said += more
        return with_fit(self.checked, fit, said)

    @cached_property
    def narrator(self) -> Narrator:
        """The lesson's voices."""
        return narrator_of(
            self.checked,
            editions_said(self.bench.order),
            Voice(self.bench.voice),
            longest_pause_s=self.bench.order.book.longest_pause_s,
            by_tasks=True,
        )

    def hearing(self, edition: str) -> Line[list[Task]]:
        """Have the recordings listened to that it takes to know who says the cues of an edition.

        Raises:
            MaterialError: a recording cannot be read.
        """
        listener, heard = self.narrator.listener, list[Task]()
        while wanted := self.narrator.to_hear(edition):
            tasks = [listener.task(*one) for one in wanted]
            for (recording, _), task in zip(wanted, tasks, strict=True):
                self.tell_of(recording, task)
            for one, part in zip(wanted, (yield tasks), strict=True):
                listener.take(*one, part)
            heard += tasks
        return heard

    def tell_of(self, recording: Recording, task: Task) -> None:
        """Say once that a recording is listened to, if it is."""
        if task.key not in self.told_of and not self.bench.store.holds(task.key):
            self.bench.progress.listening(self.name, recording.path.name)
        self.told_of.add(task.key)

    def scenes(self, size: tuple[int, int]) -> Mapping[int, MadeScene]:
        """The author's own scenes in a size, made by code that was allowed, once."""
        if size not in self.made_scenes:
            self.made_scenes[size] = self.scenes_made(size)
        return self.made_scenes[size]

    def scenes_made(self, size: tuple[int, int]) -> Mapping[int, MadeScene]:
        """The author's own scenes in a size, made now."""
        if all(cue.cue.scene is None for cue in self.checked.cues):
            return {}
        from lessonmaker.build.own_scenes import made_scenes  # half a second to import, for such scenes only

        where = "" if self.bench.files_reach else " here, as workers have not got their code"
        self.bench.progress.step(f"{self.name}: making its own scenes{where}")
        return made_scenes(self.checked, size)

    @cached_property
    def bars(self) -> dict[str, str]:
        """What stands in the score's bars, for the records."""
        return bar_digests(self.checked.score)
