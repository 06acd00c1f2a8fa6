"""The film: encoded runs joined, with sound, title and chapters, in one MP4.

The file is written under a temporary name beside its own and renamed when it is whole; an interrupted
or failed build leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.files import finished_file
from lessonmaker.timeline.model import SOUND_RATE, TICKS_PER_SECOND, Chapter
from lessonmaker.video.aac import joined_sound, packed_sound, sound_packets, sound_stream
from lessonmaker.video.encode import Format, Pictures, configure, encode_run, packed, runs, unpacked

if TYPE_CHECKING:
    from av.container.core import Chapter as ChapterEntry

__all__ = ["FilmInfo", "finished_file", "frame_count", "join_film", "write_film"]


@dataclass(frozen=True)
class FilmInfo:
    """What the file says of itself. `duration` in ticks."""

    title: str
    artist: str
    album: str
    duration: int
    chapters: tuple[Chapter, ...]


def write_film(
    path: Path, pictures: Pictures, samples: npt.NDArray[np.float32], rate: Fraction, info: FilmInfo
) -> None:
    """Write a film, all of it made here.

    Args:
        path: the MP4 to write; its folder exists.
        pictures: what is seen.
        samples: (frames, 2) float32 at 48 kHz.
        rate: frames a second.
        info: title, length and chapters.

    Raises:
        OSError: the file cannot be written.
    """
    form = Format(*pictures.size, rate)
    parts = runs(pictures.changes(rate), frame_count(info.duration, rate), form)
    encoded = (packed(encode_run(pictures, form, part)) for part in parts)
    join_film(path, encoded, joined_sound([(0, packed_sound(samples))], len(samples)), form, info)


def frame_count(duration: int, rate: Fraction) -> int:
    """The frames that a duration in ticks takes."""
    return ceil(duration * rate / TICKS_PER_SECOND)


def join_film(
    path: Path, parts: Iterable[bytes], sound: Iterable[bytes], form: Format, info: FilmInfo
) -> None:
    """Put a film together: packets are copied, nothing is encoded. It is written whole or not at all.

    Args:
        path: the MP4 to write, its index first; its folder exists.
        parts: its runs, packed, in order; each is asked for when the one before is written.
        sound: the packets of its sound, in order (see `joined_sound`).
        form: the shape of its pictures.
        info: title, length and chapters.

    Raises:
        OSError: the file cannot be written.
    """
    with finished_file(path) as fragment:
        join(fragment, parts, sound, form, info)


def join(path: Path, parts: Iterable[bytes], sound: Iterable[bytes], form: Format, info: FilmInfo) -> None:
    """Put runs and sound into an MP4 whose index stands first."""
    rate = form.rate
    with av.open(str(path), "w", format="mp4", options={"movflags": "+faststart"}) as container:
        container.metadata.update(title=info.title, artist=info.artist, album=info.album)
        picture = container.add_stream("libx264", rate=rate)
        assert isinstance(picture.codec_context, av.VideoCodecContext)
        configure(picture.codec_context, form)
        picture.time_base = 1 / rate
        stream = sound_stream(container)
        container.set_chapters(chapter_entries(info))
        container.start_encoding()
        heard = sound_packets(stream, sound)
        for packet in picture_packets(picture, parts, form):
            container.mux(packet)
            mux_until(container, heard, (packet.pts or 0) * SOUND_RATE * rate.denominator // rate.numerator)
        for packet in heard:
            container.mux(packet)


def mux_until(
    container: av.container.OutputContainer, packets: Iterator[av.Packet[Any]], sample: int
) -> None:
    """Write sound until it is past a sample, so that picture and sound lie beside each other in the file."""
    for packet in packets:
        container.mux(packet)
        if packet.pts is not None and packet.pts > sample:
            return


def picture_packets(stream: av.VideoStream, parts: Iterable[bytes], form: Format) -> Iterator[av.Packet[Any]]:
    """The access units of packed runs as packets of a stream."""
    units = (unit for part in parts for unit in unpacked(part))
    time_base = 1 / form.rate
    for number, (data, key) in enumerate(units):
        packet = av.Packet(data)
        packet.stream, packet.time_base = stream, time_base
        packet.pts = packet.dts = number
        packet.duration, packet.is_keyframe = 1, key
        yield packet


def chapter_entries(info: FilmInfo) -> list[ChapterEntry]:
    """The chapters as the container takes them."""
    ends = [*(chapter.start for chapter in info.chapters), info.duration][1:]
    return [
        {
            "id": number,
            "start": chapter.start // (TICKS_PER_SECOND // 1000),
            "end": end // (TICKS_PER_SECOND // 1000),
            "time_base": Fraction(1, 1000),
            "metadata": {"title": chapter.title},
        }
        for number, (chapter, end) in enumerate(zip(info.chapters, ends, strict=True), 1)
    ]
