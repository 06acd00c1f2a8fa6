"""A run of frames to H.264: only what differs from the picture before is encoded.

The pictures come from anything that follows `Pictures`. Delivered is H.264 High 4:2:0 in BT.709, limited
range, without B pictures and with one reference, so that runs encoded apart join by putting them one
after the other. Where a picture differs it is coded from the picture itself, never from what was coded before:
errors do not add up, and equal pictures of key frames are encoded once.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise, starmap
from typing import Protocol

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.h264 import (
    Code,
    Place,
    frame_num_width,
    intra_slice,
    key_slice,
    picture_sets,
    skipped_slice,
)
from lessonmaker.video.strips import (
    BLOCK,
    GREY,
    PRESET,
    SETTINGS,
    SIDES,
    Planes,
    Strip,
    StripEncoder,
    changed_strips,
)

__all__ = ["Format", "Pictures", "Run", "encode_run", "frame_to_tick", "packed", "runs", "unpacked"]

KEY_SECONDS = 2
FIRST_OF_RUN = 2
BT709 = 1
LIMITED_RANGE = 1


class Pictures(Protocol):
    """What a film shows: `planes` of equal keys are equal; a key changes only at `changes`."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels, both even."""

    def changes(self, rate: Fraction) -> Sequence[int]:
        """The frame numbers at which the picture may differ from the one before."""

    def key(self, tick: int) -> Hashable:
        """What is to be seen at a tick."""

    def planes(self, key: Hashable) -> Planes:
        """Y (height, width), U and V (height/2, width/2) in BT.709 limited range; may be reused by the next call."""


@dataclass(frozen=True)
class Format:
    """The shape of a film: width and height in pixels, frames a second."""

    width: int
    height: int
    rate: Fraction

    @property
    def key_every(self) -> int:
        """Frames from one key frame to the next: two seconds at most."""
        return int(KEY_SECONDS * self.rate)


@dataclass(frozen=True)
class Run:
    """Frames first..last-1 of a film; `first` is a key frame."""

    first: int
    last: int


def frame_to_tick(frame: int, rate: Fraction) -> int:
    """The tick at which a frame is first seen (exact for the rates the tick was chosen for)."""
    return round(frame * TICKS_PER_SECOND / rate)


def runs(
    changes: Sequence[int], frames: int, form: Format, starts: Sequence[int] = (), most: int | None = None
) -> list[Run]:
    """Cut a film into runs, each of which begins with a key frame.

    A run begins at each of `starts` (where scenes begin) but the very last frame; one with more than `most` changes is
    cut again, at its own key frames. So a scene that has moved by whole frames is cut as before.
    """
    edges = sorted({0, *(start for start in starts if 0 < start < frames - 1), frames})
    return [
        run
        for first, last in pairwise(edges)
        for run in shortened(Run(first, last), np.asarray(changes, dtype=int), form, most)
    ]


