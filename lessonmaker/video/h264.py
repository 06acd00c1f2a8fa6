"""Skipped pictures: an H.264 stream of constant rate in which only the pictures that differ are encoded.

A lesson shows one picture for tenths of a second to many seconds. The encoder is given only the pictures
that differ; between them stand P pictures in which every macroblock is skipped (ITU-T H.264 7.3.4: one
`mb_skip_run` over the whole picture). Such a picture holds no picture data, so one template, encoded once from
a flat clip, serves everywhere; only its `frame_num` (7.3.3) is counted anew. This holds for streams without B
pictures and with one reference, whose output order is their decoding order (`pic_order_cnt_type` 2).

Byte strings are Annex B byte streams; a unit is a NAL unit without its start code.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

__all__ = ["access_units", "parameter_sets", "skipped_picture"]

SLICE, IDR_SLICE, SEQUENCE_SET, PICTURE_SET = 1, 5, 7, 8
HIGH_PROFILES = (100, 110, 122, 244)
SLICE_HEADER_BYTES = 16
START_CODE = b"\0\0\0\1"
NEEDS_ESCAPE = re.compile(rb"\0\0(?=[\0-\3])")


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
    """nal_unit_type (7.4.1)."""
    return unit[0] & 31


def parameter_sets(stream: bytes) -> tuple[bytes, ...]:
    """The sequence and picture parameter sets that stand in a byte stream."""
    return tuple(unit for unit in units(stream) if unit_type(unit) in (SEQUENCE_SET, PICTURE_SET))


def frame_num_width(sequence_set: bytes) -> int:
    """The bits of `frame_num`, from a sequence parameter set (7.3.2.1.1).

    Raises:
        ValueError: the stream's output order is not its decoding order, or it has scaling matrices.
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


def renumbered(unit: bytes, width: int, frame_num: int) -> bytes:
    """The same slice with another `frame_num`; only its header differs."""
    body = unescape(unit[1:])
    head = body[:SLICE_HEADER_BYTES]
    bits = Bits(head)
    for _ in ("first_mb_in_slice", "slice_type", "pic_parameter_set_id"):
        bits.golomb()
    shift = 8 * len(head) - bits.at - width
    mask = ((1 << width) - 1) << shift
    value = (bits.value & ~mask) | ((frame_num % (1 << width)) << shift)
    return unit[:1] + escape(value.to_bytes(len(head), "big") + body[SLICE_HEADER_BYTES:])


def skipped_picture(flat: bytes) -> bytes:
    """The template: the P slice of the second picture of a flat clip.

    Raises:
        ValueError: the byte stream holds no P slice.
    """
    for unit in units(flat):
        if unit_type(unit) == SLICE:
            return unit
    raise ValueError("the flat clip holds no P slice")


def access_units(
    encoded: Mapping[int, bytes], first: int, last: int, template: bytes, sets: Iterable[bytes]
) -> Iterator[tuple[bytes, bool]]:
    """One access unit for each frame first..last-1, and whether it is a key frame.

    Args:
        encoded: frame number -> what the encoder gave for it; `first` must be there and be a key frame.
        first: the first frame number.
        last: one past the last frame number.
        template: the P slice of a skipped picture, of a stream made with the same settings.
        sets: that stream's parameter sets (they give the width of frame_num).
    """
    width = frame_num_width(next(unit for unit in sets if unit_type(unit) == SEQUENCE_SET))
    number = 0
    for frame in range(first, last):
        slices = picture_units(encoded[frame]) if frame in encoded else [template]
        key = any(unit_type(unit) == IDR_SLICE for unit in slices)
        number = 0 if key else number + 1
        numbered = (renumbered(unit, width, number) if unit_type(unit) == SLICE else unit for unit in slices)
        yield b"".join(START_CODE + unit for unit in numbered), key


def picture_units(stream: bytes) -> list[bytes]:
    """The slices alone: parameter sets stand once in the file's header."""
    return [unit for unit in units(stream) if unit_type(unit) in (SLICE, IDR_SLICE)]
