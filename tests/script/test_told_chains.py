"""Notes that are told one after the other, each with all its names, and sentences of two clauses of their own."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        (  # a letter and its degree are one note, and each goes to the next
            "copper-otter",
            "3",
            "E flat falls to C sharp, the sharp nine, and the two of them hem in the D.",
            {"e flat": "11@3.2", "c sharp": "#9@3.2&", "sharp nine": "#9@3.2&", "d": "3@3.3"},
        ),
        (  # the name of a verb's subject that opens the sentence is no article
            "jetty",
            "23-24",
            "A steps down to F sharp, the sharp eleven, and then up to G, where it stops.",
            {"a": "13@23.3", "f sharp": "#11@23.4", "g": "5@24.1"},
        ),
        (  # what begins and what ends, in one sentence
            "harbour-glass",
            "12",
            "The bar starts on A flat, sharp eleven, and ends on E flat, flat nine.",
            {"a flat": "#11@12.1", "e flat": "b9@12.4&", "flat nine": "b9@12.4&"},
        ),
        (  # each clause has its own bar
            "copper-otter",
            "19-20",
            "Bar nineteen closes on C, the seventh of D minor, and bar twenty closes on C flat, the seventh of D flat.",
            {"c": "b7@19.3", "c flat": "b7@20.3"},
        ),
        (  # near the beginning of the bar, where the name alone would do for two
            "harbour-glass",
            "12",
            "The A flat at the start is the sharp eleven, and the F on beat four is the sharp nine.",
            {"a flat": "#11@12.1", "sharp eleven": "#11@12.1", "f": "#9@12.4"},
        ),
        (  # as many degrees as letters before them
            "gatepost",
            "18-18",
            "It slips from G to F sharp, eleven to three.",
            {"g": "11@18.1", "f sharp": "3@18.1&", "eleven": "11@18.1", "three": "3@18.1&"},
        ),
        (  # the one and the other
            "heron",
            "16",
            "Hear A against A sharp there: one is the third and the other is the sharp nine.",
            {"a": "#9@16.1&", "a sharp": "3@16.2", "sharp nine": "#9@16.1&", "third": "3@16.2"},
        ),
        (  # the same note again, as something else
            "jetty",
            "20-21",
            "G is the sharp eleven of D flat seven, and then you play it again and it's the fifth.",
            {"g": "#11@20.3&", "fifth": "5@21.1"},
        ),
        (  # letters that are counted, and what all of them are
            "gatepost",
            "4",
            "Two Gs in this bar, both the thirteenth, and two C flats, both the flat nine.",
            {"thirteenth": "13,13@4.2-4.3&", "flat nine": "b9,b9@4.2&-4.4&"},
        ),
    ],
)
def test_each_name_of_a_note_that_is_told_after_another_is_lit(understood, score, bars, say, lit) -> None:
    found = understood(score, bars, say)
    assert {each.words: each.target for each in found}.items() >= lit.items()
    assert {each.status for each in found} == {"lit"}


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("harbour-glass", "12", "A flat climbs to E flat, the flat nine."),  # they do not follow each other
        ("harbour-glass", "12", "Does E flat fall to C, the flat seven?"),
        ("harbour-glass", "12", "E flat climbs a step to C, the flat seven."),
    ],
)
def test_a_name_of_several_notes_that_are_not_told_so_is_not_lit(understood, score, bars, say) -> None:
    said = [each for each in understood(score, bars, say) if each.status == "lit"]
    assert "e flat" not in [each.words for each in said]


def test_two_things_that_are_told_of_two_notes_are_not_held_against_each_other(understood) -> None:
    say = "A natural is the sharp nine, E the seventh, and then D is the minor third."
    assert {each.status for each in understood("heron", "23-24", say)} == {"lit"}


def test_the_roots_of_chords_are_no_notes_of_the_line(understood) -> None:
    found = understood("the-tin-heron", "19-21", "B flat, A, G: the roots walk down the scale.")
    assert [each.words for each in found] == ["roots walk down the scale"]


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("copper-otter", "16", "The last note before the bar line is the flat nine.", "b13 at 16.4"),
        ("gatepost", "31-32", "The last note anyone hears is the fifth.", "3 at 32.2"),
        ("kettle-3", "23-24", "The piece goes out on the ninth.", "1 at 24.1"),
        ("harbour-glass", "17-19", "The very last note before the rest is the ninth.", "5 at 19.4"),
    ],
)
def test_another_last_note_than_is_said_is_false(faults, score, bars, say, there) -> None:
    assert there in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-otter", "16", "The last note before the bar line is the flat thirteen."),
        ("gatepost", "31-32", "The last note anyone hears is the third."),
        ("gatepost", "5-6", "We go out on a minor chord with a major seventh."),
    ],
)
def test_the_last_note_as_it_is_said_to_be_is_not_false(faults, score, bars, say) -> None:
    assert not faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "device"),
    [
        (
            "copper-otter",
            "8-9",
            "G seven is a secondary dominant and it aims at the C minor in bar nine.",
            "secondary dominant@8",
        ),
        (
            "copper-otter",
            "3-5",
            "F minor seven turns into E seven, which leads to the E flat in bar five.",
            "4",
        ),
    ],
)
def test_a_chord_is_not_in_the_bar_of_the_one_that_it_leads_to(understood, score, bars, say, device) -> None:
    assert [(each.status, each.target) for each in understood(score, bars, say)] == [("lit", device)]


def test_a_row_has_the_number_that_is_said_to_be_altered_now(understood) -> None:
    say = "Three, five, seven, nine once more, only now the nine is flat."
    found = {each.words: each.target for each in understood("copper-otter", "11", say)}
    assert found["three, five, seven, nine"] == "3,5,b7,b9@11.3-11.4&"
