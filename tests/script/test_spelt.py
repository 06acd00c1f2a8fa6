"""Chords that a sentence says the line spells out."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "brass-umbrella",
            "9-12",
            "I stack a D major triad on top of the C seven in bar ten.",
            "10.2& 10.3 10.3&",
        ),
        (
            "lantern-waltz",
            "17-20",
            "Bar twenty lays the triad of A flat upon the dominant.",
            "20.1 20.1& 20.2 20.2&",
        ),
        ("night-tram", "1-4", "In bar two you get an A flat major triad.", "2.3 2.3& 2.4 2.4&"),
        ("corner-blues", "9-12", "In ten you've an A diminished seventh shape.", "10.1 10.2& 10.3 10.3&"),
        ("corner-blues", "5-8", "Bar six is one diminished seventh arpeggio.", "6.1 6.1& 6.2 6.2& 6.3"),
        (
            "brass-umbrella",
            "17-20",
            "Bar twenty runs through every member of the half-diminished chord.",
            "20.1 20.1& 20.2 20.2&",
        ),
    ],
)
def test_a_chord_that_the_line_spells_out_is_lit(read, score, bars, say, found):
    assert f"'{found}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "words"),
    [
        ("paper-lighthouse", "9-12", "Bar twelve has an E major triad over the C seven.", "e major triad"),
        ("night-tram", "5-8", "Bar eight runs through a diminished arpeggio.", "diminished arpeggio"),
        ("night-tram", "1-4", "In bar two a B flat major triad descends.", "b flat major triad"),
    ],
)
def test_a_chord_that_is_nowhere_in_its_bar_is_false(read, score, bars, say, words):
    assert f"fault '{words}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "In bar twelve the band plays a C major triad.",
        "Is there an E major triad in bar twelve?",
        "Any C major triad would do in bar twelve.",
        "Bar eleven is a C minor triad with a sixth.",  # its notes are there
        "In bar twelve we hear a C seven.",
        "A triad of friends listens.",
    ],
)
def test_what_may_be_the_harmony_or_something_else_is_never_false(read, say):
    assert "fault" not in read("paper-lighthouse.musicxml", "9-12", say)


def test_a_fault_tells_what_is_there(examined):
    found = examined("There is an E flat major triad in bar two.")
    assert any("bar 2 has" in fault.what for fault in found.faults)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lantern-ferry-2", "7-8", "Down the F minor, up the B flat seven.", "'7.1 7.1& 7.2 7.2&'"),
        ("lantern-ferry-2", "7-8", "Down the F minor, up the B flat seven.", "'7.3 7.3& 7.4 7.4&'"),
        ("ninthlamp", "1-1", "We climb the minor nine.", "'1.1 1.2 1.2& 1.3 1.3&'"),
        ("kettle-2", "16-16", "Arpeggiate C minor seven, starting low.", "'16.1 16.1& 16.2 16.2&'"),
        ("kettle-2", "16-16", "In bar sixteen it goes up the B seven.", "fault 'goes up the b seven'"),
    ],
)
def test_the_line_goes_up_or_down_a_chord(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_what_lights_up_a_chord_goes_nowhere(read):
    assert "up the" not in read("kettle-2.musicxml", "16-16", "That note lights up the B seven.")
