"""The film: runs encoded in parallel, joined, with sound, title and chapters, in one MP4.

The file is written under a temporary name beside its own and renamed when it is whole; an interrupted
or failed build leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.timeline.model import TICKS_PER_SECOND, Chapter
from lessonmaker.video.encode import Format, Pictures, configure, encode_run, runs

if TYPE_CHECKING:
    from av.container.core import Chapter as ChapterEntry

__all__ = ["FilmInfo", "StartedFilm", "finish_film", "finished_file", "start_film", "write_film"]

SOUND_RATE = 48_000
SOUND_BITS_PER_SECOND = 192_000
SOUND_BLOCK = 16 * 1024
# At higher bit rates it sounds better than the other search and is faster (FFmpeg's change fcb681ac, 2018).
SOUND_SEARCH = {"aac_coder": "fast"}

Told = Callable[[int], None]


@dataclass(frozen=True)
class FilmInfo:
    """What the file says of itself. `duration` in ticks."""

    title: str
    artist: str
    album: str
    duration: int
    chapters: tuple[Chapter, ...]


@contextmanager
def finished_file(path: Path) -> Iterator[Path]:
    """A temporary name beside `path`, renamed to it on success and removed on any failure."""
    fragment = path.with_name(f".{path.name}.part")
    try:
        yield fragment
        fragment.replace(path)
    finally:
        fragment.unlink(missing_ok=True)


def write_film(
    path: Path, pictures: Pictures, samples: npt.NDArray[np.float32], rate: Fraction, info: FilmInfo
) -> None:
    """Write a film, all of it in this process.

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
    parts = runs(pictures.changes(rate), frame_count(info.duration, rate), form, 1)
    with finished_file(path) as fragment:
        join(fragment, [encode_run(pictures, form, part) for part in parts], samples, form, info)


def frame_count(duration: int, rate: Fraction) -> int:
    """The frames that a duration in ticks takes."""
    return ceil(duration * rate / TICKS_PER_SECOND)


@dataclass(frozen=True)
class StartedFilm:
    """A film whose runs are being encoded elsewhere, in order."""

    form: Format
    frames: int
    jobs: tuple[Future[list[tuple[bytes, bool]]], ...]


def start_film(
    pictures: Pictures, duration: int, rate: Fraction, workers: Executor, count: int, told: Told | None = None
) -> StartedFilm:
    """Have a film's runs encoded by workers.

    Args:
        pictures: what is seen; pickled to the workers.
        duration: in ticks.
        rate: frames a second.
        workers: where the runs are encoded.
        count: how many runs to cut.
        told: called with a run's number of frames when it is encoded (from another thread).
    """
    form, frames = Format(*pictures.size, rate), frame_count(duration, rate)
    jobs = []
    for part in runs(pictures.changes(rate), frames, form, count):
        job = workers.submit(encode_run, pictures, form, part)
        if told is not None:
            job.add_done_callback(partial(tell, told, part.last - part.first))
        jobs.append(job)
    return StartedFilm(form, frames, tuple(jobs))


def tell(told: Told, length: int, _job: Future[list[tuple[bytes, bool]]]) -> None:
    """Report a run as encoded."""
    told(length)


def finish_film(path: Path, film: StartedFilm, samples: npt.NDArray[np.float32], info: FilmInfo) -> None:
    """Wait for a film's runs and write it, whole or not at all.

    Raises:
        OSError: the file cannot be written.
        Exception: whatever a worker raised; the film's other runs are then called off.
    """
    try:
        parts = [job.result() for job in film.jobs]
    finally:
        for job in film.jobs:
            job.cancel()
    with finished_file(path) as fragment:
        join(fragment, parts, samples, film.form, info)


def join(
    path: Path,
    parts: Iterable[list[tuple[bytes, bool]]],
    samples: npt.NDArray[np.float32],
    form: Format,
    info: FilmInfo,
) -> None:
    """Put runs and sound into an MP4 whose index stands first."""
    with av.open(str(path), "w", format="mp4", options={"movflags": "+faststart"}) as container:
        container.metadata.update(title=info.title, artist=info.artist, album=info.album)
        picture = container.add_stream("libx264", rate=form.rate)
        assert isinstance(picture.codec_context, av.VideoCodecContext)
        configure(picture.codec_context, form)
        picture.time_base = 1 / form.rate
        sound = container.add_stream(
            "aac",
            rate=SOUND_RATE,
            layout="stereo",
            bit_rate=SOUND_BITS_PER_SECOND,
            options=SOUND_SEARCH,
        )
        container.set_chapters(chapter_entries(info))
        container.start_encoding()
        heard = sound_packets(sound, samples)
        for packet in picture_packets(picture, parts, form):
            container.mux(packet)
            mux_until(container, heard, (packet.pts or 0) / form.rate)
        for packet in heard:
            container.mux(packet)


def mux_until(
    container: av.container.OutputContainer, packets: Iterator[av.Packet[Any]], seconds: Fraction
) -> None:
    """Write sound up to a moment, so that picture and sound lie beside each other in the file."""
    for packet in packets:
        container.mux(packet)
        if packet.pts is not None and packet.time_base and packet.pts * packet.time_base > seconds:
            return


def picture_packets(
    stream: av.VideoStream, parts: Iterable[list[tuple[bytes, bool]]], form: Format
) -> Iterator[av.Packet[Any]]:
    """The access units as packets of a stream."""
    units = (unit for part in parts for unit in part)
    for number, (data, key) in enumerate(units):
        packet = av.Packet(data)
        packet.stream, packet.time_base = stream, 1 / form.rate
        packet.pts = packet.dts = number
        packet.duration, packet.is_keyframe = 1, key
        yield packet


def sound_packets(stream: av.AudioStream, samples: npt.NDArray[np.float32]) -> Iterator[av.Packet[Any]]:
    """Samples (frames, 2) as packets of AAC."""
    for start in range(0, len(samples), SOUND_BLOCK):
        block = np.ascontiguousarray(samples[start : start + SOUND_BLOCK].T)
        frame = av.AudioFrame.from_ndarray(block, format="fltp", layout="stereo")
        frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE, start, Fraction(1, SOUND_RATE)
        yield from stream.encode(frame)
    yield from stream.encode(None)


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
