"""A picture with cover laid over the planes of a film's frames, in the film's own coding of colours.

Only the rows and columns under the picture are touched; what it covers wholly is replaced, the rest is mixed:
new = C + (1 - a) old, with C premultiplied by the cover a (Porter and Duff 1984, "over"). Red, green and blue become
Y'CbCr by the matrices of ITU-R BT.601-7 (2.5.1) and BT.709-6 (3.2 to 3.5), limited or full range, 8 or 10 bits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias, cast

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.picture.raster import Area
from lessonmaker.video.footage import Colours, Turn

__all__ = ["Coding", "Covering", "coding_of", "fitted", "flat_frame", "mean", "planes_of", "seen"]

Plane: TypeAlias = npt.NDArray[Any]
BLACK_AND_WHITE = {True: (0, 255), False: (16, 235)}  # of eight bits, by whether the range is full
CHROMA_SPAN = {True: 255, False: 224}
WEIGHTS = {True: (0.299, 0.114), False: (0.2126, 0.0722)}  # of red and blue, by whether the matrix is BT.601
WHOLE = 255
CHROMA = (1, 2)


@dataclass(frozen=True)
class Coding:
    """How a frame's planes hold its colours: bits a sample, pixels a chroma sample across and down, matrix, range."""

    format: str
    bits: int
    across: int
    down: int
    bt601: bool
    full: bool

    @property
    def matrix(self) -> npt.NDArray[np.float64]:
        """From red, green, blue (0 to 255) and cover (0 to 1) to Y, Cb, Cr, (3, 4): the last column is the offset."""
        red, blue = WEIGHTS[self.bt601]
        luma = np.array([red, 1 - red - blue, blue])
        rows = np.array(
            [
                luma,
                (np.array([0, 0, 1]) - luma) / (2 * (1 - blue)),
                (np.array([1, 0, 0]) - luma) / (2 * (1 - red)),
            ]
        )
        black, white = BLACK_AND_WHITE[self.full]
        spans = np.array([white - black, CHROMA_SPAN[self.full], CHROMA_SPAN[self.full]])
        most = (1 << self.bits) - 1
        scale = most / WHOLE if self.full else float(1 << self.bits - 8)
        middle = float(1 << self.bits - 1)
        offsets = np.array([black * scale, middle, middle])
        return np.column_stack([rows * (spans * scale / WHOLE)[:, None], offsets])

    @property
    def kind(self) -> type[np.unsignedinteger[Any]]:
        """The type of a sample."""
        return np.uint8 if self.bits == 8 else np.uint16

    def step(self, plane: int) -> tuple[int, int]:
        """The pixels of a sample of a plane, across and down."""
        return (self.across, self.down) if plane in CHROMA else (1, 1)


def coding_of(format_: str, colours: Colours) -> Coding:
    """The coding of a planar pixel format."""
    form = av.VideoFormat(format_, 16, 16)
    across, down = 16 // form.chroma_width(16), 16 // form.chroma_height(16)
    return Coding(format_, form.components[0].bits, across, down, colours.bt601, colours.full)


def planes_of(frame: av.VideoFrame, coding: Coding) -> list[Plane]:
    """The frame's planes as arrays on its own memory."""
    found = []
    for plane in frame.planes:
        rows = np.frombuffer(cast(Any, plane), coding.kind).reshape(plane.height, -1)
        found.append(rows[:, : plane.width])
    return found


def seen(plane: Plane, turn: Turn) -> Plane:
    """A coded plane as it is seen: a view on the same memory."""
    if turn.sideways:
        return plane.T[:: turn.b, :: turn.c]
    return plane[:: turn.d, :: turn.a]


def flat_frame(width: int, height: int, coding: Coding, colour: Sequence[int]) -> av.VideoFrame:
    """A frame of one colour (red, green, blue)."""
    frame = av.VideoFrame(width, height, coding.format)
    values = coding.matrix @ np.array([*colour, 1.0])
    for plane, value in zip(planes_of(frame, coding), values, strict=True):
        plane[:] = round(float(value))
    return frame


