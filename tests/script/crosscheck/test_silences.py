"""Rests that are shorter, longer or elsewhere than is said are false."""

import pytest

FALSE = [
    ("weir", "3", "There's a rest on beat two.", "rest"),
    ("weir", "3", "Leave beat three empty, please.", "beat three"),
    ("lantern-quay", "6", "We're silent for two beats, then it's up the A seven.", "two beats"),
    ("lantern-quay", "6", "The first three beats are silent.", "three beats"),
    ("jetty", "2", "We lay out for the last two beats of bar two.", "last two beats"),
    ("cobblers-umbrella", "5", "C is a quarter and then you have three beats' rest.", "three beats"),
    ("jetty", "2", "Play the A and then keep quiet until the bar line.", "quiet until the bar line"),
    ("lantern-4", "3", "Half a beat of silence goes by before the F.", "half a beat"),
]
TRUE = [
    ("lantern-4", "3", "A beat of silence goes by before the F."),
    ("weir", "3", "There's a rest on beat four."),
    ("weir", "3", "Beat four is empty."),
    ("lantern-quay", "6", "We wait for one beat, then it's up the A seven."),
    ("lantern-quay", "6", "The first beat is empty."),
    ("jetty", "2", "We lay out for the last beat of bar two."),
    ("cobblers-umbrella", "5", "C is a quarter and then you have one beat's rest."),
    ("jetty", "2", "Play the E and then keep quiet until the bar line."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_a_rest_that_is_otherwise_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_a_rest_that_is_there_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
