"""Keeping a book's store within the size that its book file sets."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.files import remove_abandoned
from lessonmaker.script.model import Book

__all__ = ["Cleaned", "clean_book"]


@dataclass(frozen=True)
class Cleaned:
    """What a store was freed of, in bytes: parts, and what killed builds left half-written; and what it keeps."""

    parts_bytes: int
    abandoned_bytes: int
    kept_bytes: int


def clean_book(book: Book, output: Path) -> Cleaned:
    """Drop what was used longest ago until the store is within the book's size, and what was left half-written.

    A book that sets no size keeps all its parts. A build that goes on meanwhile makes what it misses anew.

    Args:
        book: the book.
        output: the folder that holds its films and the store.

    Raises:
        OSError: something cannot be removed.
    """
    store = Store(output / STORE)
    abandoned = remove_abandoned(output)
    parts = 0 if book.keep_bytes is None else store.clean(book.keep_bytes)
    return Cleaned(parts, abandoned, sum(entry.size for entry in store.entries()))
