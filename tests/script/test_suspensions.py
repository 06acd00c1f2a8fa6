"""What is said of a suspension: its two notes, its figures, which way it goes and when."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lantern-ferry-2", "22-23", "That's a four-three suspension over the B flat.", "'22.3 23.2'"),
        ("lantern-ferry-2", "22-23", "Here is a suspension that sinks to the third.", "'22.3 23.2'"),
        ("paperferry", "6-7", "It's a suspension: hold the old note, and let go of it late.", "'6.3 7.2'"),
        ("ninthlamp", "10-11", "The suspended D resolves on beat two.", "lit 'suspended d'"),
    ],
)
def test_a_suspension_is_lit_with_its_resolution(read, score, bars, say, found):
    said = read(f"{score}.musicxml", bars, say)
    assert found in said
    assert "fault" not in said


@pytest.mark.parametrize(
    ("score", "bars", "say", "words"),
    [
        ("lantern-ferry-2", "22-23", "That's a nine-eight suspension.", "nine-eight suspension"),
        ("lantern-ferry-2", "22-23", "The suspension resolves upwards, to the fifth.", "resolves"),
        (
            "lantern-ferry-2",
            "22-23",
            "There's a suspension here that climbs up a step.",
            "suspension here that climbs up",
        ),
        ("lantern-ferry-2", "22-23", "The suspension resolves to the root.", "root"),
        (
            "ninthlamp",
            "10-11",
            "The suspended D hangs on and resolves on beat three.",
            "resolves on beat three",
        ),
    ],
)
def test_a_suspension_of_other_figures_or_another_way_is_false(read, score, bars, say, words):
    assert f"fault '{words}'" in read(f"{score}.musicxml", bars, say)


def test_a_suspended_note_of_another_name_is_left_alone(read):
    assert "suspended" not in read("ninthlamp.musicxml", "10-11", "The suspended C is lovely.")


def test_a_note_that_leans_on_its_chord_like_one_is_a_suspension(read):
    said = read("harbour-lamps.musicxml", "4-4", "Bar four has a suspension, E flat to D flat.")
    assert "lit 'suspension' ('4.1-4.3', '4.1 4.3')" in said
    assert "fault 'nine eight" in read("harbour-lamps.musicxml", "4-4", "There's a nine eight suspension.")
