from dataclasses import replace
from functools import cache
from itertools import permutations

import numpy as np
import pytest

from lessonmaker.picture.collisions import collisions, everything
from lessonmaker.picture.marks import bar_figures
from lessonmaker.picture.page import Row
from lessonmaker.picture.painter import Painter
from lessonmaker.score.rows import rows
from lessonmaker.timeline.model import Page
from tests.tools.picture_lesson import lesson, score_in

WIDTH = 1920


@cache
def pages_of(name: str, edition: str) -> tuple[Painter, list[Page]]:
    """Every three systems of a demo score as a page of play, every two as a page of analysis."""
    painter = Painter(lesson(name, edition), score_in(name, edition))
    systems = rows(score_in(name, edition))
    play = [Page(0, 1, "play", systems[at : at + 3]) for at in range(0, len(systems), 2)]
    analysis = [Page(0, 1, "analysis", systems[at : at + 2]) for at in range(0, len(systems), 2)]
    return painter, play + analysis


def placed(painter: Painter, page: Page) -> list[Row]:
    return [row for row in painter.page_rows(page) if row is not None]


@pytest.mark.parametrize("edition", ["concert", "b-flat", "e-flat", "bass-clef"])
@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_nothing_stands_on_anything_in_the_demo_scores(name: str, edition: str) -> None:
    painter, pages = pages_of(name, edition)
    found = [
        (page.rows, collision) for page in pages for collision in collisions(placed(painter, page), WIDTH)
    ]
    assert len(pages) >= 8
    assert found == []


@pytest.mark.parametrize("edition", ["concert", "b-flat", "e-flat", "bass-clef"])
@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_labels_and_arrows_stand_clear_on_the_pages_that_have_them(name: str, edition: str) -> None:
    painter = Painter(lesson(name, edition), score_in(name, edition))
    for page in (page for page in lesson(name, edition).pages if page.kind in ("analysis", "tension")):
        here = placed(painter, page)
        assert any(row.labels for row in here)
        assert collisions(here, WIDTH) == []


@pytest.mark.parametrize("edition", ["concert", "b-flat", "e-flat", "bass-clef"])
@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_the_light_of_a_bar_leaves_the_other_systems_clear(name: str, edition: str) -> None:
    painter, pages = pages_of(name, edition)
    lit = 0
    for page in (page for page in pages if page.kind == "play"):
        here = placed(painter, page)
        for row, other in permutations(here, 2):
            for bar in row.bars:
                _, rule = bar_figures(row, bar)
                assert not any(rule.box.overlaps(item.box, 0) for item in everything(other)), (page.rows, bar)
                lit += 1
    assert lit > 40


def test_a_symbol_on_the_notes_is_found() -> None:
    painter, pages = pages_of("gaslight-errand", "concert")
    row = placed(painter, pages[0])[0]
    lowered = replace(row, symbols={change: one.at(0, 70) for change, one in row.symbols.items()})
    assert {(found.first.what, found.second.what) for found in collisions([lowered], WIDTH)} >= {
        ("chord", "note")
    }


def test_two_systems_that_touch_and_one_outside_the_page_are_found() -> None:
    painter, pages = pages_of("gaslight-errand", "concert")
    first, second, *_ = placed(painter, pages[0])
    near = collisions([first, second.moved(first.y - second.y + 60)], WIDTH)
    assert any(found.first.what == "note" and found.second.what == "chord" for found in near)
    assert any(found.second.what == "page" for found in collisions([first.moved(-60)], WIDTH))


def test_rows_keep_their_kind_s_places_unless_they_would_touch() -> None:
    painter, _ = pages_of("gaslight-errand", "b-flat")
    page = next(page for page in lesson().pages if page.kind == "play")
    kind = painter.look.kinds["play"]
    tops = [row.staff_top for row in placed(painter, page)]
    assert tops == pytest.approx(kind.tops, abs=1.0)


def test_the_pixels_stand_where_the_layout_says() -> None:
    """On a page so full that its systems are moved and their chord symbols lowered."""
    painter = Painter(lesson("the-tin-heron", "bass-clef"), score_in("the-tin-heron", "bass-clef"))
    for page in (page for page in painter.timeline.pages if page.rows):
        picture = painter.rgb(page.start + 1000).astype(int)
        inked = np.abs(picture - painter.look.colour("paper")).max(axis=2) > 100
        for row in placed(painter, page):
            for box in (one.box for one in row.symbols.values() if one.box):
                left, top, right, bottom = (
                    round(value) for value in (box.left, box.top, box.right, box.bottom)
                )
                rows, columns = np.nonzero(inked[top - 3 : bottom + 3, left - 3 : right + 3])
                assert abs(rows.min() - 3) <= 2 and abs(rows.max() + 1 - (bottom - top + 3)) <= 2
                assert abs(columns.min() - 3) <= 2 and abs(columns.max() + 1 - (right - left + 3)) <= 2
