"""What is said of a line as a whole, beside another bar or between two notes, is lit as it is and else false."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        (
            "kettle-4",
            "16-16",
            "Bar sixteen only knows one direction, and that's down.",
            "knows one direction",
        ),
        ("harbour-ledger", "2-3", "Bar two is busier than bar three.", "is busier than bar three"),
        (
            "harbour-ledger",
            "2-2",
            "Nothing fancy rhythmically, eighths from one end to the other.",
            "'2.1 2.1& 2.2 2.2& 2.3 2.3& 2.4 2.4&'",
        ),
        ("biscuit-tin-parade", "9-9", "Watch out for the big jump from F down to A.", "lit 'f'"),
        (
            "harbour-of-slate",
            "3-4",
            "You'll find more notes in bar four than in bar three.",
            "more notes in bar four",
        ),
        ("harbour-of-slate", "2-2", "Count the quarters in bar two, there are four.", "'2.1 2.2 2.3 2.4'"),
        ("corner-blues", "7-7", "It's all up, this bar.", "it's all up"),
        ("tarpaulin", "12-12", "There's one syncopation in bar twelve.", "'12.4&'"),
        ("lantern-waltz", "6-6", "Everything in bar six goes down.", "everything in bar six goes down"),
        ("cellar-lantern", "7-7", "Bar seven peaks on E flat.", "peaks"),
        ("cellar-lantern", "2-3", "There's more going on in bar three than in bar two.", "more going on"),
        (
            "night-tram",
            "13-13",
            "The whole of bar thirteen is eighths.",
            "the whole of bar thirteen is eighths",
        ),
        ("kettle-3", "2-2", "Every single note in bar two has the same length.", "the same length"),
        ("kettle-4", "21-21", "It's every half step on the way from B to A.", "lit 'from b to a'"),
    ],
)
def test_what_is_true_of_a_line_is_lit(read, score, bars, say, lit):
    found = read(f"{score}.musicxml", bars, say)
    assert lit in found
    assert "fault" not in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "harbour-ledger",
            "15-15",
            "Bar fifteen goes straight down without a single turn.",
            "goes straight down",
        ),
        ("harbour-ledger", "2-3", "Bar three is busier than bar two.", "is busier than bar two"),
        ("harbour-ledger", "5-5", "The widest leap of bar five is an octave.", "widest leap of bar five"),
        ("harbour-ledger", "1-1", "The tune begins with a pickup.", "begins with a pickup"),
        ("kettle-4", "17-17", "And there's your little rest, in bar seventeen.", "little rest"),
        (
            "harbour-ledger",
            "1-8",
            "The first phrase takes a whole five bars before it lands.",
            "first phrase",
        ),
        ("kettle-4", "23-23", "Bar twenty-three has the highest note of the whole piece.", "highest note"),
        ("harbour-of-slate", "4-4", "Bar four is one long climb.", "one long climb"),
        ("harbour-of-slate", "6-6", "There isn't a single leap in bar six.", "isn't a single leap"),
        ("harbour-of-slate", "12-12", "Bar twelve has a huge leap in it.", "a huge leap"),
        (
            "lampoil",
            "2-2",
            "The last F of bar two is held into the next bar.",
            "is held into the next bar",
        ),
        ("corner-blues", "10-10", "Nothing in bar ten is higher than the A.", "fault 'a'"),
        ("lantern-waltz", "22-22", "Bar twenty-two peaks on G.", "peaks"),
        ("lantern-waltz", "6-6", "You've got seven notes to play in bar six.", "seven notes"),
        ("cellar-lantern", "2-2", "Mind the big leap in bar two.", "the big leap"),
        ("cellar-lantern", "22-22", "Bar twenty-two, straight eighths, start to end.", "straight eighths"),
        ("kettle-3", "12-12", "In bar twelve you get an arpeggio on its way down.", "arpeggio"),
        ("kettle-3", "15-15", "Bar fifteen pushes into the next bar with a tied note.", "into the next bar"),
        ("kettle-3", "24-24", "A tie carries the C out of bar twenty-four.", "a tie"),
        ("kettle-3", "6-6", "Bar six is just a rest.", "is just a rest"),
        ("coalshed", "11-11", "Every single note in bar eleven has the same length.", "the same length"),
        (
            "coalshed",
            "18-18",
            "The A flat in bar eighteen is immediately repeated.",
            "is immediately repeated",
        ),
        ("kettle-3", "5-5", "Give the long note in bar five its two beats.", "its two beats"),
        ("elevator", "19-19", "Everything in bar nineteen is off the beat.", "off the beat"),
        ("harbour-glass", "1-8", "Count four bars for the first phrase.", "bars for the first phrase"),
        ("harbour-ledger", "4-4", "So that arpeggio heads down, right?", "arpeggio"),
    ],
)
def test_what_is_not_so_is_false(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault " in found
    assert fault in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("marzipan-lighthouse", "6-6", "It tumbles down the G seven.", "'6.2& 6.3 6.3& 6.4'"),
        (
            "marzipan-lighthouse",
            "13-13",
            "Here we spill down the D half diminished chord.",
            "'13.1 13.1& 13.2 13.2&'",
        ),
        ("harbour-lamps", "20-20", "The line runs down the E diminished chord.", "fault 'runs down the"),
        (
            "harbour-lamps",
            "3-3",
            "Six notes here, the B flat on beat three among them.",
            "'3.1 3.1& 3.2 3.2& 3.3 3.4'",
        ),
        ("harbour-lamps", "4-4", "It ends on a minor third, not on the root.", "lit 'minor third' ('b3@4.3'"),
        ("lantern-waltz", "8-9", "Can everybody play me the flat nine?", "['b9@9.1', 'b9@9.3']"),
        ("marzipan-lighthouse", "22-23", "D flat seven is the tritone sub for G.", "22 to 22"),
        ("harbour-lamps", "9-9", "The fifth is held for three beats on the D flat chord.", "'5@9.1'"),
        ("lantern-waltz", "4-4", "We get an E and then a G.", "lit 'g' ('b7@4.2', '4.2')"),
        (
            "marzipan-lighthouse",
            "18-18",
            "Eighteen is a three five seven nine arpeggio over A flat seven.",
            "lit 'three five seven nine'",
        ),
    ],
)
def test_what_stands_beside_a_claim_says_what_is_meant(read, score, bars, say, found):
    said = read(f"{score}.musicxml", bars, say)
    assert found in said
    assert said.count("fault") == found.count("fault")


def test_a_dominant_at_large_is_none_of_the_chords_here(read):
    assert read("lantern-waltz.musicxml", "12-13", "A dominant is the five of its key.") == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lantern-stairs", "5-5", "In measure five the peak is G, the sharp eleven.", "fault 'sharp eleven'"),
        ("cellar-steps-2", "16-16", "A flat is the flat seven of D seven.", "fault 'flat seven'"),
        (
            "rivers",
            "3-3",
            "The flat seven on the and of two moves down a minor third to the fifth.",
            "'5@3.3'",
        ),
        ("lantern-stairs", "9-9", "After the root comes A.", "'9.3'"),
        ("copper-lane", "3-5", "A flat falls by a whole step to F sharp in bar four.", "'4.2&'"),
    ],
)
def test_both_halves_of_what_is_said_of_a_note_are_heard(read, score, bars, say, found):
    said = read(f"{score}.musicxml", bars, say)
    assert found in said
    assert "moves down" not in said
    assert said.count("fault") == found.count("fault")


def test_the_peak_of_a_bar_is_none_that_is_held_into_it(read):
    said = read("lanterns-2.musicxml", "1-3", "In measure two the peak is G, the third.")
    assert "'2.1'" in said
    assert "1.4" not in said
