"""Ways of saying as examples to learn from, and what a little training does."""

import json
import zlib
from base64 import b64decode

import numpy as np
import pytest

from lessonmaker.script.plain.described.things import NOTHING_TOLD, THINGS
from lessonmaker.script.plain.described.weights import SIZE, STEP, place_of
from tests.tools import train_described
from tests.tools.sentence_sets import OPEN
from tests.tools.train_described import (
    SMALL_TALK,
    UNOPENED,
    WAYS,
    Sample,
    columns_of,
    kept_sentences,
    measure,
    train,
    ways_in,
    write,
)

SAID = [
    *[("enclosure", f"we wrap the target {word}") for word in ("here", "again", "twice", "neatly")],
    *[("space", f"nobody plays {word}") for word in ("here", "again", "twice", "now")],
    *[(NOTHING_TOLD, f"practise it slowly {word}") for word in ("here", "again", "twice", "now")],
]


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


def test_training_tells_things_apart() -> None:
    sample = Sample(SAID, columns_of(SAID))
    weights = train(sample)
    assert measure(weights, sample).startswith("1.000 of 12 right")
    untrained = np.zeros_like(weights)
    assert not measure(untrained, sample).startswith("1.000")


def test_weights_are_written_where_they_are_looked_for(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(train_described.described, "__file__", str(tmp_path / "__init__.py"))
    sample = Sample(SAID, columns_of(SAID))
    weights = np.zeros((len(sample.columns), len(sample.things)))
    row, column = sample.columns["wrap"], sample.things.index("enclosure")
    weights[row, column] = 20 * STEP
    write(weights, sample, {"made_by": "a test"})
    data = json.loads((tmp_path / "weights.json").read_text())
    table = np.frombuffer(zlib.decompress(b64decode(data["weights"])), np.int8)
    assert data["made_by"] == "a test"
    assert len(table) == SIZE
    assert table[place_of("enclosure", "wrap")] == 20
    assert np.count_nonzero(table) == 1
