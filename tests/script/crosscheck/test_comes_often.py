"""What is said to come so often is false where it comes more often or less by any count."""

import pytest

FALSE = [
    ("weir", "5", "F shows up only twice in bar five.", "only twice"),
    ("weir", "5", "The root, G, is played exactly three times in this bar.", "exactly three times"),
    ("weir", "5", "Mind the G, because this bar gives it to us four times.", "four times"),
    ("weir", "5-6", "The chord changes exactly twice in these two bars.", "exactly twice"),
    ("weir", "5", "The D, F, G cell comes around three times.", "three times"),
]
TRUE = [
    ("weir", "5", "F shows up three times in bar five."),
    ("weir", "5", "The root, G, is played exactly twice in this bar."),
    ("weir", "5", "Mind the G, because this bar gives it to us twice."),
    ("weir", "7", "The chord changes just once in bar seven."),
    ("weir", "5", "The D, F, G cell comes around twice."),
    ("weir", "5", "Once the chord changes you can breathe."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_comes_more_often_or_less_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_comes_so_often_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
