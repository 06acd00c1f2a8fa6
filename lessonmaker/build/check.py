"""Lessons read and checked, without their sound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lessonmaker.build.order import Order, editions_of, interval_of, scored_of
from lessonmaker.build.outputs import ending_of
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.edition import Edition
from lessonmaker.score.read import read_score
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book, BookOverlay, CheckedLesson, Lesson
from lessonmaker.script.pins import beyond_the_take

if TYPE_CHECKING:
    from lessonmaker.video.footage import Footage

__all__ = ["OneExamined", "check_order", "examine_order", "faults_of", "unused_look"]


@dataclass(frozen=True)
class OneExamined:
    """A lesson of an order with its faults; `checked` is None where it could not be read at all."""

    path: Path
    checked: CheckedLesson | None
    faults: tuple[Fault, ...]


def check_order(order: Order) -> tuple[CheckedLesson, ...]:
    """Read and check every lesson of an order, and what the book's lessons share.

    Raises:
        MaterialError: the faults of all of them.
    """
    examined = examine_order(order)
    faults = faults_of(order, examined)
    if faults:
        raise MaterialError(faults)
    return tuple(one.checked for one in examined if one.checked is not None)


def examine_order(order: Order) -> tuple[OneExamined, ...]:
    """Read every lesson of an order, faulty or not: also those that are told in its films."""
    told = (one.lesson for one in order.overlays if one.lesson is not None)
    paths = dict.fromkeys((*order.lessons, *told))
    return tuple(examine_one(path, order.book, order.editions) for path in paths)


def faults_of(order: Order, examined: Sequence[OneExamined]) -> list[Fault]:
    """What is wrong with the lessons of an order, with its films, and with what they share."""
    lessons = (fault for one in examined for fault in one.faults)
    films = (fault for one in order.overlays for fault in faults_of_film(one, order.book))
    return list(dict.fromkeys((*faults_of_shared(order.book), *lessons, *films)))


def faults_of_film(overlay: BookOverlay, book: Book) -> tuple[Fault, ...]:
    """What is wrong with a film that a score is to be laid over, as far as its head and its score say."""
    from lessonmaker.build.overlay import part_of, refuse_code, refuse_unfit  # a second to import

    try:
        lesson = None if overlay.lesson is None else load_lesson(overlay.lesson)
        scored = scored_of(overlay, lesson)
        interval = interval_of(scored.written_for, editions_of(book))
        score = read_score(scored.path, scored.part, interval)
        footage = refuse_unfit(overlay.film, scored.path, score)
        part_of(footage, overlay.start_s, overlay.end_s)
        refuse_code(overlay.code, footage, overlay.places.get("code", overlay.place))
        refuse_lost_sound(overlay, footage)
    except MaterialError as error:
        return error.faults
    return ()


def refuse_lost_sound(overlay: BookOverlay, footage: Footage) -> None:
    """Refuse a kind of file that the film's sound cannot be copied into.

    Raises:
        MaterialError: it cannot.
    """
    from lessonmaker.video.overlay import container_for, lost_sound

    lost = None if overlay.layer else lost_sound(ending_of(overlay), footage)
    if lost is not None:
        todo = f"write `container: {container_for(footage)[1:]}`"
        place = overlay.places.get("container", overlay.place)
        raise MaterialError(Fault(f"{overlay.film.name}: {lost}", todo, place))


def faults_of_shared(book: Book) -> list[Fault]:
    """What is wrong with what the book's lessons share: its pronunciations and its look."""
    return [*faults_of_pronunciations(book), *faults_of_look(book)]


def faults_of_look(book: Book) -> list[Fault]:
    """What is wrong with the book's own look."""
    if book.look is not None:
        from lessonmaker.build.book_look import look_of  # half a second to import, for books that have one

        try:
            look_of(book)
        except MaterialError as error:
            return list(error.faults)
    return []


def unused_look(book: Book) -> list[Fault]:
    """A remark on a look that lies where looks lie, and that the book file does not name."""
    path = book.folder / "shared" / "look.yaml"
    if book.look is not None or not path.is_file():
        return []
    todo = f"write `look: ../shared/look.yaml` in {book.path}"
    return [Fault("this look is not used: the book file does not name it", todo, Place(path))]


def faults_of_pronunciations(book: Book) -> list[Fault]:
    """What is wrong with the book's own pronunciations."""
    own = book.folder / "shared" / "pronunciations.yaml"
    if own.is_file():
        from lessonmaker.sound.pronunciation import read_pronunciations

        try:
            read_pronunciations(own)
        except MaterialError as error:
            return list(error.faults)
    return []


def examine_one(path: Path, book: Book, editions: Sequence[Edition]) -> OneExamined:
    """Read a lesson and its score, and examine every claim."""
    try:
        lesson = load_lesson(path)
        score = read_score(lesson.score, lesson.part, interval_of(lesson.written_for, editions_of(book)))
        examined = examine_lesson(lesson, score, editions)
    except MaterialError as error:
        return OneExamined(path, None, error.faults)
    try:
        beyond = pins_beyond_the_take(lesson)
    except MaterialError as error:
        beyond = error.faults
    return OneExamined(path, examined.checked, (*examined.faults, *beyond))


def pins_beyond_the_take(lesson: Lesson) -> tuple[Fault, ...]:
    """Faults for places that the script pins to times after the take's end.

    Raises:
        MaterialError: the take cannot be read.
    """
    if not lesson.sync or lesson.take is None:
        return ()
    from lessonmaker.sound.read import sound_seconds  # a quarter of a second to import, for pins only

    return beyond_the_take(lesson, sound_seconds(lesson.take))
