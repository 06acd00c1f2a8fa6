"""Films of lessons in editions: each prepared here, its parts made by workers or kept from before, then joined."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path

from lessonmaker.build.check import check_order
from lessonmaker.build.fits import FOLDER as FITS
from lessonmaker.build.fits import KeptFits
from lessonmaker.build.lesson import ReadyLesson, ready_lesson
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, editions_said
from lessonmaker.build.outputs import Outputs, outputs_for, safe_name, write_texts
from lessonmaker.build.pictures import FilmPictures
from lessonmaker.build.progress import Progress
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.build.voice import Voice
from lessonmaker.build.workshop import Line, Part, Workshop, worker_pool
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import remove_abandoned
from lessonmaker.score.edition import Decision, Edition
from lessonmaker.script.model import Book, CheckedLesson
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.film import FilmInfo, join_film

__all__ = ["Made", "build_order"]

UNDER_WAY = 3


@dataclass(frozen=True)
class Made:
    """A finished film, what was noteworthy on the way, and what the copyist decided for its edition (by its id)."""

    lesson: str
    edition: str
    outputs: Outputs
    seconds: float
    remarks: tuple[Fault, ...]
    decisions: tuple[Decision, ...]


@dataclass
class Bench:
    """What the films of a build share."""

    order: Order
    output: Path
    progress: Progress
    voice: Voice
    store: Store
    kept: KeptFits


@dataclass(eq=False)
class Desk:
    """What the films of one lesson share, made when the first of them is begun."""

    bench: Bench
    checked: CheckedLesson

    @property
    def name(self) -> str:
        """The lesson's name."""
        return self.checked.lesson.path.stem

    @cached_property
    def lesson(self) -> ReadyLesson:
        """The lesson with its take fitted."""
        return ready_lesson(
            self.checked, self.bench.kept, partial(self.bench.progress.step, f"{self.name}: fitting the take")
        )

    @cached_property
    def narrator(self) -> Narrator:
        """The lesson's voices."""
        return narrator_of(
            self.checked,
            editions_said(self.bench.order),
            Voice(self.bench.voice.settings),
            partial(self.bench.progress.listening, self.name),
            self.bench.order.book.longest_pause_s,
            self.bench.store,
        )


def build_order(order: Order, output: Path, progress: Progress) -> Iterator[Made]:
    """Make every film of an order, in the order in which they get ready; all lessons are checked before the first.

    Raises:
        MaterialError: a lesson is faulty; films made before stay.
        OSError: a file cannot be written.
    """
    refuse_same_names(order)
    checked = check_order(order)
    store = Store(output / STORE)
    bench = Bench(order, output, progress, Voice.of(order.book), store, KeptFits(output / FITS))
    progress.films = len(checked) * len(order.editions)
    remove_abandoned(output)
    width = os.cpu_count() or 1
    with worker_pool(width) as workers:
        yield from workshop(bench, workers, width).work(lines(bench, checked))


def workshop(bench: Bench, workers: Executor, width: int) -> Workshop[Made]:
    """Where the parts of a build are made."""
    return Workshop(workers, width, bench.store, bench.progress, UNDER_WAY)


def lines(bench: Bench, checked: Sequence[CheckedLesson]) -> Iterator[Line[Made]]:
    """A line a film, lesson by lesson."""
    for one in checked:
        desk = Desk(bench, one)
        for edition in bench.order.editions:
            yield film_line(desk, edition)


def film_line(desk: Desk, edition: Edition) -> Line[Made]:
    """All that a film asks for, in three steps: what is said, what is seen and heard, and the film put together."""
    bench = desk.bench
    outputs = outputs_for(bench.output, edition.id, desk.name)
    lesson, narrator = desk.lesson, desk.narrator
    bench.progress.step(f"{desk.name}, {edition.label}: speaking, laying out")
    asked = [(words, one.path if one else None) for words, one in narrator.asked(edition.id)]
    spoken = yield [narrator.voice.task(words, path) for words, path in asked]
    for (words, path), part in zip(asked, spoken, strict=True):
        narrator.voice.take(words, path, part)
    scenario = stage(lesson, edition, bench.order.book, narrator)
    pictures = FilmPictures(scenario.painter)
    bench.progress.begin()
    parts = yield [*pictures.tasks, pictures.poster, scenario.programme.task]
    write_all(outputs, scenario, bench.order.book, pictures, parts)
    bench.progress.finished()
    return Made(
        desk.name,
        edition.id,
        outputs,
        scenario.timeline.duration / TICKS_PER_SECOND,
        scenario.remarks,
        scenario.decisions,
    )


def write_all(
    outputs: Outputs, scenario: Scenario, book: Book, pictures: FilmPictures, parts: Sequence[Part]
) -> None:
    """Write a film and what goes with it; its parts are its runs, its poster and its sound."""
    *seen, poster, sound = parts
    timeline = scenario.timeline
    info = FilmInfo(
        f"{timeline.title} ({timeline.edition})",
        book.author or timeline.composer,
        book.title,
        timeline.duration,
        timeline.chapters,
    )
    join_film(outputs.film, (part.read() for part in seen), sound.read(), pictures.form, info)
    write_texts(outputs, timeline, poster.read())


def refuse_same_names(order: Order) -> None:
    """Two lessons whose files would have one name would overwrite each other.

    Raises:
        MaterialError: there are such lessons.
    """
    by_name: dict[str, Path] = {}
    for path in order.lessons:
        other = by_name.setdefault(safe_name(path.stem), path)
        if other != path:
            what = f"{path.name} and {other.name} would both be made as {safe_name(path.stem)}.mp4"
            raise MaterialError(Fault(what, "rename one of the two", Place(path)))
