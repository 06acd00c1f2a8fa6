"""Two places compared: their beats stand one under the other."""

import pytest

from lessonmaker.picture.aligned import apart
from lessonmaker.picture.painter import Painter
from lessonmaker.timeline.model import Page
from tests.tools.demo_timelines import SWING, demo

NEAR = 12  # pixels of 1920, a third of a notehead; a first note's accidental may take more


@pytest.fixture(scope="module")
def painter() -> Painter:
    made = demo(SWING, "concert")
    return Painter(made.timeline, made.score)


@pytest.mark.parametrize("numbers", [("4", "28"), ("1-2", "25-26"), ("3-4", "27-28")])
def test_beats_of_places_that_are_compared_are_aligned(painter: Painter, numbers: tuple[str, str]) -> None:
    rows = tuple(tuple(bars(painter, text)) for text in numbers)
    placed = painter.page_rows(Page(0, 1, "analysis", rows))
    beats = [row.system.beats for row in placed if row is not None]
    assert all(len(one) == 4 * len(rows[0]) + 1 for one in beats)
    assert apart(*(one[1:] for one in beats)) <= NEAR
    loose = [painter.laid_row("analysis", row).system for row in rows]
    assert all(one.beats == () for one in loose)


def bars(painter: Painter, text: str) -> range:
    numbers = list(painter.timeline.bar_numbers)
    first, _, last = text.partition("-")
    return range(numbers.index(first), numbers.index(last or first) + 1)


def test_systems_that_follow_each_other_are_laid_out_by_themselves(painter: Painter) -> None:
    assert painter.engraver.beat_widths(Page(0, 1, "analysis", ((1, 2), (3, 4)))) == {}
    assert painter.engraver.beat_widths(Page(0, 1, "analysis", ((1,), (9, 10)))) == {}
