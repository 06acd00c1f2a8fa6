"""How long notes are said to last, and which of them is the longest, is held against the score."""

import pytest

FALSE = [
    ("weir", "2", "Lean on the D and let it ring for three beats.", "three beats"),
    ("jetty", "2", "E, the fifth, lasts for three beats.", "three beats"),
    ("jetty", "5-6", "The E at the end is tied over and lasts three beats.", "three beats"),
    ("jetty", "6", "After the tied E, C sharp is a quarter note.", "quarter note"),
    ("weir", "1", "We climb from the G up to the D in quarter notes.", "quarter notes"),
    (
        "cobblers-umbrella",
        "3",
        "Nothing in bar three is shorter than a quarter note.",
        "nothing in bar three",
    ),
    ("jetty", "1", "B is the longest note of the bar.", "longest"),
    ("jetty", "1", "Long, short, short, short, that's the rhythm.", "long, short, short, short"),
    ("jetty", "3", "All four notes are the same length.", "the same length"),
]
TRUE = [
    ("weir", "2", "Lean on the D and let it ring for a beat and a half."),
    ("jetty", "2", "E, the fifth, lasts a whole beat."),
    ("jetty", "5-6", "The E at the end is tied over and lasts a beat and a half."),
    ("jetty", "6", "After the tied E, C sharp is an eighth note."),
    ("weir", "1", "We climb from the G up to the D in eighth notes."),
    ("cobblers-umbrella", "6", "Nothing in bar six is shorter than a quarter note."),
    ("jetty", "1", "D is the longest note of the bar."),
    ("jetty", "1", "Short, short, short, long, that's the rhythm."),
    ("cobblers-umbrella", "6", "All four notes are the same length."),
    ("weir", "2", "You could hold the D for three beats instead."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_a_length_that_no_such_note_has_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_a_length_that_one_has_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


def test_it_is_said_how_long_the_note_lasts(faults):
    said = faults("jetty.musicxml", "2", "E, the fifth, lasts for three beats.")
    assert "one beat" in said or "a quarter" in said
