"""Which notes are said to be longer than which is held against the score."""

import pytest

FALSE = [
    ("copper-otter", "8", "E flat is twice as long as the D that follows.", "twice as long as"),
    ("copper-otter", "8", "The E flat is shorter than the B before it.", "shorter than"),
    ("heron", "11", "The G sharp is the same length as the B after it.", "the same length as"),
    ("heron", "7", "The G sharp is longer than the A before it.", "longer than"),
    ("heron", "5", "The F sharp goes by quicker than the G.", "quicker than"),
]
TRUE = [
    ("copper-otter", "8", "E flat is as long as the D that follows."),
    ("copper-otter", "8", "The E flat is longer than the B before it."),
    ("heron", "11", "The G sharp is the same length as the F sharp before it."),
    ("heron", "7", "The G sharp is shorter than the A before it."),
    ("heron", "7", "The A is twice as long as the G sharp after it."),
    ("heron", "5", "The F sharp goes by slower than the G."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_is_not_so_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_is_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
