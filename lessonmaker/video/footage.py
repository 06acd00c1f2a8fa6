"""Films as they come from cameras, phones and screen recorders: what they are, and their frames with exact times.

Read through FFmpeg (PyAV). Times are in seconds from the film's start (the container's, which sound and picture share),
exact fractions of the stream's own time base: nothing is assumed of a rate, so a variable one stays what it is.
Code numbers of colour are those of ITU-T H.273.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, cast

import av
import numpy as np

from lessonmaker.faults import Fault, MaterialError, Place, nearest_file
from lessonmaker.script.pins import clock_text

__all__ = [
    "Colours",
    "Footage",
    "Turn",
    "frame_times",
    "open_film",
    "read_footage",
    "refuse_broken",
    "timed_frames",
    "wanted_format",
]

BT709, UNSPECIFIED = 1, 2
BT601 = (5, 6)  # 625 and 525 lines
BT2020 = (9, 10)
FULL_RANGE = 2
HDR = {16: "PQ", 18: "HLG"}
# Untagged pictures of no more lines are BT.601, as players take them (common practice, no source).
HIGHEST_SD = 576
USUAL_RATE = Fraction(30)
IDENTITY = (1, 0, 0, 1)
RIGHT_TURNS = frozenset({0, 1})
MOST_LOST_S = 1.0  # a film that ends so much before its head says is broken
MICROSECONDS = 1_000_000
KEPT_FORMATS = (
    *("yuv420p", "yuv422p", "yuv444p", "yuvj420p", "yuvj422p", "yuvj444p"),
    *("yuv420p10le", "yuv422p10le", "yuv444p10le"),
)
NEAREST_FORMAT = {
    "nv12": "yuv420p",
    "nv21": "yuv420p",
    "p010le": "yuv420p10le",
    "yuv420p12le": "yuv420p10le",
    "yuv422p12le": "yuv422p10le",
    "yuv444p12le": "yuv444p10le",
}


@dataclass(frozen=True)
class Colours:
    """How a film codes its colours: code numbers as in its stream, and the matrix that counts where it says none."""

    primaries: int
    transfer: int
    matrix: int
    range: int
    bt601: bool

    @property
    def full(self) -> bool:
        """Whether values use all of their range."""
        return self.range == FULL_RANGE


@dataclass(frozen=True)
class Turn:
    """How the coded picture is turned and mirrored to be seen: the upper left of its display matrix, as signs.

    A point (x, y) of the coded picture is seen at (a x + c y, b x + d y), each counted from the edge it runs away from.
    """

    a: int = 1
    b: int = 0
    c: int = 0
    d: int = 1
    matrix: tuple[int, ...] | None = None

    @property
    def sideways(self) -> bool:
        """Whether width and height change places."""
        return self.a == 0


@dataclass(frozen=True)
class Footage:
    """A film: the size of its coded picture, how it is seen, how fast, how long, with which sound.

    `rate` is its frames a second on average; `seconds` counts from its start; `aspect` is that of a pixel;
    `sounds` are the codecs of its sound tracks; `timecode` that of its first frame, where it has one.
    """

    path: Path
    width: int
    height: int
    format: str
    turn: Turn
    aspect: Fraction
    colours: Colours
    rate: Fraction
    seconds: Fraction
    sounds: tuple[str, ...]
    timecode: str | None = None

    @property
    def seen_size(self) -> tuple[int, int]:
        """Width and height as it is seen, in coded pixels."""
        return (self.height, self.width) if self.turn.sideways else (self.width, self.height)

    @property
    def seen_aspect(self) -> Fraction:
        """The width of a pixel as it is seen, as a share of its height."""
        return 1 / self.aspect if self.turn.sideways else self.aspect


@contextmanager
def open_film(path: Path) -> Iterator[av.container.InputContainer]:
    """A film, opened; what FFmpeg cannot read is said in one message.

    Raises:
        MaterialError: it is not there, no film, broken, or without picture or sound.
    """
    if path.is_dir():
        raise fault(path, "is a folder, not a film", "name the film in it")
    if not path.is_file():
        raise fault(path, f"does not exist{nearest_file(path)}", "check the name and the folder")
    if not path.stat().st_size:
        raise fault(path, "is empty", "copy it from the camera again")
    try:
        container = av.open(str(path))
    except av.error.FFmpegError as error:
        raise fault(
            path, "is not a film that can be read", "copy or export it again, as MP4, MOV or MKV"
        ) from error
    with container:
        if not container.streams.video or is_cover(container):
            raise fault(path, "holds no picture", "a sound recording is a take: name it in a lesson script")
        if not container.streams.audio:
            raise fault(
                path, "has no sound track", "the score is fitted to what is heard: export it with its sound"
            )
        yield container


def fault(path: Path, what: str, todo: str) -> MaterialError:
    """One message on a film."""
    return MaterialError(Fault(f"{path.name} {what}", todo, Place(path)))


def is_cover(container: av.container.InputContainer) -> bool:
    """Whether the only picture is the cover of a sound recording."""
    return bool(container.streams.video[0].disposition & av.stream.Disposition.attached_pic)


def read_footage(path: Path) -> Footage:
    """What a film is; its first frame is decoded for it.

    Raises:
        MaterialError: it cannot be read, has no picture or no sound, is interlaced, in HDR, or turned askew.
    """
    with open_film(path) as container:
        stream = container.streams.video[0]
        try:
            frame = next(container.decode(stream), None)
        except av.error.FFmpegError as error:
            raise fault(path, "has a picture that cannot be decoded", "export it again") from error
        if frame is None:
            raise fault(path, "holds no frame", "export it again")
        colours = read_colours(stream, frame, path)
        if frame.interlaced_frame:
            raise fault(
                path, "is interlaced", "make it progressive first, for example in the camera's own program"
            )
        aspect = stream.sample_aspect_ratio
        return Footage(
            path=path,
            width=frame.width,
            height=frame.height,
            format=frame.format.name,
            turn=read_turn(frame, path),
            aspect=Fraction(aspect) if aspect else Fraction(1),
            colours=colours,
            rate=Fraction(stream.average_rate or stream.guessed_rate or USUAL_RATE),
            seconds=film_seconds(container),
            sounds=tuple(one.codec.canonical_name for one in container.streams.audio),
            timecode=read_timecode(container),
        )


def read_colours(stream: av.VideoStream, frame: av.VideoFrame, path: Path) -> Colours:
    """A film's colours; what would need a tone map is refused."""
    codec = stream.codec_context
    primaries, transfer = int(codec.color_primaries), int(codec.color_trc)
    matrix, full = int(codec.colorspace), int(codec.color_range)
    if transfer in HDR:
        todo = "export it in BT.709 (SDR): the light on the page has no place in its range"
        raise fault(path, f"is in HDR ({HDR[transfer]})", todo)
    if primaries in BT2020 or matrix in BT2020:
        raise fault(path, "has BT.2020 colours", "export it in BT.709 (SDR)")
    untagged = matrix in (0, UNSPECIFIED) and min(frame.width, frame.height) <= HIGHEST_SD
    if frame.format.name.startswith("yuvj"):
        full = FULL_RANGE
    return Colours(primaries, transfer, matrix, full, matrix in BT601 or untagged)


