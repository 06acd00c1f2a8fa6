"""A number of things that nobody would count there is false, and so is what is said not to be there, and is."""

import pytest

FALSE = [
    ("weir", "9", "You get no rest in bar nine.", "no rest"),
    ("weir", "7-8", "None of these bars has a rest in it.", "none of these bars has a rest"),
    ("weir", "9", "There are two rests in this bar.", "two rests"),
    ("weir", "7", "There's only one chord in bar seven.", "only one chord"),
    ("weir", "12", "There's no flat anywhere in bar twelve.", "no flat"),
    ("weir", "11", "I count two octave leaps in bar eleven.", "two octave leaps"),
    ("weir", "7", "I can't find any interval wider than a fourth in bar seven.", "wider than a fourth"),
    ("weir", "10", "Five half steps in a row take us down through bar ten.", "five half steps"),
    ("jetty", "5-6", "Nothing is held over the bar line between these two bars.", "held over the bar line"),
    ("tinsmith", "2", "There is just one A flat in bar two.", "just one a flat"),
]
TRUE = [
    ("weir", "9", "You get one eighth rest in bar nine."),
    ("weir", "5-6", "None of these bars has a rest in it."),
    ("tinsmith", "6", "There is only a single quarter rest here."),
    ("weir", "5", "There's only one chord in bar five."),
    ("weir", "13", "There's no sharp anywhere in bar thirteen."),
    ("weir", "10", "I can't find any interval wider than a fourth in bar ten."),
    ("weir", "10", "Three half steps in a row take us down through bar ten."),
    ("weir", "10", "Three semitones below the E there is nothing yet."),
    ("jetty", "2-3", "Nothing is held over the bar line between these two bars."),
    ("tinsmith", "2", "There are just two A flats in bar two."),
    ("weir", "7", "The D7 is the five chord, as ever."),
    ("weir", "9", "There is no rest until the very end, if you play the pickup."),
    ("weir", "5", "Twelve bars, three chords, and the truth."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_is_counted_otherwise_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_may_be_counted_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


def test_the_bar_that_has_most_is_named_where_another_is_called_so(faults):
    assert "bar 13 has 8" in faults("harbour-lamps.musicxml", "17-18", "Bar 17 is the busiest bar.")


def test_what_is_called_false_is_not_lit_as_well(read):
    found = read("gaslight-errand.musicxml", "28-29", "Bar 29 is the busiest bar.")
    assert found == "fault 'the busiest bar' ('', 'None to None')"
