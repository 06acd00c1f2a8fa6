"""Notes that are said to follow one another are held against the order of the line."""

import pytest


def test_what_comes_in_another_order_is_false(read):
    assert "fault 'ninth'" in read(
        "lantern-ferry.musicxml", "15", "The seventh is followed by the ninth here."
    )


@pytest.mark.parametrize(
    "say",
    [
        "The root is followed by the seventh here.",
        "We hear the root, then the third.",
        "A D, and right after it comes a B.",
        "The seventh isn't followed by the ninth here.",
    ],
)
def test_what_comes_in_its_order_is_not(read, say):
    assert "fault" not in read("lantern-ferry.musicxml", "15", say)
