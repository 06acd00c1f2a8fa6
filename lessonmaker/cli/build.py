"""`build`: make the videos."""

from __future__ import annotations

import argparse
import sys

from lessonmaker.build.films import Made, build_order
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
            print_decisions(film)
            print(f"{film.outputs.film} ({film.seconds:.0f} s)", flush=True)
    if arguments.json:
        films = [
            {
                "lesson": film.lesson,
                "edition": film.edition,
                "film": str(film.outputs.film),
                "seconds": round(film.seconds, 3),
                "remarks": [fault_json(remark) for remark in film.remarks],
                "decisions": [
                    {"kind": one.kind, "bars": one.bars, "notes": list(one.notes), "text": one.text}
                    for one in film.decisions
                ],
            }
            for film in made
        ]
        print_json({"films": films})
    return 0


def print_decisions(film: Made) -> None:
    """Say what the copyist decided for the film's edition."""
    for decision in film.decisions:
        print(f"{film.lesson}, {film.edition}, bars {decision.bars}: {decision.text}", file=sys.stderr)
