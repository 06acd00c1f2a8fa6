"""Rhythms told as note values in a row, notes told by their length, and jumps and phrases by where they lead."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("wet-platform", "1-4", "The rhythm is quarter, two eighths, quarter.", "'1.1 1.2 1.2& 1.3'"),
        (
            "brass-thermos",
            "1-2",
            "Both bars go four eighths and then two quarters.",
            "'1.1 1.1& 1.2 1.2& 1.3 1.4 2.1 2.1& 2.2 2.2& 2.3 2.4'",
        ),
        ("copper-ferrule", "21-22", "Half notes, then eighths.", "'21.1 21.3 22.1 22.3 22.3&'"),
        (
            "lantern-waltz",
            "23-24",
            "Dotted quarter, eighth, quarter, and one long note to finish.",
            "'23.1 23.2& 23.3'",
        ),
        ("ferry", "2", "Little rhythm thing: dotted quarter, eighth, at the top of bar two.", "'2.1 2.2&'"),
        (
            "pantry-light",
            "9-10",
            "Four eighths followed by a half note, each time.",
            "9.3 10.1 10.1& 10.2 10.2& 10.3'",
        ),
        ("brass-thermos", "8-11", "That C is a half note.", "('3@11.1',"),
        ("pantry-light", "1-3", "The half-note A is the third.", "'a' ('3@1.3',"),
        (
            "barge-window",
            "1-3",
            "Bar three has the shape of bar one, only the first jump is a tritone now.",
            "'3.1 3.2'",
        ),
        ("ferrystone", "20", "Here the first skip shrinks to a minor third.", "'20.1 20.1&'"),
        ("wet-platform", "1-4", "In bar three the same idea is turned upside down.", "upside down' ('3',"),
        ("wet-platform", "1-3", "The opening idea comes back in three, inverted.", "('3',"),
        (
            "copper-ferrule",
            "5-9",
            "The second phrase doesn't stop with the section, it spills over into bar nine.",
            "('5-9',",
        ),
        ("pantry-light", "1-4", "The first phrase spills over the bar line into bar three.", "('1-3',"),
    ],
)
def test_what_is_so_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "what"),
    [
        ("wet-platform", "1", "Bar one is half, quarter, eighth.", "the values are others"),
        ("ferrystone", "20", "The first jump is a fifth.", "it is a minor third at 20.1"),
        ("pantry-light", "1-4", "The first phrase spills over into bar four.", ""),
    ],
)
def test_what_is_not_so_is_a_fault(faults, read, score, bars, say, what):
    assert "fault" in read(f"{score}.musicxml", bars, say)
    assert what in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-ferrule", "21", "In the second half, eighths would be too busy."),
        ("pantry-light", "9-11", "In bar eleven the idea is turned upside down."),
        ("pantry-light", "9-11", "The first jump is a matter of taste."),
    ],
)
def test_what_is_not_said_lights_no_notes(read, score, bars, say):
    assert "lit" not in read(f"{score}.musicxml", bars, say).replace("lit 'bar eleven'", "")
