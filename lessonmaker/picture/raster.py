"""To pixels: engraving by CairoSVG, outlines of text and marks by the cairo library beneath it.

Both draw straight into arrays; nothing is compressed or written in between.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

import cairocffi as cairo
import numpy as np
from cairosvg.parser import Tree
from cairosvg.surface import PNGSurface
from numpy.typing import NDArray

from lessonmaker.picture.shapes import Box, Shape

__all__ = ["Area", "Mask", "area_round", "mask", "rasterise"]

DPI = 96
ROOT_SIZE = re.compile(r'width="[^"]*" height="[^"]*" viewBox="[^"]*"')
Pixels = NDArray[np.uint8]


@dataclass(frozen=True, order=True)
class Area:
    """Whole pixels [left, right) by [top, bottom) of the picture."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        """Columns."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Rows."""
        return self.bottom - self.top

    @property
    def pixels(self) -> int:
        """How many pixels it holds."""
        return self.width * self.height

    @property
    def empty(self) -> bool:
        """Whether it holds no pixel."""
        return self.left >= self.right or self.top >= self.bottom

    def common(self, other: Area) -> Area:
        """The pixels of both (perhaps none)."""
        return Area(
            max(self.left, other.left),
            max(self.top, other.top),
            min(self.right, other.right),
            min(self.bottom, other.bottom),
        )

    def meets(self, other: Area) -> bool:
        """Whether they have a pixel in common."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def moved(self, x: int, y: int) -> Area:
        """The same area elsewhere."""
        return Area(self.left + x, self.top + y, self.right + x, self.bottom + y)

    def joined(self, other: Area) -> Area:
        """The smallest area round both."""
        return Area(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def slices(self, origin: Area) -> tuple[slice, slice]:
        """Rows and columns of an array whose first pixel is the origin's first."""
        return (
            slice(self.top - origin.top, self.bottom - origin.top),
            slice(self.left - origin.left, self.right - origin.left),
        )


@dataclass(frozen=True, eq=False)
class Mask:
    """How much of each pixel of an area is covered: uint8, 255 for all of it."""

    area: Area
    alpha: Pixels


def area_round(box: Box, scale: float) -> Area:
    """The whole picture pixels that hold a box of look units, and one more each side for antialiasing."""
    return Area(
        math.floor(box.left * scale) - 1,
        math.floor(box.top * scale) - 1,
        math.ceil(box.right * scale) + 1,
        math.ceil(box.bottom * scale) + 1,
    )


def rasterise(svg: str, area: Area, origin: tuple[float, float], scale: float) -> Pixels:
    """Draw an SVG document by CairoSVG.

    Args:
        svg: the document; its size and view box are replaced.
        area: the pixels wanted, in the picture's own pixels.
        origin: where the document's origin stands in the picture, in look units.
        scale: picture pixels a look unit.

    Returns:
        Premultiplied blue, green, red, alpha: (height, width, 4), uint8.
    """
    left, top = area.left / scale - origin[0], area.top / scale - origin[1]
    view = f"{left:.6f} {top:.6f} {area.width / scale:.6f} {area.height / scale:.6f}"
    frame = f'width="{area.width}" height="{area.height}" viewBox="{view}"'
    framed, found = ROOT_SIZE.subn(frame, svg, count=1)
    if not found:
        raise ValueError("the drawing does not begin with an SVG element that has width, height and view box")
    surface = PNGSurface(Tree(bytestring=framed.encode()), None, DPI)
    return surface_pixels(surface.cairo, area)


def surface_pixels(surface: cairo.ImageSurface, area: Area) -> Pixels:
    """The bytes of an image surface (little-endian ARGB32, premultiplied) as an array."""
    surface.flush()
    rows = np.frombuffer(surface.get_data(), np.uint8).reshape(area.height, surface.get_stride())
    return rows[:, : 4 * area.width].reshape(area.height, area.width, 4).copy()


def mask(shapes: Iterable[Shape], area: Area, scale: float) -> Mask:
    """How shapes (in look units) cover the pixels of an area."""
    stride = cairo.ImageSurface.format_stride_for_width(cairo.FORMAT_A8, area.width)
    alpha = np.zeros((area.height, stride), np.uint8)
    surface = cairo.ImageSurface(cairo.FORMAT_A8, area.width, area.height, alpha.reshape(-1).data, stride)
    context = cairo.Context(surface)
    context.translate(-area.left, -area.top)
    context.scale(scale, scale)
    context.set_line_cap(cairo.LINE_CAP_ROUND)
    context.set_line_join(cairo.LINE_JOIN_ROUND)
    for shape in shapes:
        draw_shape(context, shape)
    surface.finish()
    return Mask(area, alpha[:, : area.width])


def draw_shape(context: cairo.Context, shape: Shape) -> None:
    """Ink one shape."""
    context.save()
    context.translate(shape.x, shape.y)
    context.scale(shape.scale_x, shape.scale_y)
    for command, numbers in shape.commands:
        getattr(context, command)(*numbers)
    if shape.filled:
        context.fill_preserve()
    context.restore()
    if shape.line:
        context.set_line_width(shape.line)
        context.stroke_preserve()
    context.new_path()
