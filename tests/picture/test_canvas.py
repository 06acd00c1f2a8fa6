from pathlib import Path

import numpy as np
import pytest

from lessonmaker.picture.canvas import (
    Inks,
    blend_planes,
    colour_in,
    even,
    flat,
    joined_areas,
    mix_weights,
    paint_ink,
    paint_mixed,
    recolour_heads,
    to_bytes,
    to_planes,
)
from lessonmaker.picture.lean import lean_svg
from lessonmaker.picture.raster import Area, Mask, area_round, mask, rasterise
from lessonmaker.picture.shapes import Box, rectangle
from lessonmaker.score.engrave import EngraveStyle, engrave
from lessonmaker.score.read import read_score
from lessonmaker.score.system import System

PAPER, INK, BLUE = (251, 248, 242), (26, 26, 26), (0, 103, 163)
STAFF = (106, 101, 92)
MEDIA = Path(__file__).parents[2] / "media"


@pytest.fixture(scope="module")
def system() -> System:
    return engrave(read_score(MEDIA / "gaslight-errand.musicxml"), (1, 2), EngraveStyle(900, 76))


def drawn(system: System, *colours: str) -> tuple[np.ndarray, Area]:
    """A system drawn by CairoSVG: blue, green, red, alpha."""
    area = Area(0, 0, 900, int(system.height))
    return rasterise(system.coloured(*colours), area, (0.0, 0.0), 1.0), area


def test_weights_of_basis_colours_paint_what_drawing_in_colours_paints(system: System) -> None:
    basis, area = drawn(system, "#ff0000", "#00ff00", "#0000ff")
    region = flat("rgb", area, PAPER)
    mixed = mix_weights(np.moveaxis(basis, 2, 0), Inks(STAFF, BLUE, INK), "rgb")
    paint_mixed(region, area, mixed, area)
    direct, _ = drawn(system, "#6a655c", "#0067a3", "#1a1a1a")
    colours, cover = direct[..., 2::-1].astype(float), direct[..., 3:] / 255
    expected = np.array(PAPER) * (1 - cover) + colours
    assert np.abs(np.moveaxis(region, 0, 2) - expected).max() < 3
    assert (cover > 0.5).mean() > 0.02


def test_a_leaner_drawing_has_the_same_pixels(system: System) -> None:
    svg = system.coloured("#ff0000", "#00ff00", "#0000ff")
    area = Area(0, 0, 900, int(system.height))
    plain, lean = (rasterise(text, area, (0.0, 0.0), 1.0) for text in (svg, lean_svg(svg)))
    assert lean_svg(svg).count("<") < 0.6 * svg.count("<")
    difference = np.abs(plain.astype(int) - lean)
    assert difference.mean() < 0.02
    assert (difference > 16).mean() < 0.0005  # where two strokes abut, the join is no longer seen


def test_a_drawing_that_uses_an_undefined_glyph_is_refused() -> None:
    svg = (
        '<svg><g fill="#f00" stroke="#f00" stroke-width="0"><use xlink:href="#E0A4" transform=""/></g></svg>'
    )
    with pytest.raises(ValueError, match="a glyph it does not define: E0A4"):
        lean_svg(svg)


def test_a_drawing_without_a_size_is_refused() -> None:
    with pytest.raises(ValueError, match="width, height and view box"):
        rasterise("<svg/>", Area(0, 0, 2, 2), (0.0, 0.0), 1.0)


def test_only_one_note_s_head_takes_a_colour(system: System) -> None:
    basis, area = drawn(system, "#ff0000", "#00ff00", "#0000ff")
    weights = np.moveaxis(basis, 2, 0)
    region = flat("rgb", area, PAPER)
    paint_mixed(region, area, mix_weights(weights, Inks(STAFF, INK, INK), "rgb"), area)
    before = region.copy()
    head = next(iter(system.notes.values())).head
    note = area_round(Box(head.x0, head.y0, head.x1, head.y1), 1.0)
    difference = colour_in("rgb", BLUE) - colour_in("rgb", INK)
    recolour_heads(region, area, weights[1], area, note, difference)
    changed = np.abs(region - before).max(axis=0) > 1
    rows, columns = np.nonzero(changed)
    assert rows.min() >= note.top and rows.max() < note.bottom
    assert columns.min() >= note.left and columns.max() < note.right
    middle = round(head.centre[1]), round(head.centre[0])
    assert np.abs(region[:, *middle] - BLUE).max() < 2


