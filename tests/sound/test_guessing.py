"""The language model of a script, read by the rule of the ARPA format (from memory): what is not listed backs off."""

import pytest

from lessonmaker.sound.guessing import arpa

SENTENCES = [["listen", "to", "bar", "three"], [], ["listen", "to", "it"]]
OTHERS = ["the", "um"]
WORDS = ["listen", "to", "bar", "three", "it", "the", "um", "</s>"]


@pytest.fixture(scope="module")
def model():
    """Log chances and back-off weights by word sequence."""
    chances, rests = {}, {}
    order = 0
    for line in arpa(SENTENCES, OTHERS).splitlines():
        if line.startswith("\\"):
            order = int(line[1]) if line[1].isdigit() else 0
        elif line and order:
            fields = line.split()
            words = tuple(fields[1 : 1 + order])
            chances[words] = 10 ** float(fields[0])
            rests[words] = 10 ** float(fields[1 + order]) if len(fields) > 1 + order else 1.0
    return chances, rests


def chance(model, words):
    """By the format's rule: the longest sequence known, else the rest of the shorter one."""
    chances, rests = model
    if words in chances or len(words) == 1:
        return chances[words]
    return rests.get(words[:-1], 1.0) * chance(model, words[1:])


@pytest.mark.parametrize("before", [("<s>",), ("to",), ("listen", "to"), ("um", "um"), ("three",), ("it",)])
def test_chances_after_any_words_add_up_to_one(model, before):
    assert sum(chance(model, (*before, word)) for word in WORDS) == pytest.approx(1.0, abs=0.002)


def test_the_script_is_likelier_than_anything_else(model):
    assert chance(model, ("listen", "to", "bar")) == pytest.approx(0.4954, abs=0.001)
    assert chance(model, ("to", "bar", "three")) > 0.9
    assert chance(model, ("to", "bar", "um")) < 0.002


def test_the_head_counts_what_the_sections_hold():
    lines = arpa(SENTENCES, OTHERS).splitlines()
    for order in (1, 2, 3):
        start = lines.index(f"\\{order}-grams:")
        count = lines[start:].index("")
        assert f"ngram {order}={count - 1}" in lines
