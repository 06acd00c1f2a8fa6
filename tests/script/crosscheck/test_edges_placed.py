"""Where the first, last, highest or longest note is said to be, or what else it is, is held against the score."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("weir", "13", "The lowest note comes on beat three.", "fault"),
        ("weir", "15", "Notice that the highest note falls right on beat four.", "beat four'"),
        ("weir", "16", "The longest note of this bar is the first.", "fault 'first'"),
        ("weir", "18", "Here the highest note is also the longest one.", "fault 'longest one'"),
        ("weir", "18", "It is the first note that lasts longest.", "fault 'lasts longest'"),
        ("weir", "18", "The middle note goes highest.", "fault 'goes highest'"),
        ("weir", "17", "Everybody's in on the downbeat of bar seventeen.", "fault"),
    ],
)
def test_an_end_that_is_elsewhere_is_false(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert fault in found


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("weir", "13", "The lowest note comes on beat one."),
        ("weir", "15", "Notice that the highest note falls on the and of two."),
        ("weir", "16", "The longest note of this bar is the last."),
        ("weir", "18", "Here the lowest note is also the longest one."),
        ("weir", "18", "It is the last note that lasts longest."),
        ("weir", "18", "The first note goes highest."),
        ("weir", "17", "Everybody's in on beat two of bar seventeen."),
        ("weir", "13", "The lowest note does not come on beat three."),
    ],
)
def test_an_end_that_is_there_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
