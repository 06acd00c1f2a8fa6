"""What is said of one bar beside another is held against both of them."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "1-2", "There are more notes in bar one than there are in bar two.", "more notes"),
        ("jetty", "18-19", "Both bars have the same number of notes.", "the same number of notes"),
        ("jetty", "1-2", "Of the two bars, the second has the higher top note.", "higher"),
        ("jetty", "9-10", "Bar ten climbs higher than bar nine.", "higher"),
        ("jetty", "9-10", "The top note of bar ten is higher than anything in bar nine.", "higher"),
        ("jetty", "7-8", "Bar eight is every bit as busy as bar seven.", "every bit as busy as"),
        ("jetty", "13-14", "Whatever thirteen does, fourteen does a third lower.", "a third lower"),
        ("jetty", "13-14", "Bar fourteen repeats bar thirteen at the same pitch.", "at the same pitch"),
        ("jetty", "11-12", "Rhythmically 11 and 12 are twins.", "are twins"),
        (
            "jetty",
            "18-19",
            "There's a good deal more happening in 19 than there was in 18.",
            "more happening",
        ),
        ("jetty", "13-15", "Bar fifteen breaks with the rhythm of bars thirteen and fourteen.", "breaks"),
        ("jetty", "11-12", "The note that closes bar eleven is struck again to open bar twelve.", "again"),
    ],
)
def test_what_is_not_so_beside_another_bar_is_false(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "1-2", "There are more notes in bar two than there are in bar one."),
        ("jetty", "13-14", "Both bars have the same number of notes."),
        ("jetty", "1-2", "Of the two bars, the first has the higher top note."),
        ("jetty", "9-10", "Bar nine climbs higher than bar ten."),
        ("jetty", "13-14", "Whatever thirteen does, fourteen does a fifth lower."),
        ("jetty", "13-14", "Rhythmically 13 and 14 are twins."),
        ("jetty", "13-14", "Fourteen is thirteen a fifth down, note for note."),
        ("jetty", "3-4", "The note that ends bar three is simply repeated to start bar four."),
        ("jetty", "13-14", "Would you say that fourteen has more notes than thirteen?"),
    ],
)
def test_what_is_so_or_is_only_asked_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
