"""Lessons read and checked, without their sound."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lessonmaker.build.order import Order, editions_of, interval_of
from lessonmaker.faults import Fault, MaterialError
from lessonmaker.score.edition import Edition
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book, CheckedLesson, Lesson
from lessonmaker.script.pins import beyond_the_take

__all__ = ["check_order"]


def check_order(order: Order) -> tuple[CheckedLesson, ...]:
    """Read and check every lesson of an order, and what the book's lessons share.

    Raises:
        MaterialError: the faults of all of them.
    """
    faults = faults_of_pronunciations(order.book)
    checked: list[CheckedLesson] = []
    for path in order.lessons:
        try:
            checked.append(check_one(path, order.book, order.editions))
        except MaterialError as error:
            faults.extend(error.faults)
    if faults:
        raise MaterialError(faults)
    return tuple(checked)


def faults_of_pronunciations(book: Book) -> list[Fault]:
    """What is wrong with the book's own pronunciations."""
    own = book.folder / "shared" / "pronunciations.yaml"
    if own.is_file():
        from lessonmaker.sound.pronunciation import read_pronunciations  # half a second to import

        try:
            read_pronunciations(own)
        except MaterialError as error:
            return list(error.faults)
    return []


def check_one(path: Path, book: Book, editions: Sequence[Edition]) -> CheckedLesson:
    """Read a lesson and its score, and check every claim.

    Raises:
        MaterialError: everything that is wrong.
    """
    lesson = load_lesson(path)
    score = read_score(lesson.score, lesson.part, interval_of(lesson.written_for, editions_of(book)))
    beyond = pins_beyond_the_take(lesson)
    try:
        checked = check_lesson(lesson, score, editions)
    except MaterialError as error:
        raise MaterialError((*error.faults, *beyond)) from None
    if beyond:
        raise MaterialError(beyond)
    return checked


def pins_beyond_the_take(lesson: Lesson) -> tuple[Fault, ...]:
    """Faults for places that the script pins to times after the take's end.

    Raises:
        MaterialError: the take cannot be read.
    """
    if not lesson.sync or lesson.take is None:
        return ()
    from lessonmaker.sound.read import sound_seconds  # a quarter of a second to import, for pins only

    return beyond_the_take(lesson, sound_seconds(lesson.take))
