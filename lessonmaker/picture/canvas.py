"""Colour on pixels: ink over paper, the weights of an engraved system, and BT.709 planes.

A region being painted is a float32 array (3, height, width): red, green, blue, or Y, U, V of the same. Blending is done
in sRGB itself, as browsers and engravers' previews do; Y, U, V depend linearly on sRGB values, so mixing in
either is the same. Planes are 8-bit BT.709 limited range, 4:2:0, each chroma sample the mean of its four pixels
(ITU-R BT.709-6, items 3.2 to 3.5 and 4.6).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lessonmaker.picture.look import Rgb
from lessonmaker.picture.raster import Area, Mask, Pixels

__all__ = [
    "Inks",
    "Planes",
    "Region",
    "Space",
    "blend_planes",
    "colour_in",
    "copy_planes",
    "even",
    "flat",
    "joined_areas",
    "paint_ink",
    "paint_weights",
    "paste_planes",
    "to_bytes",
    "to_planes",
]

Region = NDArray[np.float32]
Planes = tuple[Pixels, Pixels, Pixels]
Space = Literal["rgb", "yuv"]
KR, KB = 0.2126, 0.0722
KG = 1 - KR - KB
LUMA_RANGE, CHROMA_RANGE = 219 / 255, 224 / 255
RGB_TO_YUV = np.array(
    [
        np.array([KR, KG, KB]) * LUMA_RANGE,
        np.array([-KR, -KG, 1 - KB]) * CHROMA_RANGE / (2 * (1 - KB)),
        np.array([1 - KR, -KG, -KB]) * CHROMA_RANGE / (2 * (1 - KR)),
    ]
)
YUV_OFFSET = np.array([16.0, 128.0, 128.0])
ROUND = np.float32(0.5)
MIX_STEPS = 256


@dataclass(frozen=True)
class Inks:
    """The colours of an engraved system: staff lines, noteheads, everything else; and noteheads coloured otherwise.

    `notes` holds (pixels, colour, how much of it from 0 to 1): within them heads, accidentals and dots change.
    """

    staff: Rgb
    head: Rgb
    other: Rgb
    notes: tuple[tuple[Area, Rgb, float], ...] = ()


def colour_in(space: Space, colour: Rgb) -> NDArray[np.float32]:
    """A colour's three values in a space."""
    values = np.asarray(colour, np.float64)
    return (values if space == "rgb" else RGB_TO_YUV @ values + YUV_OFFSET).astype(np.float32)


def flat(space: Space, area: Area, colour: Rgb) -> Region:
    """A region of one colour."""
    region = np.empty((3, area.height, area.width), np.float32)
    region[:] = colour_in(space, colour)[:, None, None]
    return region


def paint_ink(region: Region, area: Area, ink: tuple[Mask, Rgb], opacity: float, space: Space) -> None:
    """Lay ink over a region, in place. `area` is where the region stands in the picture."""
    mask, colour = ink
    common = area.common(mask.area)
    if common.empty:
        return
    cover = mask.alpha[common.slices(mask.area)] * np.float32(opacity / 255)
    rest = 1 - cover
    rows, columns = common.slices(area)
    for channel, value in zip(region, colour_in(space, colour), strict=True):
        target = channel[rows, columns]
        target *= rest
        target += cover * value


def paint_weights(region: Region, area: Area, weights: Pixels, place: Area, inks: Inks, space: Space) -> None:
    """Lay an engraved system over a region, in place.

    Args:
        region: the float pixels of `area`.
        area: where the region stands in the picture.
        weights: (4, height, width): what the other ink, the heads and the staff lines weigh in each pixel, and how
            much they cover together (255 for all).
        place: where the weights stand in the picture.
        inks: the colours.
        space: of the region's values.
    """
    common = area.common(place)
    if common.empty:
        return
    rows, columns = common.slices(place)
    other, heads, staff, cover = weights[:, rows, columns].astype(np.float32) * np.float32(1 / 255)
    rest = 1 - cover
    rows, columns = common.slices(area)
    values = zip(*(colour_in(space, colour) for colour in (inks.other, inks.head, inks.staff)), strict=True)
    for channel, (other_value, head_value, staff_value) in zip(region, values, strict=True):
        target = channel[rows, columns]
        target *= rest
        target += other * other_value
        target += heads * head_value
        target += staff * staff_value
    for note_area, colour, share in inks.notes:
        difference = (colour_in(space, colour) - colour_in(space, inks.head)) * np.float32(share)
        recolour_heads(region[:, rows, columns], heads, common, note_area, difference)


def recolour_heads(
    target: Region, heads: NDArray[np.float32], area: Area, note_area: Area, difference: NDArray[np.float32]
) -> None:
    """Change the colour of what weighs as a head within one note's area."""
    within = area.common(note_area)
    if not within.empty:
        rows, columns = within.slices(area)
        target[:, rows, columns] += heads[rows, columns] * difference[:, None, None]


def to_bytes(region: Region) -> Pixels:
    """The nearest 8-bit values."""
    return (region + ROUND).astype(np.uint8)


def even(area: Area, size: tuple[int, int]) -> Area:
    """The area grown to even pixels, within a picture of an even size (width, height)."""
    width, height = size
    left, top = max(area.left, 0) & ~1, max(area.top, 0) & ~1
    return Area(left, top, min(area.right + 1 & ~1, width), min(area.bottom + 1 & ~1, height))


def to_planes(region: Region) -> Planes:
    """Y (height, width), U and V (height/2, width/2) of a Y, U, V region whose sides are even."""
    chroma = region[1:, 0::2] + region[1:, 1::2]
    quads = chroma[:, :, 0::2] + chroma[:, :, 1::2]
    quads *= np.float32(0.25)
    blue, red = to_bytes(quads)
    return to_bytes(region[0]), blue, red


def paste_planes(planes: Planes, patch: Planes, area: Area) -> None:
    """Put the planes of an even area into those of the picture, in place."""
    half = Area(area.left // 2, area.top // 2, area.right // 2, area.bottom // 2)
    for plane, part, where in zip(planes, patch, (area, half, half), strict=True):
        plane[where.top : where.bottom, where.left : where.right] = part


def copy_planes(planes: Planes) -> Planes:
    """A copy that may be painted on."""
    luma, blue, red = (plane.copy() for plane in planes)
    return luma, blue, red


def blend_planes(first: Planes, second: Planes, share: float) -> Planes:
    """The picture `share` (0 to 1) of the way from the first to the second."""
    weight = round(share * MIX_STEPS)
    luma, blue, red = (blend(one, other, weight) for one, other in zip(first, second, strict=True))
    return luma, blue, red


def blend(first: Pixels, second: Pixels, weight: int) -> Pixels:
    """Two planes mixed in the proportion 256 - weight to weight."""
    mixed = first.astype(np.uint16)
    mixed *= np.uint16(MIX_STEPS - weight)
    mixed += second * np.uint16(weight)
    mixed += np.uint16(MIX_STEPS // 2)
    mixed >>= np.uint16(8)
    return mixed.astype(np.uint8)


def joined_areas(areas: Iterable[Area]) -> list[Area]:
    """Areas joined until none of them overlap, so that no pixel is painted twice."""
    apart: list[Area] = []
    for area in areas:
        while touching := [other for other in apart if other.meets(area)]:
            apart.remove(touching[0])
            area = area.joined(touching[0])
        apart.append(area)
    return apart
