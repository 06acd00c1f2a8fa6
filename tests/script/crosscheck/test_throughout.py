"""What is said of all notes is false where one of them is of another kind."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "6", "Everything you play in bar six comes straight out of D major.", "d major"),
        ("jetty", "14", "Bar fourteen never leaves the chord tones of G seven.", "never leaves"),
        ("jetty", "12", "Nothing but eighths until beat three.", "nothing but eighths"),
        ("jetty", "22", "The whole bar sticks to eighths.", "sticks to eighths"),
        ("jetty", "18", "No two notes in bar eighteen are the same.", "no two notes"),
        ("jetty", "12", "Every single step from F sharp up to A is a half step.", "every single step"),
        ("jetty", "13", "A, F, D, E, all of them equally long.", "equally long"),
    ],
)
def test_what_is_not_true_of_every_note_is_false(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "18", "Everything you play in bar eighteen comes straight out of A minor."),
        ("jetty", "18", "Bar eighteen never leaves the chord tones of A minor."),
        ("jetty", "12", "Nothing but eighths until beat two."),
        ("jetty", "18", "The whole bar sticks to eighths."),
        ("jetty", "23", "Every note is different in bar twenty-three."),
        ("jetty", "22", "Every step from F down to C is a step of the scale."),
        ("jetty", "9", "On the beat we stick strictly to chord tones."),
        ("jetty", "6", "Everything you play in bar six after the B flat comes straight out of D minor."),
    ],
)
def test_what_is_true_of_them_or_said_of_less_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
