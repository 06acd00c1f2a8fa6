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
