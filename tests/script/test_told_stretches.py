"""Stretches told by their ends, notes with their neighbours, and where what is lit goes on to."""

import pytest

from tests.tools.sentence_sets import OPEN, mentions_of

SCORE = OPEN.with_name("alibi.musicxml")


def lit(bars: str, say: str) -> list[tuple[str, str]]:
    """What is lit by a sentence: the words, and the degrees of the notes with the first and the last place of them."""
    found = mentions_of(SCORE, [{"bars": bars, "say": say}])
    return [(each["words"], each["target"]) for each in found if each["status"] == "lit"]


@pytest.mark.parametrize(
    ("bars", "say", "target"),
    [
        ("6-6", "The line strolls from A up to G flat without a care.", "3,5,b7,b9@6.1&-6.3"),
        ("10-10", "Skate from the third up to the ninth, then look around.", "3,5,b7,9@10.1&-10.3"),
        ("16-16", "G flat down to A is one long sigh.", "b3,9,5,3,b9@16.2-16.4"),
        ("4-4", "From the sharp eleven down to the low A it wanders.", "#11,9,13,#11@4.1-4.2&"),
    ],
)
def test_a_stretch_that_is_told_by_its_ends_is_lit_whole(bars: str, say: str, target: str) -> None:
    assert target in [each for _, each in lit(bars, say)]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("6-6", "The line jumps from A up to G flat."),  # no more than the two ends is told
        ("3-3", "From E flat up to C."),  # it falls first
        ("6-6", "It never goes from A up to G flat."),
        ("1-1", "Somebody would run from C up to B flat."),
    ],
)
def test_what_is_no_stretch_one_way_or_not_told_as_one_is_not_lit_whole(bars: str, say: str) -> None:
    assert not [each for _, each in lit(bars, say) if "," in each]


@pytest.mark.parametrize(
    "say",
    [
        "A flat on one side, F sharp on the other, and there sits the G.",
        "A flat and then F sharp pester the G.",
    ],
)
def test_a_note_and_its_neighbours_are_one_figure_whatever_the_verb(say: str) -> None:
    assert [each for _, each in lit("8-8", say)] == ["11,#9,3@8.2-8.3"]


def test_neighbours_that_are_named_after_their_goal_are_each_lit() -> None:
    found = lit("8-8", "The G gets pinched by A flat and F sharp.")
    assert found == [("g", "3@8.3"), ("a flat", "11@8.2"), ("f sharp", "#9@8.2&")]


def test_neighbours_that_are_told_by_their_sides_are_each_lit() -> None:
    found = lit("8-8", "One neighbour from above, another from below, and you may sit on the G.")
    assert found[:2] == [("one neighbour from above", "11@8.2"), ("another from below", "#9@8.2&")]
    turned = lit("8-8", "One neighbour from below, another from above, and you may sit on the G.")
    assert not [words for words, _ in turned if "neighbour" in words]


@pytest.mark.parametrize(
    ("bars", "say", "target"),
    [
        ("1-1", "After the E flat we lurch over to G.", "7@1.3"),
        ("9-9", "The C hands itself over to B flat.", "9@9.2&"),
        ("8-8", "The F sharp longs for the note right above it.", "3@8.3"),
        ("12-13", "A long arc, and the sharp eleven drops into the next bar.", "b3@13.1"),
        ("12-13", "A long arc, and the sharp eleven climbs into the next bar.", None),
    ],
)
def test_where_what_is_lit_goes_on_to_is_lit_if_it_comes_next(
    bars: str, say: str, target: str | None
) -> None:
    found = [each for _, each in lit(bars, say)]
    assert target in found if target else "b3@13.1" not in found


def test_the_last_eighth_need_not_be_the_last_note() -> None:
    assert lit("10-11", "The very last eighth is an A flat.") == [("a flat", "5@11.2&")]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("1-1", "We climb a stack of thirds to B flat and then step back down to G."),
        ("2-2", "The F is held for a whole beat before two eighths drop to the A flat."),
        ("10-10", "Three chord notes going up, and the ninth is on top of them."),
        ("4-4", "The bar ends with a D flat that leans into C flat."),
        ("8-9", "It oozes down chromatically through the change of chord."),
        ("1-2", "The opening thought is only a bar and a half long."),
    ],
)
def test_true_sentences_of_where_the_line_goes_are_not_called_false(bars: str, say: str) -> None:
    assert not [
        each for each in mentions_of(SCORE, [{"bars": bars, "say": say}]) if each["status"] == "fault"
    ]


@pytest.mark.parametrize(
    ("bars", "say", "targets"),
    [
        (
            "6-6",
            "Four notes shoot up to the G flat, and three more trickle back down.",
            ["3,5,b7,b9@6.1&-6.3", "1,b7,5@6.3&-6.4&"],
        ),
        ("12-12", "Four notes up, three notes down.", ["3,5,b7,9@12.1&-12.3", "1,13,#11@12.3&-12.4&"]),
        ("9-9", "A little three-note scale walks us home to A flat.", ["3,9,1@9.2-9.3"]),
    ],
)
def test_so_many_notes_that_go_one_way_are_lit_where_the_line_has_them_once(
    bars: str, say: str, targets: list[str]
) -> None:
    assert [each for _, each in lit(bars, say) if "," in each] == targets


@pytest.mark.parametrize(
    "say",
    [
        "Four notes shoot up to the E flat.",  # the four that end there do not go one way
        "It isn't that four notes shoot up to the G flat.",
        "Three notes going up.",  # which of them, of four?
    ],
)
def test_so_many_notes_are_not_lit_where_the_line_has_them_otherwise(say: str) -> None:
    assert not [each for _, each in lit("6-6", say) if "," in each]


def test_a_note_and_the_one_ahead_of_it_are_both_lit() -> None:
    found = lit("8-8", "Just ahead of the G he tucks in an F sharp.")
    assert found == [("g", "3@8.3"), ("f sharp", "#9@8.2&")]
    assert ("f sharp", "#9@8.2&") not in lit("8-8", "Just ahead of the B flat he tucks in an F sharp.")


def test_a_goal_may_be_reached_by_way_of_another_note() -> None:
    assert ("g", "7@1.4&") in lit("1-1", "The line peaks on B flat and then slinks down to G.")
