"""A lesson read and checked, without its sound."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lessonmaker.build.order import editions_of, interval_of
from lessonmaker.score.edition import Edition
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book, CheckedLesson

__all__ = ["check_one"]


def check_one(path: Path, book: Book, editions: Sequence[Edition]) -> CheckedLesson:
    """Read a lesson and its score, and check every claim.

    Raises:
        MaterialError: everything that is wrong.
    """
    lesson = load_lesson(path)
    score = read_score(lesson.score, lesson.part, interval_of(lesson.written_for, editions_of(book)))
    return check_lesson(lesson, score, editions)
