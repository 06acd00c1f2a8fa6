"""A run of frames to H.264: only the pictures that differ are encoded.

The pictures come from anything that follows `Pictures`. Delivered is H.264 High 4:2:0 in BT.709, limited
range, without B pictures and with one reference, so that runs encoded apart join by putting them one
after the other.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Protocol

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.h264 import access_units, parameter_sets, skipped_picture

__all__ = ["Format", "Pictures", "Run", "encode_run", "frame_to_tick", "runs"]

Plane = npt.NDArray[np.uint8]
KEY_SECONDS = 2
PRESET = "veryfast"
QUALITY = "20"
ONE_REFERENCE = (
    "bframes=0:ref=1:weightp=0:scenecut=0:keyint=infinite:sliced-threads=0:rc-lookahead=0:mbtree=0:"
    "annexb=1:repeat-headers=1:qcomp=1:force-cfr=1"
)
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

    def planes(self, key: Hashable) -> tuple[Plane, Plane, Plane]:
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


def runs(changes: Sequence[int], frames: int, form: Format, count: int) -> list[Run]:
    """Cut a film into at most `count` runs at key frames, with about as many changes in each."""
    keys = range(0, frames, form.key_every)
    weight = np.zeros(len(keys))
    np.add.at(weight, np.minimum(np.asarray(changes, dtype=int) // form.key_every, len(keys) - 1), 1.0)
    load = np.cumsum(weight + 1.0)
    cuts = np.searchsorted(load, load[-1] * np.arange(1, count) / count) + 1
    firsts = sorted({0, *(int(keys[cut]) for cut in cuts if cut < len(keys))})
    return [Run(first, last) for first, last in zip(firsts, [*firsts[1:], frames], strict=True)]


def encoder(form: Format) -> av.VideoCodecContext:
    """An H.264 encoder with the settings every run and the file's header share."""
    codec = av.CodecContext.create("libx264", "w")
    assert isinstance(codec, av.VideoCodecContext)
    configure(codec, form)
    return codec


def configure(codec: av.VideoCodecContext, form: Format) -> None:
    """Give an encoder, alone or of a file's stream, the settings of a film."""
    codec.width, codec.height, codec.pix_fmt = form.width, form.height, "yuv420p"
    codec.time_base, codec.framerate = 1 / form.rate, form.rate
    codec.thread_count = 1
    codec.color_primaries = codec.color_trc = codec.colorspace = BT709
    codec.color_range = LIMITED_RANGE
    codec.options = {"preset": PRESET, "crf": QUALITY, "profile": "high", "x264-params": ONE_REFERENCE}


def to_frame(planes: tuple[Plane, Plane, Plane]) -> av.VideoFrame:
    """Planes as an encoder's frame (copied: the planes may be reused)."""
    height, width = planes[0].shape
    frame = av.VideoFrame(width, height, "yuv420p")
    for target, source in zip(frame.planes, planes, strict=True):
        rows = np.frombuffer(memoryview(target), np.uint8).reshape(-1, target.line_size)
        rows[: source.shape[0], : source.shape[1]] = source
    return frame


def encode_frames(
    pictures: Iterator[tuple[int, av.VideoFrame, bool]], form: Format, first: int
) -> dict[int, bytes]:
    """Encode (frame number, picture, is it a key frame); what comes out, by frame number."""
    codec = encoder(form)
    packets: list[av.Packet[av.VideoStream]] = []
    for number, frame, key in pictures:
        frame.pts, frame.time_base = number - first, codec.time_base
        frame.pict_type = av.video.frame.PictureType.I if key else av.video.frame.PictureType.NONE
        packets += codec.encode(frame)
    packets += codec.encode(None)
    return {(packet.pts or 0) + first: bytes(packet) for packet in packets}


@lru_cache(maxsize=4)
def stream_pattern(form: Format) -> tuple[bytes, tuple[bytes, ...]]:
    """The skipped picture and the parameter sets of a film's format, from a flat clip of two pictures."""
    shapes = ((form.height, form.width), *[(form.height // 2, form.width // 2)] * 2)
    grey = [np.full(shape, 128, np.uint8) for shape in shapes]
    frames = ((number, to_frame((grey[0], grey[1], grey[2])), number == 0) for number in range(2))
    flat = encode_frames(frames, form, 0)
    return skipped_picture(flat[1]), parameter_sets(flat[0])


def encode_run(pictures: Pictures, form: Format, run: Run) -> list[tuple[bytes, bool]]:
    """The access units of a run, one a frame, and which of them are key frames."""
    template, sets = stream_pattern(form)
    encoded = encode_frames(differing(pictures, form, run), form, run.first)
    return list(access_units(encoded, run.first, run.last, template, sets))


def differing(pictures: Pictures, form: Format, run: Run) -> Iterator[tuple[int, av.VideoFrame, bool]]:
    """The frames of a run that need encoding: key frames, and those whose key differs from the last."""
    keys = range(run.first, run.last, form.key_every)
    numbers = sorted({*keys, *(n for n in pictures.changes(form.rate) if run.first <= n < run.last)})
    shown: Hashable = None
    for number in numbers:
        key = pictures.key(frame_to_tick(number, form.rate))
        if number in keys or key != shown:
            yield number, to_frame(pictures.planes(key)), number in keys
        shown = key
