"""`sync`: fit a take to its score, and say or draw what was found."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from lessonmaker.build.progress import Progress
from lessonmaker.build.sync import Synced, draw, sync_files, sync_lesson
from lessonmaker.cli.report import print_json, print_remarks
from lessonmaker.faults import UsageError
from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position
from lessonmaker.sound.fitfile import fit_json
from lessonmaker.sound.model import Fit
from lessonmaker.sound.read import sound_seconds
from lessonmaker.sound.takereport import Passage, TakeReport, bar_label, report_take, time_text

__all__ = ["run"]

NAMES = "name a score and its take, or a lesson"
PICTURES = (".png", ".svg")
SCORES = (".musicxml", ".mxl", ".xml", ".mei")
LABEL_WIDTH = 13
WHAT_HELPS = (
    "Is it the right etude, and the right part of the score (--part)? Key, octave and tempo do not matter.",
    "If it is, pin two or three places in the lesson script and sync the lesson: sync: {1: 0:03.2, 33: 1:05}",
    "Where the band covers the solo, a mix with less of the band is easier to follow.",
    "A picture of what was heard: --plot take.png",
)


def run(arguments: argparse.Namespace) -> int:
    """Fit the take; status 1 where it is refused."""
    refuse_other_pictures(arguments.plot)
    synced = bring_together(arguments)
    if arguments.plot is not None:
        draw(synced, arguments.plot)
    if arguments.json:
        print_json(fit_json(synced.score, synced.fit))
    else:
        print_remarks(synced.remarks)
        print("\n".join(lines(synced)))
    return 0 if synced.fit.accepted else 1


def refuse_other_pictures(path: Path | None) -> None:
    """A picture's kind is told by its name.

    Raises:
        UsageError: the name ends otherwise.
    """
    if path is not None and path.suffix.lower() not in PICTURES:
        raise UsageError(f"{str(path)!r} is no picture's name: it ends with {' or '.join(PICTURES)}")


def bring_together(arguments: argparse.Namespace) -> Synced:
    """The take and the score that the command names.

    Raises:
        UsageError: it names something else.
    """
    names = arguments.names
    progress = Progress()
    if len(names) == 2 and not Path(names[0]).is_dir():
        score, take = map(Path, names)
        progress.step(f"{take.name}: fitting to {score.name}")
        return sync_files(score, take, arguments.part, arguments.written_for)
    if len(names) > 2 or Path(names[0]).suffix.lower() in SCORES:
        raise UsageError(f"{' '.join(names)}: {NAMES}")
    if arguments.part or arguments.written_for:
        raise UsageError("a lesson's part and transposition are those of its script: leave the option out")
    return sync_lesson(names, progress.step)


def lines(synced: Synced) -> Iterator[str]:
    """The fit for people."""
    fit = synced.fit
    if not fit.accepted:
        yield from refusal(fit, synced.instead)
        return
    report = report_take(synced.score, fit, sound_seconds(synced.take))
    yield f"Accepted, confidence {fit.confidence:.0%}."
    yield from facts(report, pins_text(synced))
    yield from bar_lines(synced.score, fit, report)


def refusal(fit: Fit, instead: Path | None) -> Iterator[str]:
    """Why a take is refused, and what helps."""
    why = fit.details.get("refused")
    said = f"Refused: this recording does not seem to be of the score (confidence {fit.confidence:.0%})"
    yield f"{said}: {why}." if why else f"{said}."
    if "heard" in fit.details:
        yield f"Of the score's notes {fit.details['heard']:.0%} are heard where they would have to be."
    if instead is not None:
        yield f"It is a take of another lesson: {instead}"
        return
    yield "What helps:"
    for advice in WHAT_HELPS:
        yield f"  {advice}"


def pins_text(synced: Synced) -> str:
    """What the lesson pins."""
    score = synced.score
    return ", ".join(
        f"{format_position(score, score.bars[anchor.bar].start + anchor.place)} to {time_text(anchor.time_s)}"
        for anchor in synced.anchors
    )


def facts(report: TakeReport, pins: str) -> Iterator[str]:
    """What was found, a line each."""
    unsure = ", ".join(report.unsure)
    table = (
        ("pitch", report.pitch),
        ("tempo", report.tempo),
        ("played", "; ".join(report.played)),
        ("passed over", ", ".join(report.around)),
        ("pinned", pins),
        (
            "unsure",
            unsure
            and f"bar{'s' if len(report.unsure) > 1 else ''} {unsure}: look at their times, pin one if need be",
        ),
    )
    for label, text in table:
        if text:
            yield f"  {label:<{LABEL_WIDTH}}{text}"
    if report.passages or report.departures:
        yield "Off the page:"
        for passage in report.passages:
            yield f"  {bars_name(passage):<{LABEL_WIDTH}}{passage.text}"
        for bar in report.departures:
            yield f"  {'bar ' + bar.bar:<{LABEL_WIDTH}}{bar.text}"


def bars_name(passage: Passage) -> str:
    """A passage's bars, in words."""
    return f"bar{'s' if passage.last > passage.first else ''} {passage.bars}"


def bar_lines(score: Score, fit: Fit, report: TakeReport) -> Iterator[str]:
    """Where each bar starts."""
    yield "Bars start at:"
    for bar in fit.bars:
        label = bar_label(score, fit, bar.bar, bar.visit)
        unsure = "  unsure" if label in report.unsure else ""
        yield f"  {'bar ' + label:<{LABEL_WIDTH}}{time_text(bar.time_s)}{unsure}"
