"""A chord that stands where another was to be expected is one of this music, however that is put."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "lit"),
    [
        ("3-5", "Instead of D7 we get A flat seven here.", "4"),
        ("3-5", "I swapped the D7 for its tritone sub, A flat seven.", "4"),
        ("3-4", "Where you'd expect D7 we play A flat seven, a tritone away.", "4"),
        ("3-4", "Where D7 ought to be there's an A flat seven.", "4"),
        ("6-7", "Rather than G7 the composer goes for D flat seven, its tritone substitute.", "6.3-6.4"),
        ("3-5", "I swapped the D7 for its tritone sub, Ab7.", "4"),
        ("6-7", "We've replaced the dominant with its tritone sub, D flat seven.", "6.3-6.4"),
    ],
)
def test_the_chord_that_is_played_is_lit(read, bars, say, lit):
    assert f"('{lit}'" in read("copper.musicxml", bars, say)


def test_a_chord_that_is_no_tritone_away_is_false(read):
    found = read("copper.musicxml", "3-4", "Instead of C7 we get A flat seven, a tritone away.")
    assert "fault 'a flat seven, a tritone away'" in found


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("6-7", "You could swap that G7 for its tritone sub."),
        ("10-11", "I swapped the A7 for its tritone sub, E flat seven."),
        ("9-10", "I never play A7 instead of D flat seven."),
        ("5-5", "You could replace a dominant with its tritone sub."),
    ],
)
def test_what_is_not_played_here_is_left_alone(read, bars, say):
    assert read("copper.musicxml", bars, say) == ""
