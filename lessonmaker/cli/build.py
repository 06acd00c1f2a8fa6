"""`build`: make the videos."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from lessonmaker.build.order import find_order
from lessonmaker.build.progress import Progress
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.faults import Fault
from lessonmaker.score.edition import Decision

if TYPE_CHECKING:
    from lessonmaker.build.films import Made

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Build the films asked for, saying how far it is."""
    order = find_order(arguments.lessons, arguments.edition)
    output = arguments.output or order.book.folder / "out"
    progress = Progress()
    count = len(order.lessons) * len(order.editions)
    progress.step(f"{order.book.title}: {count} film{'' if count == 1 else 's'} to make")
    from lessonmaker.build.films import build_order  # takes seconds to import: a wrong name is told before

    films = build_order(order, output, progress)
    if arguments.json:
        print_json({"films": [film_json(film) for film in films]})
        return 0
    said: set[tuple[str, Fault]] = set()
    for film in films:
        new = [remark for remark in film.remarks if (film.lesson, remark) not in said]
        said.update((film.lesson, remark) for remark in new)
        print_remarks(new)
        print_decisions(film)
        print(f"{film.outputs.film} ({film.seconds:.0f} s)", flush=True)
    return 0


def film_json(film: Made) -> dict[str, Any]:
    """A finished film as plain data."""
    return {
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


def print_decisions(film: Made) -> None:
    """Say what the copyist decided for the film's edition."""
    for decision in film.decisions:
        print(f"remark: {film.lesson}, {film.edition}: {bars_of(decision)}: {decision.text}", file=sys.stderr)


def bars_of(decision: Decision) -> str:
    """The bars of a decision, in words."""
    return f"bar {decision.bars}" if decision.bars.isdecimal() else f"bars {decision.bars}"
