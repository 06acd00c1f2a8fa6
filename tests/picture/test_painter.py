import pickle
import random
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest

from lessonmaker.picture.canvas import Planes
from lessonmaker.picture.painter import Painter
from tests.tools.picture_lesson import DURATION, SECOND, lesson, long_titled, score_in

SIZE = (640, 360)
TICKS = [int(seconds * SECOND) for seconds in (1, 3.0, 3.3, 3.6, 3.95, 5, 7.0, 7.05, 9, 9.9, 11, 13, 15)]


def fresh(**changes: object) -> Painter:
    score = score_in("gaslight-errand", "b-flat")
    return Painter(replace(lesson(), **changes), score, size=SIZE)  # type: ignore[arg-type]


def copied(planes: Planes) -> tuple[np.ndarray, ...]:
    return tuple(plane.copy() for plane in planes)


def same(first: tuple[np.ndarray, ...], second: tuple[np.ndarray, ...]) -> bool:
    return all(np.array_equal(one, other) for one, other in zip(first, second, strict=True))


def expected_planes(rgb: np.ndarray) -> tuple[np.ndarray, ...]:
    """A picture's planes by the formulas of ITU-R BT.709-6 alone."""
    red, green, blue = np.moveaxis(rgb.astype(float), 2, 0) / 255
    luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    chroma = ((blue - luma) / 1.8556, (red - luma) / 1.5748)
    height, width = luma.shape
    quads = (part.reshape(height // 2, 2, width // 2, 2).mean(axis=(1, 3)) for part in chroma)
    return (16 + 219 * luma, *(128 + 224 * part for part in quads))


def test_equal_keys_mean_equal_pixels_whatever_was_painted_before() -> None:
    one, shuffled = fresh(), list(TICKS) * 2
    random.Random(3).shuffle(shuffled)
    alone = {tick: copied((lambda painter: painter.planes(painter.key(tick)))(fresh())) for tick in TICKS}
    for tick in shuffled:
        assert same(copied(one.planes(one.key(tick))), alone[tick])


def test_different_keys_are_different_pictures() -> None:
    one = fresh()
    keys = {one.key(tick): tick for tick in range(0, DURATION, 8000)}
    pictures = [copied(one.planes(key)) for key in keys]
    assert len(keys) > 60
    for first, second in pairwise(pictures):
        assert not same(first, second)


@pytest.mark.parametrize("tick", TICKS)
def test_planes_and_rgb_are_the_same_picture(small_painter: Painter, tick: int) -> None:
    planes = small_painter.planes(small_painter.key(tick))
    for plane, expected in zip(planes, expected_planes(small_painter.rgb(tick)), strict=True):
        assert np.abs(plane - expected).max() <= 2.5


def test_planes_have_the_shapes_of_420(small_painter: Painter) -> None:
    shapes = [(plane.shape, plane.dtype) for plane in small_painter.planes(small_painter.key(0))]
    assert shapes == [((360, 640), np.uint8), ((180, 320), np.uint8), ((180, 320), np.uint8)]
    assert small_painter.rgb(0).shape == (360, 640, 3)
    assert small_painter.size == SIZE


def test_a_painter_travels_to_another_process_without_its_pictures() -> None:
    one = fresh()
    before = copied(one.planes(one.key(TICKS[6])))
    sent = pickle.dumps(one)
    assert len(sent) < 1_000_000
    there = pickle.loads(sent)
    assert same(copied(there.planes(there.key(TICKS[6]))), before)


@pytest.mark.parametrize("size", [(641, 360), (640, 361), (0, 360)])
def test_a_size_without_planes_is_refused(size: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="both sides must be even"):
        Painter(lesson(), score_in("gaslight-errand", "b-flat"), size=size)


def test_what_the_fonts_cannot_draw_is_remarked_once() -> None:
    strange = Painter(long_titled("煤气灯 Errand"), score_in("gaslight-errand", "b-flat"), size=SIZE)
    remarks = [str(remark) for remark in strange.remarks]
    assert len(remarks) == 1
    assert "shown as '??? Errand'" in remarks[0]
    assert fresh().remarks == ()


def test_the_light_is_on_the_bar_and_the_ring_on_the_note(small_painter: Painter) -> None:
    without, within = (small_painter.rgb(int(seconds * SECOND)).astype(int) for seconds in (2.9, 3.1))
    rows, columns = np.nonzero(np.abs(within - without).sum(axis=2)[45:310] > 20)
    assert 90 < columns.min() < 200 and columns.max() < 260
    assert rows.min() + 45 < 60 and rows.max() + 45 < 135


def test_memory_of_pages_seen_is_bounded() -> None:
    one = fresh()
    for tick in range(0, DURATION, SECOND):
        one.planes(one.key(tick))
    assert len(one.screens) <= 3 and len(one.stages) <= 3 and len(one.rows) <= 8


def test_changes_of_another_rate_are_that_rate_s_frames() -> None:
    one = fresh()
    assert one.changes(Fraction(60))[-1] > 1.9 * one.changes(Fraction(30))[-1]
