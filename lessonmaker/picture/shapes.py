"""Boxes and outlines in look units: x rightwards, y downwards, pixels of a picture 1080 lines high."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from fontTools.pens.basePen import BasePen

__all__ = ["Box", "Commands", "Shape", "ShapePen", "circle", "polygon", "rectangle", "union"]

Point = tuple[float, float]
Commands = tuple[tuple[str, tuple[float, ...]], ...]
QUARTER_ARC = (
    4 / 3 * (math.sqrt(2) - 1)
)  # control points of a Bézier quarter circle, as a share of the radius


@dataclass(frozen=True)
class Box:
    """A rectangle: left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.bottom - self.top

    @property
    def centre(self) -> Point:
        """The middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def moved(self, x: float, y: float) -> Box:
        """The same box elsewhere."""
        return Box(self.left + x, self.top + y, self.right + x, self.bottom + y)

    def grown(self, x: float, y: float | None = None) -> Box:
        """The box with more room: x left and right, y (or the same) above and below."""
        rise = x if y is None else y
        return Box(self.left - x, self.top - rise, self.right + x, self.bottom + rise)

    def overlaps(self, other: Box, air: float = 0.0) -> bool:
        """Whether the two come nearer than `air`."""
        return (
            self.left < other.right + air
            and other.left < self.right + air
            and self.top < other.bottom + air
            and other.top < self.bottom + air
        )


def union(boxes: Iterable[Box]) -> Box | None:
    """The smallest box round all; None round nothing."""
    every = list(boxes)
    if not every:
        return None
    return Box(
        min(box.left for box in every),
        min(box.top for box in every),
        max(box.right for box in every),
        max(box.bottom for box in every),
    )


@dataclass(frozen=True)
class Shape:
    """An outline placed at x, y and scaled.

    `line` is the width of its stroke in look units (0: none); `filled` says whether the inside is inked.
    """

    commands: Commands
    x: float = 0.0
    y: float = 0.0
    scale_x: float = 1.0
    scale_y: float = 1.0
    line: float = 0.0
    filled: bool = True

    def moved(self, x: float, y: float) -> Shape:
        """The same shape elsewhere."""
        return Shape(
            self.commands, self.x + x, self.y + y, self.scale_x, self.scale_y, self.line, self.filled
        )


class ShapePen(BasePen):  # type: ignore[misc]
    """A font pen that keeps what is drawn as move, line, curve (cubic) and close commands."""

    def __init__(self) -> None:
        super().__init__(None)
        self._commands: list[tuple[str, tuple[float, ...]]] = []

    @property
    def commands(self) -> Commands:
        """What has been drawn."""
        return tuple(self._commands)

    def _moveTo(self, pt: Point) -> None:  # noqa: N802 (the pen protocol's name)
        self._commands.append(("move_to", pt))

    def _lineTo(self, pt: Point) -> None:  # noqa: N802
        self._commands.append(("line_to", pt))

    def _curveToOne(self, pt1: Point, pt2: Point, pt3: Point) -> None:  # noqa: N802
        self._commands.append(("curve_to", (*pt1, *pt2, *pt3)))

    def _closePath(self) -> None:  # noqa: N802
        self._commands.append(("close_path", ()))

    def _endPath(self) -> None:  # noqa: N802
        """An open path ends as it is."""


def rectangle(box: Box, radius: float = 0.0, line: float = 0.0) -> Shape:
    """A rectangle with round corners: filled, or with a line drawn just inside its edge."""
    inner = box.grown(-line / 2)
    round_by = min(radius, inner.width / 2, inner.height / 2)
    left, top, right, bottom = inner.left, inner.top, inner.right, inner.bottom
    bend = round_by * (1 - QUARTER_ARC)
    commands: Commands = (
        ("move_to", (left + round_by, top)),
        ("line_to", (right - round_by, top)),
        ("curve_to", (right - bend, top, right, top + bend, right, top + round_by)),
        ("line_to", (right, bottom - round_by)),
        ("curve_to", (right, bottom - bend, right - bend, bottom, right - round_by, bottom)),
        ("line_to", (left + round_by, bottom)),
        ("curve_to", (left + bend, bottom, left, bottom - bend, left, bottom - round_by)),
        ("line_to", (left, top + round_by)),
        ("curve_to", (left, top + bend, left + bend, top, left + round_by, top)),
        ("close_path", ()),
    )
    return Shape(commands, line=line, filled=not line)


def circle(x: float, y: float, radius: float, line: float) -> Shape:
    """A circle's line, its middle at the radius."""
    return rectangle(Box(x - radius, y - radius, x + radius, y + radius).grown(line / 2), radius, line)


def polygon(points: Iterable[Point]) -> Shape:
    """A filled polygon."""
    first, *others = points
    pen = ShapePen()
    pen.moveTo(first)
    for point in others:
        pen.lineTo(point)
    pen.closePath()
    return Shape(pen.commands)
