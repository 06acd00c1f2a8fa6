"""What is said of the devices of many scores, in the same words, is lit where it is so, and false where it is not."""

import pytest
import yaml

from tests.tools.said_of_devices import statements_of_devices
from tests.tools.sentence_sets import OPEN, judge_items

TEMPLATES = yaml.safe_load(OPEN.with_name("said_of_devices.yaml").read_text(encoding="utf-8"))
SCORES = sorted(OPEN.parent.glob("*.musicxml"))[5::14]


def judged(kind, there):
    """Each statement of a kind about each score, with how it is read."""
    for seed, score in enumerate(SCORES):
        said = list(statements_of_devices(score, TEMPLATES[kind], there, seed))
        items = [
            {
                "score": str(score),
                "bars": each.bar,
                "say": each.say,
                "read": [{"words": each.say} | ({"lit": list(each.places)} if there else {"fault": True})],
            }
            for each in said
        ]
        yield from judge_items(items)


@pytest.mark.parametrize(("kind", "right"), [("named", 0.9), ("described", 0.8)])
def test_a_device_that_is_there_is_lit_and_hardly_ever_called_false(kind, right):
    found = list(judged(kind, True))
    false = [each for each in found if any(read.startswith("fault") for read in each.read)]
    assert len(found) >= 60
    assert sum(each.verdict == "right" for each in found) >= right * len(found), [
        each for each in found if each.verdict != "right"
    ]
    assert len(false) <= 0.01 * len(found), false


def test_a_device_that_is_not_there_is_called_false_and_hardly_ever_lit():
    found = list(judged("named", False))
    lit = [each for each in found if any(read.startswith("lit") for read in each.read)]
    assert len(found) > 120
    assert sum(each.verdict == "right" for each in found) >= 0.8 * len(found), [
        each for each in found if each.verdict != "right"
    ]
    assert len(lit) <= 0.02 * len(found), lit


@pytest.mark.parametrize(
    ("score", "bars", "say", "told"),
    [
        (
            "weir",
            "3",
            "All of bar three comes from the C minor pentatonic scale.",
            "fault 'c minor pentatonic",
        ),
        ("weir", "3", "It's a rootless C nine.", "3.1 3.1& 3.2 3.2&"),
        ("weir", "3", "C nine without the root.", "3.1 3.1& 3.2 3.2&"),
        ("weir", "3", "It's a rootless D minor nine.", "fault 'd minor nine'"),
    ],
)
def test_a_scale_that_is_all_of_a_bar_and_a_chord_without_its_root(read, score, bars, say, told):
    assert told in read(f"{score}.musicxml", bars, say)


def test_a_part_of_a_scale_that_would_fit_is_no_claim(read):
    assert read("weir.musicxml", "3", "The C minor pentatonic would fit here too.") == ""
