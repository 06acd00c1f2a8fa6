"""What is lit of a commentary changes no word of it, whatever is read."""

import pytest
import yaml

from lessonmaker.faults import Place
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.commentary import with_links
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Commentary, Piece, Understood
from tests.tools.sentence_sets import OPEN, lesson_of, score_at, score_path

FILE = Place(None, 1, 1)
SETS = ("ordinary-z", "ordinary-za", "themes-b", "spoken-ax")


def text_of(say: Commentary) -> str:
    return "".join(piece.text for piece in say.pieces)


@pytest.mark.parametrize("name", SETS)
def test_every_word_is_said_once(name) -> None:
    items = yaml.load(OPEN.with_name(f"{name}.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)
    for score in dict.fromkeys(item["score"] for item in items):
        path = score_path(OPEN.parent, score)
        own = [item for item in items if item["score"] == score]
        checked = examine_lesson(load_lesson(lesson_of(path, own)), score_at(path)).checked
        assert [text_of(each.cue.say) for each in checked.cues] == [item["say"] for item in own]


@pytest.mark.parametrize(
    ("spans", "links"),
    [
        ([(10, 15), (4, 9)], ["ninth", "falls"]),  # in whatever order they were found
        ([(4, 15), (10, 15)], ["ninth falls"]),  # one inside another
        ([(4, 9), (4, 15)], ["ninth falls"]),
        ([(4, 15), (10, 22)], ["ninth falls"]),  # one reaches into another
    ],
)
def test_words_in_any_order_or_shared_are_links_once(spans, links) -> None:
    say = Commentary((Piece("text", "The ninth falls to the root.", "", FILE),), FILE)
    found = [Understood("", FILE, first, last, "lit", None, "9@1") for first, last in spans]
    told = with_links(say, found)
    assert text_of(told) == text_of(say)
    assert [piece.text for piece in told.pieces if piece.kind == "link"] == links
