"""Two ends of bars that are said to be one note are held against each other."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("14-15", "Fifteen starts from exactly the height where fourteen stopped.", "exactly the height"),
        ("12-13", "The last note of 12 and the first of 13 are an octave apart.", "an octave apart"),
        ("18-19", "The top note of 18 and the top note of 19 are exactly the same pitch.", "the same pitch"),
    ],
)
def test_what_is_another_note_is_false(read, bars, say, fault):
    told = read("jetty.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("12-13", "Thirteen starts from exactly the height where twelve stopped."),
        ("12-13", "The last note of 12 and the first of 13 are one and the same pitch."),
        ("18-19", "The top note of 18 and the top note of 19 are a half step apart."),
    ],
)
def test_what_is_the_same_note_is_not(read, bars, say):
    assert "fault" not in read("jetty.musicxml", bars, say)
