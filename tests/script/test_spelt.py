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
        # by the verb, or by what it stands over
        (
            "lanterns",
            "7-8",
            "The first four notes of bar seven spell an E flat major seventh.",
            "7.1 7.1& 7.2 7.2&",
        ),
        ("lamplighters-round", "2-2", "It walks right down the G minor chord.", "2.1 2.1& 2.2 2.2&"),
        (
            "lantern-waltz",
            "19-19",
            "In nineteen you run up the A minor arpeggio.",
            "19.1 19.1& 19.2 19.2& 19.3",
        ),
        ("biscuit", "11-11", "D major over F seven, very bright.", "11.3 11.3& 11.4"),
        ("ninthlamp", "1-1", "Bar one simply arpeggiates A minor nine.", "1.1 1.2 1.2& 1.3 1.3&"),
        ("ninthlamp", "6-6", "There's an E flat triad sitting on the G7, root to fifth.", "6.2 6.2& 6.3"),
        (
            "lamplighter",
            "15-15",
            "It's a major triad a whole step above the root.",
            "15.1 15.1& 15.2 15.2& 15.3",
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
        ("rivers", "14-14", "The upper structure is an A flat triad.", "a flat triad"),
        ("herons", "9-10", "The triad on top of B7 is an F major triad.", "f major triad"),
        ("porch-lantern", "6-6", "Bar six is a plain D major arpeggio.", "d major arpeggio"),
        ("lanterns", "7-10", "Bar eight has the triad a tritone away.", "triad a tritone away"),
        ("biscuit", "11-11", "We arpeggiate F seven here.", "arpeggiate f seven"),
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
        "In bar twelve it goes down to a C seven chord.",
    ],
)
def test_what_may_be_the_harmony_or_something_else_is_never_false(read, say):
    assert "fault" not in read("paper-lighthouse.musicxml", "9-12", say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("biscuit", "11-11", "The upper structure on F7, bar eleven, is the E flat triad."),
        ("ninthlamp", "6-6", "The upper structure is an A flat major triad."),
    ],
)
def test_an_upper_structure_that_is_named_falsely_is_not_lit(read, score, bars, say):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert "lit 'upper structure'" not in found


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


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "rivet",
            "2",
            "C minor seven is simply spelled out from the root up to the seventh.",
            "2.1 2.1& 2.2 2.2&",
        ),
        ("kites", "8-8", "The chord is laid out from its third to its ninth.", "8.1 8.1& 8.2 8.2&"),
        ("lampoil", "3-3", "C seven, unfolded from its third to the flat nine.", "3.1 3.1& 3.2 3.2&"),
    ],
)
def test_a_chord_from_one_of_its_tones_to_another_is_lit_as_a_whole(read, score, bars, say, found):
    assert f"'{found}')" in read(f"{score}.musicxml", bars, say)


def test_a_chord_that_is_not_laid_out_so_is_not_lit_as_a_whole(read):
    say = "The C seven is unfolded from its root to the ninth."
    found = read("lampoil.musicxml", "3-3", say)
    assert "lit 'is unfolded" not in found
    assert "fault" in found
