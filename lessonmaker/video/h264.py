"""Slices of H.264 written anew: unchanged parts of a picture as skipped, changed parts as coded elsewhere.

A lesson shows one picture for tenths of a second to many seconds, and then only a part of it changes. A film's
pictures are therefore put together from slices (ITU-T H.264 7.3.3, 7.3.4). What stays is a P slice whose
macroblocks are all skipped: a header and one `mb_skip_run`. What changes is an intra slice, coded on its own
as a row of a small picture; only its header is written anew, because the data of an intra slice do not
depend on where in a picture it lies. Without deblocking no slice touches the pixels of another, so every
pixel of the film is what the small picture held.

This holds for streams in CAVLC (`entropy_coding_mode_flag` 0: a slice may begin and end at any bit), without
B pictures and with one reference, whose output order is their decoding order (`pic_order_cnt_type` 2).

Byte strings are Annex B byte streams; a unit is a NAL unit without its start code.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

__all__ = [
    "Code",
    "Place",
    "frame_num_width",
    "intra_slice",
    "key_slice",
    "picture_sets",
    "skipped_slice",
    "slice_codes",
]

SLICE, IDR_SLICE, SEQUENCE_SET, PICTURE_SET = 1, 5, 7, 8
HIGH_PROFILES = (100, 110, 122, 244)
REFERENCE, KEY_REFERENCE = 2 << 5, 3 << 5
P_SLICE, I_SLICE, ONLY_I_SLICES = 0, 2, 7
NO_DEBLOCKING = 1
SLICE_HEADER_BYTES = 16
START_CODE = b"\0\0\0\1"
NEEDS_ESCAPE = re.compile(rb"\0\0(?=[\0-\3])")


@dataclass(frozen=True)
class Code:
    """A string of bits: its value as a number, and its length in bits."""

    value: int
    length: int


@dataclass(frozen=True)
class Place:
    """Where a slice stands: its first macroblock, its picture's `frame_num`, and the bits that number takes."""

    first: int
    number: int
    width: int

    @property
    def number_code(self) -> Code:
        """`frame_num`, counted modulo its range."""
        return Code(self.number % (1 << self.width), self.width)


STOP = Code(1, 1)
NOTHING_MARKED = Code(0, 1)
NO_REORDERING = Code(0, 2)
NO_LONG_TERM = Code(0, 2)


class Bits:
    """Reads a byte string bit by bit."""

    def __init__(self, data: bytes) -> None:
        self.value = int.from_bytes(data, "big")
        self.length = 8 * len(data)
        self.at = 0

    def fixed(self, count: int) -> int:
        """An unsigned number of `count` bits, u(n)."""
        self.at += count
        return (self.value >> (self.length - self.at)) & ((1 << count) - 1)

    def golomb(self) -> int:
        """An unsigned Exp-Golomb number, ue(v) (9.1)."""
        zeros = 0
        while not self.fixed(1):
            zeros += 1
        return (1 << zeros) - 1 + (self.fixed(zeros) if zeros else 0)


def golomb_code(value: int) -> Code:
    """An unsigned Exp-Golomb number, ue(v) (9.1)."""
    return Code(value + 1, 2 * (value + 1).bit_length() - 1)


def unescape(data: bytes) -> bytes:
    """Drop the emulation prevention bytes (7.4.1)."""
    return data.replace(b"\0\0\3", b"\0\0")


def escape(data: bytes) -> bytes:
    """Put the emulation prevention bytes in (7.4.1)."""
    return NEEDS_ESCAPE.sub(b"\0\0\3", data)


def units(stream: bytes) -> list[bytes]:
    """The NAL units of an Annex B byte stream (a unit never ends in a zero byte)."""
    return [unit.rstrip(b"\0") for unit in stream.split(b"\0\0\1")[1:]]


def unit_type(unit: bytes) -> int:
    """The `nal_unit_type` of a unit (7.3.1)."""
    return unit[0] & 31


