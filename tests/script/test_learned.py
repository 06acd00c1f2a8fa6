"""Clues, weights that were learned, and learning them."""

import json
import re
import zlib
from base64 import b64decode
from math import exp

import pytest

from lessonmaker.script.plain.learned import Clue, Weights, clues_of, read_weights, stem
from lessonmaker.script.plain.learned.weights import STEP, text_of
from tests.tools.learning import Learning, Sample, measure, weights_from

TWO = Weights(("enclosure", "space"), {"wrap": [0, 20], "nobody": [0, -10, 1, 10]})
NOTHING = "nothing"
SAID = [
    *[("enclosure", f"We wrap the target {word}") for word in ("here", "again", "twice", "neatly")],
    *[("space", f"Nobody plays {word}") for word in ("here", "again", "twice", "now")],
    *[(NOTHING, f"Practise it slowly {word}") for word in ("here", "again", "twice", "now")],
]


def clues_in(text: str) -> list[Clue]:
    return clues_of([Clue(stem(word[0]), *word.span()) for word in re.finditer(r"\w+", text)])


def learning(kept: int = 1000) -> Learning:
    return Learning(clues_in, fewest=2, penalty=0.03, kept=kept)


@pytest.mark.parametrize(
    ("words", "same"),
    [
        (("circles", "circling", "circled"), "circl"),
        (("bodies", "body"), "body"),
        (("stopped", "stop"), "stop"),
    ],
)
def test_forms_of_a_word_have_one_stem(words, same) -> None:
    assert {stem(word) for word in words} == {same}


def test_clues_are_words_and_pairs_of_them_each_once() -> None:
    names = [clue.name for clue in clues_in("it circles circling the targets")]
    assert names == [*dict.fromkeys(names)]
    assert {"circl", "target", "circl circl", "^ it", "target $"} <= set(names)
    assert clues_of([]) == []


def test_chances_are_those_of_the_weights_and_of_the_things_that_may_be_meant() -> None:
    clues = [Clue("wrap", 0, 4), Clue("unheard", 5, 12)]
    chances = TWO.chances(clues)
    assert chances["enclosure"] / chances["space"] == pytest.approx(exp(20 * STEP / 2**0.5))
    assert sum(chances.values()) == pytest.approx(1)
    assert TWO.chances(clues, {"space"}) == {"space": 1}


def test_the_words_that_tell_a_thing_are_those_that_say_most_for_it() -> None:
    clues = [Clue("well", 0, 4), Clue("wrap", 5, 9), Clue("nobody", 10, 16)]
    assert TWO.words_for("enclosure", "space", clues) == (5, 9)
    assert TWO.words_for("space", "enclosure", clues) == (10, 16)


def test_a_file_of_weights_says_what_made_it_and_has_each_clue() -> None:
    told = json.loads(text_of(TWO, {"made_by": "a test"}))
    assert told["made_by"] == "a test"
    assert told["things"] == ["enclosure", "space"]
    assert json.loads(zlib.decompress(b64decode(told["weights"]))) == TWO.says


@pytest.mark.parametrize("room", ["described", "restated"])
def test_the_weights_of_a_room_are_read_once(room) -> None:
    package = f"lessonmaker.script.plain.{room}"
    weights = read_weights(package)
    assert weights is read_weights(package)
    assert len(weights.says) > 1000
    assert NOTHING in weights.things


def test_learning_tells_things_apart() -> None:
    weights = weights_from(Sample(SAID, learning()))
    assert measure(weights, SAID, learning(), NOTHING)["right"] == 1
    assert measure(Weights(weights.things, {}), SAID, learning(), NOTHING)["right"] < 1
    assert weights.of_clue("wrap")["enclosure"] > 0


def test_only_the_weights_that_say_most_are_kept() -> None:
    few, many = (weights_from(Sample(SAID, learning(kept=kept))) for kept in (6, 1000))
    assert 0 < sum(map(len, few.says.values())) < sum(map(len, many.says.values())) / 2
