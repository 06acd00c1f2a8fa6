"""What is said to come again, or the most often of all, is held against the score."""

import pytest

FALSE = [
    ("weir", "5", "No note comes more than twice in this bar.", "no note comes more than twice"),
    ("weir", "5", "No pitch is played twice in bar five.", "no pitch is played twice"),
    ("weir", "1", "Bar one finishes on the same note that it began with.", "finishes on the same note"),
    ("weir", "1", "Six notes, the most of any bar in the piece.", "the most of any bar"),
    ("weir", "5", "Of all of these notes it is true: every single one is a quarter.", "a quarter"),
    (
        "weir",
        "1",
        "All six of these notes come right out of G minor seven.",
        "come right out of g minor seven",
    ),
]
TRUE = [
    ("weir", "5", "No note comes more than three times in this bar."),
    ("weir", "1", "No pitch is played twice in bar one."),
    ("tinsmith", "7", "Bar seven finishes on the same note that it began with."),
    ("weir", "5", "Eight notes, as many as it gets, and the fewest of any bar it is not."),
    ("weir", "5", "It is true of all of them: every single one is an eighth."),
    ("weir", "5", "All of these notes come right out of G minor seven."),
]


@pytest.mark.parametrize(("score", "bars", "say", "words"), FALSE)
def test_what_comes_again_otherwise_is_false(read, score, bars, say, words):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert words in found


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_is_so_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
