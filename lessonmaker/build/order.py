"""What is to be made: the lessons and editions that a call of the program names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.faults import UsageError, nearest
from lessonmaker.score.edition import EDITIONS, Edition, load_editions
from lessonmaker.script.book import BOOK_FILE, load_book, lone_book
from lessonmaker.script.model import Book, BookOverlay, Lesson
from lessonmaker.theory.pitch import Interval

__all__ = [
    "Order",
    "Scored",
    "chosen_edition",
    "editions_of",
    "editions_said",
    "find_order",
    "interval_of",
    "scored_of",
]


@dataclass(frozen=True)
class Order:
    """Lessons and films to be made in editions, for a book; whether scenes that its own code makes may be.

    `overlays` are the films that a score is laid over.
    """

    book: Book
    lessons: tuple[Path, ...]
    editions: tuple[Edition, ...]
    allow_code: bool = False
    overlays: tuple[BookOverlay, ...] = ()


@dataclass(frozen=True)
class Scored:
    """A score's file, which part of it counts, and for whom that is written."""

    path: Path
    part: str | None
    written_for: str | None


def find_order(
    names: Sequence[str], editions: Sequence[str] | None = None, here: Path | None = None
) -> Order:
    """Read the book that names point at, and choose its lessons and editions.

    Args:
        names: lesson scripts, names of lessons and films in the book, or a book's folder; none means the book here.
            A lesson script that no book holds is a book of its own.
        editions: ids of editions; None means the book's own.
        here: the folder to look in (the current one by default).

    Raises:
        MaterialError: the book is faulty, or there is none.
        UsageError: no lesson or edition of that name.
    """
    folder = here or Path()
    rest = list(names)
    if rest and Path(rest[0]).is_dir():
        folder = Path(rest.pop(0))
    elif rest and Path(rest[0]).is_file():
        folder = folder_of(Path(rest[0]), folder)
    elif rest and not has_book(folder):
        raise UsageError(f"{rest[0]!r} is no lesson script and no book's folder, and there is no book here")
    alone = bool(rest) and Path(rest[0]).is_file() and not has_book(folder)
    book = lone_book(Path(rest[0])) if alone else load_book(folder)
    known = editions_of(book)
    chosen = tuple(chosen_edition(name, known) for name in (editions or book.editions))
    overlays = tuple(one for one in book.overlays if one.name in rest)
    films = {one.name for one in overlays}
    lessons = tuple(dict.fromkeys(chosen_lesson(name, book) for name in rest if name not in films))
    if not rest:
        lessons, overlays = book.lessons, book.overlays
    return Order(book, lessons, tuple(dict.fromkeys(chosen)), overlays=overlays)


def has_book(folder: Path) -> bool:
    """Whether a folder holds a book."""
    return any((folder / file).is_file() for file in (BOOK_FILE, BOOK_FILE.name))


def folder_of(script: Path, here: Path) -> Path:
    """The book's folder that a lesson script lies in."""
    folder = script.resolve().parent.parent
    return folder if (folder / BOOK_FILE).is_file() else here


def editions_of(book: Book) -> dict[str, Edition]:
    """The built-in editions and the book's own."""
    own = book.folder / "shared" / "editions.yaml"
    return {**EDITIONS, **(load_editions(own) if own.is_file() else {})}


def editions_said(order: Order) -> tuple[Edition, ...]:
    """The editions whose words the author may have recorded: the book's, and those ordered."""
    known = editions_of(order.book)
    return tuple(
        {
            known[name].id: known[name] for name in (*order.book.editions, *(e.id for e in order.editions))
        }.values()
    )


def chosen_edition(name: str, known: Mapping[str, Edition]) -> Edition:
    """The edition of an id.

    Raises:
        UsageError: there is none of that id.
    """
    if name in known:
        return known[name]
    raise UsageError(f"there is no edition {name!r}{nearest(name, known)}; there are: {', '.join(known)}")


def chosen_lesson(name: str, book: Book) -> Path:
    """A lesson by its path or by its name in the book."""
    if Path(name).is_file():
        return Path(name)
    by_name = {lesson.stem: lesson for lesson in book.lessons}
    if name in by_name:
        return by_name[name]
    known = [*by_name, *(one.name for one in book.overlays)]
    raise UsageError(f"there is no lesson {name!r}{nearest(name, known)}; the book has: {', '.join(known)}")


def interval_of(written_for: str | None, known: dict[str, Edition] | None = None) -> Interval | None:
    """The interval a part is written at, from an edition's id or an interval's name.

    Raises:
        UsageError: it names neither.
    """
    if written_for is None:
        return None
    editions = known or EDITIONS
    if written_for in editions:
        return editions[written_for].interval
    try:
        return Interval.parse(written_for)
    except ValueError:
        raise UsageError(
            f"{written_for!r} is neither an edition ({', '.join(editions)}) nor an interval such as M2 or M6"
        ) from None


def scored_of(overlay: BookOverlay, lesson: Lesson | None) -> Scored:
    """The score of a film: its own, or its lesson's."""
    if lesson is not None:
        return Scored(lesson.score, lesson.part, lesson.written_for)
    assert overlay.score is not None  # the book file has been read
    return Scored(overlay.score, overlay.part, overlay.written_for)
