"""Values that no note has, and numbers that nothing comes to, are false."""

import pytest

FALSE = [
    ("weir", "5", "The whole thing is in sixteenths.", "sixteenths"),
    ("jetty", "1", "A triplet runs up to the D.", "triplet"),
    ("cobblers-umbrella", "6", "Four equal eighths walk down, F, E, D and C flat.", "four equal eighths"),
    ("weir", "1", "Close with three quarters, please.", "three quarters"),
    ("weir", "1", "There is nothing but eighths in bar one.", "nothing but eighths"),
    ("weir", "1", "This little line is made of seven notes.", "seven notes"),
    ("weir", "5", "D comes twice in this bar.", "twice"),
]
TRUE = [
    ("weir", "5", "The whole thing is in eighths."),
    ("cobblers-umbrella", "6", "Four equal quarters walk down, F, E, D and C flat."),
    ("weir", "1", "Close with two quarters, please."),
    ("weir", "1", "This little line is made of six notes."),
    ("weir", "5", "D comes three times in this bar."),
    ("jetty", "5-6", "The E comes an eighth early, half a beat before the bar line."),
    ("weir", "5", "There are no sixteenths in this bar."),
    ("weir", "5", "Count in sixteenths while you practise it."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_a_value_or_a_number_that_is_not_there_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_one_that_is_there_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
