"""The demo lessons in the largest sizes that a book's look may ask for, in every shape of picture."""

from functools import cache

import pytest

from lessonmaker.picture.collisions import collisions
from lessonmaker.picture.figures import caption_figures
from lessonmaker.picture.look import Look
from lessonmaker.picture.own_look import PERCENTAGES, read_own_look
from lessonmaker.picture.painter import Painter
from tests.tools.demo_timelines import Demo, demo

CASES = [
    ("gaslight-errand", "b-flat", (1920, 1080)),
    ("the-tin-heron", "bass-clef", (1080, 1920)),
    ("gaslight-errand", "b-flat", (1080, 1080)),
]


@pytest.fixture(scope="module")
def largest(tmp_path_factory) -> Look:
    path = tmp_path_factory.mktemp("sizes") / "look.yaml"
    path.write_text("sizes:\n" + "".join(f"  {name}: {most}%\n" for name, (_, most) in PERCENTAGES.items()))
    return read_own_look(path, path.parent, {}).look


@cache
def staged(name: str, edition: str, size: tuple[int, int], look: Look) -> tuple[Demo, Painter]:
    made = demo(name, edition, size, look)
    return made, Painter(made.timeline, made.score, look, size)


@pytest.mark.parametrize(("name", "edition", "size"), CASES)
def test_nothing_stands_on_anything(largest: Look, name: str, edition: str, size: tuple[int, int]) -> None:
    made, painter = staged(name, edition, size, largest)
    pages = {(page.kind, page.rows): page for page in made.timeline.pages if page.rows}
    found = [
        (key, one)
        for key, page in pages.items()
        for one in collisions([row for row in painter.page_rows(page) if row], painter.frame.width)
    ]
    assert len(pages) >= 20
    assert found == []


@pytest.mark.parametrize(("name", "edition", "size"), CASES)
def test_captions_stand_in_their_room_in_type_that_can_be_read(
    largest: Look, name: str, edition: str, size: tuple[int, int]
) -> None:
    made, painter = staged(name, edition, size, largest)
    frame, room = painter.frame, painter.look.sizes["caption"]
    figures = [figure for one in made.timeline.captions for figure in caption_figures(frame, one, one.terms)]
    assert len(figures) >= 100
    for figure in figures:
        assert frame.left <= figure.box.left and figure.box.right <= frame.right
        assert room["top"] <= figure.box.top and figure.box.bottom <= room["bottom"]
    ems = [shape.scale_x * 1000 for figure in figures for shape in figure.shapes if not shape.line]
    assert min(ems) >= 45
