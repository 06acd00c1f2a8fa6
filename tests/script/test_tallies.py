"""Counts of pitches, tensions and altered notes, and what all tensions are said to be: lit, false, or left alone."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "lit"),
    [
        ("9", "Four pitches, that's all there is in bar nine.", "lit 'four pitches' ('9.1-9.3'"),
        ("12", "Bar twelve gives us four tensions.", "lit 'four tensions' ('12.3-12.4&'"),
        ("12", "Three altered notes in bar twelve.", "lit 'three altered notes' ('12.3-12.4&'"),
    ],
)
def test_as_many_as_are_said_are_lit(read, bars, say, lit):
    assert lit in read("orchard-clock.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("orchard-clock", "6", "This bar has five different pitches.", "fault 'five different pitches'"),
        ("lamplighter-2", "16", "The bar contains no fewer than five different pitches.", "fault"),
        ("paper-lantern-parade", "13-14", "There are four different pitches in these two bars.", "fault"),
        ("orchard-clock", "4", "There are six tensions in bar four.", "fault 'six tensions'"),
        ("night-tram", "10", "Bar ten has two altered notes.", "fault 'two altered notes'"),
        ("kites", "4", "All the tensions in this bar are natural ones.", "fault"),
        ("night-tram", "10", "The tensions in bar ten are all natural.", "fault"),
    ],
)
def test_other_counts_and_kinds_are_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "Bar four has about six tensions.",
        "The last two tensions are close together.",
        "Are all the tensions natural?",
    ],
)
def test_what_is_hedged_or_asked_or_one_of_several_is_left_alone(read, say):
    assert "fault" not in read("orchard-clock.musicxml", "4", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "orchard-clock",
            "5",
            "We hold the last note for two bars.",
            "fault 'hold the last note for two bars'",
        ),
        (
            "biscuit-2",
            "12",
            "We hold the last note of the first chorus for a whole bar.",
            "fault 'for a whole bar'",
        ),
        ("orchard-clock", "5", "The lowest note lasts three beats.", "fault 'lasts three beats'"),
    ],
)
def test_a_note_that_is_held_for_less_than_is_said_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


def test_what_is_kept_up_for_some_bars_is_no_note(read):
    assert "fault" not in read("orchard-clock.musicxml", "5", "Keep the tempo steady for two bars.")
