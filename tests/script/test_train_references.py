"""Sentences with their readings as examples to learn from, and what a little training does."""

import json
import math

import numpy as np
import pytest

from lessonmaker.script.plain.reference.chain import Chances
from lessonmaker.script.plain.reference.weights import SIZE
from tests.tools import train_references
from tests.tools.sentence_sets import OPEN
from tests.tools.train_references import Example, examples_of, kept_sets, measure, train, write

SCORE = OPEN.with_name("copper-lantern.musicxml")


@pytest.fixture
def example_of(tmp_path):
    """The examples of one sentence with its readings."""

    def make(bars: str, say: str, *read) -> list[Example]:
        path = tmp_path / "set.yaml"
        path.write_text(json.dumps([{"score": str(SCORE), "bars": bars, "say": say, "read": list(read)}]))
        return examples_of(path)

    return make


def test_sets_that_nobody_opens_are_not_learned_from() -> None:
    names = [path.name for path in kept_sets(OPEN.parent)]
    assert "open.yaml" in names
    assert not any("unread" in name for name in names)


def test_what_is_lit_is_meant_and_what_no_reading_has_is_not(example_of) -> None:
    (example,) = example_of("1-4", "The third falls to the root, C.", {"words": "third", "lit": ["1.1"]})
    assert len(example.meant) == 3
    assert example.meant[1:] == (frozenset([None]), frozenset([None]))


def test_what_is_asked_is_learned_as_even(example_of) -> None:
    (example,) = example_of("1-4", "I love that third.", {"words": "third", "ask": ["1.1", "2.1"]})
    assert example.asked == (True,)
    meant = example.meant[0]
    evened = example.evened([1.0] * len(example.notes))
    if meant is None:
        assert evened == [1.0] * len(example.notes)
    else:
        assert math.fsum(evened) == pytest.approx(1.0)


def test_training_makes_the_readings_likelier() -> None:
    examples = examples_of(OPEN)[:60]
    weights = train(examples, 3)
    before, after = (
        sum(Chances(e.agreeing(s)).total - Chances(s).total for e in examples for s in [e.scores(w)])
        for w in (np.zeros(SIZE), weights)
    )
    assert after > before
    assert "names right" in measure(examples, weights)


def test_the_weights_are_written_as_the_package_reads_them(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(train_references.reference, "__file__", str(tmp_path / "__init__.py"))
    weights = np.zeros(SIZE)
    weights[5], weights[6] = 0.25, -9.0
    write(weights, {"made_by": "a test"})
    data = json.loads((tmp_path / "weights.json").read_text())
    table = np.frombuffer(
        train_references.zlib.decompress(__import__("base64").b85decode(data["weights"])), np.int8
    )
    assert (table[5], table[6], data["made_by"]) == (25, -127, "a test")
