"""What a chord is in a key, and which notes are of a chord or a key, is held against the chords that are printed."""

import pytest

FALSE = [
    (
        "copper-lane",
        "6-7",
        "B flat seven, the four of our home key, resolves right away.",
        "four of our home",
    ),
    ("copper-lane", "8-9", "We go to A flat, the five chord of our key.", "five chord of our key"),
    ("copper-lane", "1", "F minor seven is the six chord of E flat major.", "six chord of e flat major"),
    (
        "cellar-blues",
        "9",
        "E flat seven, the flat two of our key, leans on the D seven.",
        "flat two of our key",
    ),
    ("copper-lane", "2", "The E natural is part of the B flat chord, so no worries there.", "is part of"),
    (
        "copper-lane",
        "9",
        "That D at the end comes straight out of the chord, no spice at all.",
        "comes straight",
    ),
    ("copper-lane", "10", "D flat seven is diatonic to E flat major, as far as I can see.", "is diatonic to"),
    ("copper-lane", "12", "Nothing's altered here, it's a plain C seven.", "altered"),
    ("cellar-blues", "9", "Every note comes out of the chord here, even the A.", "every note comes out"),
    ("copper-lane", "3-4", "E flat major seven and C minor seven share only the G.", "share only the g"),
]
TRUE = [
    ("copper-lane", "6-7", "B flat seven, the five of our home key, resolves right away."),
    ("copper-lane", "8-9", "We go to A flat, the four chord of our key."),
    ("copper-lane", "1", "F minor seven is the two chord of E flat major."),
    ("cellar-blues", "9", "E flat seven, the flat six of our key, leans on the D seven."),
    ("copper-lane", "2", "The D is part of the B flat chord, so no worries there."),
    ("copper-lane", "9", "That C at the start comes straight out of the chord, no spice at all."),
    ("copper-lane", "1", "F minor seven is diatonic to E flat major, as far as I can see."),
    ("cellar-blues", "11", "Every note comes out of the chord here, the fifth and the third."),
    ("cellar-blues", "9-10", "E flat seven and D seven have only one note in common, the C."),
    ("cellar-blues", "6", "D isn't part of the C minor chord, it's passing."),
]


@pytest.mark.parametrize(("score", "bars", "say", "fault"), FALSE)
def test_what_a_chord_or_a_note_is_not_is_false(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_a_chord_or_a_note_is_is_not_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
