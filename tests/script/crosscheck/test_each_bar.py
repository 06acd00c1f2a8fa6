"""What is said of each of several bars is false where one of them has it not."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("13-15", "All three bars land on the third.", "third"),
        ("13-15", "In each bar the long note is the root.", "root"),
        ("13-15", "Three bars, and each of them begins on A.", "a"),
        ("13-15", "The longest note of all three bars is always the first one.", "first"),
        ("13-15", "All three bars spell their triad the same way, root, third, fifth.", "root, third, fifth"),
        (
            "13-15",
            "The same figure comes three times, each time a little higher.",
            "each time a little higher",
        ),
    ],
)
def test_what_is_not_so_in_one_of_them_is_false(read, bars, say, fault):
    assert f"fault '{fault}'" in read("jetty.musicxml", bars, say)


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("13-15", "All three bars land on the ninth."),
        ("13-15", "In each bar the long note is the ninth."),
        ("13-15", "The longest note of all three bars is always the last one."),
        ("13-15", "All three bars spell their triad the same way, fifth, third, root."),
        ("13-15", "Not all three bars begin on A."),
        ("13-15", "All three bars but the last one land on the ninth or the third."),
    ],
)
def test_what_is_so_in_all_or_said_of_less_is_not(read, bars, say):
    assert "fault" not in read("jetty.musicxml", bars, say)