def read_turn(frame: av.VideoFrame, path: Path) -> Turn:
    """How the picture is turned, from its display matrix (ISO/IEC 14496-12, in 16.16 fixed point)."""
    data = cast(Any, frame.side_data).get("DISPLAYMATRIX")
    if data is None:
        return Turn()
    matrix = tuple(int(value) for value in np.frombuffer(bytes(data), np.int32))
    signs = [int(np.sign(matrix[place])) for place in (0, 1, 3, 4)]
    shares = {abs(matrix[place]) / 65536 for place in (0, 1, 3, 4)}
    upright = signs[0] * signs[3] != 0 and signs[1] == signs[2] == 0
    sideways = signs[1] * signs[2] != 0 and signs[0] == signs[3] == 0
    if not shares <= RIGHT_TURNS or not (upright or sideways):
        raise fault(path, "is turned by an angle that is no right angle", "turn it upright first")
    a, b, c, d = signs
    return Turn(a, b, c, d, matrix if (a, b, c, d) != IDENTITY else None)


def film_seconds(container: av.container.InputContainer) -> Fraction:
    """How long the picture lasts from the film's start."""
    stream = container.streams.video[0]
    if stream.duration and stream.time_base and stream.start_time is not None:
        return (stream.start_time + stream.duration) * stream.time_base - start_of(container)
    return Fraction(container.duration or 0, MICROSECONDS)


def start_of(container: av.container.InputContainer) -> Fraction:
    """The film's start on its own clock, in seconds."""
    return Fraction(container.start_time or 0, MICROSECONDS)


