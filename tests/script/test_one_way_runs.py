"""What a line runs up or down is lit as far as it goes, or between the notes that are named; false the other way."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        ("slate-roof-rain", "21-21", "I run the chord up here.", "'21.2 21.2& 21.3'"),
        (
            "slate-roof-rain",
            "1-1",
            "Bar one runs up the chord from the third to the nine.",
            "'1.1& 1.2 1.2& 1.3'",
        ),
        ("pepper-alley", "9-9", "The line falls through the chord.", "'9.1 9.1& 9.2 9.2&'"),
        ("slate-roof-rain", "4-4", "In bar four the line goes down the scale.", "'4.1 4.1& 4.2 4.2& 4.3'"),
        ("slate-roof-rain", "4-4", "A scale fragment, that's all.", "'4.1 4.1& 4.2 4.2& 4.3'"),
        (
            "pepper-alley",
            "17-17",
            "We walk down by step from the minor third to the seventh.",
            "'17.3 17.3& 17.4 17.4&'",
        ),
        (
            "pepper-alley",
            "10-10",
            "There's a little rising arpeggio from the third.",
            "'10.1& 10.2 10.2& 10.3'",
        ),
        ("late-ferryman", "22-22", "A rising arpeggio of three notes.", "'22.3 22.3& 22.4'"),
    ],
)
def test_a_run_is_lit_as_far_as_it_goes(read, score, bars, say, lit):
    found = read(f"{score}.musicxml", bars, say)
    assert lit in found
    assert "fault" not in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("slate-roof-rain", "2-2", "In bar two the line runs up the scale.", "runs up the scale"),
        ("slate-roof-rain", "1-1", "I run the chord down here.", "run the chord down"),
        ("slate-roof-rain", "23-23", "The E major seven arpeggio falls here.", "arpeggio"),
        (
            "late-ferryman",
            "16-16",
            "There's an arpeggio coming down from the third in bar sixteen.",
            "arpeggio",
        ),
        ("slate-roof-rain", "7-7", "That's an arpeggio of A flat seven in bar seven.", "arpeggio"),
        ("pepper-alley", "9-9", "The line walks up the scale in bar nine.", "walks up the scale"),
    ],
)
def test_a_run_that_goes_the_other_way_is_false(read, score, bars, say, fault):
    assert f"fault '{fault}" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        (
            "copper-lane",
            "5-8",
            "Then in bar eight there's a flat nine on beat three that just cascades down the chord.",
        ),
        ("slate-roof-rain", "2-2", "It lights up the chord in bar two."),
        ("pepper-alley", "9-9", "You could run up the scale some other time, will you?"),
    ],
)
def test_what_is_no_run_lights_none(read, score, bars, say):
    found = read(f"{score}.musicxml", bars, say)
    assert "chord'" not in found
    assert "scale'" not in found
