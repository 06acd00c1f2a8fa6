"""Names of notes that a long sentence leaves unread, between or beside some that are lit."""

import pytest

from tests.tools.sentence_sets import OPEN, mentions_of


def lit(score: str, bars: str, say: str) -> list[tuple[str, str]]:
    """What is lit by a sentence: the words, and the degrees of the notes with where they are."""
    found = mentions_of(OPEN.with_name(f"{score}.musicxml"), [{"bars": bars, "say": say}])
    return [(each["words"], each["target"]) for each in found if each["status"] == "lit"]


@pytest.mark.parametrize(
    ("score", "bars", "say", "more"),
    [
        # right after what is known, or right before it
        (
            "kiln-weather", "14-15", "We land on G flat, the seventh, and in the next bar it has become F.",
            ("f", "b7@15.1"),
        ),
        (
            "kiln-weather", "1-2",
            "From the five we walk down through the eleventh and the minor third to a held ninth.",
            ("five", "5@1.1"),
        ),
        (
            "coalshed", "15-15", "From C we climb to the major third through the ninth and the raised ninth.",
            ("c", "1@15.1&"),
        ),
        ("kiln-weather", "12-13", "The nine becomes a flat nine, then comes the root.", ("nine", "9@12.2")),
        # before it, as is said
        (
            "kiln-weather", "20-21",
            "That puts the flat nine right in the middle, with fifth and third before it and seventh and fifth after.",
            ("fifth", "5@20.1&"),
        ),
        # another name of what is known
        (
            "copper-otter", "10-11",
            "Then the F sharp slides down a half step onto F, which is the five of the home chord.",
            ("f", "5@11.1"),
        ),
        # a chord is named next
        (
            "the-lantern-stairs", "9-11",
            "When the D at the end of bar nine becomes D flat, E flat major turns into a dominant.",
            ("d flat", "b7@10.1"),
        ),
        # degrees that lie apart are no roots
        (
            "kiln-weather", "22-23",
            "The A flat drops to G, so the sevenths of these two dominants lie a half step apart.",
            ("g", "b7@23.1"),
        ),
    ],
)  # fmt: skip
def test_a_name_between_others_is_the_note_beside_theirs(
    score: str, bars: str, say: str, more: tuple[str, str]
) -> None:
    assert more in lit(score, bars, say)


@pytest.mark.parametrize(
    "rest",
    [
        "and letter F is next",
        "and you might expect an F after it",
        "and it does not go on to F",
        "and the harmony pulls us towards F",
        "and the key is still F",
        "and in the next bar it has become E",
        "and now the piano plays an F",
        "a blue note in F",
        "and my edition in F has a misprint here",
        "so the bridge in F is a surprise",
        "while F minor is far away",
    ],
)
def test_a_letter_that_is_no_note_beside_it_stays_unlit(rest: str) -> None:
    found = lit("kiln-weather", "14-15", f"We land on G flat, the seventh, {rest}.")
    assert ("g flat", "b7@14.3") in found
    assert not {words for words, _ in found} - {"g flat", "seventh"}


@pytest.mark.parametrize(
    ("score", "bars", "say", "never"),
    [
        # a pronoun
        ("kiln-weather", "12", "The flat nine on the and of two is the one that I love.", "1@12.3"),
        # the notes there are others
        ("kiln-weather", "20-21", "The flat nine is right in the middle, with seventh and root before it.", "1@"),
    ],
)  # fmt: skip
def test_what_is_not_there_stays_unlit(score: str, bars: str, say: str, never: str) -> None:
    assert not any(target.startswith(never) for _, target in lit(score, bars, say))


def test_what_ends_a_bar_is_said_of_a_bar_and_not_of_all_that_is_shown(faults) -> None:
    say = "We fall back through an E flat and finish the bar on the flat five."
    assert ("flat five", "b5@5.4") in lit("copper-ferrule", "5-6", say)
    assert faults("copper-ferrule.musicxml", "5-6", "We start the bar with the fifth.")


def test_a_chord_that_opens_a_sentence_gives_notes() -> None:
    found = lit("kiln-weather", "23-24", "A seven gives us a flat thirteen, a sharp eleven and the third.")
    assert [words for words, _ in found] == ["flat thirteen, a sharp eleven and the third"]
