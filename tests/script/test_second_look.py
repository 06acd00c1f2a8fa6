"""Sentences that no first reading finds a claim in, looked at once more."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "cobblers-umbrella",
            "12-12",
            "Somebody put a B flat triad on top of the A flat seven.",
            "12.2 12.2& 12.3",
        ),
        ("cobblers-umbrella", "12-12", "A ninth right on two gives it that old glow.", "'12.2')"),
        ("cobblers-umbrella", "11-12", "Bar twelve has thirteen on beat three.", "'12.3')"),
    ],
)
def test_what_is_put_in_any_words_is_lit_where_it_is_there(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("13-13", "Over D half diminished you'll see the fourth, G."),
        ("11-11", "On beat three you're sitting on the third."),
        ("11-12", "In bar eleven the line runs up to the seventh and stays there."),
    ],
)
def test_a_plain_degree_is_false_where_it_is_said_to_be_and_is_not(read, bars, say):
    assert read("cobblers-umbrella.musicxml", bars, say).startswith("fault")


@pytest.mark.parametrize(
    "say",
    [
        "A triad over a dominant can be dressed up in a dozen ways, I say.",
        "I paid a fifth of the price for this A flat clarinet.",
        "Count seven, eight, nine in the first bar of the next tune.",
        "The leading tone walks up a half step into the bar after this, seven to three.",
        "You won't find the third on beat three in bar eleven, and I like it so.",
    ],
)
def test_what_claims_nothing_is_left_alone_at_the_second_look_as_well(read, say):
    assert read("cobblers-umbrella.musicxml", "11-12", say) == ""


@pytest.mark.parametrize(
    ("bars", "say", "found"),
    [
        (
            "4-5",
            "No altered tones at all over the G seven here, it's clean.",
            "fault 'no altered tones'",
        ),
        ("4-4", "You've got both nines, the flat one and the sharp one.", "lit 'sharp one'"),
    ],
)
def test_words_by_the_way_part_nothing_from_its_chord_and_kinds_count_together(read, bars, say, found):
    said = read("lamps.musicxml", bars, say)
    assert found in said
    assert ("fault" in said) == found.startswith("fault")