def test_planes_follow_bt709_limited_range() -> None:
    """ITU-R BT.709-6, items 3.2-3.4 and 4.6: white 235, black 16, no colour 128; red, green and blue as computed."""
    area = Area(0, 0, 4, 2)
    expected = {
        (255, 255, 255): (235, 128, 128),
        (0, 0, 0): (16, 128, 128),
        (255, 0, 0): (63, 102, 240),
        (0, 255, 0): (173, 42, 26),
        (0, 0, 255): (32, 240, 118),
    }
    for colour, values in expected.items():
        planes = to_planes(flat("yuv", area, colour))
        assert [plane.shape for plane in planes] == [(2, 4), (1, 2), (1, 2)]
        assert tuple(int(plane[0, 0]) for plane in planes) == values


def test_chroma_is_the_mean_of_four_pixels() -> None:
    region = np.zeros((3, 2, 2), np.float32)
    region[1] = [[100, 110], [120, 130]]
    assert to_planes(region)[1][0, 0] == 115


def test_ink_at_half_opacity_lies_halfway() -> None:
    area = Area(10, 10, 20, 20)
    region = flat("rgb", area, PAPER)
    full = mask([rectangle(Box(12, 12, 18, 18))], Area(11, 11, 19, 19), 1.0)
    paint_ink(region, area, (full, INK), 0.5, "rgb")
    assert np.allclose(region[:, 5, 5], (np.array(PAPER) + INK) / 2, atol=0.6)
    assert np.allclose(region[:, 0, 0], PAPER)


def test_ink_outside_a_region_changes_nothing() -> None:
    area = Area(0, 0, 8, 8)
    region = flat("rgb", area, PAPER)
    paint_ink(region, area, (Mask(Area(20, 20, 24, 24), np.full((4, 4), 255, np.uint8)), INK), 1.0, "rgb")
    assert np.array_equal(region, flat("rgb", area, PAPER))


def test_areas_grow_to_even_pixels_inside_the_picture() -> None:
    assert even(Area(3, 5, 7, 9), (20, 20)) == Area(2, 4, 8, 10)
    assert even(Area(-3, -1, 21, 25), (20, 20)) == Area(0, 0, 20, 20)


def test_joined_areas_cover_all_and_overlap_nowhere() -> None:
    rng = np.random.default_rng(7)
    corners = rng.integers(0, 90, (40, 2))
    areas = [Area(int(x), int(y), int(x) + 9, int(y) + 5) for x, y in corners]
    before, after = np.zeros((100, 100), int), np.zeros((100, 100), int)
    for area in areas:
        before[area.top : area.bottom, area.left : area.right] += 1
    for area in joined_areas(areas):
        after[area.top : area.bottom, area.left : area.right] += 1
    assert after.max() == 1
    assert ((before > 0) <= (after > 0)).all()


def test_a_blend_begins_with_the_first_and_ends_with_the_second() -> None:
    first, second = (to_planes(flat("yuv", Area(0, 0, 4, 4), colour)) for colour in (PAPER, BLUE))
    for share, expected in ((0.0, first), (1.0, second)):
        assert all(
            np.array_equal(one, other)
            for one, other in zip(blend_planes(first, second, share), expected, strict=True)
        )
    halfway = blend_planes(first, second, 0.5)[0][0, 0]
    assert halfway == pytest.approx((int(first[0][0, 0]) + int(second[0][0, 0])) / 2, abs=1)
    assert to_bytes(np.float32([[[254.6]]]))[0, 0, 0] == 255
