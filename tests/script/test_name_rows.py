"""Notes that a sentence names one after the other are those that follow each other in the line."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("corner-blues", "9-12", "bar nine near the end has g a flat a natural", "9.3 9.3& 9.4"),
        ("copper-lane", "9-12", "In bar ten E flat, G and B flat make a triad.", "10.1& 10.2 10.2&"),
        ("copper-lane", "1-4", "A flat, F sharp, G, and we are home.", "4.2& 4.3 4.3&"),
        ("copper-lane", "5-6", "G flat then E then D opens bar six.", "6.1 6.1& 6.2"),
        ("corner-blues", "9-12", "Before bar ten there is a climb: G, A-flat, A natural.", "9.3 9.3& 9.4"),
        (
            "night-tram",
            "13-14",
            "In bar thirteen B flat, A, A flat and G go down.",
            "13.1& 13.2& 13.3& 13.4&",
        ),
    ],
)
def test_a_row_of_names_is_lit_where_the_line_has_it(read, score, bars, say, found):
    assert f"'{found}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "It is as easy as a, b, c.",
        "The chords of bar six go G flat, E, D.",
        "Sections A, B and C are alike.",
        "Bar six has D, E and G flat in it.",  # in another order
    ],
)
def test_letters_chords_and_other_orders_are_no_row(read, say):
    assert "6.1 6.1& 6.2" not in read("copper-lane.musicxml", "1-8", say)


def test_a_row_that_its_bar_has_only_in_part_is_false(read):
    told = read("copper-lane.musicxml", "5-8", "Bar six goes G flat, E, D, C.")
    assert told.startswith("fault 'g flat, e, d, c'")
    assert "fault 'a'" in read("copper-lane.musicxml", "5-8", "In bar six we have C, F, A and D.")
