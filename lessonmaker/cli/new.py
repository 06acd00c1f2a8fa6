"""`new`: start a book."""

from __future__ import annotations

import argparse

from lessonmaker.build.demo import new_book
from lessonmaker.cli.report import print_json

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Make the folder and say what to do next."""
    new_book(arguments.folder, arguments.demo)
    if arguments.json:
        print_json({"book": str(arguments.folder)})
        return 0
    print(f"A book stands in {arguments.folder}.")
    print(f"Next: lessonmaker {'build' if arguments.demo else 'check'} {arguments.folder}")
    return 0
