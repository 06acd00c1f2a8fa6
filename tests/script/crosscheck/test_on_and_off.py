"""Where in the bar notes are said to come is held against the score."""

import pytest

FALSE = [
    ("heron", "9", "The E is nicely planted on one.", "on one"),
    ("heron", "9", "D falls off the beat here.", "off the beat"),
    ("kettle-street", "10", "Our D shows up squarely on beat one.", "on beat one"),
    ("kettle-street", "10", "The F sharp waits until the third beat.", "the third beat"),
    ("heron", "9", "The E sits squarely on the beat.", "on the beat"),
    ("kettle-street", "10", "We come straight in on one with the D.", "on one"),
    ("kettle-street", "12", "F seven slips in off the beat.", "off the beat"),
    ("heron", "12", "B is struck again on the fourth beat.", "the fourth beat"),
]
TRUE = [
    ("heron", "9", "The D is nicely planted on three."),
    ("heron", "9", "E comes off the beat here."),
    ("kettle-street", "9", "We come straight in on one with the G."),
    ("kettle-street", "12", "F seven slips in on the beat."),
    ("kettle-street", "10", "Our D shows up off the beat."),
    ("kettle-street", "10", "The A waits until the fourth beat."),
    ("heron", "9", "The C sharp sits squarely on the beat."),
    (
        "lamplighter",
        "12-13",
        "The F is tied on, and only on beat two of the next bar does it give way to the E flat.",
    ),
    ("kettle-street", "7", "The D is there on the second half of beat one."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_is_not_so_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_is_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
