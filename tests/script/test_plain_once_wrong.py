"""Sentences that were once read wrong."""

import pytest

from lessonmaker.score.read import read_score
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from tests.tools.sentence_sets import OPEN, REPOSITORY, judge_set

SWING = REPOSITORY / "media" / "gaslight-errand.musicxml"
SENTENCES = OPEN.with_name("once-wrong.yaml")


def test_sentences_once_wrong_are_read_right() -> None:
    judged = judge_set(SENTENCES)
    assert len(judged) > 40
    assert [each for each in judged if each.verdict != "right"] == []


@pytest.mark.parametrize(
    ("text", "bars", "message"),
    [
        ("These are groups of three.", "37-38", "the cross rhythm at 37.1-38.4 has groups of five"),
        ("The sequence comes three times.", "21-22", "the sequence at 21-22 comes four times"),
        ("A descending arpeggio opens bar fourteen.", "13-14", "the arpeggio at 14.1-14.2& goes up"),
        ("The sharp eleven falls to the fifth.", "1-4", "the #11 at 2.1 rises to the 5 at 2.2&"),
        (
            "The flat nine in bar sixteen falls to the third.",
            "15-16",
            "the b9 at 16.4 falls to the 5 at 17.1&",
        ),
    ],
)
def test_a_false_shape_or_goal_is_a_fault_that_says_the_true_one(tmp_path, text, bars, message) -> None:
    script = tmp_path / "lesson.yaml"
    script.write_text(f"lesson: L\nscore: {SWING}\ncues:\n  - bars: {bars}\n    say: {text}\n")
    (fault,) = examine_lesson(load_lesson(script), read_score(SWING)).faults
    assert message in fault.what
    assert "write [" in fault.todo
