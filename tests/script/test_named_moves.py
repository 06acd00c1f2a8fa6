"""Moves of the harmony by their names: back door, plagal and deceptive cadences, relative keys, applied fives."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("pantry-light", "4-8", "So we slip back into F through the back door.", "('5-8',"),
        ("quince", "6-9", "The back door: D minor, G seven, and A is on the other side.", "('7-9',"),
        ("copper-lantern-steps", "11-13", "Bar twelve is the backdoor.", "('12.3-12.4',"),
        ("pantry-light", "13-17", "The back door in bar sixteen is over before you know it.", "('16-17',"),
        ("pantry-light", "20-23", "A backdoor two-five in twenty-one and twenty-two.", "('21-22',"),
        ("copper-ferrule", "12-13", "A flat minor to D flat seven is the back door.", "'back door' ('12',"),
        ("lantern-waltz", "22-24", "The piece closes with a plagal cadence.", "('22-24',"),
        ("cold-tin-lantern", "8-12", "In bar eleven the resolution is deceptive.", "('10.3-11.4',"),
        ("harbour-of-slate", "21-24", "And there's the deceptive cadence, up to E flat.", "('22-24',"),
        ("barge-window", "13-17", "The bridge spends its time in the relative major.", "('14-17',"),
        ("ferrystone", "12-18", "We drift from E flat over to its relative minor.", "('14-18',"),
        ("barge-window", "20-21", "A seven is on loan to get us to D, the five of five.", "('20',"),
        (
            "brass-thermos",
            "9-11",
            "A two five one into the four chord.",
            "('9-11',",
        ),
        (
            "wet-platform",
            "5-7",
            "There's a secondary dominant aimed at the G minor in bar seven.",
            "('secondary dominant@6',",
        ),
        (
            "barge-window",
            "12",
            "You could pull all four of those out of the altered scale.",
            "'altered scale@12'",
        ),
        (
            "barge-window",
            "18",
            "Everything you play in eighteen is a chord tone.",
            "'chord tone' ('18.1-18.3',",
        ),
    ],
)
def test_a_move_is_lit_by_its_name(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "what"),
    [
        (
            "lantern-pier",
            "3-4",
            "B flat minor seven to E flat seven, that's the back door.",
            "no dominant a whole step",
        ),
        ("quince", "3-5", "This is a plagal cadence.", "no fourth step that goes to the tonic"),
        (
            "cold-tin-lantern",
            "22-23",
            "Here D seven to G is a deceptive cadence.",
            "goes elsewhere than home",
        ),
        ("harbour-of-slate", "22-23", "D seven goes to G minor.", "D7 goes to E♭maj7"),
    ],
)
def test_a_move_that_is_not_there_is_a_fault(faults, score, bars, say, what):
    assert what in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("cellar-stair", "1-4", "Somebody left the back door open."),
        ("lantern-waltz", "1-24", "Is there a plagal cadence anywhere?"),
        ("quince", "3-5", "There's no deceptive cadence here."),
        ("harbour-of-slate", "22-23", "D seven never gets to G minor."),
        ("harbour-of-slate", "22-23", "D seven would love to go to G minor."),
        ("barge-window", "12", "You could try the altered scale here."),
        ("lantern-waltz", "4-6", "A seven is no chord of the key."),
    ],
)
def test_what_is_denied_asked_or_wished_for_is_left_alone(read, score, bars, say):
    assert read(f"{score}.musicxml", bars, say) == ""


def test_several_back_doors_are_asked_for(read):
    assert "question 'back door' ['5-8', '16-17', '21-23']" in read(
        "pantry-light.musicxml", "1-24", "The back door is what gives this tune its colour."
    )
