"""A chord that a sentence makes the subject of what it says is the one that is there, where nothing else is read."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        ("copper.musicxml", "3-5", "Then the A flat seven shows up and darkens everything.", "4"),
        ("copper.musicxml", "6-7", "D flat seven steals the place of the dominant.", "6.3-6.4"),
        ("copper.musicxml", "3-5", "And in bar four we're handed A flat seven.", "4"),
        ("heron.musicxml", "16-18", "E seven brightens the whole corner of the room.", "18"),
        ("heron.musicxml", "13-16", "F sharp seven is only there to send us round again, to B minor.", "16"),
        ("heron.musicxml", "1-24", "B minor rules from the first page to the last.", "all"),
    ],
)
def test_it_is_lit(read, score, bars, say, lit):
    assert f"{lit}'" in read(score, bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper.musicxml", "3-5", "Over A flat seven I like to close my eyes."),
        ("copper.musicxml", "3-5", "A flat seven would push us somewhere else."),
        ("copper.musicxml", "3-5", "A flat seven never comes twice in my dreams, does it?"),
        ("heron.musicxml", "1-24", "B minor is a key that cellists dread."),
        (
            "heron.musicxml",
            "16-18",
            "F sharp seven is all impatience, looking towards A minor.",
        ),  # B minor is next
        ("heron.musicxml", "1-24", "F sharp seven keeps coming back."),  # which one?
        ("heron.musicxml", "17-18", "E seven is where my students usually get lost."),
        ("heron.musicxml", "16-18", "A five chord wants to go home."),
    ],
)
def test_what_is_not_told_of_one_that_is_there_is_left_alone(read, score, bars, say):
    assert read(score, bars, say) == ""


def test_a_triad_that_the_line_lays_over_a_chord_is_no_false_chord(read):
    assert "fault" not in read("kettle-9.musicxml", "14-14", "It's all B flat major on top of that bar.")
    assert "fault 'b flat major'" in read("kettle-9.musicxml", "9-9", "This is B flat major.")


def test_a_sort_of_chord_is_none_of_these(read):
    assert read("copper.musicxml", "1-4", "C seven is a chord that many players fear.") == ""
    assert "fault 'c seven'" in read("copper.musicxml", "1-4", "C seven is the chord in bar three.")


def test_a_half_diminished_step_is_no_degree(read):
    assert "b9" not in read("heron.musicxml", "1-3", "With its own half-diminished two we circle home.")


@pytest.mark.parametrize(
    ("bars", "say", "lit"),
    [
        ("1-12", "It's a twelve-bar blues.", "1-12"),
        ("13-24", "The second chorus is a twelve-bar blues again.", "13-24"),
        ("1-25", "Twice round the twelve-bar blues.", "1-24"),
    ],
)
def test_a_blues_is_lit(read, bars, say, lit):
    assert f"{lit}'" in read("kettle-9.musicxml", bars, say)


def test_no_blues_is_silent(read):
    assert read("heron.musicxml", "1-12", "It feels like a twelve-bar blues.") == ""
