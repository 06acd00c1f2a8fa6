"""Films that a book has its score laid over: one after the other, each fitted and decoded once for its editions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from pathlib import Path

from lessonmaker.build.book_look import look_of
from lessonmaker.build.check import check_order
from lessonmaker.build.fits import FOLDER as FITS
from lessonmaker.build.fits import KeptFits, Wanted
from lessonmaker.build.layer import make_layer
from lessonmaker.build.lesson import fit_lesson
from lessonmaker.build.order import Order, Scored, editions_of, interval_of
from lessonmaker.build.outputs import make_place
from lessonmaker.build.overlay import (
    FittedFilm,
    KeptFilm,
    Overlaid,
    Overlay,
    fitted_film,
    make_versions,
    part_of,
    pins_in,
    refuse_unfit,
    seconds_of_work,
)
from lessonmaker.build.overlay_plan import PlannedOverlay
from lessonmaker.build.plan import Made
from lessonmaker.build.progress import Progress
from lessonmaker.build.reasons import bar_digests
from lessonmaker.build.record import FileState, Record, save_record
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault
from lessonmaker.files import remove_abandoned
from lessonmaker.picture.look import Look
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.model import Book, BookOverlay, CheckedLesson
from lessonmaker.sound.model import Fit
from lessonmaker.video.poster import write_poster

__all__ = ["make_overlays"]

AT_ONCE = 4  # editions made from one decoding: each holds an encoder's frames in memory


@dataclass(eq=False)
class Reel:
    """What the editions of one film share, made when the first of them is begun; `lesson` is told in them."""

    overlay: BookOverlay
    scored: Scored
    lesson: CheckedLesson | None
    book: Book
    kept: KeptFits
    store: Store
    progress: Progress

    @cached_property
    def score(self) -> Score:
        """The score, with the lesson's own changes where it has some."""
        if self.lesson is not None:
            return self.lesson.score
        interval = interval_of(self.scored.written_for, editions_of(self.book))
        return read_score(self.scored.path, self.scored.part, interval)

    @cached_property
    def fitted(self) -> FittedFilm:
        """The film with its sound fitted."""
        footage = refuse_unfit(self.overlay.film, self.scored.path, self.score)
        return fitted_film(footage, self.scored.path, self.score, self.fit, self.overlay.end_s)

    def fit(self) -> tuple[Fit, tuple[Fault, ...]]:
        """The kept fit of the film's sound, or a new one, and what is to be said of the kept one."""
        film = self.overlay.film
        anchors = () if self.lesson is None else pins_in(film, self.lesson)

        def make() -> Fit:
            self.progress.step(f"{film.name}: fitting its sound")
            return fit_lesson(self.score, film, anchors)

        return self.kept.fit(Wanted(self.overlay.name, self.score, film, anchors), make, list(self.others))

    @property
    def others(self) -> Iterator[str]:
        """What else in the book may have the film's fit: other films made of it, and the lessons told in them."""
        for overlay in self.book.overlays:
            if overlay.film == self.overlay.film:
                yield overlay.name
                if overlay.lesson is not None:
                    yield overlay.lesson.stem

    @cached_property
    def look(self) -> Look:
        """The book's look."""
        return look_of(self.book).look

    @property
    def work_s(self) -> float:
        """About how long an edition takes one processor."""
        footage = self.fitted.footage
        return seconds_of_work(footage, part_of(footage, self.overlay.start_s, self.overlay.end_s))

    @cached_property
    def bars(self) -> dict[str, str]:
        """What stands in the score's bars, for the records."""
        return bar_digests(self.score)


def make_overlays(
    order: Order, planned: Sequence[PlannedOverlay], output: Path, progress: Progress
) -> Iterator[Made]:
    """Make films of an order that a score is laid over; they are all looked at before the first is begun.

    Args:
        order: what is asked for.
        planned: the films that are to be made, film by film.
        output: the folder for films and fits.
        progress: told how far it is.

    Raises:
        MaterialError: a film or its score cannot be used; films made before stay.
        OSError: a file cannot be written.
    """
    overlays = tuple(dict.fromkeys(one.overlay for one in planned))
    checked = {one.lesson.path: one for one in check_order(replace(order, lessons=(), overlays=overlays))}
    remove_abandoned(output)
    store = Store(output / STORE)
    for overlay, films in groupby(planned, key=lambda one: one.overlay):
        first, *others = films
        lesson = None if overlay.lesson is None else checked[overlay.lesson]
        reel = Reel(overlay, first.scored, lesson, order.book, KeptFits(output / FITS), store, progress)
        for some in batched((first, *others), AT_ONCE):
            yield from made(some, reel)
    for remark in store.remarks:
        progress.remark(remark)


def batched(films: Sequence[PlannedOverlay], most: int) -> Iterator[Sequence[PlannedOverlay]]:
    """The films in order, some at a time."""
    for start in range(0, len(films), most):
        yield films[start : start + most]


def made(films: Sequence[PlannedOverlay], reel: Reel) -> Iterator[Made]:
    """Editions of a film, made from one decoding."""
    orders = [order_of(one, reel) for one in films]
    fitted = reel.fitted
    named = ", ".join(one.edition.label for one in films)
    doing = "drawing the score as a layer" if reel.overlay.layer else "laying the score over the film"
    reel.progress.step(f"{reel.overlay.name}, {named}: {doing}")
    kept = KeptFilm(reel.store, digest_of(films[0].now.tools, films[0].now.digests["film"]))
    for planned, done in zip(films, make_all(orders, fitted, reel.progress, kept), strict=True):
        if planned.outputs.poster is not None:
            write_poster(planned.outputs.poster, planned.outputs.film, done.plays_at_s)
        record = record_of(planned, reel, done)
        save_record(record, planned.record)
        yield Made(planned, record)


def make_all(
    orders: Sequence[Overlay], fitted: FittedFilm, progress: Progress, kept: KeptFilm
) -> Iterator[Overlaid]:
    """Films together; layers, which decode nothing, one by one."""
    if orders[0].layer:
        yield from (make_layer(order, fitted, progress) for order in orders)
    else:
        yield from make_versions(orders, fitted, progress, kept)


def order_of(planned: PlannedOverlay, reel: Reel) -> Overlay:
    """What is to be made of a film in an edition."""
    overlay = planned.overlay
    make_place(planned.outputs)
    return Overlay(
        film=overlay.film,
        score=reel.scored.path,
        edition=planned.edition,
        output=planned.outputs.film,
        style=overlay.style,
        start_s=overlay.start_s,
        end_s=overlay.end_s,
        look=reel.look,
        lesson=reel.lesson,
        layer=overlay.layer,
        code=overlay.code,
    )


def record_of(planned: PlannedOverlay, reel: Reel, done: Overlaid) -> Record:
    """What is kept of a film that has been made."""
    return Record(
        sources=planned.now,
        bars=reel.bars,
        outputs={path.name: FileState.of(path) for path in planned.outputs.files},
        seconds=done.seconds,
        work_s=reel.work_s,
        remarks=done.remarks,
        decisions=done.decisions,
    )
