"""What is said of the notes of many scores, in the same words, is read by what is so and what is not."""

import pytest
import yaml

from tests.tools.said_of_notes import statements
from tests.tools.sentence_sets import OPEN, judge_items

TEMPLATES = yaml.safe_load(OPEN.with_name("said_of_notes.yaml").read_text(encoding="utf-8"))
SCORES = sorted(OPEN.parent.glob("*.musicxml"))[::14]
NAMES = {"one": ("note",), "two": ("note", "next"), "untrue": ("note", "next")}


def judged(kind):
    """Each statement of a kind about each score, with how it is read."""
    for seed, score in enumerate(SCORES):
        said = list(statements(score, TEMPLATES[kind], NAMES[kind], seed))
        fault = {"words": "", "fault": True}
        items = [
            {
                "score": str(score),
                "bars": each.bar,
                "say": each.say,
                "read": [fault | {"words": each.say}]
                if kind == "untrue"
                else [{"words": each.say, "lit": [place]} for place in sorted(each.places)],
            }
            for each in said
        ]
        yield from judge_items(items)


@pytest.mark.parametrize(("kind", "right"), [("one", 0.95), ("two", 0.9)])
def test_what_is_true_of_notes_lights_them_and_is_hardly_ever_called_false(kind, right):
    found = list(judged(kind))
    false = [each for each in found if any(read.startswith("fault") for read in each.read)]
    assert len(found) > 80
    assert sum(each.verdict == "right" for each in found) >= right * len(found), [
        each for each in found if each.verdict != "right"
    ]
    assert len(false) <= 0.01 * len(found), false


def test_what_is_not_true_of_notes_is_called_false():
    found = list(judged("untrue"))
    assert len(found) > 80
    assert sum(each.verdict == "right" for each in found) >= 0.9 * len(found), [
        each for each in found if each.verdict != "right"
    ]
