"""`new`: start a book."""

from __future__ import annotations

import argparse

from lessonmaker.build.demo import new_book
from lessonmaker.cli.report import print_json
from lessonmaker.script.book import BOOK_FILE

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Make the folder and say what to do next."""
    new_book(arguments.folder, arguments.demo)
    if arguments.json:
        print_json({"book": str(arguments.folder)})
        return 0
    print(f"A book stands in {arguments.folder}.")
    if arguments.demo:
        print(f"Next: lessonmaker build {arguments.folder}")
    else:
        print(f"Next: write a lesson script, name it in {arguments.folder / BOOK_FILE}, and check the book.")
    return 0
