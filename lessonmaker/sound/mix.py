"""Mixing: pieces of takes and narration become one programme at 48 kHz.

Cutting, gain, fades and overlay are pydub's, in 32-bit words with 24 dB of headroom. pydub counts in
milliseconds; a piece that starts between two is led in by up to 47 samples of silence, so every start is exact to
the sample. Each clip is brought to the programme's loudness by itself, then the whole to its target, then limited
(see `limiter`). A programme of any length passes through a temporary file a block at a time.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from tempfile import TemporaryFile
from typing import IO, Literal

import numpy as np
import numpy.typing as npt
import soxr

from lessonmaker.sound.limiter import MARGIN_FRAMES, limited
from lessonmaker.sound.loudness import Meter, integrated_lufs, stereo
from lessonmaker.sound.model import Audio
from lessonmaker.sound.stretch import stretched

with (
    warnings.catch_warnings()
):  # pydub: audioop's end in Python 3.13, old escapes, and the ffmpeg it looks for
    warnings.filterwarnings("ignore", message=".*audioop.*", category=DeprecationWarning)
    warnings.filterwarnings("ignore", message=".*invalid escape.*")
    warnings.filterwarnings("ignore", message="Couldn't find ffmpeg", category=RuntimeWarning)
    from pydub import AudioSegment

__all__ = ["MIX_RATE", "Clip", "Level", "mix", "mix_blocks"]

MIX_RATE = 48_000
FADE_MS = 30
FADE_FRAMES = FADE_MS * MIX_RATE // 1000
FRAMES_PER_MS = MIX_RATE // 1000
BLOCK_MS = 10_000
BLOCK_FRAMES = BLOCK_MS * FRAMES_PER_MS
FULL_SCALE = 1 << 27
"""One in 32-bit words: 24 dB below the largest, so that nothing clips before it is limited."""

TAKE_DYNAMICS_LU = 1.0
"""How much louder or softer than the programme an excerpt may stay, where the take itself is."""

MOST_GAIN_DB = 40.0
CLOSE_ENOUGH_LU = 0.05
ROUNDS = 4

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Clip:
    """A piece of a recording: seconds [cut_start_s, cut_end_s) of `audio`, heard from frame `start` at 48 kHz on.

    `stretch` is the tempo as a share of the original (3/5: slower).
    """

    start: int
    audio: Audio
    kind: Literal["take", "narration", "scene"]
    cut_start_s: float
    cut_end_s: float
    stretch: Fraction = Fraction(1)


@dataclass(frozen=True)
class Level:
    """The loudness of a programme in LUFS and the highest true peak in dBTP."""

    lufs: float = -14.0
    peak_dbtp: float = -1.0


@dataclass(frozen=True)
class Piece:
    """Samples (frames, 2) at 48 kHz and the frame they start at, with the gain they still need."""

    start: int
    samples: Samples
    gain_db: float


def mix(clips: Sequence[Clip], frames: int, level: Level | None = None) -> Audio:
    """The whole programme at once; see `mix_blocks`."""
    blocks = list(mix_blocks(clips, frames, level))
    return Audio(np.concatenate(blocks) if blocks else np.zeros((0, 2), np.float32), MIX_RATE)


def mix_blocks(clips: Sequence[Clip], frames: int, level: Level | None = None) -> Iterator[Samples]:
    """Mix clips into a programme, at its loudness and under its peak.

    A clip fades in over the 30 ms before its start, where its recording has them (else over its first 30 ms), and
    fades out over its last 30 ms: where one clip follows another at once, they cross.

    Args:
        clips: What is heard and when.
        frames: The programme's length at 48 kHz; what would sound later is cut off.
        level: Loudness and peak; -14 LUFS and -1 dBTP unless given.

    Yields:
        Blocks of samples (frames, 2) at 48 kHz, of ten seconds but for the last.

    Raises:
        ValueError: A clip starts or is cut before zero, or is cut backwards.
    """
    level = level or Level()
    for clip in clips:
        if clip.start < 0 or clip.cut_start_s < 0 or clip.cut_end_s < clip.cut_start_s:
            raise ValueError(f"a clip must lie after zero and run forwards: {clip.start}, {clip.cut_start_s}")
    with TemporaryFile() as store:
        meter = Meter(MIX_RATE)
        for block in _overlaid(_pieces(clips, level.lufs), frames):
            meter.feed(block)
            store.write(block.tobytes())
        gain = _programme_gain(store, frames, meter.integrated, level)
        yield from _finished(store, frames, gain, level)


def _programme_gain(store: IO[bytes], frames: int, measured: float | None, level: Level) -> float:
    """The gain in dB that, once limited, gives the programme its loudness."""
    if measured is None:
        return 0.0
    gain = level.lufs - measured
    for _ in range(ROUNDS):
        meter = Meter(MIX_RATE)
        for block in _finished(store, frames, gain, level):
            meter.feed(block)
        missing = level.lufs - (meter.integrated if meter.integrated is not None else level.lufs)
        if abs(missing) < CLOSE_ENOUGH_LU:
            break
        gain += missing
    return gain


def _finished(store: IO[bytes], frames: int, gain_db: float, level: Level) -> Iterator[Samples]:
    """The stored programme with its gain, limited, in blocks."""
    factor = np.float32(10 ** (gain_db / 20))
    for start in range(0, frames, BLOCK_FRAMES):
        stop = min(start + BLOCK_FRAMES, frames)
        first, last = max(0, start - MARGIN_FRAMES), min(frames, stop + MARGIN_FRAMES)
        block = limited(_stored(store, first, last) * factor, MIX_RATE, level.peak_dbtp)
        yield block[start - first : stop - first]


def _stored(store: IO[bytes], first: int, last: int) -> Samples:
    store.seek(first * 8)
    return np.frombuffer(store.read((last - first) * 8), np.float32).reshape(-1, 2)


def _pieces(clips: Sequence[Clip], lufs: float) -> list[Piece]:
    whole: dict[int, float | None] = {}
    pieces: list[Piece] = []
    for clip in clips:
        if id(clip.audio) not in whole:
            whole[id(clip.audio)] = integrated_lufs(clip.audio)
        pieces += _faded(*_cut(clip), _gain(clip, whole[id(clip.audio)], lufs))
    return pieces


def _gain(clip: Clip, whole: float | None, lufs: float) -> float:
    """The gain in dB that brings a clip to the programme's loudness; a take keeps a little of its dynamics."""
    audio = clip.audio
    first, last = round(clip.cut_start_s * audio.rate), round(clip.cut_end_s * audio.rate)
    own = integrated_lufs(Audio(audio.samples[first:last], audio.rate))
    if own is None:
        own = whole
    if own is None or whole is None:
        return 0.0
    gain = lufs - own
    if clip.kind == "take":
        gain += float(np.clip(own - whole, -TAKE_DYNAMICS_LU, TAKE_DYNAMICS_LU))
    return min(gain, MOST_GAIN_DB)


