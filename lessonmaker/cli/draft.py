"""`draft`: write a first lesson script from the score's analysis, or from a timed transcript."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from lessonmaker.build.order import interval_of
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.ad_lib import ad_lib_text
from lessonmaker.script.book import BOOK_FILE
from lessonmaker.script.draft import draft_of, draft_text
from lessonmaker.script.pins import clock_text
from lessonmaker.script.transcript import read_transcript, sentences_spoken

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Write a draft to a file, or print it."""
    output: Path | None = arguments.output
    if output is not None and output.exists():
        raise MaterialError(
            Fault("there is a file of this name already", "name another with --output", Place(output))
        )
    score = read_score(arguments.score, arguments.part, interval_of(arguments.written_for))
    text, unlinked = drafted(arguments, score, named(arguments.score, output))
    if output is not None:
        write(output, text)
    if arguments.json:
        remarks = [fault_json(remark) for remark in score.remarks]
        said = {"output": str(output) if output else None, "script": text, "remarks": remarks}
        print_json(said | {"unlinked": [{"time_s": round(time, 2), "what": what} for time, what in unlinked]})
        return 0
    print_remarks(score.remarks)
    for time, what in unlinked:
        print(f"not linked, at {clock_text(round(time))}: {what}", file=sys.stderr)
    print(
        text if output is None else f"{output}: a first draft, to be changed.\nNext: {what_is_next(output)}"
    )
    return 0


def what_is_next(output: Path) -> str:
    """What to do with a draft: to check it, after a book beside it has been told of it."""
    book = output.parent / BOOK_FILE.name
    named = f"name it in {book}, under lessons; then " if book.is_file() else ""
    return f"{named}lessonmaker check {output}"


def drafted(
    arguments: argparse.Namespace, score: Score, written: str
) -> tuple[str, tuple[tuple[float, str], ...]]:
    """The script's text, and what of a transcript was not linked."""
    title = score.title or arguments.score.stem
    if arguments.transcript is None:
        return draft_text(draft_of(score, title), score, arguments.score, written, head(arguments)), ()
    sentences = sentences_spoken(read_transcript(arguments.transcript))
    made = ad_lib_text(sentences, score, title, arguments.score, written, head(arguments))
    return made.text, made.unlinked


def named(score: Path, output: Path | None) -> str:
    """The score as a script in the output's folder names it."""
    folder = output.resolve().parent if output is not None else Path.cwd()
    try:
        return Path(os.path.relpath(score.resolve(), folder)).as_posix()
    except ValueError:  # on another drive
        return score.resolve().as_posix()


def head(arguments: argparse.Namespace) -> list[str]:
    """What the script has to say about the part."""
    lines = [f"part: {arguments.part}"] if arguments.part else []
    return lines + ([f"written_for: {arguments.written_for}"] if arguments.written_for else [])


def write(output: Path, text: str) -> None:
    """Write the script where no file is yet."""
    try:
        with output.open("x", encoding="utf-8") as file:
            file.write(text)
    except OSError as error:
        raise MaterialError(
            Fault(f"the draft cannot be written: {error.strerror}", "name another file", Place(output))
        ) from None
