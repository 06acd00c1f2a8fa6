"""The demo book is read without a fault, and every claim of its lessons holds against its scores."""

import subprocess
import sys
from pathlib import Path

import pytest

from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_book, load_lesson

REPOSITORY = Path(__file__).parents[2]
LESSONS = ("gaslight-errand", "the-tin-heron")


def test_the_book_names_both_lessons_and_the_four_editions() -> None:
    book = load_book(REPOSITORY)
    assert tuple(lesson.stem for lesson in book.lessons) == LESSONS
    assert book.editions == ("concert", "b-flat", "e-flat", "bass-clef")


@pytest.mark.parametrize("name", LESSONS)
def test_every_claim_of_a_lesson_holds(name: str) -> None:
    lesson = load_lesson(REPOSITORY / "scripts" / f"{name}.yaml")
    checked = check_lesson(lesson, read_score(lesson.score))
    mentions = [mention for cue in checked.cues for mention in cue.mentions]
    assert len(mentions) > 25
    assert not checked.remarks


def test_the_check_command_finds_nothing_to_say() -> None:
    command = [sys.executable, "-m", "lessonmaker", "check"]
    done = subprocess.run(command, cwd=REPOSITORY, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
