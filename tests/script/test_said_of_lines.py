"""What is said of a line as a whole, beside another bar or between two notes, is lit as it is and else false."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        (
            "kettle-4",
            "16-16",
            "Bar sixteen only knows one direction, and that's down.",
            "knows one direction",
        ),
        ("harbour-ledger", "2-3", "Bar two is busier than bar three.", "is busier than bar three"),
        (
            "harbour-ledger",
            "2-2",
            "Nothing fancy rhythmically, eighths from one end to the other.",
            "'2.1 2.1& 2.2 2.2& 2.3 2.3& 2.4 2.4&'",
        ),
        ("biscuit-tin-parade", "9-9", "Watch out for the big jump from F down to A.", "lit 'f'"),
        ("kettle-4", "21-21", "It's every half step on the way from B to A.", "lit 'a'"),
    ],
)
def test_what_is_true_of_a_line_is_lit(read, score, bars, say, lit):
    found = read(f"{score}.musicxml", bars, say)
    assert lit in found
    assert "fault" not in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "harbour-ledger",
            "15-15",
            "Bar fifteen goes straight down without a single turn.",
            "goes straight down",
        ),
        ("harbour-ledger", "2-3", "Bar three is busier than bar two.", "is busier than bar two"),
        ("harbour-ledger", "5-5", "The widest leap of bar five is an octave.", "widest leap of bar five"),
        ("harbour-ledger", "1-1", "The tune begins with a pickup.", "begins with a pickup"),
        ("kettle-4", "17-17", "And there's your little rest, in bar seventeen.", "little rest"),
        (
            "harbour-ledger",
            "1-8",
            "The first phrase takes a whole five bars before it lands.",
            "first phrase",
        ),
        ("kettle-4", "23-23", "Bar twenty-three has the highest note of the whole piece.", "highest note"),
        ("harbour-ledger", "4-4", "So that arpeggio heads down, right?", "arpeggio"),
    ],
)
def test_what_is_not_so_is_false(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault " in found
    assert fault in found
