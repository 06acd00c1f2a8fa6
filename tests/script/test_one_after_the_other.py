"""Sentences of two or more parts: each with its own place, its own note, and in the order in which they come."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("say", "found"),
    [
        (
            "Beat one is the third, beat two is the seventh.",
            "lit 'third' ('3@16.1', '16.1') lit 'seventh' ('b7@16.2'",
        ),
        (
            "On one it's the third, on two it's the seventh.",
            "lit 'third' ('3@16.1', '16.1') lit 'seventh' ('b7@16.2'",
        ),
        ("The downbeat is the third and beat two is the flat seven.", "lit 'flat seven' ('b7@16.2'"),
        ("Beat one is the third, beat two is the thirteenth.", "fault 'thirteenth'"),
    ],
)
def test_another_beat_has_a_note_of_its_own(read, say, found):
    assert found in read("late-ferryman.musicxml", "16-16", say)


def test_two_names_with_a_beat_between_them_are_one_note_all_the_same(read):
    told = read("late-ferryman.musicxml", "16-16", "The C, on beat two, is the seventh.")
    assert "lit 'c' ('b7@16.2'" in told and "lit 'seventh' ('b7@16.2'" in told
    assert "fault" in read("late-ferryman.musicxml", "16-16", "The C, on beat two, is the fifth.")


@pytest.mark.parametrize(
    ("say", "there"),
    [
        ("Bar sixteen goes fifth, third, seventh.", "has them in the order 3 5 b7"),
        ("It goes seventh, third, fifth.", "has them in the order 3 5 b7"),
        ("The order here is C, A, F sharp.", "do not come in this order"),
        ("The line here goes root, third, fifth.", "has them in the order 3 5 1"),
    ],
)
def test_a_row_in_another_order_is_false(faults, say, there):
    assert there in faults("late-ferryman.musicxml", "16-16", say)


@pytest.mark.parametrize(
    "say",
    [
        "In bar sixteen we hear the fifth, the third and the seventh.",
        "Bar sixteen goes third, fifth, seventh.",
        "It goes F sharp, C, E flat.",
    ],
)
def test_a_row_that_comes_so_or_is_said_in_no_order_is_not_false(read, say):
    told = read("late-ferryman.musicxml", "16-16", say)
    assert "fault" not in told and "lit" in told


@pytest.mark.parametrize("say", ["First the seventh, then the fifth.", "After the seventh comes the fifth."])
def test_what_comes_first_and_what_then_is_told(read, say):
    assert "fault 'fifth'" in read("late-ferryman.musicxml", "16-16", say)


def test_what_comes_so_is_lit(read):
    told = read("late-ferryman.musicxml", "16-16", "First the fifth, then the seventh.")
    assert "fault" not in told and "lit 'seventh' ('b7@16.2'" in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "late-ferryman",
            "15-16",
            "The last note of bar fifteen goes to the third of the next chord.",
            "lit 'last note' ('b7@15.4&', '15.4&') lit 'third' ('3@16.1'",
        ),
        (
            "cellar-steps",
            "1-2",
            "The last note of bar one moves up a half step to the root of the next chord.",
            "lit 'last note' ('3@1.4&', '1.4&') lit 'root' ('1@2.1'",
        ),
        (
            "cellar-steps",
            "1-2",
            "The last note of bar one moves up a half step to the fifth of the next chord.",
            "fault 'fifth'",
        ),
    ],
)
def test_the_last_note_of_a_bar_goes_where_it_is_said_to(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "Make up your own lick for this bar, maybe something with a flat nine in it.",
        "Improvise over this bar, with a flat nine or two.",
    ],
)
def test_what_the_player_is_to_make_up_is_not_claimed(read, say):
    assert read("late-ferryman.musicxml", "16-16", say) == ""


def test_where_the_device_named_before_is_said_to_land_is_held_against_it(read):
    told = read("copper-lane.musicxml", "4-4", "There's an enclosure here. It lands on the fifth.")
    assert "lit 'fifth' ('5@4.3&'" in told
    told = read("copper-lane.musicxml", "4-4", "There's an enclosure here. It lands on the root.")
    assert "fault 'root'" in told


@pytest.mark.parametrize(
    ("bars", "say", "found"),
    [
        (
            "16-17",
            "In the first bar there's the seventh, in the second the third.",
            "lit 'third' ('b3@17.2&'",
        ),
        (
            "16-17",
            "You hear the fifth in bar sixteen and then the root in bar seventeen.",
            "lit 'fifth' ('5@16.1&'",
        ),
        (
            "16-17",
            "Over the D seven it's the third, over the G minor seven it's the root.",
            "lit 'root' ('1@17.3'",
        ),
        ("16-16", "A is the fifth of the D seven.", "lit 'fifth' ('5@16.1&'"),
        ("16-16", "A is the root of the D seven.", "fault 'root'"),
        ("16-16", "The first note is the third and the last one the fifth.", "fault 'fifth'"),
        ("16-16", "The third is on beat one, the root on beat three.", "lit 'root' ('1@16.3'"),
    ],
)
def test_each_part_is_of_its_own_bar_chord_or_note(read, bars, say, found):
    assert found in read("late-ferryman.musicxml", bars, say)
