"""Sentences that go on from the note, or the bars, that the one before named last."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paperferry", "13-13", "The bar starts on the third. Next note, the fifth.", "('5@13.1&'"),
        ("paperferry", "13-13", "The seventh is the top. It falls back to the fifth.", "('5@13.2&'"),
        (
            "paperferry",
            "13-14",
            "Bar fourteen gets down to the third. From there, up to the fifth.",
            "('5@14.2&'",
        ),
        ("kettle", "1-2", "Bar two. The first note is the seventh.", "('b7@2.1'"),
        ("kettle", "1-3", "Bar two is diminished at the end. The last note is its seventh.", "('bb7@2.4&'"),
    ],
)
def test_what_follows_the_note_named_before_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_what_neither_the_bars_named_before_nor_those_shown_end_with_is_false(read):
    assert "fault 'third'" in read("kettle.musicxml", "1-2", "Bar two. The last note is the third.")


def test_a_degree_after_a_name_is_that_note(read):
    told = read("paperferry.musicxml", "7-8", "The G leads up a step to A, the third of F.")
    assert "lit 'third' ('3@8.1'" in told and "9.1" not in told


def test_a_degree_of_the_next_chord_is_not_that_of_the_one_before(read):
    told = read("paperferry.musicxml", "19-20", "The flat thirteenth falls to the ninth of the next chord.")
    assert "lit 'ninth' ('9@20.1'" in told
    told = read("paperferry.musicxml", "19-20", "The flat thirteenth falls to the fifth of the next chord.")
    assert "fault 'fifth'" in told


def test_a_habit_of_what_is_here_is_no_rule(read):
    say = "The flat nine goes where it always goes, the fifth of the one chord."
    assert "('5@3.1'" in read("ninthlamp.musicxml", "2-3", say)
    assert read("ninthlamp.musicxml", "2-3", "A flat nine always goes to the fifth.") == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lampoil", "1-4", "Do not clip that last C; it is the fifth.", "lit 'fifth' ('5@4.3'"),
        ("lampoil", "1-4", "The flat thirteen becomes the minor third.", "lit 'minor third' ('b3@4.1'"),
        ("grey-sluice", "10-11", "We skip from the nine down to the five of C.", "lit 'nine' ('9@10.3&'"),
        ("paper-lantern-parade", "13-14", "The fifth hangs across the bar line.", "('5@13.4&'"),
        ("paper-lantern-parade", "11-12", "C down to B, and the floor moves.", "lit 'c' ('b7@11.3'"),
        ("lantern-2", "1-2", "I sit on the major seventh for two beats in bar one.", "('7@1.3'"),
        ("kettle", "7-7", "The fifth that lasts a beat and a half is sweet.", "('5@7.1'"),
        ("lamplighters-stair", "11-12", "Now you're on three of E flat seven.", "lit 'three' ('3@12.1'"),
        ("paper-lantern-parade", "5-5", "F sharp over a C major seven.", "lit 'f sharp' ('#11@5.4&'"),
        ("rivet", "21", "The third of the chord is in there twice.", "'21.1 21.4&'"),
        ("lantern-on-the-quay", "20-24", "In the next-to-last bar you hop to the nine.", "('9@23.3'"),
    ],
)
def test_which_of_several_notes_is_told_by_what_it_does(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_a_note_that_is_pointed_at_is_asked_for_where_it_comes_often(read):
    told = read("tarpaulin.musicxml", "14-15", "That E there is the one that hurts.")
    assert "question 'e'" in told and "14.4&" in told


def test_bars_of_what_is_told_next_are_not_those_of_the_note_before(read):
    told = read(
        "lamplighters-stair.musicxml", "23-24", "The natural six rings, then in the last bar we settle."
    )
    assert "lit 'natural six' ('6@23.3'" in told


def test_the_next_bar_of_a_cue_that_opens_with_it_is_the_one_that_is_shown(read):
    assert "('11@2.1'" in read("slate-roof-rain.musicxml", "2-2", "The next bar opens on the eleventh.")
    assert "('5@13.3&'" in read("paperferry.musicxml", "13-13", "Next bar, and we come home to the fifth.")


def test_a_degree_said_of_a_beat_of_a_chord_in_front_is_false_where_it_is_another(read):
    say = "On A flat seven, beat one, you're resting on the fifth."
    assert "fault 'fifth'" in read("slate-roof-rain.musicxml", "3-3", say)
