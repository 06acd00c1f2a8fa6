"""Notes that a sentence says lie around another one."""

import pytest

AROUND_F_SHARP = "A sneaky little enclosure around the F sharp, going over the bar line into four."


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lamplighter-2", "19-19", "The fifth is approached from both sides.", "19.2 19.2& 19.3"),
        ("lamplighter-2", "19-19", "The E flat is squeezed from both sides.", "19.2 19.2& 19.3"),
        ("lamplighter-2", "1-1", "Bar one, we circle the third.", "1.1 1.1& 1.2"),
        ("lamplighter-2", "1-1", "The third sits between its upper and lower neighbour.", "1.1 1.1& 1.2"),
        ("biscuit-2", "7-7", "Bar seven tucks the A between its two neighbours.", "7.1 7.1& 7.2"),
        ("tuesday", "11-12", "He walks around the A flat before he dares to knock.", "11.1 11.1& 11.2"),
        ("weir", "23-24", "He circles the root, A above and F sharp below, and lands.", "23.1 23.1& 23.2"),
        ("quince", "1-4", AROUND_F_SHARP, "3.4 3.4& 4.1"),
        ("kettle-street", "15-15", "Upper neighbour, lower neighbour, then the third.", "15.3 15.3&"),
        ("lamplighter-2", "19-19", "The fifth has F above and D below.", "19.2&"),  # each a note of its own
    ],
)
def test_the_notes_around_one_that_is_named_are_lit(read, score, bars, say, found):
    assert f"'{found}')" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "say"),
    [
        ("quince", "That enclosure in nine goes around the five."),
        ("quince", "The enclosure in nine lands on the five."),
        ("quince", "The enclosure closes on the fifth."),
        ("kettle-street", "The enclosure goes home to the root on beat four."),
    ],
)
def test_an_enclosure_that_leads_elsewhere_than_is_said_is_false(read, score, say):
    found = read(f"{score}.musicxml", "9-9" if score == "quince" else "15-15", say)
    assert "lit 'enclosure'" in found
    assert "fault" in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("slate-roof-rain", "3-3", "The raised eleventh in bar three is enclosed.", "enclosed"),
        ("under-the-slipway", "8-8", "That's a lovely enclosure around the seventh there.", "enclosure"),
        ("copper-kettle-blues", "17-17", "That's an enclosure of the C.", "enclosure"),
    ],
)
def test_what_nothing_lies_around_is_not_enclosed(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert f"fault '{fault}" in found
    assert "lit" not in found.split("fault")[1]


@pytest.mark.parametrize(
    ("score", "bars", "say", "word"),
    [
        ("lamplighter-2", "14-14", "We walk around the fifth.", "walk around"),  # nothing lies around it
        ("weir", "23-24", "In bar twenty-four we go around the corner.", "go around"),
    ],
)
def test_what_nothing_lies_around_lights_no_enclosure(read, score, bars, say, word):
    assert f"lit '{word}" not in read(f"{score}.musicxml", bars, say)
