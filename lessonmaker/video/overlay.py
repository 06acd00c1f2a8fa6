"""A picture with cover laid over a film, frame by frame: the film's own pictures, times and sound stay.

Frames are decoded, covered where the picture lies, and encoded again with the time stamps they had, on the same
clock; sound packets are copied as they are. A frame that stands for long while the laid picture changes is repeated.
Several versions of a film are made from one decoding. Frames are put together here and encoded in threads, one a
version, so that all processors have work; only a few frames are held at a time.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any, Protocol

import av
import numpy as np
import numpy.typing as npt
from av.codec.context import Flags
from av.video.reformatter import VideoReformatter

from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import finished_file
from lessonmaker.picture.raster import Area
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.cover import Covering, coding_of, fitted, flat_frame, planes_of, seen
from lessonmaker.video.encode import packed, unpacked
from lessonmaker.video.film import FilmInfo, chapter_entries
from lessonmaker.video.footage import Footage, open_film, start_of, wanted_format
from lessonmaker.video.lane import Lane
from lessonmaker.video.spans import FrameReader, KeptSpans, Span, spans_of, whole_span

__all__ = [
    "Covers",
    "Lay",
    "Part",
    "Version",
    "container_for",
    "format_of",
    "last_tick",
    "lost_sound",
    "overlay_films",
]

# What is spent on a picture, by what it buys (DEVELOPERS.md has the figures): a search for motion to quarter pixels,
# and the transform of 8 x 8. Arithmetic coding, deblocking and quantisers that differ within a picture cost more time
# than they gain at so fine a quantiser.
ENCODING = {"preset": "ultrafast", "crf": "18", "x264-params": "subme=1:8x8dct=1:partitions=i8x8"}
KEY_SECONDS = 2
FINEST_CLOCK = 10_000  # a clock has at least so many ticks a second, so that repeated frames find their place
LONGEST_FRAME_S = Fraction(1, 20)
REPEAT_RATE = Fraction(30)
MP4_SOUND = frozenset({"aac", "mp3", "mp2", "ac3", "eac3", "alac", "opus"})
MOV_SOUND = MP4_SOUND - {"opus"}
NOT_COPIED = ("encoder", "major_brand", "minor_version", "compatible_brands", "timecode", "duration")
DEFAULT_ENDINGS = (".mp4", ".mov", ".mkv")
FORMATS = {".mp4": "mp4", ".m4v": "mp4", ".mov": "mov", ".mkv": "matroska"}

Told = Callable[[int], None]


class Covers(Protocol):
    """A picture with cover that changes in time."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels, both even."""

    def changes(self, rate: Fraction) -> Sequence[int]:
        """The frame numbers at which it may differ from the one before."""

    def key(self, tick: int) -> Hashable:
        """What is to be seen at a tick."""

    def cover(self, key: Hashable) -> tuple[npt.NDArray[np.uint8], list[Area]]:
        """(height, width, 4), colours premultiplied by the cover; and where it differs from what was asked for last."""


@dataclass(frozen=True)
class Lay:
    """Where film and picture stand on the whole picture as it is seen, which is as large as the film's.

    `ground` (red, green, blue) fills what neither covers.
    """

    film: Area
    picture: Area
    ground: tuple[int, int, int] = (0, 0, 0)


@dataclass(frozen=True)
class Part:
    """The part of a film that is kept, in seconds from its start; `code` is the time code it begins with, if any."""

    start_s: Fraction
    end_s: Fraction
    code: str | None = None


@dataclass(frozen=True)
class Version:
    """A film to be made of another: its file, what is laid over it, where both stand, its title and chapters.

    The file's ending says which container (MP4, MOV, MKV); tick 0 of `covers` is where the part that is kept begins.
    With `kept` it is made in spans, of which those that are kept are not made again.
    """

    path: Path
    covers: Covers
    lay: Lay
    info: FilmInfo
    kept: KeptSpans | None = None


def container_for(footage: Footage) -> str:
    """The ending of a file that the film's sound can be copied into."""
    return next(
        ending for ending in DEFAULT_ENDINGS if all(copied(one, FORMATS[ending]) for one in footage.sounds)
    )


