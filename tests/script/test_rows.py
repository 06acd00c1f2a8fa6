"""Degrees that a sentence names one after the other are the notes that follow each other in the line."""

import pytest

PREFACE = "If you would be so kind as to look at the first measure, you will find the chord presented without haste, "


@pytest.mark.parametrize(
    ("say", "found"),
    [
        (PREFACE + "third, fifth, seventh and ninth in succession.", "1.1 1.1& 1.2 1.2&"),
        (
            "The third, fifth, seventh and ninth of bar one, I should hope, need no defence.",
            "1.1 1.1& 1.2 1.2&",
        ),
        ("Bar one goes three five seven nine.", "1.1 1.1& 1.2 1.2&"),
    ],
)
def test_a_list_that_the_line_has_is_lit_however_the_sentence_is_put(read, say, found):
    assert found in read("copper-lane.musicxml", "1-4", say)


@pytest.mark.parametrize(
    "say",
    [
        "Bar one is the ninth, seventh, fifth and third.",  # the other way round
        "Three, five, seven, nine people came.",
        "It is not the third but the fifth, not the seventh but the ninth.",
    ],
)
def test_what_is_not_there_in_this_order_lights_no_row(read, say):
    assert "1.1 1.1& 1.2 1.2&" not in read("copper-lane.musicxml", "1-4", say)


def test_a_note_that_moves_the_other_way_than_is_said_is_no_row(read):
    assert "lit 'fifth'" not in read(
        "the-tin-heron.musicxml", "1-4", "Bar three's eleventh falls to the fifth."
    )
