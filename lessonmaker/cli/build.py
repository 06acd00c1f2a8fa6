"""`build`: make the videos that are not as they should be."""

from __future__ import annotations

import argparse
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from lessonmaker.build.forecast import keep_costs
from lessonmaker.build.order import Order, find_order
from lessonmaker.build.overlay_plan import PlannedOverlay, overlays_of
from lessonmaker.build.plan import Made, Planned, PlannedFilm, forecast_of, plan_of
from lessonmaker.build.progress import Log, Progress, clock
from lessonmaker.build.record import Record
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.workers import leaving_nothing, workers_of
from lessonmaker.build.workshop import processors
from lessonmaker.cli.report import (
    decisions_json,
    fault_json,
    print_decisions,
    print_json_line,
    print_remarks,
)

__all__ = ["run"]

LOG_FILE = "build.log"
START_S = 4.0
"""About how long it takes until workers are at work."""


def run(arguments: argparse.Namespace) -> int:
    """Build the films asked for, saying how far it is."""
    order = replace(find_order(arguments.lessons, arguments.edition), allow_code=arguments.allow_code)
    output = arguments.output or order.book.folder / "out"
    planned: list[PlannedFilm] = [*plan_of(order, output), *overlays_of(order, output)]
    stale = [one for one in planned if not one.is_done]
    report = Report(arguments.json, arguments.explain or arguments.dry_run)
    if arguments.dry_run:
        report.plan(planned, START_S + forecast_of(stale, output).left_s(processors()) if stale else 0.0)
        return 0
    log = Log(output / LOG_FILE)
    log.begin()
    progress = Progress(
        films=len(stale),
        forecast=forecast_of(stale, output),
        tell=print_json_line if arguments.json else None,
        log=log,
    )
    progress.step(f"{order.book.title}: {counted(len(stale))} to make{unchanged(len(planned) - len(stale))}")
    report.unchanged(one for one in planned if one not in stale)
    if stale:
        make(order, stale, output, progress, report, arguments.cluster)
    return 0


def make(
    order: Order,
    stale: Sequence[PlannedFilm],
    output: Path,
    progress: Progress,
    report: Report,
    cluster: str | None,
) -> None:
    """Make films, and say so of each when it is finished."""
    try:
        for made in films_made(order, stale, output, progress, cluster):
            report.film(made.planned, made.record)
            progress.note(f"{made.planned.outputs.film} ({made.record.seconds:.0f} s)")
    except BaseException as error:
        progress.note(f"stopped: {str(error) or type(error).__name__}")
        raise
    finally:
        keep_costs(progress.forecast, output / STORE)


def films_made(
    order: Order, stale: Sequence[PlannedFilm], output: Path, progress: Progress, cluster: str | None
) -> Iterator[Made]:
    """Make films: lessons' first, then those that a score is laid over."""
    lessons = [one for one in stale if isinstance(one, Planned)]
    overlays = [one for one in stale if isinstance(one, PlannedOverlay)]
    if lessons:
        with leaving_nothing(output), workers_of(cluster, progress) as workers:
            from lessonmaker.build.films import make_films  # takes seconds to import, as it does the workers

            yield from make_films(order, lessons, output, progress, workers)
    if overlays:
        from lessonmaker.build.overlay_films import make_overlays  # takes seconds to import as well

        yield from make_overlays(order, overlays, output, progress)


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
        self.said: set[Hashable] = set()

    def plan(self, planned: Sequence[PlannedFilm], seconds: float) -> None:
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

    def unchanged(self, films: Iterable[PlannedFilm]) -> None:
        """Films that need nothing."""
        for one in films:
            if self.as_json:
                print_json_line({**film_json(one, one.before), "made": False, "why": []})
            elif one.before is not None:
                print(f"{one.outputs.film} ({one.before.seconds:.0f} s), unchanged", flush=True)

    def film(self, one: PlannedFilm, record: Record) -> None:
        """A film that has been made."""
        if self.as_json:
            print_json_line({**film_json(one, record), "made": True, "why": one.why})
            return
        new = [remark for remark in record.remarks if (one.name, remark) not in self.said]
        self.said.update((one.name, remark) for remark in new)
        print_remarks(new)
        decided = [each for each in record.decisions if (one.name, one.edition.id, each) not in self.said]
        self.said.update((one.name, one.edition.id, each) for each in decided)
        print_decisions(one.name, one.edition, decided)
        because = f": {'; '.join(one.why)}" if self.explains else ""
        print(f"{one.outputs.film} ({record.seconds:.0f} s){because}", flush=True)


def film_json(one: PlannedFilm, record: Record | None) -> dict[str, Any]:
    """A film as plain data."""
    data: dict[str, Any] = {
        "event": "film",
        one.kind: one.name,
        "edition": one.edition.id,
        "film": str(one.outputs.film),
    }
    if isinstance(one, Planned):
        data["size"] = "x".join(map(str, one.book.size))
    if record is None:
        return data
    return {
        **data,
        "seconds": round(record.seconds, 3),
        "remarks": [fault_json(remark) for remark in record.remarks],
        "decisions": decisions_json(record.decisions),
    }
