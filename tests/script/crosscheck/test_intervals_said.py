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
    ],
)
def test_another_interval_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("weir", "10", "The D drops a minor third and there's the B."),
        ("jetty", "9-10", "A hangs on, and then it slips down a half step at the bar line."),
    ],
)
def test_what_goes_as_far_as_is_said_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
