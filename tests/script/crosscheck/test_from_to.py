"""How far, and which way, it is said to be from one note to another is held against the score."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("copper-lane", "1", "From the top G it's a leap of a fourth down to the F, mind.", "fault 'fourth'"),
        ("copper-lane", "6", "C flat to A flat is a fourth, and it wants a firm tone.", "fault 'fourth'"),
        ("ferry-3", "1", "The G to B near the end is a falling third.", "fault 'falling'"),
        ("quince", "6", "We swoop, a mighty sixth, C sharp to G sharp.", "fault 'sixth'"),
        ("quince", "7", "E to D, a third at the end to close the bar.", "fault 'third'"),
        ("tram", "4", "A to B flat is a whole step at the finish.", "fault 'whole step'"),
    ],
)
def test_another_distance_or_way_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-lane", "1", "From the top G it's just a step down to the F, mind."),
        ("copper-lane", "6", "C flat to A flat is a third, and it wants a firm tone."),
        ("copper-lane", "1", "An arpeggio runs from the third up to the ninth."),
        ("ferry-3", "1", "The G to B near the end is a rising third."),
        ("quince", "6", "We swoop, a mighty fifth, C sharp to G sharp."),
        ("quince", "7", "E to D, a step at the end to close the bar."),
        ("tram", "4", "A to B flat is a half step at the finish."),
        ("tram", "4", "I wish A to B flat were a whole step."),
    ],
)
def test_what_is_as_far_as_is_said_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