def read_timecode(container: av.container.InputContainer) -> str | None:
    """The time code of the first frame, where a film has one."""
    sources = [container.metadata, *(stream.metadata for stream in container.streams)]
    return next((one["timecode"] for one in sources if "timecode" in one), None)


def wanted_format(footage: Footage) -> str:
    """The pixel format that a film is worked on and delivered in: its own, or the nearest that can be."""
    name = footage.format
    if name in KEPT_FORMATS:
        return name
    found = NEAREST_FORMAT.get(name)
    return found or ("yuv420p" if name.startswith("yuv") else "yuv444p")


def timed_frames(
    container: av.container.InputContainer, footage: Footage, start_s: Fraction, end_s: Fraction
) -> Iterator[tuple[av.VideoFrame, Fraction, Fraction]]:
    """The frames in sight from one second to another, each with when it comes and when it goes.

    Read from the last key frame before the start.

    Raises:
        MaterialError: the film breaks off, or a frame cannot be decoded.
    """
    stream = container.streams.video[0]
    stream.thread_type = "AUTO"
    base = stream.time_base
    assert base is not None
    begin = start_of(container)
    if start_s > 0:
        container.seek(int((start_s + begin) / base), stream=stream)
    held: tuple[av.VideoFrame, Fraction] | None = None
    for frame in decoded(container, stream, footage, begin):
        if frame.pts is None:
            continue
        time_s = frame.pts * base - begin
        if held is not None and time_s > start_s:
            yield held[0], max(held[1], start_s), min(time_s, end_s)
        held = frame, time_s
        if time_s >= end_s:
            return
    if held is None:
        raise fault(footage.path, "holds no frame in the part that is asked for", "look at its length")
    last_s = max(footage.seconds, held[1] + held[0].duration * base)
    if last_s - held[1] > MOST_LOST_S + 2 * held[0].duration * base:
        raise broken(footage, held[1])
    yield held[0], max(held[1], start_s), min(last_s, end_s)


def frame_times(
    container: av.container.InputContainer, footage: Footage, start_s: Fraction, end_s: Fraction
) -> list[tuple[Fraction, Fraction]]:
    """When the frames in sight from one second to another come and go, as their packets say, without decoding them."""
    stream = container.streams.video[0]
    assert stream.time_base is not None
    base, begin = stream.time_base, start_of(container)
    if start_s > 0:
        container.seek(int((start_s + begin) / base), stream=stream)
    packets = [packet for packet in container.demux(stream) if packet.pts is not None]
    comes = sorted((packet.pts or 0) * base - begin for packet in packets)
    goes = [*comes[1:], footage.seconds]
    return [
        (max(one, start_s), min(other, end_s))
        for one, other in zip(comes, goes, strict=True)
        if one < end_s and other > start_s
    ]


def decoded(
    container: av.container.InputContainer, stream: av.VideoStream, footage: Footage, begin: Fraction
) -> Iterator[av.VideoFrame]:
    """The frames as they come."""
    last_s = Fraction(0)
    try:
        for frame in container.decode(stream):
            yield frame
            last_s = (frame.pts or 0) * (stream.time_base or Fraction(0)) - begin
    except av.error.FFmpegError as error:
        raise broken(footage, last_s) from error


def refuse_broken(footage: Footage, end_s: float | None = None) -> None:
    """Read a film's packets to a second, else to their end, without decoding them.

    Raises:
        MaterialError: they end well before that.
    """
    needed_s = footage.seconds if end_s is None else min(Fraction(end_s), footage.seconds)
    last_s = Fraction(0)
    with open_film(footage.path) as container:
        begin = start_of(container)
        try:
            for packet in container.demux(container.streams.video[0]):
                if packet.pts is not None and packet.time_base is not None:
                    last_s = max(last_s, (packet.pts + (packet.duration or 0)) * packet.time_base - begin)
                if last_s >= needed_s:
                    return
        except av.error.FFmpegError as error:
            raise broken(footage, last_s) from error
    if needed_s - last_s > MOST_LOST_S:
        raise broken(footage, last_s)


def broken(footage: Footage, seconds: Fraction) -> MaterialError:
    """A film that ends before its end."""
    what = f"breaks off at {clock_text(float(seconds))} of {clock_text(float(footage.seconds))}"
    return fault(footage.path, what, "copy it again, or trim it to what is there with --to")
