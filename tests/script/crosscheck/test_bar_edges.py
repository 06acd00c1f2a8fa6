"""Notes that come early or late, beside the bar line or over it."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("harbour-glass", "6-7", "The G shows up a whole beat early.", "fault 'a whole beat'"),
        ("harbour-glass", "6-7", "The A flat hangs over the bar line.", "fault"),
        ("copper-kettle", "4", "That C comes two full beats before the bar line.", "fault"),
        ("gatepost", "3", "We get up to the G just before the bar line.", "fault 'just before the bar line'"),
        ("gatepost", "4", "You play the F right after the bar line.", "fault 'right after the bar line'"),
    ],
)
def test_a_note_stands_to_the_bar_line_as_it_is_said_to(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("harbour-glass", "6-7", "The G shows up half a beat early."),
        ("harbour-glass", "6-7", "The G hangs over the bar line."),
        ("copper-kettle", "4", "That C comes half a beat before the bar line."),
        ("gatepost", "3", "We get down to the E flat just before the bar line."),
        ("gatepost", "4", "You play the D right after the bar line."),
    ],
)
def test_what_is_so_is_left_alone(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
