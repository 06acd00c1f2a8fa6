"""Signs that a page has no room for are said, at the cue that asks for them."""

import pytest

from lessonmaker.build.crowded import crowded
from lessonmaker.picture.look import standard_look
from lessonmaker.score.edition import EDITIONS
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import CheckedLesson
from tests.tools.demo_timelines import DATA
from tests.tools.found_scenes import CROWDED, DENSE

WIDE, HIGH = (1920, 1080), (1080, 1920)


@pytest.fixture(scope="module")
def checked() -> CheckedLesson:
    lesson = load_lesson(CROWDED)
    return check_lesson(lesson, read_score(DATA.parents[1] / "media" / "gaslight-errand.musicxml"))


def test_what_is_left_out_is_said_at_its_cue_in_each_edition(checked: CheckedLesson) -> None:
    horn, bass = crowded(checked, [EDITIONS["b-flat"], EDITIONS["bass-clef"]], standard_look(), WIDE)
    assert (
        horn.what == "B♭ edition: no room under bars 37 to 38 for numerals, phrase arcs and beats: left out"
    )
    assert "brackets" in bass.what
    assert horn.place.line == 7
    assert horn.todo == "show fewer bars in this cue, or name fewer things in it"


def test_a_picture_with_room_for_all_has_no_remark(checked: CheckedLesson) -> None:
    assert crowded(checked, [EDITIONS["b-flat"]], standard_look(), HIGH) == ()


def test_a_lesson_with_few_signs_has_no_remark() -> None:
    lesson = load_lesson(DENSE)
    score = read_score(DATA.parents[1] / "media" / "gaslight-errand.musicxml")
    assert crowded(check_lesson(lesson, score), [EDITIONS["b-flat"]], standard_look(), WIDE) == ()