def _cut(clip: Clip) -> tuple[int, Samples]:
    """A clip's samples (frames, 2) at 48 kHz with its lead-in, and the frame they start at."""
    audio = clip.audio
    lead_s = min(FADE_FRAMES / MIX_RATE, clip.start / MIX_RATE, clip.cut_start_s / float(clip.stretch))
    lead = int(lead_s * MIX_RATE)
    from_s = clip.cut_start_s - lead / MIX_RATE * float(clip.stretch)
    first, last = max(0, round(from_s * audio.rate)), round(clip.cut_end_s * audio.rate)
    samples = stereo(audio.samples[first:last])
    if audio.rate != MIX_RATE:
        samples = soxr.resample(samples, audio.rate, MIX_RATE)
    return clip.start - lead, stretched(samples, MIX_RATE, clip.stretch)


def _faded(start: int, samples: Samples, gain_db: float) -> list[Piece]:
    """A clip as a faded head, a body and a faded tail."""
    edge = min(FADE_FRAMES, len(samples) // 2 // FRAMES_PER_MS * FRAMES_PER_MS)
    if edge == 0:
        return []
    head = _samples(_segment(samples[:edge]).fade_in(edge // FRAMES_PER_MS))
    tail = _samples(_segment(samples[-edge:]).fade_out(edge // FRAMES_PER_MS))
    return [
        Piece(start, head, gain_db),
        Piece(start + edge, samples[edge:-edge], gain_db),
        Piece(start + len(samples) - edge, tail, gain_db),
    ]


def _overlaid(pieces: Sequence[Piece], frames: int) -> Iterator[Samples]:
    """Everything that sounds, in blocks, before the programme's own gain."""
    for start in range(0, frames, BLOCK_FRAMES):
        block = _segment(np.zeros((BLOCK_FRAMES, 2), np.float32))
        for piece in pieces:
            block = _overlay(block, start, piece)
        yield _samples(block)[: frames - start]


def _overlay(block: AudioSegment, block_start: int, piece: Piece) -> AudioSegment:
    """The block with what of a piece falls into it."""
    first = max(block_start, piece.start)
    last = min(block_start + BLOCK_FRAMES, piece.start + len(piece.samples))
    if first >= last:
        return block
    part = piece.samples[first - piece.start : last - piece.start]
    millisecond, lead = divmod(first - block_start, FRAMES_PER_MS)
    padded = np.pad(part, ((lead, -(lead + len(part)) % FRAMES_PER_MS), (0, 0)))
    return block.overlay(_segment(padded).apply_gain(piece.gain_db), position=millisecond)


def _segment(samples: Samples) -> AudioSegment:
    """Samples (frames, 2) at 48 kHz as a 32-bit segment."""
    words = np.clip(samples * np.float64(FULL_SCALE), -(2**31), 2**31 - 1).astype("<i4")
    return AudioSegment(words.tobytes(), frame_rate=MIX_RATE, sample_width=4, channels=2)


def _samples(segment: AudioSegment) -> Samples:
    words = np.frombuffer(segment.raw_data, "<i4").reshape(-1, 2)
    return (words / np.float64(FULL_SCALE)).astype(np.float32)
