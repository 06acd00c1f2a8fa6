"""Colour on pixels: ink over paper, the weights of an engraved system, and BT.709 planes.

A region being painted is a float32 array (height, width, 3) of sRGB values 0 to 255, blended as browsers
and engravers' previews do (in sRGB itself). Planes are 8-bit Y, U, V in BT.709 limited range, 4:2:0, each chroma sample
the mean of its four pixels (ITU-R BT.709-6, items 3.2 to 3.5 and 4.6).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lessonmaker.picture.look import Rgb
from lessonmaker.picture.raster import Area, Mask, Pixels

__all__ = ["Inks", "Planes", "blend_planes", "copy_planes", "even", "paint_ink", "paint_weights", "rgb_to_planes", "to_bytes"]

Region = NDArray[np.float32]
Planes = tuple[Pixels, Pixels, Pixels]
KR, KB = 0.2126, 0.0722
KG = 1 - KR - KB
LUMA = np.array([KR, KG, KB], np.float32) * np.float32(219 / 255)
BLUE = np.array([-KR, -KG, 1 - KB], np.float32) * np.float32(224 / 255 / (2 * (1 - KB)))
RED = np.array([1 - KR, -KG, -KB], np.float32) * np.float32(224 / 255 / (2 * (1 - KR)))
BLACK_LEVEL, NO_CHROMA = 16, 128
ROUND = 0.5


@dataclass(frozen=True)
class Inks:
    """The colours of an engraved system: staff lines, noteheads, everything else; and noteheads coloured otherwise.

    `notes` holds (pixels, colour, how much of it from 0 to 1): within them heads, accidentals and dots change.
    """

    staff: Rgb
    head: Rgb
    other: Rgb
    notes: tuple[tuple[Area, Rgb, float], ...] = ()


def paint_ink(region: Region, area: Area, mask: Mask, colour: Rgb, opacity: float) -> None:
    """Lay ink over a region, in place. `area` is where the region stands in the picture."""
    common = area.common(mask.area)
    if common.empty:
        return
    target = region[common.slices(area)]
    cover = mask.alpha[common.slices(mask.area)] * np.float32(opacity / 255)
    target += (np.asarray(colour, np.float32) - target) * cover[..., None]


def paint_weights(region: Region, area: Area, weights: Pixels, place: Area, inks: Inks) -> None:
    """Lay an engraved system over a region, in place.

    Args:
        region: the float pixels of `area`.
        area: where the region stands in the picture.
        weights: (height, width, 4) premultiplied blue, green, red, alpha of the system drawn with staff lines
            in pure red, heads in pure green and the rest in pure blue: what each layer weighs in each pixel.
        place: where the weights stand in the picture.
        inks: the colours.
    """
    common = area.common(place)
    if common.empty:
        return
    part = weights[common.slices(place)].astype(np.float32) * np.float32(1 / 255)
    target = region[common.slices(area)]
    target *= 1 - part[..., 3:]
    target += part[..., :3] @ np.array([inks.other, inks.head, inks.staff], np.float32)
    for note_area, colour, share in inks.notes:
        recolour_heads(target, part, common, note_area, np.subtract(colour, inks.head) * share)


def recolour_heads(target: Region, part: Region, area: Area, note_area: Area, difference: NDArray[np.float64]) -> None:
    """Change the colour of what weighs as a head within one note's area."""
    within = area.common(note_area)
    if not within.empty:
        rows, columns = within.slices(area)
        target[rows, columns] += part[rows, columns, 1:2] * difference.astype(np.float32)


def to_bytes(region: Region) -> Pixels:
    """The nearest 8-bit values."""
    return (region + np.float32(ROUND)).astype(np.uint8)


def even(area: Area, size: tuple[int, int]) -> Area:
    """The area grown to even pixels, within a picture of an even size (width, height)."""
    width, height = size
    left, top = max(area.left, 0) & ~1, max(area.top, 0) & ~1
    return Area(left, top, min(area.right + 1 & ~1, width), min(area.bottom + 1 & ~1, height))


def rgb_to_planes(region: Region) -> Planes:
    """Y (height, width), U and V (height/2, width/2) of a region whose sides are even."""
    luma = region @ LUMA
    luma += BLACK_LEVEL + ROUND
    rows = region[0::2] + region[1::2]
    quads = (rows[:, 0::2] + rows[:, 1::2]) * np.float32(0.25)
    blue, red = quads @ BLUE, quads @ RED
    blue += NO_CHROMA + ROUND
    red += NO_CHROMA + ROUND
    return luma.astype(np.uint8), blue.astype(np.uint8), red.astype(np.uint8)


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
    weight = round(share * 256)
    luma, blue, red = (blend(one, other, weight) for one, other in zip(first, second, strict=True))
    return luma, blue, red


def blend(first: Pixels, second: Pixels, weight: int) -> Pixels:
    """Two planes mixed in the proportion 256 - weight to weight."""
    mixed = first.astype(np.uint16)
    mixed *= np.uint16(256 - weight)
    mixed += second.astype(np.uint16) * np.uint16(weight)
    mixed += np.uint16(128)
    mixed >>= np.uint16(8)
    return mixed.astype(np.uint8)


def joined_areas(areas: Iterable[Area]) -> list[Area]:
    """Areas joined until none of them overlap, so that no pixel is painted twice."""
    apart: list[Area] = []
    for area in areas:
        while touching := [other for other in apart if not other.common(area).empty]:
            apart.remove(touching[0])
            area = area.joined(touching[0])
        apart.append(area)
    return apart
