"""A book's look: its own, if the book file names one, else the standard one; and what does not fit into it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path

from lessonmaker.build.order import Order
from lessonmaker.faults import Fault, Place
from lessonmaker.picture.figures import Frame
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.own_look import OwnLook, read_own_look
from lessonmaker.picture.remarks import remarks_on_texts
from lessonmaker.script.model import Book, CheckedLesson
from lessonmaker.timeline.compile import titled

__all__ = ["in_shape", "look_of", "remarks_on_look"]


def look_of(book: Book) -> OwnLook:
    """The look of a book's films.

    Raises:
        MaterialError: its own look has faults.
    """
    if book.look is None:
        return OwnLook(standard_look())
    return read_own_look(book.look, book.folder, {"book": book.title, "author": book.author})


def in_shape(shape: str, remarks: Iterable[Fault]) -> tuple[Fault, ...]:
    """Remarks on pictures of a shape: they name it, where it is not that of the book's first size."""
    return tuple(replace(one, what=f"{shape}, {one.what}") if shape else one for one in remarks)


def remarks_on_look(order: Order, lessons: Sequence[CheckedLesson]) -> Iterator[Fault]:
    """What is noteworthy of a book's own look, and what of the lessons' titles does not fit into it.

    A card's key is that of the score's own page here; each film says what does not fit in its edition.

    Raises:
        MaterialError: the look has faults.
    """
    own = look_of(order.book)
    yield from own.remarks
    said: dict[tuple[str, str], list[Path]] = {}
    for book, lesson in product(order.book.in_sizes, lessons):
        frame = Frame(own.look.fitted(book.size))
        titles = (titled(lesson.lesson, lesson.score, edition.label) for edition in order.editions)
        remarks = [found for each in titles for found in remarks_on_texts(frame, each, lesson.score)]
        for one in dict.fromkeys((remark.what, remark.todo) for remark in in_shape(book.shape, remarks)):
            said.setdefault(one, []).append(lesson.lesson.path)
    for (what, todo), paths in said.items():
        every = len(paths) == len(lessons) > 1  # it is no lesson's own then
        yield Fault(what, todo, Place(order.book.look if every else paths[0]))
