"""How long notes are said to last, whatever the verb, is held against the score."""

import pytest

FALSE = [
    ("heron", "5", "That F sharp at the end gets one tiny beat.", "one tiny beat"),
    ("heron", "11", "F sharp and G sharp take two beats each.", "two beats"),
    ("heron", "3", "F sharp sits there all alone for a couple of beats.", "a couple of beats"),
    ("heron", "1", "Three beats go to the F sharp.", "three beats"),
    ("kettle-street", "5", "B flat fills the first half of the bar.", "the first half of the bar"),
    ("copper-otter", "5", "The G is kept until the end of the bar.", "until the end of the bar"),
    ("copper-otter", "8", "E flat is given half the bar.", "half the bar"),
    ("heron", "5", "You hold that F sharp for all three beats.", "three beats"),
    ("heron", "11", "F sharp and G sharp, every one of them half a beat long.", "half a beat"),
    ("heron", "11", "F sharp and G sharp, each only an eighth long.", "an eighth"),
]
TRUE = [
    ("heron", "5", "That F sharp at the end gets two lazy beats."),
    ("heron", "11", "F sharp and G sharp take a beat each."),
    ("heron", "3", "F sharp sits there all alone for three beats."),
    ("heron", "1", "Two beats go to the F sharp."),
    ("kettle-street", "7", "The A flat is kept until the end of the bar."),
    ("kettle-street", "5", "After the B flat you rest for a beat and a half."),
    ("copper-otter", "8", "E flat is given a beat."),
    ("heron", "5", "You hold that F sharp for all two beats."),
    ("heron", "11", "F sharp and G sharp, every one of them a quarter long."),
    ("heron", "11", "F sharp and G sharp, a beat each, and then half a beat to breathe."),
    ("kettle-street", "5", "You could give the B flat half the bar."),
    ("kettle-street", "7", "The C comes half a beat before the B flat."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_is_not_so_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_is_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
