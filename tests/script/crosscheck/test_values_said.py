"""The values that notes are said to have are held against the score."""

import pytest

FALSE = [
    ("heron", "1", "The opening F sharp just gets a quarter before we move on.", "quarter"),
    ("heron", "4", "D, F sharp and A are straight eighths.", "straight eighths"),
    ("heron", "10", "D, F sharp, A and D are four sixteenths.", "sixteenths"),
    ("kettle-street", "9", "G, E flat and D are three even eighths.", "even eighths"),
    ("copper-otter", "8", "The E flat and the D are eighths.", "eighths"),
    ("copper-otter", "8", "It is all eighths, even the E flat.", "eighths"),
]
TRUE = [
    ("heron", "1", "The opening F sharp gets a half note before we move on."),
    ("heron", "4", "D, F sharp and A are eighth-note triplets."),
    ("kettle-street", "9", "E flat, D and C are three even eighths."),
    ("copper-otter", "8", "The E flat and the D are quarters."),
    ("copper-otter", "8", "The E flat comes an eighth after the A flat."),
    ("copper-otter", "8", "In eighths we come down, even the A flat."),
    ("copper-otter", "8", "Before the E flat there are four eighths."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_is_not_so_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_is_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
