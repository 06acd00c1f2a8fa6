"""Sentences that are read by a part of them, as nothing is read of them as a whole."""

import pytest

SUBSTITUTE = "A flat seven leans into G seven from a half step above, a tritone substitute of the old school."
COUNTED = "Count it with me: one two three, one two three, against the four."


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("cellar-lantern", "9-10", SUBSTITUTE, "lit 'a flat seven leans into g seven' ('9-10', '9 to 10')"),
        ("cellar-stairs", "22-23", COUNTED, "'22.1 22.1& 22.2 22.2& 22.3 22.3&')"),
    ],
)
def test_a_plain_part_of_a_sentence_is_read_by_itself(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "As a rule, a ninth longs to fall, and the root is where it goes.",
        "Had I put a flat nine there, the cat would have left.",
        "You could try the sharp eleven, and see who smiles.",
        "Nobody plays a fifth until bar twelve.",
        "A triad, strictly speaking, is any three notes in thirds.",
    ],
)
def test_no_part_is_read_of_what_is_said_at_large(read, say):
    assert read("cobblers-umbrella.musicxml", "11-12", say) == ""