class Covering:
    """A picture with cover, kept as planes that are ready to be laid over frames.

    The arrays lie in memory as the film's planes do, so that laying them over a turned film reads and writes in order.
    """

    def __init__(self, place: Area, coding: Coding, turn: Turn) -> None:
        """Nothing yet, at a place of the picture as it is seen (edges on whole chroma samples)."""
        self.place, self.coding, self.turn = place, coding, turn
        self.matrix = coding.matrix.astype(np.float32)
        self.opaque = False
        self.values = [self.blank(plane, coding.kind) for plane in range(3)]
        self.through = [self.blank(plane, np.uint8) for plane in range(3)]

    def blank(self, plane: int, kind: type[np.unsignedinteger[Any]]) -> Plane:
        """An array of the place's samples as they are seen."""
        across, down = self.coding.step(plane)
        shape = self.place.height // down, self.place.width // across
        return seen(np.zeros(shape[::-1] if self.turn.sideways else shape, kind), self.turn)

    def change(self, pixels: npt.NDArray[np.uint8], areas: Iterable[Area]) -> None:
        """Take over some areas (on whole chroma samples) of a picture.

        Args:
            pixels: (height, width, 4): red, green and blue premultiplied by the cover, and the cover.
            areas: where it differs from what is here.
        """
        for area in areas:
            part = pixels[area.top : area.bottom, area.left : area.right].astype(np.float32)
            part[:, :, 3] *= np.float32(1 / WHOLE)
            for plane in range(3):
                self.change_plane(plane, part, area)
        self.opaque = not self.through[0].any()

    def change_plane(self, plane: int, part: npt.NDArray[np.float32], area: Area) -> None:
        """Take over an area in one plane."""
        across, down = self.coding.step(plane)
        value, cover = part @ self.matrix[plane], part[:, :, 3]
        rows = slice(area.top // down, area.bottom // down)
        columns = slice(area.left // across, area.right // across)
        self.values[plane][rows, columns] = np.rint(mean(value, across, down))
        self.through[plane][rows, columns] = np.rint((1 - mean(cover, across, down)) * WHOLE)

    def lay(self, planes: Sequence[Plane]) -> None:
        """Lay it over a frame's coded planes, in place."""
        for number, plane in enumerate(planes):
            across, down = self.coding.step(number)
            rows = slice(self.place.top // down, self.place.bottom // down)
            columns = slice(self.place.left // across, self.place.right // across)
            target = seen(plane, self.turn)[rows, columns]
            if self.opaque:
                target[:] = self.values[number]
            else:
                self.mix(target, self.values[number], self.through[number])

    def mix(self, target: Plane, values: Plane, through: Plane) -> None:
        """Lay samples over others, in place."""
        wide = np.uint16 if self.coding.bits == 8 else np.uint32
        mixed: Plane = target.astype(wide)
        mixed *= through
        mixed += wide(WHOLE // 2)
        mixed //= wide(WHOLE)
        mixed += values
        np.minimum(mixed, wide((1 << self.coding.bits) - 1), out=mixed)
        target[:] = mixed


def mean(values: npt.NDArray[np.float32], across: int, down: int) -> npt.NDArray[np.float32]:
    """The mean of each block of pixels."""
    if (across, down) == (1, 1):
        return values
    height, width = values.shape
    blocks = values.reshape(height // down, down, width // across, across)
    return cast(npt.NDArray[np.float32], blocks.mean(axis=(1, 3), dtype=np.float32))


def fitted(
    pixels: npt.NDArray[np.uint8], areas: list[Area], place: Area
) -> tuple[npt.NDArray[np.uint8], list[Area]]:
    """A premultiplied picture and where it changed, resampled where the pixels of its place are not square."""
    if pixels.shape[:2] == (place.height, place.width):
        return pixels, areas
    return stretched(pixels, place.width, place.height), [Area(0, 0, place.width, place.height)]


def stretched(pixels: npt.NDArray[np.uint8], width: int, height: int) -> npt.NDArray[np.uint8]:
    """A premultiplied picture in other pixels."""
    from PIL import Image

    channels = [Image.fromarray(np.ascontiguousarray(pixels[:, :, place])) for place in range(4)]
    sized = [np.asarray(one.resize((width, height), Image.Resampling.BICUBIC)) for one in channels]
    cover = sized[3]
    return np.stack([*(np.minimum(one, cover) for one in sized[:3]), cover], axis=2)
