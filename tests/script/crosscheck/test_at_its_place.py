"""What is said to be at a place is false where nothing that is spoken of is there."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "4", "The seventh of G7, an F, shows up on beat four.", "beat four"),
        ("jetty", "3", "G and E go round the F, which turns up on the last beat.", "last beat"),
        ("copper-kettle", "3", "You come in right on the downbeat with the E flat.", "downbeat"),
        ("copper-kettle", "8", "On the last beat of bar eight sits C sharp.", "last beat"),
        ("gatepost", "9", "You hear the sharp eleven, A natural, on beat three.", "beat three"),
        ("gatepost", "4-5", "Beat four brings us up to an A natural.", "beat four"),
    ],
)
def test_a_note_is_where_it_is_said_to_be(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say).partition("fault")[2]
    assert fault in told.partition(" (")[0]


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "4", "The seventh of G7, an F, shows up on beat three."),
        ("jetty", "3", "G and E go round the F, which turns up on the second beat."),
        ("copper-kettle", "3", "You come in on beat two with the E flat."),
        ("copper-kettle", "8", "On the last beat of bar eight sits B flat."),
        ("gatepost", "9", "You hear the sharp eleven, A natural, on the and of two."),
        ("jetty", "6", "C sharp comes on beat two."),
        ("jetty", "7", "The G7 on beat three has a B flat in it."),
        ("gatepost", "9", "Is the sharp eleven on beat three?"),
    ],
)
def test_what_is_there_is_left_alone(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
