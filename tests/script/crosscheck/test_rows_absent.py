"""A row of letters of which one is wrong is false, and says what is there."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("weir", "5-6", "The little cell D, F, E keeps cycling right into bar six.", "fault 'e'"),
        ("lanterns-2", "13-14", "D, B flat and G go round and round, three against four.", "fault 'g'"),
    ],
)
def test_the_odd_letter_of_a_row_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("weir", "5-6", "The little cell D, F, G keeps cycling right into bar six."),
        ("lanterns-2", "13-14", "D, B flat and A go round and round, three against four."),
        ("copper-lane", "1", "Up it goes, A flat, C, E flat, G, one after the other."),
        ("copper-lane", "1", "The high ones are G, F and E flat, and it comes down from there."),
    ],
)
def test_a_row_that_is_there_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
