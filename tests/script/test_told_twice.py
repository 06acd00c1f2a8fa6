"""A note that is told of twice by what it becomes, and notes that are named together and told of one by one."""

import pytest

from tests.tools.sentence_sets import OPEN, mentions_of


def lit(score: str, bars: str, say: str) -> list[tuple[str, str]]:
    """What is lit by a sentence: the words, and the degrees of the notes with where they are."""
    found = mentions_of(OPEN.with_name(f"{score}.musicxml"), [{"bars": bars, "say": say}])
    return [(each["words"], each["target"]) for each in found if each["status"] == "lit"]


@pytest.mark.parametrize(
    ("score", "bars", "say", "first", "then"),
    [
        (
            "cobbler-at-midnight", "7-10", "The ninth is played again and turns into the sharp eleven.",
            "9@8.4", "#11@9.1",
        ),
        (
            "biscuit-2", "1-4", "Your root, F, comes back after a beat, and now it's the fifth of B flat.",
            "1@1.4", "5@2.2",
        ),
        (
            "lanterns-4", "8-9", "You play the third of A flat seven twice, but then it is the seventh of D minor.",
            "3@8.3", "b7@9.1",
        ),
        ("cellar-stairs", "5-7", "F, the flat seven first and the eleventh afterwards.", "b7@5.4", "11@6.1"),
        (
            "kettle-6", "8-9", "The third of E flat and the seventh of A half diminished are the same note.",
            "3@8.4", "b7@9.1",
        ),
    ],
)  # fmt: skip
def test_a_note_and_what_it_becomes_are_each_lit(
    score: str, bars: str, say: str, first: str, then: str
) -> None:
    targets = [target for _, target in lit(score, bars, say)]
    assert targets[-1] == then or then in targets
    assert any(target.startswith(first) for target in targets)


@pytest.mark.parametrize(
    ("score", "bars", "say", "never"),
    [
        # no note of the line does so
        ("cobbler-at-midnight", "8-9", "The ninth stays put and turns into the thirteenth.", "13@"),
    ],
)
def test_a_note_becomes_nothing_that_it_is_not_said_to_become(
    score: str, bars: str, say: str, never: str
) -> None:
    assert not [target for _, target in lit(score, bars, say) if target.startswith(never)]


@pytest.mark.parametrize(
    "say",
    [
        "G sharp against A: one is the sharp nine and the other is the third.",
        "G sharp against A: one is the third and the other is the sharp nine.",
        "G sharp goes with A: the first is the sharp nine and the second is the third.",
    ],
)
def test_of_two_notes_each_is_the_degree_that_it_is(say: str) -> None:
    found = dict(lit("lantern-pier", "6-6", say))
    assert found["sharp nine"].startswith("#9@6.1&")
    assert found["third"].startswith("3@6.2")


def test_notes_of_one_name_are_told_of_in_parts() -> None:
    say = "There are five Fs, three as the fifth and two as the ninth."
    found = dict(lit("kettle-street", "13-14", say))
    assert found["fifth"].startswith("5,5,5@")
    assert found["ninth"].startswith("9,9@")


def test_notes_that_are_not_as_many_as_is_said_are_not_lit_in_parts() -> None:
    say = "There are five Fs, two as the fifth and three as the ninth."
    assert not [each for _, each in lit("kettle-street", "13-14", say) if each.startswith(("5,5@", "9,9,9@"))]


def test_a_letter_in_the_plural_and_its_degree_are_all_its_notes() -> None:
    found = dict(lit("kettle-street", "13-13", "The three Fs, all of them fifths or not, are all the fifth."))
    assert found["fifth"].startswith("5,5,5@")
