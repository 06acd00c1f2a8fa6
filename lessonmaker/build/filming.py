"""A film once its words are spoken: staged, its sound and its pictures asked for, put together and written."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lessonmaker.build.desk import Desk
from lessonmaker.build.joining import Pieces, joined
from lessonmaker.build.lesson import ReadyLesson
from lessonmaker.build.outputs import write_texts
from lessonmaker.build.pictures import FilmPictures
from lessonmaker.build.plan import Made, Planned
from lessonmaker.build.record import FileState, Record, save_record
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.workshop import Line, Part, Task
from lessonmaker.script.model import Book
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.film import FilmInfo

__all__ = ["filmed"]


def filmed(
    desk: Desk, planned: Planned, number: int, lesson: ReadyLesson, before: Sequence[Task]
) -> Line[Made]:
    """What is left of a film's line: what it asks for to be heard and seen, and the film put together.

    Args:
        desk: what the lesson's films share.
        planned: the film.
        number: the how-manieth of the films that are made it is, from 0.
        lesson: the lesson, its words spoken and its take weighed.
        before: the tasks that this took.
    """
    bench, book = desk.bench, planned.book
    scenario = stage(lesson, planned.edition, book, desk.narrator, bench.own.look, desk.scenes(book.size))
    pictures = FilmPictures(scenario.painter, scenario.scenes, bench.files_reach)
    engraving, measuring = pictures.engraving(bench.store), scenario.programme.measuring
    parts = yield [*engraving, *measuring]
    pictures.take_systems(parts[: len(engraving)])
    making = [*pictures.tasks, pictures.poster, *scenario.programme.finishing(parts[len(engraving) :])]
    bench.progress.begin(number)
    parts = yield making
    pieces, poster = pieces_of(planned.outputs.film, scenario, book, pictures, parts)
    yield from joined(pieces, bench.store, bench.files_reach)
    write_texts(planned.outputs, scenario.timeline, poster.read())
    record = record_of(planned, desk, scenario, [*before, *engraving, *measuring, *making])
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


def pieces_of(
    film: Path, scenario: Scenario, book: Book, pictures: FilmPictures, parts: Sequence[Part]
) -> tuple[Pieces, Part]:
    """What a film is put together from, and its poster; its parts are runs, poster and stretches of sound."""
    programme, timeline = scenario.programme, scenario.timeline
    heard = len(parts) - len(programme.stretches)
    *seen, poster = parts[:heard]
    info = FilmInfo(
        f"{timeline.title} ({timeline.edition})",
        book.author or timeline.composer,
        book.title,
        timeline.duration,
        timeline.chapters,
    )
    starts = [stretch.start for stretch in programme.stretches]
    return Pieces(film, seen, parts[heard:], starts, programme.frames, pictures.form, info), poster
