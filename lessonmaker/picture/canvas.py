"""Colour on pixels: ink over paper, the weights of an engraved system, and BT.709 planes.

A region being painted is a float32 array (3, height, width): red, green, blue, or Y, U, V of the same. Blending is done
in sRGB itself, as browsers and engravers' previews do; Y, U, V depend linearly on sRGB values, so mixing in
either is the same. A region over nothing yet has a fourth value, how much it covers, and its colours are
premultiplied by that (Porter and Duff 1984).

Planes are 8-bit BT.709 limited range, 4:2:0, each chroma sample the mean of its four pixels
(ITU-R BT.709-6, items 3.2 to 3.5 and 4.6).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
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
    "blend",
    "blend_planes",
    "colour_in",
    "copy_planes",
    "even",
    "flat",
    "joined_areas",
    "mix_weights",
    "paint_ink",
    "paint_mixed",
    "paint_picture",
    "paste_planes",
    "recolour_heads",
    "to_bytes",
    "to_planes",
]

Region = NDArray[np.float32]
Planes = tuple[Pixels, Pixels, Pixels]
Space = Literal["rgb", "yuv", "rgba"]
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
OPAQUE = 255.0
MIX_STEPS = 256
LOOSEST_JOIN = 1.25


@dataclass(frozen=True)
class Inks:
    """The colours of an engraved system: staff lines, noteheads (with accidentals and dots), everything else."""

    staff: Rgb
    head: Rgb
    other: Rgb


@lru_cache(maxsize=64)
def colour_in(space: Space, colour: Rgb) -> NDArray[np.float32]:
    """A colour's values in a space."""
    values = np.asarray(colour, np.float64)
    if space == "yuv":
        values = RGB_TO_YUV @ values + YUV_OFFSET
    elif space == "rgba":
        values = np.append(values, OPAQUE)
    found: NDArray[np.float32] = values.astype(np.float32)
    found.setflags(write=False)
    return found


def flat(space: Space, area: Area, colour: Rgb) -> Region:
    """A region of one colour."""
    values = colour_in(space, colour)
    region = np.empty((len(values), area.height, area.width), np.float32)
    region[:] = values[:, None, None]
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


def mix_weights(weights: Pixels, inks: Inks, space: Space) -> Region:
    """The colour that an engraved system adds to each pixel, and the share it leaves of what lies beneath.

    Args:
        weights: (4, height, width): what the other ink, the heads and the staff lines weigh in each pixel, and how
            much they cover together (255 for all).
        inks: the colours.
        space: of the values in the result.

    Returns:
        (values + 1, height, width), float32: what to add, and at the end the share (0 to 1) to multiply by before.
    """
    other, heads, staff, cover = weights.astype(np.float32) * np.float32(1 / 255)
    values = [
        *zip(*(colour_in(space, colour) for colour in (inks.other, inks.head, inks.staff)), strict=True)
    ]
    mixed = np.empty((len(values) + 1, *weights.shape[1:]), np.float32)
    for channel, (other_value, head_value, staff_value) in zip(mixed[:-1], values, strict=True):
        np.multiply(other, other_value, out=channel)
        channel += heads * head_value
        channel += staff * staff_value
    np.subtract(1, cover, out=mixed[-1])
    return mixed


def paint_mixed(region: Region, area: Area, mixed: Region, place: Area) -> None:
    """Lay an engraved system, mixed by `mix_weights` and standing at `place`, over a region, in place."""
    common = area.common(place)
    if common.empty:
        return
    rows, columns = common.slices(place)
    part = mixed[:, rows, columns]
    rows, columns = common.slices(area)
    target = region[:, rows, columns]
    target *= part[-1]
    target += part[:-1]


def recolour_heads(
    region: Region, area: Area, heads: Pixels, place: Area, note: Area, difference: NDArray[np.float32]
) -> None:
    """Change the colour of what weighs as a head within one note's area, in place.

    Args:
        region: the float pixels of `area`.
        area: where the region stands in the picture.
        heads: (height, width) what the heads weigh in each pixel of `place`.
        place: where the system stands.
        note: the pixels of the note.
        difference: the new colour less the old one, in the region's space.
    """
    within = area.common(place).common(note)
    if within.empty:
        return
    weight = heads[within.slices(place)] * np.float32(1 / 255)
    rows, columns = within.slices(area)
    region[:, rows, columns] += weight * difference[:, None, None]


def paint_picture(region: Region, area: Area, pixels: Pixels, left: int, top: int, space: Space) -> None:
    """Lay a picture over a region, in place.

    Args:
        region: the float pixels of `area`.
        area: where the region stands in the picture.
        pixels: (height, width, 4), red, green, blue and cover, the colours not multiplied by the cover.
        left: where its left column stands in the picture.
        top: where its top row stands.
        space: of the region; one without a cover of its own.
    """
    place = Area(left, top, left + pixels.shape[1], top + pixels.shape[0])
    common = area.common(place)
    part = pixels[common.slices(place)].astype(np.float32)
    cover = part[..., 3] / np.float32(OPAQUE)
    colours = np.moveaxis(part[..., :3], 2, 0)
    if space == "yuv":
        offset = YUV_OFFSET.astype(np.float32)[:, None, None]
        colours = np.tensordot(RGB_TO_YUV.astype(np.float32), colours, 1) + offset
    rows, columns = common.slices(area)
    target = region[:, rows, columns]
    target += cover * (colours - target)


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
    luma, blue, red = (blend(one, other, share) for one, other in zip(first, second, strict=True))
    return luma, blue, red


def blend(first: Pixels, second: Pixels, share: float) -> Pixels:
    """The values `share` (0 to 1, in steps of 1/256) of the way from the first to the second."""
    weight = round(share * MIX_STEPS)
    mixed = first.astype(np.uint16)
    mixed *= np.uint16(MIX_STEPS - weight)
    mixed += second * np.uint16(weight)
    mixed += np.uint16(MIX_STEPS // 2)
    mixed >>= np.uint16(8)
    return mixed.astype(np.uint8)


def joined_areas(areas: Iterable[Area]) -> list[Area]:
    """Areas joined until none of them overlap, so that no pixel is painted twice.

    Neighbours are joined as well where the gap between them is less work than painting them one by one.
    """
    apart: list[Area] = []
    for area in areas:
        while (partner := next((one for one in apart if worth_joining(one, area)), None)) is not None:
            apart.remove(partner)
            area = area.joined(partner)
        apart.append(area)
    return apart


def worth_joining(one: Area, other: Area) -> bool:
    """Whether two areas overlap, or nearly fill the area around both."""
    return one.meets(other) or one.joined(other).pixels <= LOOSEST_JOIN * (one.pixels + other.pixels)
