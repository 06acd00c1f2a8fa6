"""Very large bars with many labels: the notes keep their room, and the labels theirs."""

from functools import cache
from itertools import combinations, pairwise

import pytest

from lessonmaker.picture.collisions import collisions
from lessonmaker.picture.page import Row
from lessonmaker.picture.painter import Painter
from tests.tools.demo_timelines import EDITION_IDS
from tests.tools.found_scenes import LARGE, found_scenes

SIZES = ((1920, 1080), (1080, 1080), (1080, 1920))
UPRIGHT = ("note", "accidental", "rest", "dot")
LABEL_AIR = 8


@cache
def large_rows(edition: str, size: tuple[int, int]) -> tuple[Row, ...]:
    made = found_scenes(edition, LARGE, size)
    painter = Painter(made.timeline, made.score, size=size)
    pages = [page for page in made.timeline.pages if page.kind == "tension"]
    return tuple(row for page in pages for row in painter.page_rows(page) if row is not None)


@pytest.mark.parametrize("edition", EDITION_IDS)
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_nothing_is_pressed_together(edition: str, size: tuple[int, int]) -> None:
    rows = large_rows(edition, size)
    assert rows and any(len(row.labels) >= 5 for row in rows)
    for row in rows:
        assert row.system.natural_width * 0.95 <= row.system.width
        upright = [box for kind, box in row.obstacles if kind in UPRIGHT]
        assert len(upright) > 12
        assert not [pair for pair in combinations(upright, 2) if pair[0].overlaps(pair[1])]
        assert not collisions([row], row.look.size("frame", "width"))


@pytest.mark.parametrize("edition", EDITION_IDS)
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_labels_part_and_can_be_read(edition: str, size: tuple[int, int]) -> None:
    for row in large_rows(edition, size):
        boxes = sorted((one.box for one in row.labels.values() if one.box), key=lambda box: box.left)
        assert all(b.left - a.right >= LABEL_AIR for a, b in pairwise(boxes))
        assert row.kind.label_size >= row.look.size("text", "number")