def shortened(run: Run, changes: npt.NDArray[np.int_], form: Format, most: int | None) -> Iterator[Run]:
    """A run in parts at key frames, each with about as many changes, none with more than `most` if that can be."""
    keys = np.arange(run.first, run.last, form.key_every)
    before = np.searchsorted(changes, keys) - np.searchsorted(changes, run.first)
    total = np.searchsorted(changes, run.last) - np.searchsorted(changes, run.first)
    parts = 1 if most is None else max(1, -(-int(total) // most))
    cuts = {int(keys[at]) for part in range(1, parts) if (at := nearest(before, total * part / parts))}
    edges = [run.first, *sorted(cut for cut in cuts if cut < run.last - 1), run.last]
    return starmap(Run, pairwise(edges))


def nearest(ascending: npt.NDArray[np.int_], wanted: float) -> int:
    """The index of the value nearest to the wanted one."""
    return int(np.argmin(np.abs(ascending - wanted)))


def configure(codec: av.VideoCodecContext, form: Format) -> None:
    """Give an encoder, alone or of a file's stream, the settings of a film."""
    codec.width, codec.height, codec.pix_fmt = form.width, form.height, "yuv420p"
    codec.time_base, codec.framerate = 1 / form.rate, form.rate
    codec.thread_count = 1
    codec.color_primaries = codec.color_trc = codec.colorspace = BT709
    codec.color_range = LIMITED_RANGE
    codec.options = {"preset": PRESET, "profile": "high", "x264-params": f"{SETTINGS}:keyint=infinite"}


@lru_cache(maxsize=4)
def film_sets(form: Format) -> tuple[bytes, bytes]:
    """The sequence and picture parameter sets of a film, as its header has them."""
    codec = av.CodecContext.create("libx264", "w")
    assert isinstance(codec, av.VideoCodecContext)
    configure(codec, form)
    flat = av.VideoFrame(form.width, form.height, "yuv420p")
    for plane in flat.planes:
        plane.update(bytes([GREY]) * plane.buffer_size)
    return picture_sets(b"".join(bytes(packet) for packet in [*codec.encode(flat), *codec.encode(None)]))


def encode_run(pictures: Pictures, form: Format, run: Run) -> list[tuple[bytes, bool]]:
    """The access units of a run, one a frame, and which of them are key frames."""
    coder = Coder(form)
    found: list[tuple[bytes, bool]] = []
    for number, planes in differing(pictures, form, run):
        found += ((coder.same(), False) for _ in range(run.first + len(found), number))
        into = number - run.first
        found.append(coder.picture(planes, into, into % form.key_every == 0))
    return found + [(coder.same(), False) for _ in range(run.first + len(found), run.last)]


def differing(pictures: Pictures, form: Format, run: Run) -> Iterator[tuple[int, Planes]]:
    """The frames of a run that need encoding: key frames, and those whose key differs from the last."""
    keys = range(run.first, run.last, form.key_every)
    numbers = sorted({*keys, *(n for n in pictures.changes(form.rate) if run.first <= n < run.last)})
    shown: Hashable = None
    for number in numbers:
        key = pictures.key(frame_to_tick(number, form.rate))
        if number in keys or key != shown:
            yield number, pictures.planes(key)
        shown = key


def key_picture(frame: int) -> int:
    """The `idr_pic_id` of a key frame, counted from its run's first: no two that follow each other have the same."""
    return frame % 2 if frame else FIRST_OF_RUN


def packed(units: Sequence[tuple[bytes, bool]]) -> bytes:
    """Access units in one: how many, for each its length and whether it is a key frame, then all of them."""
    lengths = np.array([len(data) << 1 | key for data, key in units], "<u4")
    return b"".join((len(units).to_bytes(4, "little"), lengths.tobytes(), *(data for data, _ in units)))


def unpacked(run: bytes) -> Iterator[tuple[bytes, bool]]:
    """What was packed: access units, and which are key frames."""
    count = int.from_bytes(run[:4], "little")
    at = 4 + 4 * count
    for length in np.frombuffer(run, "<u4", count, 4).tolist():
        yield run[at : at + (length >> 1)], bool(length & 1)
        at += length >> 1


class Coder:
    """Puts the pictures of a run together from slices, one after the other, beginning with a key frame."""

    def __init__(self, form: Format) -> None:
        self.size = (-(-form.height // BLOCK), -(-form.width // BLOCK))
        sequence_set, self.picture_set = film_sets(form)
        self.number_width = frame_num_width(sequence_set)
        self.encoders: dict[int, StripEncoder] = {}
        self.number = 0
        self.shown, self.before, self.last_key = (self.blank() for _ in range(3))
        self.key_rows: dict[int, Code] = {}

    def blank(self) -> Planes:
        """Planes of whole macroblocks."""
        rows, columns = self.size
        luma, blue, red = (np.zeros((rows * side, columns * side), np.uint8) for side in SIDES)
        return luma, blue, red

    def picture(self, planes: Planes, frame: int, due: bool) -> tuple[bytes, bool]:
        """A picture that may differ from the one before, and whether it is a key frame.

        It is a key frame where that is due (`frame` counts from the run's first), and where its very first
        macroblock differs: some readers take any picture that begins with an intra slice for a key frame.
        """
        self.take(planes)
        strips = changed_strips(self.before, self.shown)
        if due or (strips and strips[0].first_of_all):
            return self.key(frame), True
        self.number += 1
        return b"".join(self.slices(self.encoded(strips))), False

    def key(self, frame: int) -> bytes:
        """The picture shown, to be decoded by itself. Rows are encoded that differ from the last key frame's."""
        self.number = 0
        rows, columns = self.size
        differ = (
            {strip.row for strip in changed_strips(self.last_key, self.shown)}
            if self.key_rows
            else range(rows)
        )
        strips = [Strip(row, 0, columns) for row in sorted(differ)]
        self.key_rows |= {strip.row: code for strip, code in self.encoded(strips).items()}
        for target, source in zip(self.last_key, self.shown, strict=True):
            target[:] = source
        return b"".join(
            key_slice(self.place(row * columns), self.key_rows[row], key_picture(frame))
            for row in range(rows)
        )

    def same(self) -> bytes:
        """The picture before, once more."""
        self.number += 1
        return b"".join(self.slices({}))

    def slices(self, coded: dict[Strip, Code]) -> Iterator[bytes]:
        """The slices of a picture: coded strips in order, and between them what stays."""
        rows, columns = self.size
        done = 0
        for strip, code in coded.items():
            first = strip.row * columns + strip.column
            if first > done:
                yield skipped_slice(self.place(done), first - done)
            yield intra_slice(self.place(first), code)
            done = first + strip.width
        if done < rows * columns:
            yield skipped_slice(self.place(done), rows * columns - done)

    def place(self, first: int) -> Place:
        """A place in the picture under way, by its first macroblock."""
        return Place(first, self.number, self.number_width)

    def take(self, planes: Planes) -> None:
        """Make a picture the one shown; the one before is kept. Edges are continued to whole macroblocks."""
        self.shown, self.before = self.before, self.shown
        for target, source in zip(self.shown, planes, strict=True):
            height, width = source.shape
            target[:height, :width] = source
            target[:height, width:] = source[:, -1:]
            target[height:] = target[height - 1]

    def encoded(self, strips: Sequence[Strip]) -> dict[Strip, Code]:
        """Strips of the picture shown, in the order given, with their codes."""
        coded: dict[Strip, Code] = {}
        for width in {strip.width for strip in strips}:
            of_width = [strip for strip in strips if strip.width == width]
            if width not in self.encoders:
                self.encoders[width] = StripEncoder(width, self.picture_set)
            coded |= zip(of_width, self.encoders[width].encode(self.shown, of_width), strict=True)
        return {strip: coded[strip] for strip in strips}
