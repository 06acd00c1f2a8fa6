"""How high one thing is said to lie beside another is held against the notes that may be meant."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("9-10", "Ten starts a third below the note where nine stopped.", "a third below"),
        ("9-10", "Bar nine goes no higher than bar ten.", "no higher"),
        ("1-2", "The last note of bar two lies higher than the last of bar one.", "higher"),
        ("14-15", "By fifteen the figure has moved even lower.", "lower"),
        ("11-12", "Eleven peaks higher than twelve does.", "higher"),
        ("13", "In this bar the E lies a whole step below the D before it.", "step below"),
        ("3-4", "Four begins where three ends, only it finishes higher than three did.", "higher"),
        (
            "13-14",
            "Bar fourteen opens the way bar thirteen opened, but starting a third lower.",
            "a third lower",
        ),
    ],
)
def test_what_does_not_lie_so_is_false(read, bars, say, fault):
    told = read("jetty.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("9-10", "Ten starts a half step below the note where nine stopped."),
        ("9-10", "Bar ten goes no higher than bar nine."),
        ("1-2", "The last note of bar one lies higher than the last of bar two."),
        ("14-15", "By fifteen the figure has moved even higher."),
        ("11-12", "Twelve peaks higher than eleven does."),
        ("13", "In this bar the E lies a whole step above the D before it."),
        ("13-14", "Bar fourteen opens the way bar thirteen opened, but starting a fifth lower."),
        ("9-10", "The chord of bar ten lies a third lower than that of bar nine."),
        ("3-4", "Three ends up higher than it began, four ends up lower than three did."),
        ("9-10", "If only ten climbed higher than nine!"),
    ],
)
def test_what_lies_so_is_not(read, bars, say):
    assert "fault" not in read("jetty.musicxml", bars, say)
