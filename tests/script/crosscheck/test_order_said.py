"""Notes that are said to follow one another are held against the order of the line."""

import pytest


@pytest.mark.parametrize(
    ("say", "fault"),
    [
        ("The seventh is followed by the ninth here.", "fault 'ninth'"),
        ("We hear the third, then the root.", "fault 'root'"),
        ("A D, and right after it comes an A.", "fault 'a'"),
    ],
)
def test_what_comes_in_another_order_is_false(read, say, fault):
    assert fault in read("lantern-ferry.musicxml", "15", say)


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
