"""Ways of saying as examples to learn from."""

import json

import pytest

from lessonmaker.script.plain.described.things import NOTHING_TOLD, THINGS
from tests.tools.sentence_sets import OPEN
from tests.tools.train_described import SMALL_TALK, UNOPENED, WAYS, kept_sentences, ways_in


def test_each_way_is_one_of_a_known_thing() -> None:
    for path in WAYS.glob("*.yaml"):
        assert {thing for thing, _ in ways_in(path)} <= {*THINGS, NOTHING_TOLD}, path.name


def test_small_talk_describes_nothing(tmp_path) -> None:
    path = tmp_path / "ways.yaml"
    path.write_text(f"{SMALL_TALK}:\n- Breathe.\nenclosure:\n- We wrap it.\n")
    assert ways_in(path) == [(NOTHING_TOLD, "Breathe."), ("enclosure", "We wrap it.")]


def test_there_are_ways_that_are_only_counted() -> None:
    assert len([path for path in WAYS.glob("*.yaml") if UNOPENED in path.name]) == 2


@pytest.mark.parametrize(
    ("say", "read", "found"),
    [
        ("Breathe. Then play on.", [], [(NOTHING_TOLD, "Breathe."), (NOTHING_TOLD, "Then play on.")]),
        ("This is an enclosure.", [{"words": "enclosure", "lit": ["1.1"], "or": [{"bars": "1-4"}]}], []),
    ],
)
def test_kept_sentences_describe_nothing_where_no_reading_has_words(tmp_path, say, read, found) -> None:
    score = str(OPEN.with_name("copper-lantern.musicxml"))
    path = tmp_path / "set.yaml"
    path.write_text(json.dumps([{"score": score, "bars": "1-4", "say": say, "read": read}]))
    assert [each for each in kept_sentences(path) if each in found] == found
