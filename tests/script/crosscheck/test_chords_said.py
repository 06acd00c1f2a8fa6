"""Chords, keys and scales that are named and are not there, or lead elsewhere, are false, however they are put."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        # a chord of another kind, or none of that name
        (
            "estuary-lamps",
            "13-14",
            "B flat major seven opens the door to the four chord.",
            "b flat major seven",
        ),
        ("estuary-lamps", "18", "Strange corner: the whole bar hangs on D flat seven.", "d flat seven"),
        ("estuary-lamps", "20", "The tritone sub drops in here, and it's A seven.", "a seven"),
        # on another beat
        ("estuary-lamps", "7", "D7 squeezes in on four.", "on four"),
        ("estuary-lamps", "2", "From beat two it's C seven.", "from beat two"),
        ("lanterns-2", "11", "C seven takes over on beat four.", "on beat four"),
        # where it leads
        ("estuary-lamps", "7-8", "The D seven is meant to carry us into G major.", "g major"),
        (
            "estuary-lamps",
            "14-15",
            "With its tritone E flat seven leans forward and aims for D flat major.",
            "d flat major",
        ),
        ("cellar-stairs", "2-4", "This two-five walks us home to D major.", "d major"),
        # how far
        (
            "estuary-lamps",
            "17-18",
            "The mood sinks a whole step, from G minor to G flat seven.",
            "whole step, from g minor to g flat seven",
        ),
        # what they are to each other and to the piece
        ("estuary-lamps", "7-8", "In bar seven D seven acts as the five of E flat.", "the five of e flat"),
        ("estuary-lamps", "1-4", "The whole etude sits in F minor.", "f minor"),
        ("estuary-lamps", "1-4", "Notice that the piece is in three four time.", "in three four time"),
        # scales and keys
        ("lanterns-2", "1", "Every note up there is straight out of A flat major.", "a flat major"),
    ],
)
def test_what_the_harmony_has_not_is_false(read, score, bars, say, fault):
    assert f"fault '{fault}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("estuary-lamps", "13-14", "B flat minor opens the door to the four chord."),
        ("estuary-lamps", "18", "The G flat seven stands in for C seven."),
        ("estuary-lamps", "20", "The tritone sub drops in here, and it's E seven."),
        ("estuary-lamps", "20", "You'd expect B flat seven, and it isn't that."),
        ("estuary-lamps", "7", "D7 squeezes in on three."),
        ("estuary-lamps", "2", "Halfway through, C seven takes over."),
        ("estuary-lamps", "7-8", "The D seven is meant to carry us into G minor."),
        ("estuary-lamps", "14-15", "E flat seven pulls everything towards A flat major."),
        ("estuary-lamps", "17-18", "The mood sinks a half step, from G minor to G flat seven."),
        ("cellar-stairs", "2-4", "This two-five walks us home to D minor."),
        ("cellar-stairs", "7", "Is that an F minor chord?"),
        ("estuary-lamps", "7-8", "In bar seven D seven acts as the five of G."),
        ("estuary-lamps", "1-4", "The whole etude sits in E flat major."),
        ("estuary-lamps", "1-4", "Notice that the piece is in four four time."),
        ("estuary-lamps", "1-4", "Next week we play a piece in three four time."),
    ],
)
def test_what_it_has_or_is_not_said_to_have_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
