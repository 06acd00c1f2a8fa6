"""A degree that no note in sight is, however it is heard, is false; so is a row of degrees in another order."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("tin-roof", "12", "The flat nine on top gives this bar its bite.", "flat nine"),
        ("copper-lane", "12", "The sharp nine rings out, and we come down from there.", "sharp nine"),
        ("weir", "14", "It leads us down from the seventh to the flat nine.", "flat nine"),
    ],
)
def test_a_degree_that_is_not_there_is_false(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert fault in found


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("tin-roof", "12", "The sharp nine on top gives this bar its bite."),
        ("copper-lane", "12", "The flat nine rings out, and we come down from there."),
        ("weir", "14", "It leads us down from the seventh to the sharp eleven."),
        ("weir", "14", "You could add a flat nine there."),
    ],
)
def test_a_degree_that_is_there_or_wished_for_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
