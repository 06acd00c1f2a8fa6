"""`clean`: keep the store within the size that the book file sets."""

from __future__ import annotations

import argparse

from lessonmaker.build.cleaning import Cleaned, clean_book
from lessonmaker.cli.report import print_json, size_text
from lessonmaker.script.book import load_book
from lessonmaker.script.model import Book

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Clean a book's store, and say what was freed."""
    book = load_book(arguments.book)
    cleaned = clean_book(book, arguments.output or book.folder / "out")
    if arguments.json:
        print_json(
            {
                "freed": {"parts": cleaned.parts_bytes, "abandoned": cleaned.abandoned_bytes},
                "kept": cleaned.kept_bytes,
                "most": book.keep_bytes,
            }
        )
        return 0
    print("\n".join(lines(book, cleaned)))
    return 0


def lines(book: Book, cleaned: Cleaned) -> list[str]:
    """What was freed, and what is kept, for people."""
    freed = []
    if cleaned.parts_bytes:
        freed.append(f"Freed {size_text(cleaned.parts_bytes)} of parts, those used longest ago.")
    if cleaned.abandoned_bytes:
        freed.append(f"Freed {size_text(cleaned.abandoned_bytes)} that an ended build had left half-written.")
    kept = f"{size_text(cleaned.kept_bytes)} of parts are kept"
    if book.keep_bytes is None:
        todo = f"for a limit, write one such as `keep: 20 GB` in {book.path}"
        return [*(freed or ["Nothing was freed."]), f"{kept}; {todo}."]
    return [
        *(freed or ["Nothing had to be freed."]),
        f"{kept}; the book allows {size_text(book.keep_bytes)}.",
    ]
