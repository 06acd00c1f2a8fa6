"""Pictures against those that were looked at and found good (see tests/tools/make_picture_goldens.py)."""

import numpy as np
import pytest
from PIL import Image

from lessonmaker.picture.painter import Painter
from tests.tools.found_scenes import SCENES
from tests.tools.make_picture_goldens import (
    CASES,
    CROWDED_SIZES,
    DEMO_INSTANTS,
    GOLDENS,
    INSTANTS,
    OWN_LOOK,
    SHAPED_KINDS,
    SHAPES,
    crowded_path,
    crowded_picture,
    demo_path,
    demo_picture,
    found_path,
    found_picture,
    golden_painter,
    golden_path,
    own_look_painter,
    own_look_path,
    shape_path,
    shape_picture,
)

CLOSE, MOST_FAR, MEAN = (
    40,
    0.004,
    1.5,
)  # a channel's difference; the share of pixels beyond it; the mean difference


def far_from(golden: np.ndarray, picture: np.ndarray) -> tuple[float, float]:
    """The share of pixels that differ clearly, and the mean difference."""
    difference = np.abs(golden.astype(int) - picture).max(axis=2)
    return float((difference > CLOSE).mean()), float(difference.mean())


@pytest.fixture(scope="module", params=CASES, ids=["-".join(case) for case in CASES])
def case(request: pytest.FixtureRequest) -> tuple[tuple[str, str], Painter]:
    return request.param, golden_painter(*request.param)


def test_there_is_a_golden_for_every_instant() -> None:
    expected = {golden_path(*case, name) for case in CASES for name in INSTANTS}
    expected |= {demo_path(name) for name in DEMO_INSTANTS}
    expected |= {found_path(name) for name in SCENES}
    expected |= {shape_path(shape, kind) for shape in SHAPES for kind in SHAPED_KINDS}
    expected |= {own_look_path(name) for name in OWN_LOOK}
    expected |= {crowded_path(size) for size in CROWDED_SIZES}
    assert expected == set(GOLDENS.glob("*.png"))
    assert len(expected) == 37


@pytest.mark.parametrize("name", INSTANTS)
def test_the_picture_is_the_golden_one(case: tuple[tuple[str, str], Painter], name: str) -> None:
    which, painter = case
    golden = np.asarray(Image.open(golden_path(*which, name)).convert("RGB"))
    assert golden.std() > 5, "an empty golden proves nothing"
    far, mean = far_from(golden, painter.rgb(INSTANTS[name]))
    assert far <= MOST_FAR
    assert mean <= MEAN


@pytest.mark.parametrize("name", DEMO_INSTANTS)
def test_the_demo_s_picture_is_the_golden_one(name: str) -> None:
    golden = np.asarray(Image.open(demo_path(name)).convert("RGB"))
    assert golden.std() > 5, "an empty golden proves nothing"
    far, mean = far_from(golden, demo_picture(name))
    assert far <= MOST_FAR
    assert mean <= MEAN


@pytest.mark.parametrize("name", SCENES)
def test_the_scene_of_something_found_is_the_golden_one(name: str) -> None:
    golden = np.asarray(Image.open(found_path(name)).convert("RGB"))
    assert golden.std() > 5, "an empty golden proves nothing"
    far, mean = far_from(golden, found_picture(name))
    assert far <= MOST_FAR
    assert mean <= MEAN


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("kind", SHAPED_KINDS)
def test_the_page_of_another_shape_is_the_golden_one(shape: str, kind: str) -> None:
    golden = np.asarray(Image.open(shape_path(shape, kind)).convert("RGB"))
    assert golden.std() > 5, "an empty golden proves nothing"
    far, mean = far_from(golden, shape_picture(shape, kind))
    assert far <= MOST_FAR
    assert mean <= MEAN


@pytest.mark.parametrize("name", OWN_LOOK)
def test_the_picture_in_a_book_s_own_look_is_the_golden_one(name: str) -> None:
    golden = np.asarray(Image.open(own_look_path(name)).convert("RGB"))
    assert golden.std() > 5, "an empty golden proves nothing"
    far, mean = far_from(golden, own_look_painter().rgb(INSTANTS[name]))
    assert far <= MOST_FAR
    assert mean <= MEAN


@pytest.mark.parametrize("size", CROWDED_SIZES, ids=str)
def test_the_scene_of_two_devices_over_the_same_notes_is_the_golden_one(size: tuple[int, int]) -> None:
    golden = np.asarray(Image.open(crowded_path(size)).convert("RGB"))
    assert golden.std() > 5, "an empty golden proves nothing"
    far, mean = far_from(golden, crowded_picture(size))
    assert far <= MOST_FAR
    assert mean <= MEAN


def test_a_moved_picture_is_not_the_golden_one(case: tuple[tuple[str, str], Painter]) -> None:
    which, painter = case
    golden = np.asarray(Image.open(golden_path(*which, "play")).convert("RGB"))
    far, _ = far_from(golden, np.roll(painter.rgb(INSTANTS["play"]), 2, axis=1))
    assert far > 5 * MOST_FAR
