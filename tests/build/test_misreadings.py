"""Where a voice left the script: which words, where they stand, when they were read, and what light hangs on them."""

from pathlib import Path

import pytest

from lessonmaker.build.misreadings import misreadings
from lessonmaker.build.narrator import Heard
from lessonmaker.faults import Place
from lessonmaker.script.model import Commentary, Recording, Run, Token
from lessonmaker.sound.model import Difference, WordTime

SAY = "Hear the flat nine, then B♭7. It falls."
SCRIPT = Path("lesson.yaml")
LIT = {2: 0, 3: 0, 5: 1}  # "flat nine," is the first link, "B♭7." the second
RECORDING = Recording(Path("media/read.wav"), None, Place(SCRIPT, 3, 1))


@pytest.fixture
def found():
    """The misreadings of two sentences read from a minute on, a second a word."""
    printed = SAY.split()
    at = [SAY.index(word) for word in printed]
    tokens = [Token(word, word, LIT.get(index), at[index]) for index, word in enumerate(printed)]
    say = Commentary((), Place(SCRIPT, 9, 1), (Run(0, 10, 7),))

    def make(*differences, recording=RECORDING, guessed=()):
        times = tuple(
            WordTime(word, 60 + index, 61 + index, index in guessed) for index, word in enumerate(printed)
        )
        heard = [Heard(recording, 0, times[:6], differences), Heard(recording, 6, times[6:], ())]
        return misreadings(4, say, tokens, heard)

    return make


@pytest.mark.parametrize(
    ("difference", "said"),
    [
        (
            Difference("said otherwise", 2, 4, "sharp nine", 62.04),
            "lesson.yaml:10:16: cue 5, read.wav at 1:02: “sharp nine” is said for “flat nine”, and it lights up; "
            "record the sentence again, or write what is said",
        ),
        (
            Difference("said otherwise", 0, 1, "", 60.0),
            "lesson.yaml:10:7: cue 5, read.wav at 1:00: “Hear” is said otherwise; "
            "captions show the script's words: record the sentence again, or write what is said",
        ),
        (
            Difference("left out", 1, 3, "", 61.26),
            "lesson.yaml:10:12: cue 5, read.wav at 1:01.3: “the flat” is left out, and “flat nine” lights up; "
            "record the sentence again, or write what is said",
        ),
        (
            Difference("said twice", 4, 6, "then", 64.0),
            "lesson.yaml:10:27: cue 5, read.wav at 1:04: “then B♭7” is said twice, and “B♭7” lights up; "
            "it stays in the film: record the sentence again if it should not",
        ),
        (
            Difference("added", 3, 3, "er", 63.0),
            "lesson.yaml:10:21: cue 5, read.wav at 1:03: “er” is said before “nine”, and “flat nine” lights up; "
            "it stays in the film: record the sentence again if it should not",
        ),
        (
            Difference("added", 4, 4, "right", 64.0),
            "lesson.yaml:10:27: cue 5, read.wav at 1:04: “right” is said before “then”; "
            "it stays in the film: record the sentence again if it should not",
        ),
    ],
)
def test_each_place_is_said_with_its_time_its_words_and_its_light(found, difference, said):
    (one,) = found(difference)
    assert str(one.remark) == said
    assert (one.cue, one.kind, one.time_s) == (5, difference.kind, difference.time_s)


def test_what_is_said_after_the_last_word_stands_by_that_word():
    heard = Heard(RECORDING, 6, (), (Difference("added", 2, 2, "thanks", 68.0),))
    tokens = [Token(word, word, None, SAY.index(word)) for word in SAY.split()]
    (one,) = misreadings(0, Commentary((), Place(SCRIPT), (Run(0, 10, 7),)), tokens, [heard])
    assert "“thanks” is said after the last word" in one.remark.what
    assert (one.place.column, one.lit) == (40, ())


def test_a_guessed_time_matters_where_a_word_lights_something(found):
    assert found(guessed=(0, 1, 4, 6)) == ()
    nine, chord = found(guessed=(2, 3, 5))
    assert str(nine.remark).startswith(
        "lesson.yaml:10:16: cue 5, read.wav at 1:02: when “flat nine” is said is only guessed, and it lights up; "
    )
    assert (chord.words, chord.lit, chord.time_s) == ("B♭7", ("B♭7",), 65)


def test_a_guessed_time_is_not_told_again_where_the_word_is_missing(found):
    (one,) = found(Difference("left out", 2, 4, "", 62.0), guessed=(2, 3))
    assert one.kind == "left out"


def test_the_draft_voice_may_guess_too(found):
    (one,) = found(recording=None, guessed=(5,))
    assert one.recording is None
    assert "cue 5, the draft voice: when “B♭7” is said is only guessed" in str(one.remark)


def test_several_links_touched_are_all_named(found):
    (one,) = found(Difference("left out", 3, 6, "", 63.0))
    assert one.lit == ("flat nine", "B♭7")
    assert "and “flat nine”, “B♭7” light up" in str(one.remark)
