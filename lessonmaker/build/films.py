"""Films of lessons in editions: each prepared here, its parts made by workers or kept from before, then joined.

What is needed before workers have something to do is imported first; the rest (`filming`) while they do it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from importlib import import_module
from itertools import groupby
from pathlib import Path

from lessonmaker.build.check import check_order, unused_look
from lessonmaker.build.desk import Bench, Desk
from lessonmaker.build.fits import FOLDER as FITS
from lessonmaker.build.fits import KeptFits
from lessonmaker.build.order import Order
from lessonmaker.build.outputs import make_place
from lessonmaker.build.own_code import refuse_code
from lessonmaker.build.plan import Made, Planned
from lessonmaker.build.progress import Progress
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.build.voice import Voice
from lessonmaker.build.workers import Workers
from lessonmaker.build.workshop import Line, Workshop
from lessonmaker.files import remove_abandoned
from lessonmaker.script.model import CheckedLesson

__all__ = ["make_films"]

UNDER_WAY = 4


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
    if workers.require_fonts is not None:
        workers.require_fonts([face.file for face in bench.own.look.faces.values()])
    remove_abandoned(output)
    progress.width = workers.width
    shop: Workshop[Made] = Workshop(
        workers.executor, workers.width, bench.store, progress, UNDER_WAY, partial(get_ready, bench)
    )
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


def get_ready(bench: Bench) -> None:
    """Import and read what films are staged with, and tell what is to be said of the book's look."""
    import_module("lessonmaker.build.filming")
    for remark in (*unused_look(bench.order.book), *bench.own.remarks):
        bench.progress.remark(remark)


def film_line(desk: Desk, planned: Planned, number: int) -> Line[Made]:
    """All that a film asks for: the take's fit, what its recordings hold, what is said; then what is heard and seen."""
    make_place(planned.outputs)
    fitting = desk.asked()
    lesson, narrator = desk.made_ready((yield fitting)), desk.narrator
    desk.bench.progress.step(f"{', '.join((desk.name, *planned.kept_apart_by))}: speaking, laying out")
    hearing = yield from desk.hearing(planned.edition.id)
    asked = narrator.asked(planned.edition.id)
    speaking = [narrator.voice.task(saying) for saying in asked]
    weighing = [] if lesson.take is None else [lesson.take.weighing]
    parts = yield [*speaking, *weighing]
    for saying, part in zip(asked, parts, strict=False):
        narrator.voice.take(saying, part)
    if lesson.take is not None:
        lesson = replace(lesson, take=lesson.take.weighed_by(parts[-1]))
    from lessonmaker.build.filming import filmed  # a second to import; see get_ready

    return (yield from filmed(desk, planned, number, lesson, [*fitting, *hearing, *speaking, *weighing]))
