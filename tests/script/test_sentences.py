"""Sentences and their wordings in the editions, where they stand, and how long they take to say."""

import pytest

from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.sentences import sentences_of
from lessonmaker.script.words import tokens_for
from lessonmaker.theory.pitch import Interval

HEAD = "lesson: Night Ferry\nscore: etude.musicxml\ncues:\n"
EDITIONS = {"concert": "P1", "b-flat": "M2", "tenor": "M9"}


@pytest.fixture
def sentences(script, score, score_of):
    """The sentences of a commentary in three editions."""

    def make(say):
        checked = check_lesson(load_lesson(script(f"{HEAD}  - bars: 1-4\n    say: |\n      {say}\n")), score)
        (cue,) = checked.cues
        tokens = {name: tokens_for(cue, score_of(Interval.parse(up)), "x") for name, up in EDITIONS.items()}
        return sentences_of(0, cue.cue.say, tokens)

    return make


def test_editions_that_say_a_sentence_alike_share_its_wording(sentences):
    alike, differing, last = sentences("The same for all. But {chord 1} differs! So it ends.")
    (common,) = alike.wordings
    assert common.editions == ("concert", "b-flat", "tenor")
    assert (alike.first, alike.last, differing.first, differing.last, last.last) == (0, 4, 4, 7, 10)
    assert [(one.printed, one.editions) for one in differing.wordings] == [
        ("But Dm7 differs!", ("concert",)),
        ("But Em7 differs!", ("b-flat", "tenor")),
    ]
    assert differing.wording("tenor").words == ("But", "E minor seven", "differs!")


def test_a_sentence_knows_its_line_and_column(sentences):
    found = sentences("One here, and\n      [two](1-2). Then\n      three: {chord 3.1}. “And” so")
    assert [(one.place.line, one.place.column) for one in found] == [(6, 7), (7, 19), (8, 27)]


def test_longer_sentences_take_longer(sentences):
    short, long = sentences(
        "Listen to the end of bar three. The [flat nine](b9@2.2) falls, slowly, to {chord 2}."
    )
    # As the draft voice says the first: 1.66 s, and the pause after it.
    assert short.wordings[0].seconds == pytest.approx(1.66 + 0.45, rel=0.1)
    assert long.wordings[0].seconds > short.wordings[0].seconds
