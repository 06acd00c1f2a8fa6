"""What the groups of a figure begin with, end with and have on top, by name."""

import pytest

from tests.tools.sentence_sets import OPEN, mentions_of


def targets(score: str, bars: str, say: str) -> list[str]:
    """What is lit by a sentence: the degrees of the notes with where they are."""
    found = mentions_of(OPEN.with_name(f"{score}.musicxml"), [{"bars": bars, "say": say}])
    return [each["target"] for each in found if each["status"] == "lit"]


@pytest.mark.parametrize(
    ("score", "bars", "say", "expected"),
    [
        ("four-doors-down", "19-20", "The shapes begin on G, C sharp, F and B.", ["b3,3,b3,3@19.1-20.3"]),
        ("late-ferryman", "9-12", "The cells set out from D flat, G and C.", ["b3,3,b3@10.1-11.1"]),
        ("marzipan-weather", "13-14", "Each group starts on a third, a ninth or a fifth.", ["b3,9,5@13.1-14.2"]),
        ("ferry-2", "16-18", "Each little group starts on a G.", ["3,3,b7@17.1-18.2"]),
        ("harbour", "5-6", "It's a pattern: it begins on E the first time, on F the second, on G the third.",
         ["9@5.1", "b3@5.3", "11@6.1"]),
        ("moth-lantern", "9-11", "Three shapes, one from F, one from B flat, one from E.",
         ["3@9.1", "b3@10.1", "3@11.1"]),
        ("copper-otter", "14-15", "All the groups start on D flat, except the last one, which starts on D.",
         ["b7,b7,b7@14", "3@15.1&"]),
        ("kettle-street", "13-14", "The top of every group is F and the bottom is B flat.",
         ["5,5,5,9,9@13.1-14.3", "1,1,5,5,5@13.2-14.4"]),
    ],
)  # fmt: skip
def test_the_notes_of_groups_are_lit_by_their_names(
    score: str, bars: str, say: str, expected: list[str]
) -> None:
    found = targets(score, bars, say)
    assert [each for each in expected if not any(target.startswith(each) for target in found)] == []


def test_groups_that_are_counted_are_all_of_them() -> None:
    (found,) = targets("harbour-glass", "9-10", "You squeeze in five of these little groups.")
    assert found.endswith("@9.1-10.4")
    assert not targets("harbour-glass", "9-10", "You squeeze in four of these little groups.")


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("four-doors-down", "19-20", "The shapes begin on G, C sharp, F and A."),  # not the last
        ("four-doors-down", "19-20", "The shapes don't begin on G, C sharp, F and B."),
        ("four-doors-down", "19-20", "Three shapes begin on G, C sharp, F and B."),  # there are four
        ("kettle-street", "13-14", "Every group starts on a D."),  # the second note of each
        ("kettle-street", "13-14", "You could start every group on a D."),
    ],
)
def test_what_is_not_so_of_the_groups_is_not_lit(score: str, bars: str, say: str) -> None:
    assert not [each for each in targets(score, bars, say) if each.count(",") > 1 and "cross" not in each]
