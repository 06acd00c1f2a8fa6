"""Pictures of other shapes: narrow and high ones are laid out anew, and nothing in them collides or is cut off."""

import pytest

from lessonmaker.picture.collisions import collisions
from lessonmaker.picture.figures import caption_figures
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.marks import arrow_figures
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.room import room_of
from lessonmaker.timeline.layout import Room
from tests.tools.demo_timelines import SEVEN, SWING, demo

SQUARE, HIGH = (1080, 1080), (1080, 1920)
CASES = [
    (SWING, "e-flat", SQUARE),
    (SEVEN, "bass-clef", SQUARE),
    (SWING, "b-flat", HIGH),
    (SEVEN, "concert", HIGH),
]
LEAST_STAFF = {"play": 76, "analysis": 80, "tension": 100}


@pytest.fixture(scope="module", params=CASES, ids=str)
def painter(request: pytest.FixtureRequest) -> Painter:
    name, edition, size = request.param
    made = demo(name, edition, size)
    return Painter(made.timeline, made.score, size=size)


def test_nothing_stands_on_anything_and_staves_stay_large(painter: Painter) -> None:
    pages = {(page.kind, page.rows): page for page in painter.timeline.pages if page.rows}
    assert len(pages) > 20
    for page in pages.values():
        rows = [row for row in painter.page_rows(page) if row is not None]
        assert collisions(rows, painter.frame.width) == [], page.rows
        assert all(row.staff_bottom - row.staff_top >= LEAST_STAFF[page.kind] - 0.1 for row in rows)


def test_captions_keep_to_the_measure_and_their_room(painter: Painter) -> None:
    frame, captions = painter.frame, painter.timeline.captions
    figures = [figure for one in captions for figure in caption_figures(frame, one, one.terms)]
    assert len(figures) > 20
    room = painter.look.sizes["caption"]
    assert all(frame.left <= figure.box.left and figure.box.right <= frame.right for figure in figures)
    assert all(room["top"] <= figure.box.top and figure.box.bottom <= room["bottom"] for figure in figures)


def test_a_wide_picture_has_the_usual_room_and_others_their_own() -> None:
    look = standard_look()
    assert room_of(look.fitted((1920, 1080))) == room_of(look.fitted((640, 360))) == Room()
    assert room_of(look.fitted(SQUARE)).bars == 2
    high = room_of(look.fitted(HIGH))
    assert (high.bars, high.played, high.still) == (2, 5, 4)


def test_a_look_fitted_to_16_by_9_is_the_look_itself_and_equal_looks_are_one() -> None:
    look = standard_look()
    assert look.fitted((1280, 720)) == look
    assert len({look, look.fitted((1280, 720)), look.fitted(HIGH)}) == 2


def test_an_arrow_into_the_next_system_is_drawn_in_two_halves() -> None:
    made = demo(SWING, "b-flat", HIGH)
    painter = Painter(made.timeline, made.score, size=HIGH)
    broken = 0
    for arrow in made.timeline.arrows:
        page = next(page for page in made.timeline.pages if page.start <= arrow.start < page.end)
        rows = [row for row in painter.page_rows(page) if row is not None]
        drawn = [figure for row in rows for figure in arrow_figures(row, arrow.from_note, arrow.to_note)]
        holding = [row for row in rows if row.shape(arrow.from_note) or row.shape(arrow.to_note)]
        assert len(drawn) == len(holding) in (1, 2)
        assert all(figure.box.left >= 0 and figure.box.right <= painter.frame.width for figure in drawn)
        broken += len(holding) == 2
    assert broken >= 1
