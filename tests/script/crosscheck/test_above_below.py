"""Which of two notes is said to lie above the other, and how far, is held against the score."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "copper-lane",
            "4",
            "The F sharp sits a half step above the G that ends the bar.",
            "a half step above'",
        ),
        ("ferry-3", "2", "D sharp lies right above the E it wants.", "fault 'right above'"),
        ("quince", "5", "The D sharp is a fifth below the G sharp you came from.", "fault 'a fifth below'"),
        ("tram", "5", "The G is a step lower than the F.", "fault 'a step lower than'"),
        ("tram", "4", "Mind the A, a whole step under the B flat after it.", "fault 'a whole step under'"),
    ],
)
def test_another_side_or_distance_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-lane", "4", "The F sharp sits a half step below the G that ends the bar."),
        ("ferry-3", "2", "D sharp lies right below the E it wants."),
        ("quince", "5", "The D sharp is a fifth above the G sharp you came from."),
        ("tram", "5", "The G is a step higher than the F."),
        ("tram", "4", "Mind the A, a half step under the B flat after it."),
    ],
)
def test_what_lies_as_is_said_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
