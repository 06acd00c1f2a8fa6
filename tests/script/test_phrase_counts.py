"""How many phrases a sentence says there are, and how long each of them is."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "words", "span"),
    [
        ("kites", "1-7", "Two phrases here, and the second starts in bar five.", "two phrases", "1.1&-7.3"),
        ("grey-sluice", "1-8", "That's two phrases up to bar eight.", "two phrases", "1.1&-8.3&"),
        ("tarpaulin", "1-5", "Two short licks, then he talks longer.", "two short licks", "1.1-2.3"),
        (
            "paper-lantern-parade",
            "13-20",
            "Two phrases, a short one, then a long one.",
            "two phrases",
            "13.1-20.3",
        ),
    ],
)
def test_phrases_that_are_counted_are_lit(read, score, bars, say, words, span):
    assert f"lit '{words}' ('{span}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize("say", ["Three phrases here.", "Four short licks, then a longer one."])
def test_phrases_that_are_not_as_many_are_not_lit(read, say):
    assert "lit" not in read("jetty.musicxml", "1-8", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "lanterns-2",
            "1-7",
            "Two phrases: a short one, and then a longer one of five bars.",
            ("'a short one' ('1-2'", "'a longer one of five bars' ('3-7'"),
        ),
        (
            "under-the-slipway",
            "1-7",
            "Two phrases, one up to bar 3 and one that runs from the end of bar 4 to bar 7.",
            ("'one up to bar 3' ('1-3'", "'one that runs from the end of bar 4 to bar 7' ('4-7'"),
        ),
        ("pretzel-avenue", "3-4", "One phrase, two bars.", ("'one phrase, two bars' ('3-4'",)),
        ("lanterns", "3-6", "The second phrase runs from the third bar to the sixth.", ("('3-6'",)),
    ],
)
def test_phrases_are_told_one_by_one(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert all(each in told for each in found)


def test_a_phrase_of_two_that_has_another_length_is_a_fault(read):
    told = read("lanterns-2.musicxml", "1-7", "There are two phrases, one of three bars and one of five.")
    assert "fault 'one of three bars'" in told
    assert "lit 'one of five'" in told


def test_the_long_one_of_two_is_not_the_short_one(read):
    assert "a long one" not in read(
        "lanterns-2.musicxml", "1-7", "Two phrases: a long one, then a short one."
    )
