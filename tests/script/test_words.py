import pytest

from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.speech import number_spoken, said
from lessonmaker.script.words import spoken_text, tokens_for, voice_words
from lessonmaker.theory.pitch import Interval

HEAD = "lesson: Night Ferry\nscore: etude.musicxml\nhear: {2: G7alt}\ncues:\n"


@pytest.fixture
def tokens(script, score, score_of):
    """Tokens of a commentary, in an edition written an interval above concert pitch."""

    def make(say, up="P1", label="Concert"):
        text = f"{HEAD}  - bars: 1-4\n    say: |\n      {say}\n"
        checked = check_lesson(load_lesson(script(text)), score)
        return tokens_for(checked.cues[0], score_of(Interval.parse(up)), label)

    return make


def printed(tokens):
    return " ".join(token.printed for token in tokens)


def test_words_keep_their_marks_in_print_and_lose_them_in_speech(tokens):
    found = tokens("Lean on it, (twice) – “so”.")
    assert [token.printed for token in found] == ["Lean", "on", "it,", "(twice) –", "“so”."]
    assert [token.spoken for token in found] == ["Lean", "on", "it", "twice", "so"]
    assert voice_words(found) == ("Lean", "on", "it,", "twice,", "so.")
    assert spoken_text(found) == "Lean on it, twice, so."


def test_the_words_of_a_link_belong_to_its_mention(tokens):
    found = tokens("The [flat nine](b9@2.2)s and [the {chord 1}](1).")
    assert [(token.printed, token.mention) for token in found] == [
        ("The", None),
        ("flat", 0),
        ("nines", 0),
        ("and", None),
        ("the", 1),
        ("Dm7.", 1),
    ]


NAMES = "{chord 1}, {note 2.3&}, {heard 2}, {key}, {edition}, {chord 3.3}'s"


@pytest.mark.parametrize(
    ("up", "label", "print_", "speech"),
    [
        (
            "P1",
            "Concert",
            "Dm7, B♭, G7alt, C major, Concert, D7's",
            "D minor seven, B flat, G seven altered, C major, Concert, D seven's",
        ),
        (
            "M2",
            "B♭",
            "Em7, C, A7alt, D major, B♭, E7's",
            "E minor seven, C, Ay seven altered, D major, B flat, E seven's",
        ),
        (
            "M6",
            "E♭",
            "Bm7, G, E7alt, A major, E♭, B7's",
            "B minor seven, G, E seven altered, Ay major, E flat, B seven's",
        ),
    ],
)
def test_names_follow_the_edition(tokens, up, label, print_, speech):
    found = tokens(NAMES, up, label)
    assert printed(found) == print_
    assert spoken_text(found) == speech


def test_all_editions_have_the_same_tokens(tokens):
    each = [tokens(f"Here {NAMES} end.", up) for up in ("P1", "M2", "M6")]
    assert len({len(found) for found in each}) == 1


def test_words_know_where_they_stand(tokens):
    say = "So  [the {chord 1}](1) – {key}: \\[on\\]."
    found = tokens(say)
    stands = [say.index(text) for text in ("So", "the", "chord", "key", "[on")]
    assert [token.at for token in found] == stands


@pytest.mark.parametrize(
    ("word", "spoken"),
    [
        ("b9", "flat nine"),
        ("♯11,", "sharp eleven"),
        ("b9/#9", "flat nine sharp nine"),
        ("bb7", "double flat seven"),
        ("ii-V-I", "two five one"),
        ("ii–V’s", "two five's"),
        ("bII7", "flat two seven"),
        ("7/4", "seven four"),
        ("17-20", "seventeen to twenty"),
        ("2+3", "two plus three"),
        ("60%", "sixty percent"),
        ("103.", "one hundred three"),
        ("16ths", "sixteenths"),
        ("1.5", "one point five"),
        ("&", "and"),
        ("—", ""),
        (".", ""),
        ("B♭7", "B flat seven"),
        ("Dm7", "D minor seven"),
        ("F#", "F sharp"),
        ("half-time", "half time"),
        ("don’t", "don't"),
        ("A", "A"),
        ("I", "I"),
        ("Bach", "Bach"),
        ("Add", "Add"),
        ("vi", "six"),
    ],
)
def test_trade_writings_are_spoken(word, spoken):
    assert said(word) == spoken


def test_numbers_are_spoken():
    said_numbers = [number_spoken(number) for number in (0, 12, 19, 20, 48, 100, 148, 1080)]
    assert said_numbers == [
        "zero",
        "twelve",
        "nineteen",
        "twenty",
        "forty eight",
        "one hundred",
        "one hundred forty eight",
        "one thousand eighty",
    ]