def write_unit(header: int, codes: Iterable[Code]) -> bytes:
    """A unit with its start code; the last code ends in the stop bit."""
    value = length = 0
    for code in codes:
        value, length = (value << code.length) | code.value, length + code.length
    empty = -length % 8
    body = (value << empty).to_bytes((length + empty) // 8, "big")
    return START_CODE + bytes([header]) + escape(body)


def skipped_slice(place: Place, count: int) -> bytes:
    """A P slice of `count` macroblocks that show what the picture before showed."""
    head = (golomb_code(place.first), golomb_code(P_SLICE), golomb_code(0), place.number_code)
    same_quantiser = golomb_code(0)
    tail = (same_quantiser, golomb_code(NO_DEBLOCKING), golomb_code(count), STOP)
    return write_unit(REFERENCE | SLICE, (*head, NO_REORDERING, NOTHING_MARKED, *tail))


def intra_slice(place: Place, coded: Code) -> bytes:
    """An intra slice in a picture that also holds skipped slices."""
    head = (golomb_code(place.first), golomb_code(I_SLICE), golomb_code(0), place.number_code)
    return write_unit(REFERENCE | SLICE, (*head, NOTHING_MARKED, coded))


def key_slice(place: Place, coded: Code, picture: int) -> bytes:
    """An intra slice of a key frame (an IDR picture); `picture` is its `idr_pic_id`, another than its neighbour's."""
    head = (golomb_code(place.first), golomb_code(ONLY_I_SLICES), golomb_code(0), place.number_code)
    return write_unit(KEY_REFERENCE | IDR_SLICE, (*head, golomb_code(picture), NO_LONG_TERM, coded))


def slice_codes(stream: bytes, count: int, width: int) -> list[Code]:
    """What follows the place in the first slices of a key frame: quantiser, deblocking, macroblocks, stop bit.

    Args:
        stream: the key frame.
        count: how many slices.
        width: the bits `frame_num` takes there.
    """
    slices = (unit for unit in units(stream) if unit_type(unit) == IDR_SLICE)
    return [slice_code(unit, width) for unit in islice(slices, count)]


def slice_code(unit: bytes, width: int) -> Code:
    """What follows the place in one slice of a key frame."""
    body = unescape(unit[1:])
    head = Bits(body[:SLICE_HEADER_BYTES])
    for _ in ("first_mb_in_slice", "slice_type", "pic_parameter_set_id"):
        head.golomb()
    head.fixed(width)
    head.golomb()
    head.fixed(NO_LONG_TERM.length)
    length = 8 * len(body) - head.at
    value = int.from_bytes(body, "big") & ((1 << length) - 1)
    unused = (value & -value).bit_length() - 1
    return Code(value >> unused, length - unused)


def picture_sets(stream: bytes) -> tuple[bytes, bytes]:
    """The sequence and the picture parameter set of a stream.

    Raises:
        ValueError: there are none.
    """
    found = {unit_type(unit): unit for unit in units(stream)}
    if SEQUENCE_SET not in found or PICTURE_SET not in found:
        raise ValueError("the stream holds no parameter sets")
    return found[SEQUENCE_SET], found[PICTURE_SET]


def frame_num_width(sequence_set: bytes) -> int:
    """How many bits `frame_num` takes (7.3.2.1.1).

    Raises:
        ValueError: the stream's pictures are reordered, or it has scaling matrices.
    """
    bits = Bits(unescape(sequence_set[1:]))
    profile = bits.fixed(8)
    bits.fixed(16)
    bits.golomb()
    if profile in HIGH_PROFILES:
        for _ in range(3):
            bits.golomb()
        bits.fixed(1)
        if bits.fixed(1):
            raise ValueError("scaling matrices are not expected")
    width = bits.golomb() + 4
    if bits.golomb() != 2:
        raise ValueError("pic_order_cnt_type must be 2: encode without B pictures")
    return width
