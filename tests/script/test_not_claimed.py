"""What a sentence names without claiming it of this music."""

from tests.tools.sentence_sets import OPEN, judge_set

SENTENCES = OPEN.with_name("not-claimed.yaml")


def test_what_is_only_named_is_not_claimed() -> None:
    judged = judge_set(SENTENCES)
    assert len(judged) >= 10
    assert [each for each in judged if each.verdict != "right"] == []
