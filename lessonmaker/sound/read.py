"""Reading sound from files: whatever libsndfile or FFmpeg (through PyAV) can decode, resampled by soxr.

Files are decoded, mixed down and resampled a block at a time, so only the result is ever held whole.
The sound track of a film keeps its place against the picture: a late track is padded with silence, what
lies before the film's start is dropped.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import numpy.typing as npt
import soundfile
import soxr

from lessonmaker.faults import Fault, MaterialError, Place, nearest_file
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Audio

__all__ = ["read_audio", "require_take", "sound_seconds"]

BLOCK_FRAMES = 1 << 17
SHORTEST_TAKE_S = 1.0
SILENCE_DBFS = -70.0

Samples = npt.NDArray[np.float32]


def read_audio(path: Path | CarriedFile, rate: int | None = None, mono: bool = True) -> Audio:
    """Read a sound file, or the sound track of a film.

    Args:
        path: The file, or one that was sent here.
        rate: The rate wanted in Hz; the file's own where None.
        mono: Mix to one channel, samples (frames,); else (frames, 2) unless the file itself is mono.

    Raises:
        MaterialError: The file is missing, empty, no sound, or holds no sound track.
    """
    file = path if isinstance(path, CarriedFile) else CarriedFile(Path(path))
    _require_file(file.path, file.data)
    try:
        with soundfile.SoundFile(file.source()) as source:
            return _collect(_libsndfile_blocks(source, mono), source.samplerate, rate, file.path)
    except soundfile.LibsndfileError:
        return _read_with_ffmpeg(file, rate, mono)
    except OSError as error:
        raise _fault(file.path, f"cannot be read ({error.strerror})", "check its permissions") from error


def sound_seconds(path: Path) -> float:
    """How long a sound file lasts; decoded only where its head does not say.

    Raises:
        MaterialError: as `read_audio` does.
    """
    _require_file(path)
    try:
        return float(soundfile.info(path).duration)
    except soundfile.LibsndfileError:
        return read_audio(path).seconds


def require_take(audio: Audio, path: Path) -> None:
    """Refuse what cannot be a take.

    Raises:
        MaterialError: The sound is shorter than a second, or silent throughout.
    """
    if audio.seconds < SHORTEST_TAKE_S:
        todo = "give the recording of the whole etude"
        raise _fault(path, f"lasts {audio.seconds:.2f} s, too short for a take", todo)
    peak = float(max(audio.samples.max(), -audio.samples.min()))
    if peak < 10 ** (SILENCE_DBFS / 20):
        raise _fault(path, "is silent", "check the microphone or choose another file")


def _fault(path: Path, what: str, todo: str) -> MaterialError:
    return MaterialError(Fault(f"{path.name} {what}", todo, Place(path)))


def _require_file(path: Path, data: bytes | None = None) -> None:
    if data is None and not path.exists():
        raise _fault(path, f"does not exist{nearest_file(path)}", "check the name and the folder")
    if data is None and not path.is_file():
        raise _fault(path, "is not a file", "name a sound file")
    if (path.stat().st_size if data is None else len(data)) == 0:
        raise _fault(path, "is empty", "export the recording again")


def _mix(block: Samples, mono: bool) -> Samples:
    """(frames, channels) to (frames,) or, where two are wanted and there, (frames, 2)."""
    if block.shape[1] == 1:
        return block[:, 0]
    return block.mean(axis=1, dtype=np.float32) if mono else block[:, :2]


def _libsndfile_blocks(source: soundfile.SoundFile, mono: bool) -> Iterator[Samples]:
    while len(block := source.read(BLOCK_FRAMES, dtype="float32", always_2d=True)):
        yield _mix(block, mono)


def _collect(blocks: Iterable[Samples], from_rate: int, rate: int | None, path: Path) -> Audio:
    """Resample block by block and join; the blocks are all alike in channels.

    They are joined in a buffer that grows where it lies, so that no second copy of a long take is ever held.
    """
    joined, shape = bytearray(), (-1,)
    for block in blocks if rate is None or rate == from_rate else _resampled(blocks, from_rate, rate):
        joined += np.nan_to_num(block).tobytes()
        shape = (-1, *block.shape[1:])
    if not joined:
        raise _fault(path, "holds no samples", "export the recording again")
    return Audio(np.frombuffer(joined, np.float32).reshape(shape), rate or from_rate)


def _resampled(blocks: Iterable[Samples], from_rate: int, rate: int) -> Iterator[Samples]:
    stream: soxr.ResampleStream | None = None
    last: Samples | None = None
    for block in blocks:
        channels = 1 if block.ndim == 1 else block.shape[1]
        stream = stream or soxr.ResampleStream(from_rate, rate, channels, dtype="float32")
        yield np.asarray(stream.resample_chunk(block), np.float32)
        last = block
    if stream is not None and last is not None:
        yield np.asarray(stream.resample_chunk(last[:0], last=True), np.float32)


def _read_with_ffmpeg(file: CarriedFile, rate: int | None, mono: bool) -> Audio:
    path = file.path
    try:
        container = av.open(file.source(), mode="r")
    except av.error.FFmpegError as error:
        todo = "export it as WAV, FLAC, Ogg, MP3 or M4A"
        raise _fault(path, "is not sound that can be read", todo) from error
    with container:
        if not container.streams.audio:
            raise _fault(path, "has no sound track", "choose the file that has the sound")
        stream = container.streams.audio[0]
        own_rate = stream.codec_context.sample_rate
        start = Fraction(container.start_time or 0, av.time_base)
        try:
            return _collect(_ffmpeg_blocks(container, stream, start, mono), own_rate, rate, path)
        except av.error.FFmpegError as error:
            raise _fault(path, "has damaged sound", "copy or export it again") from error


def _ffmpeg_blocks(
    container: av.container.InputContainer, stream: av.AudioStream, start: Fraction, mono: bool
) -> Iterator[Samples]:
    """Decode to float blocks that begin at the container's start."""
    alone = mono or stream.codec_context.channels == 1
    to_float = av.AudioResampler(format="flt", layout="mono" if alone else "stereo")
    first = True
    for frame in _decoded(container, stream):
        for block in _float_blocks(to_float, frame, 1 if alone else 2):
            yield _placed(block, frame, start) if first else block
            first = False
    for block in _float_blocks(to_float, None, 1 if alone else 2):
        yield block


def _decoded(container: av.container.InputContainer, stream: av.AudioStream) -> Iterator[av.AudioFrame]:
    """The frames of a track; a last packet that cannot be decoded, as where a recording breaks off, is left out."""
    damaged: av.error.InvalidDataError | None = None
    for packet in container.demux(stream):
        if damaged is not None and packet.size:
            raise damaged
        try:
            frames = packet.decode()
        except av.error.InvalidDataError as error:
            damaged = error
        else:
            yield from frames


def _float_blocks(
    to_float: av.AudioResampler, frame: av.AudioFrame | None, channels: int
) -> Iterator[Samples]:
    for part in to_float.resample(frame):
        samples = part.to_ndarray().reshape(-1, channels).astype(np.float32)
        yield samples[:, 0] if channels == 1 else samples


def _placed(block: Samples, frame: av.AudioFrame, start: Fraction) -> Samples:
    """Pad or cut the first block so that it begins with the container."""
    if frame.pts is None or frame.time_base is None:
        return block
    late = round((frame.pts * frame.time_base - start) * frame.sample_rate)
    if late <= 0:
        return block[-late:]
    return np.concatenate([np.zeros((late, *block.shape[1:]), np.float32), block])
