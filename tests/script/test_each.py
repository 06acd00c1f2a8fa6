"""What each of several bars, chords, groups or beats is said to have: all of it, where each has it once."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paperferry", "9-12", "Each bar has its root on the and of two.", "9.2& 10.2& 11.2& 12.2&"),
        ("paperferry", "9-12", "Third on every downbeat.", "9.1 10.1 11.1 12.1"),
        ("lamplighter", "17-20", "Every bar of this passage ends on the seventh.", "17.3 18.3 19.3 20.3"),
        ("revolving-door-minutes", "10-11", "Every cell lands on its root.", "10.2 10.4 11.2 11.4"),
        (
            "revolving-door-minutes",
            "10-11",
            "Each of the four cells ends: C, F, D, G.",
            "10.2 10.4 11.2 11.4",
        ),
        ("lantern-weather", "5-6", "Every group of four begins one note further up: F, G, A.", "5.1 5.3 6.1"),
        ("grey-sluice", "11-12", "The top of each group goes G, F sharp, F.", "11.1 11.3 12.2"),
        ("lamplighter", "17-20", "Each one lands on the seventh.", "17.3 18.3 19.3 20.3"),
        ("lamplighter", "17-20", "They all end on the seventh.", "17.3 18.3 19.3 20.3"),
        ("paperferry", "9-12", "Every one of them has the root on the and of two.", "9.2& 10.2& 11.2& 12.2&"),
        ("lampoil", "9-12", "Each of the two major seventh chords has its sharp eleven.", "11.4 12.3"),
    ],
)
def test_what_each_has_is_lit(read, score, bars, say, found):
    assert f"'{found}'" in read(f"{score}.musicxml", bars, say)


def test_what_none_of_them_ends_on_is_a_fault(read):
    assert "fault 'root'" in read("lamplighter.musicxml", "17-20", "Each one of them ends on the root.")


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("9-12", "Each of you has played the flat nine too early."),
        ("9-12", "Each bar has its flat nine on the and of two."),
        ("13-14", "Each bar has a fifth somewhere."),
        ("9-12", "Every dominant has its seventh."),
    ],
)
def test_what_not_each_has_once_is_left_alone(read, bars, say):
    assert "lit" not in read("paperferry.musicxml", bars, say)


def test_each_half_of_a_bar_is_one_of_several(read):
    told = read("copper-lane.musicxml", "5-5", "Each half of bar five goes through the third.")
    assert "'5.2 5.3&'" in told


def test_triplets_that_are_all_a_sentence_says_are_lit(read):
    told = read("lampoil.musicxml", "17-18", "Triplets!")
    assert "'17.3 17.3+1/3 17.3+2/3 18.3 18.3+1/3 18.3+2/3'" in told
    assert "lit" not in read("lampoil.musicxml", "17-18", "Triplets are hard.")
