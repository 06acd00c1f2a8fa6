"""`analyse`: what each note is to its chord, and what the line does; or where something happens again."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from pathlib import Path

from lessonmaker.analysis.find import Found, QuestionError, find, find_like, parse_question
from lessonmaker.analysis.model import Analysis
from lessonmaker.analysis.overview import overview_text
from lessonmaker.analysis.report import analysis_json, device_place, report_text
from lessonmaker.analysis.whole import analyse
from lessonmaker.build.order import find_order, interval_of
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.faults import UsageError
from lessonmaker.score.model import Score
from lessonmaker.score.position import PositionError, parse_span
from lessonmaker.score.read import read_score
from lessonmaker.script.book import BOOK_FILE
from lessonmaker.script.load import load_lesson

__all__ = ["run"]

SCRIPTS = (".yaml", ".yml")
BARS = re.compile(r"\d[\d.&]*(-\d[\d.&]*)?")


def run(arguments: argparse.Namespace) -> int:
    """Analyse a score and print the findings, or look for something in it."""
    if arguments.find is not None:
        return look(arguments)
    score = read_score(arguments.score, arguments.part, interval_of(arguments.written_for))
    analysis = analyse(score)
    if arguments.json:
        remarks = [fault_json(remark) for remark in score.remarks]
        print_json(analysis_json(score, analysis) | {"remarks": remarks})
    else:
        print_remarks(score.remarks)
        print(report_text(score, analysis))
        print(overview_text(score, analysis))
    return 0


def look(arguments: argparse.Namespace) -> int:
    """Say where what is asked for happens: in a score, or in all scores of a book."""
    places = [
        (path, score, each)
        for path, score, analysis, first in scores(arguments)
        for each in answers(arguments.find, score, analysis, first)
    ]
    if arguments.json:
        print_json({"found": [found_json(path, score, each) for path, score, each in places]})
        return 0
    for path, score, each in places:
        print(f"{path.name} {where(score, each)}: {each.kind}. {each.text}")
    if not places:
        print("nothing of the kind was found")
    return 0


def scores(arguments: argparse.Namespace) -> Iterator[tuple[Path, Score, Analysis, tuple[Score, Analysis]]]:
    """Each score to look into, with the first of them, from which an example is taken."""
    first: tuple[Score, Analysis] | None = None
    for path, part, written_for in score_files(arguments):
        score = read_score(path, part, interval_of(written_for))
        analysis = analyse(score)
        first = first or (score, analysis)
        yield path, score, analysis, first


def score_files(arguments: argparse.Namespace) -> Iterator[tuple[Path, str | None, str | None]]:
    """The score asked for; or those of a book's or a lesson's scripts, each once."""
    path: Path = arguments.score
    if not path.is_dir() and path.suffix.lower() not in SCRIPTS:
        yield path, arguments.part, arguments.written_for
        return
    named = path.parent if path.name == BOOK_FILE.name else path
    lessons = map(load_lesson, find_order([str(named)]).lessons)
    yield from dict.fromkeys((lesson.score, lesson.part, lesson.written_for) for lesson in lessons)


def answers(
    question: str, score: Score, analysis: Analysis, first: tuple[Score, Analysis]
) -> tuple[Found, ...]:
    """What a score has of what is asked for: a question, or bars of the first score as an example."""
    try:
        span = parse_span(first[0], question)
    except PositionError as outside:
        try:
            return find(parse_question(question), score, analysis)
        except QuestionError as error:
            raise UsageError(str(outside if BARS.fullmatch(question) else error)) from None
    return find_like(span, *first, (score, analysis))


def where(score: Score, each: Found) -> str:
    """A place for people: "3.2-4.1"."""
    onsets = {note.id: note.onset for note in score.struck}
    return "-".join(dict.fromkeys(device_place(score, each.span, each.notes, onsets)))


def found_json(path: Path, score: Score, each: Found) -> dict[str, object]:
    """A place as plain data."""
    onsets = {note.id: note.onset for note in score.struck}
    first, last = device_place(score, each.span, each.notes, onsets)
    return {"score": str(path), "kind": each.kind, "from": first, "to": last, "text": each.text}
