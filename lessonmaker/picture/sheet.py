"""A sheet of any size on which outlines are inked in colours, written as PNG or SVG."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from io import BytesIO
from typing import Literal

import cairocffi as cairo

from lessonmaker.picture.faces import Face
from lessonmaker.picture.look import Rgb
from lessonmaker.picture.raster import draw_shape
from lessonmaker.picture.shapes import Box, Shape, polygon, rectangle
from lessonmaker.picture.text import Setting, set_text

__all__ = ["Sheet"]

Align = Literal["left", "middle", "right"]
SHARE_BEFORE = {"left": 0.0, "middle": 0.5, "right": 1.0}


@dataclass
class Sheet:
    """What is inked, in order; x rightwards and y downwards in pixels from the top left corner.

    `texts` has the ink of each piece of text, for whoever wants to see whether they collide.
    """

    paper: Rgb
    inked: list[tuple[Shape, Rgb]] = field(default_factory=list)
    texts: list[tuple[str, Box]] = field(default_factory=list)

    def ink(self, shapes: Iterable[Shape], colour: Rgb) -> None:
        """Ink outlines."""
        self.inked += [(shape, colour) for shape in shapes]

    def box(self, box: Box, colour: Rgb, radius: float = 0.0, line: float = 0.0) -> None:
        """A rectangle, filled or with a line inside its edge."""
        self.ink([rectangle(box, radius, line)], colour)

    def line(self, points: Iterable[tuple[float, float]], colour: Rgb, width: float) -> None:
        """An open line through points."""
        (x, y), *others = points
        commands = (("move_to", (x, y)), *(("line_to", point) for point in others))
        self.ink([Shape(commands, line=width, filled=False)], colour)

    def area(self, points: Iterable[tuple[float, float]], colour: Rgb) -> None:
        """A filled polygon."""
        self.ink([polygon(points)], colour)

    def text(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        colour: Rgb,
        face: Face,
        align: Align = "left",
    ) -> Box:
        """A line of text with its baseline at y; its ink's box."""
        return self.setting(set_text(text, face, size), x, y, colour, text, align)

    def setting(
        self, setting: Setting, x: float, y: float, colour: Rgb, text: str = "", align: Align = "left"
    ) -> Box:
        """Text that is set already."""
        placed = setting.at(x - SHARE_BEFORE[align] * setting.advance, y)
        self.ink(placed.shapes, colour)
        box = placed.box or Box(x, y, x, y)
        self.texts.append((text, box))
        return box

    def png(self, width: int, height: int) -> bytes:
        """The sheet as a PNG file."""
        surface = cairo.ImageSurface(cairo.FORMAT_RGB24, width, height)
        self.draw(surface)
        file = BytesIO()
        surface.write_to_png(file)
        return file.getvalue()

    def svg(self, width: int, height: int) -> bytes:
        """The sheet as an SVG file; its text is outlines."""
        file = BytesIO()
        surface = cairo.SVGSurface(file, width, height)
        surface.set_document_unit(cairo.SVG_UNIT_PX)
        self.draw(surface)
        surface.finish()
        return file.getvalue()

    def draw(self, surface: cairo.Surface) -> None:
        """Ink everything on a surface."""
        context = cairo.Context(surface)
        context.set_line_cap(cairo.LINE_CAP_BUTT)
        context.set_line_join(cairo.LINE_JOIN_ROUND)
        context.set_source_rgb(*(value / 255 for value in self.paper))
        context.paint()
        for shape, colour in self.inked:
            context.set_source_rgb(*(value / 255 for value in colour))
            draw_shape(context, shape)
