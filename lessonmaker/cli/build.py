"""`build`: make the videos."""

from __future__ import annotations

import argparse

from lessonmaker.build.films import build_order
from lessonmaker.build.order import find_order
from lessonmaker.build.progress import Progress
from lessonmaker.cli.report import fault_json, print_json, print_remarks

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Build the films asked for, saying how far it is."""
    order = find_order(arguments.lessons, arguments.edition)
    output = arguments.output or order.book.folder / "out"
    made = []
    said = set()
    for film in build_order(order, output, Progress()):
        made.append(film)
        if not arguments.json and film.lesson not in said:
            said.add(film.lesson)
            print_remarks(film.remarks)
        if not arguments.json:
            print(f"{film.outputs.film} ({film.seconds:.0f} s)", flush=True)
    if arguments.json:
        films = [
            {
                "lesson": film.lesson,
                "edition": film.edition,
                "film": str(film.outputs.film),
                "seconds": round(film.seconds, 3),
                "remarks": [fault_json(remark) for remark in film.remarks],
            }
            for film in made
        ]
        print_json({"films": films})
    return 0
