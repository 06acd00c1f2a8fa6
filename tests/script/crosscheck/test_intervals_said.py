"""How far something is said to go is held against where it goes."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "jetty",
            "9-10",
            "A hangs on, and then it slips down a whole step at the bar line.",
            "fault 'whole step'",
        ),
        (
            "jetty",
            "10",
            "Dropping from G sharp to F in the middle is a perfect fifth.",
            "fault 'perfect fifth'",
        ),
    ],
)
def test_another_interval_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "10", "Dropping from G sharp to F in the middle is a minor third."),
        ("jetty", "10", "Going from F to E is a half step."),
        ("weir", "10", "Every step from F down to D is a half step."),
        ("weir", "10", "The D drops a minor third and there's the B."),
        ("jetty", "9-10", "A hangs on, and then it slips down a half step at the bar line."),
    ],
)
def test_what_goes_as_far_as_is_said_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
