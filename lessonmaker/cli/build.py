"""`build`: make the videos that are not as they should be."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from lessonmaker.build.order import Order, find_order
from lessonmaker.build.plan import Planned, plan_of, seconds_to_make
from lessonmaker.build.progress import Log, Progress, clock
from lessonmaker.build.record import Record
from lessonmaker.build.workshop import processors
from lessonmaker.cli.report import fault_json, print_json_line, print_remarks
from lessonmaker.faults import Fault
from lessonmaker.score.edition import Decision

__all__ = ["run"]

LOG_FILE = "build.log"


def run(arguments: argparse.Namespace) -> int:
    """Build the films asked for, saying how far it is."""
    order = replace(find_order(arguments.lessons, arguments.edition), allow_code=arguments.allow_code)
    output = arguments.output or order.book.folder / "out"
    planned = plan_of(order, output)
    stale = [one for one in planned if not one.is_done]
    report = Report(arguments.json, arguments.explain or arguments.dry_run)
    if arguments.dry_run:
        report.plan(planned, seconds_to_make(planned, processors()))
        return 0
    progress = Progress(
        films=len(stale), tell=print_json_line if arguments.json else None, log=Log(output / LOG_FILE)
    )
    progress.step(f"{order.book.title}: {counted(len(stale))} to make{unchanged(len(planned) - len(stale))}")
    report.unchanged(one for one in planned if one not in stale)
    if stale:
        make(order, stale, output, progress, report, arguments.cluster)
    return 0


def make(
    order: Order,
    stale: Sequence[Planned],
    output: Path,
    progress: Progress,
    report: Report,
    cluster: str | None,
) -> None:
    """Make films, and say so of each when it is finished."""
    from lessonmaker.build.films import make_films  # takes seconds to import: what is done is told before

    try:
        for made in make_films(order, stale, output, progress, cluster):
            report.film(made.planned, made.record)
            progress.note(f"{made.planned.outputs.film} ({made.record.seconds:.0f} s)")
    except BaseException as error:
        progress.note(f"stopped: {str(error) or type(error).__name__}")
        raise


def counted(films: int) -> str:
    """So many films."""
    return f"{films} film{'' if films == 1 else 's'}"


def unchanged(films: int) -> str:
    """So many films that need nothing."""
    return f", {films} unchanged" if films else ""


class Report:
    """Says of each film what became of it: lines for people, or JSON, an object a line."""

    def __init__(self, as_json: bool, explains: bool) -> None:
        self.as_json, self.explains = as_json, explains
        self.said: set[tuple[str, Fault]] = set()

    def plan(self, planned: Sequence[Planned], seconds: float) -> None:
        """What would be done, and how long that would take."""
        for one in planned:
            why = [] if one.is_done else one.why
            if self.as_json:
                print_json_line({**film_json(one, one.before), "to_make": not one.is_done, "why": why})
            else:
                print(f"{one.outputs.film}: {'; '.join(why) or 'unchanged'}")
        stale = sum(not one.is_done for one in planned)
        if self.as_json:
            print_json_line({"event": "plan", "films": stale, "about_seconds": round(seconds)})
        else:
            print(f"{counted(stale)} to make" + (f", about {clock(seconds)}" if stale else ""))

    def unchanged(self, films: Iterable[Planned]) -> None:
        """Films that need nothing."""
        for one in films:
            if self.as_json:
                print_json_line({**film_json(one, one.before), "made": False, "why": []})
            elif one.before is not None:
                print(f"{one.outputs.film} ({one.before.seconds:.0f} s), unchanged", flush=True)

    def film(self, one: Planned, record: Record) -> None:
        """A film that has been made."""
        if self.as_json:
            print_json_line({**film_json(one, record), "made": True, "why": one.why})
            return
        new = [remark for remark in record.remarks if (one.name, remark) not in self.said]
        self.said.update((one.name, remark) for remark in new)
        print_remarks(new)
        print_decisions(one, record.decisions)
        because = f": {'; '.join(one.why)}" if self.explains else ""
        print(f"{one.outputs.film} ({record.seconds:.0f} s){because}", flush=True)


def film_json(one: Planned, record: Record | None) -> dict[str, Any]:
    """A film as plain data."""
    data: dict[str, Any] = {
        "event": "film",
        "lesson": one.name,
        "edition": one.edition.id,
        "film": str(one.outputs.film),
    }
    if record is None:
        return data
    return {
        **data,
        "seconds": round(record.seconds, 3),
        "remarks": [fault_json(remark) for remark in record.remarks],
        "decisions": [
            {
                "kind": decision.kind,
                "bars": decision.bars,
                "notes": list(decision.notes),
                "text": decision.text,
            }
            for decision in record.decisions
        ],
    }


def print_decisions(one: Planned, decisions: Iterable[Decision]) -> None:
    """Say what the copyist decided for the film's edition."""
    for decision in decisions:
        print(f"remark: {one.name}, {one.edition.id}: {bars_of(decision)}: {decision.text}", file=sys.stderr)


def bars_of(decision: Decision) -> str:
    """The bars of a decision, in words."""
    return f"bar {decision.bars}" if decision.bars.isdecimal() else f"bars {decision.bars}"
