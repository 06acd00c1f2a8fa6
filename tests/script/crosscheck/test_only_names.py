"""Notes that are named as all there are, where one is missing or there are others."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("13", "Only A, F and E in bar thirteen.", "a, f and e"),
        ("18", "We make do with three pitches: A, C and G.", "g"),
        ("18", "Nothing but A and E here.", "a and e"),
    ],
)
def test_a_list_that_is_not_all_there_is_false(read, bars, say, fault):
    told = read("jetty.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("18", "Nothing but A, C and E in this bar."),
        ("18", "We make do with three pitches: A, C and E."),
        ("18", "Not only A and E here."),
        ("18", "Only A and E are left out of it on beat two."),
        ("13", "Only the A and the F are eighths."),
        ("13", "On the first beat only A and F."),
    ],
)
def test_a_list_that_is_all_or_of_some_is_not(read, bars, say):
    assert "fault" not in read("jetty.musicxml", bars, say)
