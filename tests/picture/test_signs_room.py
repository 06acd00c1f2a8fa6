"""Signs under the staves: inside the page, clear of each other and of the rows, whatever a cue asks for."""

from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from lessonmaker.picture.page import Row
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.signs import _signs
from tests.tools.demo_timelines import EDITION_IDS
from tests.tools.found_scenes import CROWDED, DENSE, SCRIPT, found_scenes

CARDS = ("title", "end")


EVERY_SCRIPT = [(edition, script) for edition in EDITION_IDS for script in (SCRIPT, DENSE, CROWDED)]


@cache
def pages_of(edition: str, script: Path) -> tuple[tuple[Row, ...], ...]:
    """The rows of each page of a lesson."""
    made = found_scenes(edition, script)
    painter = Painter(made.timeline, made.score)
    pages = [page for page in made.timeline.pages if page.kind not in CARDS]
    return tuple(tuple(row for row in painter.page_rows(page) if row is not None) for page in pages)


@pytest.mark.parametrize(("edition", "script"), EVERY_SCRIPT, ids=str)
def test_rows_with_signs_stay_on_the_page_and_apart(edition: str, script: Path) -> None:
    for rows in pages_of(edition, script):
        boxes = [row.extent for row in rows]
        assert all(box.bottom <= rows[0].kind.bottom + 1 for box in boxes)
        assert all(box.top >= rows[0].kind.top - 3 for box in boxes)
        assert all(one.bottom <= other.top for one, other in pairwise(boxes))


@pytest.mark.parametrize(("edition", "script"), EVERY_SCRIPT, ids=str)
def test_signs_and_staves_keep_clear_of_each_other(edition: str, script: Path) -> None:
    seen = 0
    for row in (row for rows in pages_of(edition, script) for row in rows):
        signs = [[figure.box for figure in figures] for figures in row.signs.values()]
        seen += len(signs)
        assert all(box.top >= row.staff_bottom for boxes in signs for box in boxes)
        for one, other in combinations(signs, 2):
            assert not any(a.overlaps(b) for a in one for b in other)
    assert seen > 0


@pytest.mark.parametrize(("edition", "script"), EVERY_SCRIPT, ids=str)
def test_every_bar_that_a_cue_shows_is_on_some_page(edition: str, script: Path) -> None:
    timeline = found_scenes(edition, script).timeline
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
