"""Films of lessons in editions: each prepared here, its parts made by workers or kept from before, then joined."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from lessonmaker.build.book_look import look_of
from lessonmaker.build.check import check_order
from lessonmaker.build.fits import FOLDER as FITS
from lessonmaker.build.fits import KeptFits, Wanted
from lessonmaker.build.lesson import ReadyLesson, fit_task, wanted_of, with_fit
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, editions_said
from lessonmaker.build.outputs import Outputs, make_place, write_texts
from lessonmaker.build.own_code import refuse_code
from lessonmaker.build.pictures import FilmPictures
from lessonmaker.build.plan import Made, Planned
from lessonmaker.build.progress import Progress
from lessonmaker.build.reasons import bar_digests
from lessonmaker.build.record import FileState, Record, save_record
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.build.voice import Voice
from lessonmaker.build.workers import Workers
from lessonmaker.build.workshop import Line, Part, Task, Workshop
from lessonmaker.faults import Fault
from lessonmaker.files import remove_abandoned
from lessonmaker.picture.own_look import OwnLook
from lessonmaker.script.model import Book, CheckedLesson
from lessonmaker.sound.breaths import VoiceSettings
from lessonmaker.sound.model import Fit
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.film import FilmInfo, join_film

if TYPE_CHECKING:
    from lessonmaker.build.own_scenes import MadeScene

__all__ = ["make_films"]

UNDER_WAY = 4


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
        """The book's look."""
        return look_of(self.order.book)


@dataclass(eq=False)
class Desk:
    """What the films of one lesson share, made when the first of them is begun."""

    bench: Bench
    checked: CheckedLesson
    ready: ReadyLesson | None = None
    made_scenes: dict[tuple[int, int], Mapping[int, MadeScene]] = field(default_factory=dict)

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
            partial(self.bench.progress.listening, self.name),
            self.bench.order.book.longest_pause_s,
            self.bench.store,
        )

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

        self.bench.progress.step(f"{self.name}: making its own scenes")
        return made_scenes(self.checked, size)

    @cached_property
    def bars(self) -> dict[str, str]:
        """What stands in the score's bars, for the records."""
        return bar_digests(self.checked.score)


def make_films(
    order: Order, planned: Sequence[Planned], output: Path, progress: Progress, workers: Workers
) -> Iterator[Made]:
    """Make films of an order, in the order in which they get ready; their lessons are checked before the first.

    Args:
        order: what is asked for.
        planned: the films that are to be made, lesson by lesson.
        output: the folder for films, fits and parts.
        progress: told how far it is.
        workers: make the parts.

    Raises:
        MaterialError: a lesson is faulty, or shows scenes made by code that is not allowed; the workers have not the
            look's fonts, or are lost; films made before stay.
        OSError: a file cannot be written.
    """
    paths = tuple(dict.fromkeys(one.lesson.path for one in planned))
    bench = Bench(
        order,
        progress,
        Voice.of(order.book).settings,
        Store(output / STORE),
        KeptFits(output / FITS),
        files_reach=workers.here,
    )
    every = check_order(replace(order, lessons=paths))
    checked = [one for one in every if one.lesson.path in paths]
    if not order.allow_code:
        refuse_code(checked)
    workers.require_fonts([face.file for face in bench.own.look.faces.values()])
    for remark in bench.own.remarks:
        progress.remark(remark)
    remove_abandoned(output)
    progress.width = workers.width
    shop: Workshop[Made] = Workshop(workers.executor, workers.width, bench.store, progress, UNDER_WAY)
    yield from shop.work(lines(bench, checked, planned))
    for remark in bench.store.remarks:
        progress.remark(remark)


def lines(bench: Bench, checked: Sequence[CheckedLesson], planned: Sequence[Planned]) -> Iterator[Line[Made]]:
    """A line a film, lesson by lesson."""
    by_path = {one.lesson.path: one for one in checked}
    for path, films in groupby(enumerate(planned), key=lambda one: one[1].lesson.path):
        desk = Desk(bench, by_path[path])
        for number, one in films:
            yield film_line(desk, one, number)


def film_line(desk: Desk, planned: Planned, number: int) -> Line[Made]:
    """All that a film asks for: the take's fit, what is said, heard and seen; then the film put together."""
    bench, edition, book = desk.bench, planned.edition, planned.book
    make_place(planned.outputs)
    fitting = desk.asked()
    lesson, narrator = desk.made_ready((yield fitting)), desk.narrator
    bench.progress.step(f"{', '.join((desk.name, *planned.kept_apart_by))}: speaking, laying out")
    asked = narrator.asked(edition.id)
    speaking = [narrator.voice.task(saying) for saying in asked]
    weighing = [] if lesson.take is None else [lesson.take.weighing]
    parts = yield [*speaking, *weighing]
    for saying, part in zip(asked, parts, strict=False):
        narrator.voice.take(saying, part)
    if lesson.take is not None:
        lesson = replace(lesson, take=lesson.take.weighed_by(parts[-1]))
    scenario = stage(lesson, edition, book, narrator, bench.own.look, desk.scenes(book.size))
    pictures = FilmPictures(scenario.painter, scenario.scenes, bench.files_reach)
    measuring = scenario.programme.measuring
    levels = yield measuring
    making = [*pictures.tasks, pictures.poster, *scenario.programme.finishing(levels)]
    bench.progress.begin(number)
    parts = yield making
    write_all(planned.outputs, scenario, book, pictures, parts)
    record = record_of(planned, desk, scenario, [*fitting, *speaking, *weighing, *measuring, *making])
    save_record(record, planned.record)
    bench.progress.finished(number)
    return Made(planned, record)


def record_of(planned: Planned, desk: Desk, scenario: Scenario, tasks: Sequence[Task]) -> Record:
    """What is kept of a film that has been made."""
    return Record(
        sources=planned.now,
        bars=desk.bars,
        outputs={path.name: FileState.of(path) for path in planned.outputs.files},
        seconds=scenario.timeline.duration / TICKS_PER_SECOND,
        work_s=sum(task.seconds for task in tasks),
        remarks=scenario.remarks,
        decisions=scenario.decisions,
    )


def write_all(
    outputs: Outputs, scenario: Scenario, book: Book, pictures: FilmPictures, parts: Sequence[Part]
) -> None:
    """Write a film and what goes with it; its parts are its runs, its poster and the stretches of its sound."""
    heard = len(scenario.programme.stretches)
    *seen, poster = parts[: len(parts) - heard]
    timeline = scenario.timeline
    info = FilmInfo(
        f"{timeline.title} ({timeline.edition})",
        book.author or timeline.composer,
        book.title,
        timeline.duration,
        timeline.chapters,
    )
    packets = scenario.programme.packets(parts[len(parts) - heard :])
    join_film(outputs.film, (part.read() for part in seen), packets, pictures.form, info)
    write_texts(outputs, timeline, poster.read())
