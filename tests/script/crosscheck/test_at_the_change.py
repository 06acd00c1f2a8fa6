"""What is said to be so as a chord comes, or at the bar line, is held against the score."""

import pytest

FALSE = [
    ("heron", "12", "That last F sharp is clipped right at the bar line.", "is clipped"),
    ("kettle-street", "7-8", "The low A flat is let go before the D minor seven comes.", "is let go"),
    ("kettle-street", "12", "When F seven arrives, the C is still sounding.", "is still sounding"),
    (
        "copper-otter",
        "12",
        "By the time B seven comes in, the melody has gone quiet.",
        "melody has gone quiet",
    ),
    ("kettle-street", "7-8", "Bar eight opens with silence.", "bar eight opens"),
    ("copper-otter", "4", "No new note is struck as E seven arrives.", "no new note is struck"),
]
TRUE = [
    ("heron", "11", "The B is cut off right at the bar line."),
    ("kettle-street", "7-8", "The A flat is still ringing when the D minor seven comes."),
    ("kettle-street", "12", "When F seven arrives, the C is gone."),
    ("kettle-street", "12", "By the time F seven comes in, the melody has gone quiet."),
    ("copper-otter", "6", "Bar six opens with silence."),
    ("kettle-street", "12", "No new note is struck as F seven arrives."),
    ("kettle-street", "7-8", "Half the bar is left empty in bar eight."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_is_not_so_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_is_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
