"""Strips of a picture to intra slices: each is one macroblock high and coded on its own.

Strips of one width are stacked into a small picture of fixed size and encoded together, a slice a strip.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.video.h264 import Code, frame_num_width, picture_sets, slice_codes

__all__ = [
    "BLOCK",
    "GREY",
    "PRESET",
    "SETTINGS",
    "SIDES",
    "Planes",
    "Strip",
    "StripEncoder",
    "changed_strips",
]

Plane = npt.NDArray[np.uint8]
Planes = tuple[Plane, Plane, Plane]
Changed = npt.NDArray[np.bool_]

BLOCK = 16
SIDES = (BLOCK, BLOCK // 2, BLOCK // 2)
NARROWEST = 8
STACKED = 16
GREY = 128
PRESET = "ultrafast"
SETTINGS = (
    "qp=22:ipratio=1:cabac=0:no-deblock=1:8x8dct=1:bframes=0:ref=1:weightp=0:scenecut=0:sliced-threads=0:"
    "rc-lookahead=0:mbtree=0:annexb=1:repeat-headers=1:force-cfr=1"
)


@dataclass(frozen=True)
class Strip:
    """A stretch of one row of macroblocks; all in macroblocks."""

    row: int
    column: int
    width: int

    @property
    def first_of_all(self) -> bool:
        """Whether it begins in the picture's top left corner."""
        return self.row == self.column == 0


def widths(columns: int) -> list[int]:
    """The widths strips come in, in macroblocks: doubling, the last the picture's own."""
    found = [NARROWEST]
    while found[-1] < columns:
        found.append(2 * found[-1])
    return [*(width for width in found if width < columns), columns]


def changed_blocks(before: Planes, after: Planes) -> Changed:
    """Which macroblocks differ, (rows, columns). The planes are contiguous and whole macroblocks in size."""
    rows, columns = before[1].shape[0] // SIDES[1], before[1].shape[1] // SIDES[1]
    differs = np.zeros((rows, columns), np.bool_)
    for one, other, side in zip(before, after, SIDES, strict=True):
        eights = one.view(np.uint64) != other.view(np.uint64)
        by_row = eights.reshape(rows, side, -1).any(axis=1)
        parts = by_row.shape[1] // columns
        for part in range(parts):
            differs |= by_row[:, part::parts]
    return differs


def changed_strips(before: Planes, after: Planes) -> list[Strip]:
    """One strip for each row of macroblocks that differs, in order."""
    changed = changed_blocks(before, after)
    columns = changed.shape[1]
    sizes = np.array(widths(columns))
    rows = np.flatnonzero(changed.any(axis=1))
    firsts = changed[rows].argmax(axis=1)
    lasts = columns - changed[rows, ::-1].argmax(axis=1)
    wide = sizes[np.searchsorted(sizes, lasts - firsts)]
    starts = np.minimum(firsts, columns - wide)
    return [Strip(*map(int, found)) for found in zip(rows, starts, wide, strict=True)]


class StripEncoder:
    """Encodes strips of one width."""

    def __init__(self, width: int, picture_set: bytes) -> None:
        """Make ready.

        Args:
            width: of the strips, in macroblocks.
            picture_set: the picture parameter set of the film that the slices go into.

        Raises:
            ValueError: the encoder does not follow the film's picture parameter set.
        """
        self.width, self.count = width, 0
        self.codec = av.CodecContext.create("libx264", "w")
        assert isinstance(self.codec, av.VideoCodecContext)
        self.codec.width, self.codec.height, self.codec.pix_fmt = BLOCK * width, BLOCK * STACKED, "yuv420p"
        self.codec.time_base, self.codec.thread_count = Fraction(1, 30), 1
        params = f"{SETTINGS}:keyint=1:slices={STACKED}"
        self.codec.options = {"preset": PRESET, "profile": "high", "x264-params": params}
        self.frame = av.VideoFrame(self.codec.width, self.codec.height, "yuv420p")
        self.stacks = [
            np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
            for plane in self.frame.planes
        ]
        self.clear(0)
        sequence_set, own_picture_set = picture_sets(self.encode_stack())
        if own_picture_set != picture_set:
            raise ValueError("strips and film have different picture parameter sets")
        self.number_width = frame_num_width(sequence_set)

    def clear(self, first: int) -> None:
        """Make the stack flat from its strip `first` on."""
        for stack, side in zip(self.stacks, SIDES, strict=True):
            stack[first * side :] = GREY

    def encode(self, planes: Planes, strips: Sequence[Strip]) -> Iterator[Code]:
        """The strips of a picture as codes of intra slices, in order."""
        for start in range(0, len(strips), STACKED):
            some = strips[start : start + STACKED]
            for at, strip in enumerate(some):
                self.put(planes, at, strip)
            self.clear(len(some))
            yield from slice_codes(self.encode_stack(), len(some), self.number_width)

    def put(self, planes: Planes, at: int, strip: Strip) -> None:
        """Copy a strip into the stack."""
        for stack, plane, side in zip(self.stacks, planes, SIDES, strict=True):
            left, top = strip.column * side, strip.row * side
            size = self.width * side
            stack[at * side : (at + 1) * side, :size] = plane[top : top + side, left : left + size]

    def encode_stack(self) -> bytes:
        """The stack as it is, as a key frame."""
        self.frame.pts, self.count = self.count, self.count + 1
        return b"".join(bytes(packet) for packet in self.codec.encode(self.frame))
