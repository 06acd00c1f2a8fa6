"""Signs under the staves: inside the page, clear of each other and of the rows, whatever a cue asks for."""

from itertools import combinations, pairwise

import pytest

from lessonmaker.picture.painter import Painter
from lessonmaker.picture.signs import _signs
from tests.tools.demo_timelines import EDITION_IDS
from tests.tools.found_scenes import CROWDED, DENSE, SCRIPT, found_scenes

CARDS = ("title", "end")


@pytest.fixture(
    scope="module", params=[(e, s) for e in EDITION_IDS for s in (SCRIPT, DENSE, CROWDED)], ids=str
)
def painter(request: pytest.FixtureRequest) -> Painter:
    made = found_scenes(*request.param)
    return Painter(made.timeline, made.score)


def test_rows_with_signs_stay_on_the_page_and_apart(painter: Painter) -> None:
    for page in painter.timeline.pages:
        if page.kind in CARDS:
            continue
        rows = [row for row in painter.page_rows(page) if row is not None]
        boxes = [row.extent for row in rows]
        assert all(box.bottom <= rows[0].kind.bottom + 1 for box in boxes)
        assert all(box.top >= rows[0].kind.top - 3 for box in boxes)
        assert all(one.bottom <= other.top for one, other in pairwise(boxes))


def test_signs_and_staves_keep_clear_of_each_other(painter: Painter) -> None:
    seen = 0
    for page in painter.timeline.pages:
        rows = [] if page.kind in CARDS else painter.page_rows(page)
        for row in (row for row in rows if row is not None):
            signs = [[figure.box for figure in figures] for figures in row.signs.values()]
            seen += len(signs)
            assert all(box.top >= row.staff_bottom for boxes in signs for box in boxes)
            for one, other in combinations(signs, 2):
                assert not any(a.overlaps(b) for a in one for b in other)
    assert seen > 0


def test_every_bar_that_a_cue_shows_is_on_some_page(painter: Painter) -> None:
    timeline = painter.timeline
    for scene in (scene for scene in timeline.scenes if scene.kind not in CARDS):
        pages = [page for page in timeline.pages if page.start < scene.end and scene.start < page.end]
        seen = {bar for page in pages for row in page.rows for bar in row}
        assert set(scene.bars) <= seen


@pytest.mark.parametrize(
    ("numeral", "drawn"),
    [("bVII7", "♭VII7"), ("subV7/iii", "subV7/iii"), ("V7/bVI", "V7/♭VI"), ("#ivo7", "♯ivo7")],
)
def test_only_accidentals_are_drawn_as_accidentals(numeral: str, drawn: str) -> None:
    assert _signs(numeral) == drawn