def copied(sound: str, form: str) -> bool:
    """Whether a sound codec has a place in files of a format that players read."""
    if form == "mov":
        return sound in MOV_SOUND or sound.startswith("pcm_")
    return form != "mp4" or sound in MP4_SOUND


def lost_sound(ending: str, footage: Footage) -> str | None:
    """What is wrong with copying the film's sound into files of an ending, if anything is."""
    lost = next((one for one in footage.sounds if not copied(one, FORMATS[ending])), None)
    return None if lost is None else f"{lost} sound cannot be copied into {ending[1:].upper()} files"


def format_of(path: Path, footage: Footage) -> str:
    """The container format of an output, by its name's ending.

    Raises:
        MaterialError: no film is written under such a name, or the sound cannot be copied into it.
    """
    ending = path.suffix.lower()
    if ending not in FORMATS:
        todo = f"end its name with {', '.join(FORMATS)}"
        raise MaterialError(Fault(f"{path.name} is no name for a film", todo, Place(path)))
    lost = lost_sound(ending, footage)
    if lost is not None:
        raise MaterialError(Fault(lost, f"name the output {path.stem}{container_for(footage)}", Place(path)))
    return FORMATS[ending]


def overlay_films(
    footage: Footage, part: Part, versions: Sequence[Version], processors: int, told: Told | None = None
) -> None:
    """Write versions of a film with pictures laid over it; a file is whole or not there.

    Args:
        footage: the film, which is decoded once.
        part: what is kept of it.
        versions: what is laid over it, and where that is written; at least one.
        processors: how many may be used.
        told: called with each number of frames that are put together, of all versions.

    Raises:
        MaterialError: the film breaks off, or an output's name does not fit.
        OSError: a file cannot be written.
    """
    threads = max(processors // len(versions), 1)
    cut = spans_of if all(version.kept for version in versions) else lambda _, *times: whole_span(*times)
    reader = FrameReader(footage, part.end_s)
    with ExitStack() as stack:
        films = [stack.enter_context(Making(version, footage, part, threads)) for version in versions]
        for span in cut(footage, part.start_s, part.end_s):
            missing = [film for film in films if not film.take(span)]
            tell(told, len(span.frames) * (len(films) - len(missing)))
            for frame, start_s, end_s in reader.of(span) if missing else ():
                for film in missing:
                    film.add(frame, start_s - part.start_s, end_s - part.start_s)
                tell(told, len(missing))
            for film in missing:
                film.close()
        for film in films:
            film.finish()


def tell(told: Told | None, frames: int) -> None:
    """Say that so many frames are done, to who wants to know."""
    if told is not None and frames:
        told(frames)


class Making:
    """A version of a film while it is made: frames are put together as they come, and written in a lane."""

    def __init__(self, version: Version, footage: Footage, part: Part, threads: int) -> None:
        """Open the file; `threads` are the encoder's."""
        form = format_of(version.path, footage)
        with ExitStack() as stack:
            fragment = stack.enter_context(finished_file(version.path))
            source = stack.enter_context(open_film(footage.path))
            options = {"movflags": "+faststart"} if form != "matroska" else {}
            output = stack.enter_context(av.open(str(fragment), "w", format=form, options=options))
            copy_metadata(source, output, version.info)
            base = source.streams.video[0].time_base or Fraction(1, 90_000)
            self.writer = Writer(output, footage, base, part.code, threads)
            self.heard = SoundCopy(source, output, part, to_the_end=part.end_s >= footage.seconds)
            output.start_encoding()
            self.composer = Composer(footage, version.covers, version.lay)
            self.version, self.start_s = version, part.start_s
            self.span: KeptSpan | None = None
            self.lane = stack.enter_context(Lane())
            self.held = stack.pop_all()

    def __enter__(self) -> Making:
        return self

    def __exit__(self, *about: Any) -> None:
        self.held.__exit__(*about)

    def take(self, span: Span) -> bool:
        """Begin a span; whether it is kept, and there is nothing to be made of it."""
        kept = self.version.kept
        if kept is None or not span.frames:
            return False
        self.span = self.known(span, kept)
        data = kept.store.get(self.span.key)
        if data is None:
            self.lane.do(self.writer.begin)
            return False
        self.lane.do(partial(self.copy, self.span, data))
        return True

    def known(self, span: Span, kept: KeptSpans) -> KeptSpan:
        """What a span is known by: what is to be seen over each of its frames, when."""
        pieces = tuple(
            piece
            for start_s, end_s in span.frames
            for piece in self.composer.pieces(start_s - self.start_s, end_s - self.start_s)
        )
        seen_over = [kept.content(self.version.covers.key(last_tick(gone_s))) for _, gone_s in pieces]
        how = (kept.basis, self.start_s, self.version.lay, sorted(self.writer.options.items()))
        return KeptSpan(digest_of(how, pieces, seen_over), pieces)

    def copy(self, span: KeptSpan, data: bytes) -> None:
        """Write a span that is kept, and what sounds until its end."""
        self.writer.copy(span.pieces, data)
        self.heard.write_until(span.pieces[-1][0])

    def close(self) -> None:
        """End the span that was begun, and keep it."""
        if self.span is not None:
            self.lane.do(partial(self.keep, self.span))

    def keep(self, span: KeptSpan) -> None:
        """Keep a span that is written, if its frames came when its packets had said."""
        pieces, data = self.writer.end()
        if self.version.kept is not None and pieces == span.pieces:
            self.version.kept.store.put(span.key, data)

    def add(self, frame: av.VideoFrame, start_s: Fraction, end_s: Fraction) -> None:
        """Add a frame of the film, seen from one second to another."""
        for shown_s, gone_s in self.composer.pieces(start_s, end_s):
            self.lane.do(partial(self.write, self.composer.frame(frame, gone_s), shown_s, gone_s))

    def write(self, made: av.VideoFrame, shown_s: Fraction, gone_s: Fraction) -> None:
        """Write a frame that is put together, and what sounds until then."""
        self.writer.write(made, shown_s, gone_s)
        self.heard.write_until(shown_s)

    def finish(self) -> None:
        """Write what is held back."""
        self.lane.wait()
        self.writer.finish()
        self.heard.write_until(None)


@dataclass(frozen=True)
class KeptSpan:
    """A span under the digest of what it is made from, and the stretches of time in which one picture is shown."""

    key: str
    pieces: tuple[tuple[Fraction, Fraction], ...]


def copy_metadata(
    source: av.container.InputContainer, output: av.container.OutputContainer, info: FilmInfo
) -> None:
    """What the film says of itself, its own title before ours; the chapters are ours."""
    own = {name: text for name, text in source.metadata.items() if name not in NOT_COPIED}
    output.metadata.update({"title": info.title} | own)
    output.set_chapters(chapter_entries(info))


class Composer:
    """Makes the frames: the film's pictures with what is laid over them."""

    def __init__(self, footage: Footage, covers: Covers, lay: Lay) -> None:
        self.footage, self.covers, self.lay = footage, covers, lay
        self.coding = coding_of(wanted_format(footage), footage.colours)
        self.covering = Covering(lay.picture, self.coding, footage.turn)
        self.shown: Hashable = None
        self.scaler = VideoReformatter()
        self.cuts = repeat_times(covers)
        self.fills = lay.film == Area(0, 0, *footage.seen_size)

    def pieces(self, start_s: Fraction, end_s: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
        """The stretches of a frame's time in which one picture is shown: the whole, unless the frame stands long."""
        inside: Sequence[Fraction] = ()
        if end_s - start_s > LONGEST_FRAME_S:
            first, last = (bisect_left(self.cuts, second) for second in (start_s, end_s))
            inside = [cut for cut in self.cuts[first:last] if cut > start_s]
        yield from zip((start_s, *inside), (*inside, end_s), strict=True)

    def frame(self, source: av.VideoFrame, gone_s: Fraction) -> av.VideoFrame:
        """A film's frame with what is to be seen over it before a moment. The source stays as it is."""
        self.look(last_tick(gone_s))
        made = self.filmed(source)
        self.covering.lay(planes_of(made, self.coding))
        return made

    def look(self, tick: int) -> None:
        """Bring the laid picture up to a tick."""
        key = self.covers.key(tick)
        if key != self.shown:
            pixels, areas = self.covers.cover(key)
            self.covering.change(*fitted(pixels, areas, self.lay.picture))
            self.shown = key

    def filmed(self, source: av.VideoFrame) -> av.VideoFrame:
        """A copy of the film's frame, or its smaller picture at its place."""
        if self.fills:
            copy = av.VideoFrame(source.width, source.height, self.coding.format)
            given = source if source.format.name == self.coding.format else self.converted(source)
            for target, plane in zip(
                planes_of(copy, self.coding), planes_of(given, self.coding), strict=True
            ):
                target[:] = plane
            return copy
        whole = flat_frame(self.footage.width, self.footage.height, self.coding, self.lay.ground)
        small = self.converted(source, *self.coded_size(self.lay.film))
        turn, place = self.footage.turn, self.lay.film
        planes = zip(planes_of(whole, self.coding), planes_of(small, self.coding), strict=True)
        for number, (target, plane) in enumerate(planes):
            across, down = self.coding.step(number)
            rows = slice(place.top // down, place.bottom // down)
            columns = slice(place.left // across, place.right // across)
            seen(target, turn)[rows, columns] = seen(plane, turn)
        return whole

    def coded_size(self, area: Area) -> tuple[int, int]:
        """Width and height of an area in the coded picture."""
        return (area.height, area.width) if self.footage.turn.sideways else (area.width, area.height)

    def converted(
        self, source: av.VideoFrame, width: int | None = None, height: int | None = None
    ) -> av.VideoFrame:
        """A frame in the pixel format that is worked on, and perhaps of another size; its colours stay coded alike."""
        way = "AREA" if width else None
        return self.scaler.reformat(source, width, height, self.coding.format, interpolation=way)


def last_tick(gone_s: Fraction) -> int:
    """The last tick of a frame that is seen until a second: it shows what is to be seen before the next."""
    return max(round(gone_s * TICKS_PER_SECOND) - 1, 0)


def repeat_times(covers: Covers) -> list[Fraction]:
    """The moments, in seconds, at which a standing frame is shown again: round each change of the laid picture."""
    numbers = {number for change in covers.changes(REPEAT_RATE) for number in (change - 1, change)}
    return [number / REPEAT_RATE for number in sorted(numbers) if number > 0]


class Writer:
    """Encodes frames with their own times: H.264 of high quality, tagged as the film is."""

    def __init__(
        self,
        output: av.container.OutputContainer,
        footage: Footage,
        base: Fraction,
        code: str | None,
        threads: int,
    ) -> None:
        self.output = output
        self.base = base / max(1, -(-base * FINEST_CLOCK // 1))
        stream = output.add_stream("libx264", rate=footage.rate)
        self.footage, self.threads = footage, threads
        keys = max(round(KEY_SECONDS * footage.rate), 1)
        self.options = ENCODING | {"g": str(keys)}
        stream.time_base = self.base
        self.configure(stream.codec_context)
        if footage.turn.matrix is not None:
            stream.set_display_matrix(footage.turn.matrix)
        if code is not None:
            stream.metadata["timecode"] = code
        self.stream = stream
        self.encoder: av.VideoCodecContext = stream.codec_context
        self.apart = False
        self.pieces: list[tuple[Fraction, Fraction]] = []
        self.units: list[tuple[bytes, bool]] = []

    def configure(self, codec: av.VideoCodecContext) -> None:
        """Give an encoder, of the file or of a span, its settings."""
        footage = self.footage
        codec.width, codec.height, codec.pix_fmt = footage.width, footage.height, wanted_format(footage)
        codec.time_base, codec.framerate = self.base, footage.rate
        codec.thread_type = "FRAME"
        codec.thread_count = self.threads
        codec.flags |= Flags.frame_duration
        colours = footage.colours
        codec.color_primaries, codec.color_trc = colours.primaries, colours.transfer
        codec.colorspace, codec.color_range = colours.matrix, colours.range
        if footage.aspect != 1:
            codec.sample_aspect_ratio = footage.aspect
        codec.options = dict(self.options)

    def begin(self) -> None:
        """Encode what follows by itself: a span."""
        codec = av.CodecContext.create("libx264", "w")
        assert isinstance(codec, av.VideoCodecContext)
        self.configure(codec)
        codec.flags |= Flags.global_header
        self.encoder, self.apart = codec, True

    def end(self) -> tuple[tuple[tuple[Fraction, Fraction], ...], bytes]:
        """End a span; when its pictures were shown, and all of it in one."""
        self.mux(self.encoder.encode(None))
        made = tuple(self.pieces), packed(self.units)
        self.encoder, self.apart, self.pieces, self.units = self.stream.codec_context, False, [], []
        return made

    def copy(self, pieces: Sequence[tuple[Fraction, Fraction]], data: bytes) -> None:
        """Write a span that was encoded before."""
        packets = []
        for (start_s, end_s), (unit, key) in zip(pieces, unpacked(data), strict=True):
            packet = av.Packet(unit)
            packet.pts = packet.dts = round(start_s / self.base)
            packet.duration = max(round(end_s / self.base) - packet.pts, 1)
            packet.is_keyframe = key
            packets.append(packet)
        self.mux(packets)

    def mux(self, packets: Iterable[av.Packet[Any]]) -> None:
        """Put packets of the picture into the file."""
        for packet in packets:
            if self.apart:
                self.units.append((bytes(packet), packet.is_keyframe))
            packet.stream, packet.time_base = self.stream, self.base
            self.output.mux(packet)

    def write(self, frame: av.VideoFrame, start_s: Fraction, end_s: Fraction) -> None:
        """Encode a frame that is seen from one second to another."""
        frame.time_base = self.base
        frame.pts = round(start_s / self.base)
        frame.duration = max(round(end_s / self.base) - frame.pts, 1)
        if self.apart:
            self.pieces.append((start_s, end_s))
        self.mux(self.encoder.encode(frame))

    def finish(self) -> None:
        """Encode what is held back."""
        self.mux(self.encoder.encode(None))


class SoundCopy:
    """Copies the packets of every sound track, at their places against the picture.

    Where the film is kept to its end, so is sound that outlasts the picture.
    """

    def __init__(
        self,
        source: av.container.InputContainer,
        output: av.container.OutputContainer,
        part: Part,
        to_the_end: bool,
    ) -> None:
        self.output, self.part = output, part
        self.end_s = None if to_the_end else part.end_s - part.start_s
        self.streams = {one.index: output.add_stream_from_template(one) for one in source.streams.audio}
        self.begin = start_of(source) + part.start_s
        self.packets = self.kept(source)
        self.next: av.Packet[Any] | None = None

    def kept(self, source: av.container.InputContainer) -> Iterator[av.Packet[Any]]:
        """The packets of the part that is kept and the one before it, which a decoder needs to begin with.

        Nothing is read after the first packet of every track that lies behind the part.
        """
        if self.part.start_s > 0:
            source.seek(int(self.begin * av.time_base))
        going_on = set(self.streams)
        for packet in source.demux(source.streams.audio):
            if packet.pts is None or packet.time_base is None:
                continue
            start_s = packet.pts * packet.time_base - self.begin
            if self.end_s is not None and start_s >= self.end_s:
                going_on.discard(packet.stream_index)
                if not going_on:
                    return
            elif start_s + 2 * (packet.duration or 0) * packet.time_base > 0:
                yield self.moved(packet)

    def moved(self, packet: av.Packet[Any]) -> av.Packet[Any]:
        """A packet on the output's clock."""
        assert packet.pts is not None and packet.time_base is not None
        shift = round(self.begin / packet.time_base)
        packet.pts -= shift
        packet.dts = packet.pts if packet.dts is None else packet.dts - shift
        packet.stream = self.streams[packet.stream_index]
        return packet

    def write_until(self, second: Fraction | None) -> None:
        """Write the packets that begin before a moment, or all of them."""
        while True:
            packet = self.next or next(self.packets, None)
            self.next = packet
            if packet is None or (second is not None and begins_s(packet) > second):
                return
            self.output.mux(packet)
            self.next = None


def begins_s(packet: av.Packet[Any]) -> Fraction:
    """When a packet begins, in seconds."""
    return (packet.pts or 0) * (packet.time_base or Fraction(0))
