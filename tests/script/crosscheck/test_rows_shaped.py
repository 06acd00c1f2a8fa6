"""The way, the steps and the span that are said of a row of notes are held against it."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("copper-lane", "1", "A ladder of fourths, A flat, C, E flat, G.", "fault 'ladder of fourths'"),
        ("copper-lane", "6", "D, D flat, C flat, a slow climb.", "fault 'climb'"),
        ("ferry-3", "3", "B, D, F and A sink to the middle of the bar.", "fault 'sink'"),
        ("ferry-3", "6", "F, E, D, C, every one of those being a leap.", "being a leap'"),
        ("tram", "7", "D, B, G in whole steps all the way.", "fault 'in whole steps'"),
        ("tram", "1", "G, B flat, D, F covers an octave before E flat.", "fault 'covers an octave'"),
    ],
)
def test_another_shape_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-lane", "1", "A ladder of thirds, A flat, C, E flat, G."),
        ("copper-lane", "6", "D, D flat, C flat, a slow descent."),
        ("ferry-3", "3", "B, D, F and A climb to the middle of the bar."),
        ("ferry-3", "6", "F, E, D, C, all by step."),
        ("tram", "7", "D, B, G in thirds all the way."),
        ("tram", "1", "G, B flat, D, F covers a seventh before E flat."),
    ],
)
def test_the_shape_that_is_there_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
