"""Mixing: pieces of takes and narration become one programme at 48 kHz.

The programme is cut where it is silent into **stretches**, which are made one by one and do not know of each other nor
of where they stand: equal clips give equal samples wherever they are heard. Each clip is brought to one loudness by
itself (`measured`); the programme then has one gain, in steps of a quarter of a decibel so that a changed sentence
seldom changes it (`programme_gain`), and each stretch is finished with it and limited (`finished`; see `limiter`).

Where clips fade and meet, pydub fades and overlays them, in 32-bit words with 24 dB of headroom; every start is exact
to the sample.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from typing import Literal

import numpy as np
import numpy.typing as npt
import soxr

from lessonmaker.sound.limiter import limit, limiting_gains, peaks_by_ms
from lessonmaker.sound.loudness import gated_lufs, integrated_lufs, stereo, weighted_power
from lessonmaker.sound.model import Audio, Sound
from lessonmaker.sound.stretch import stretched

with (
    warnings.catch_warnings()
):  # pydub: audioop's end in Python 3.13, old escapes, and the ffmpeg it looks for
    warnings.filterwarnings("ignore", message=".*audioop.*", category=DeprecationWarning)
    warnings.filterwarnings("ignore", message=".*invalid escape.*")
    warnings.filterwarnings("ignore", message="Couldn't find ffmpeg", category=RuntimeWarning)
    from pydub import AudioSegment

__all__ = [
    "MIX_RATE",
    "Clip",
    "Level",
    "Measured",
    "Stretch",
    "finished",
    "measured",
    "mix",
    "mix_blocks",
    "programme_gain",
    "stretches",
    "with_loudness",
]

MIX_RATE = 48_000
FADE_MS = 30
FADE_FRAMES = FADE_MS * MIX_RATE // 1000
FRAMES_PER_MS = MIX_RATE // 1000
FULL_SCALE = 1 << 27
"""One in 32-bit words: 24 dB below the largest, so that nothing clips before it is limited."""

BLOCK_FRAMES = 1024
"""The grid of the stretches: a block of AAC-LC, so that each can be coded by itself."""

SILENT_BLOCKS = 2
"""At least so many blocks at either end of a stretch are silent: what a coder spreads into the first stays inside."""

REFERENCE_LUFS = -14.0
"""What each clip is brought to; the programme's own gain leads from there."""

TAKE_DYNAMICS_LU = 1.0
"""How much louder or softer than the programme an excerpt may stay, where the take itself is."""

MOST_GAIN_DB = 40.0
STEPS_PER_DB = 4
ROUNDS = 8
EDGE_MS = 300
"""What a gating block of 400 ms, one every 100 ms, may hold of the silence about a stretch."""

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Clip:
    """A piece of a recording: seconds [cut_start_s, cut_end_s) of `audio`, heard from frame `start` at 48 kHz on.

    `stretch` is the tempo as a share of the original (3/5: slower). `whole_lufs` is the loudness of the whole
    recording: where it is known, an excerpt of a take keeps a little of what it has more or less.
    """

    start: int
    audio: Sound
    kind: Literal["take", "narration", "scene"]
    cut_start_s: float
    cut_end_s: float
    stretch: Fraction = Fraction(1)
    whole_lufs: float | None = None


@dataclass(frozen=True)
class Level:
    """The loudness of a programme in LUFS and the highest true peak in dBTP."""

    lufs: float = -14.0
    peak_dbtp: float = -1.0


@dataclass(frozen=True)
class Stretch:
    """A part of the programme with silence at both its ends, from frame `start` on, for `frames` at 48 kHz.

    It begins at a block of the programme. Its clips hold no more of their recordings than they need, and start as many
    frames after the stretch: everything but `start` is equal where the same is heard at another time.
    """

    start: int
    frames: int
    clips: tuple[Clip, ...]


@dataclass(frozen=True)
class Measured:
    """What the programme's level is found from, of one stretch.

    Attributes:
        gains_db: What brings each clip to its loudness, in dB.
        power: The K-weighted power of each millisecond, shape (milliseconds,), of the stretch with these gains.
        peaks: The true peak of each millisecond, shape (milliseconds,).
    """

    gains_db: tuple[float, ...]
    power: Samples
    peaks: Samples


@dataclass(frozen=True)
class Laid:
    """A clip's samples (frames, channels) at 48 kHz, from frame `start` of the stretch on; the first `lead` lead in."""

    start: int
    samples: Samples
    lead: int


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
        Samples (frames, 2) at 48 kHz: each stretch, and the silence between.

    Raises:
        ValueError: A clip starts or is cut before zero, or is cut backwards.
    """
    level = level or Level()
    parts = stretches(with_loudness(clips), frames)
    found = [measured(part) for part in parts]
    gain_db = programme_gain(found, level)
    done = 0
    for part, one in zip(parts, found, strict=True):
        yield np.zeros((part.start - done, 2), np.float32)
        yield finished(part, one, gain_db, level)
        done = part.start + part.frames
    yield np.zeros((frames - done, 2), np.float32)


# Cutting the programme ----------------------------------------------------------------------------------


def with_loudness(clips: Sequence[Clip]) -> tuple[Clip, ...]:
    """Clips with the loudness of their takes, each measured once, where it is not known yet."""
    whole: dict[int, float | None] = {}
    for clip in clips:
        if clip.kind == "take" and clip.whole_lufs is None and id(clip.audio) not in whole:
            whole[id(clip.audio)] = integrated_lufs(clip.audio)
    return tuple(
        replace(clip, whole_lufs=whole[id(clip.audio)])
        if clip.whole_lufs is None and clip.kind == "take"
        else clip
        for clip in clips
    )


def stretches(clips: Sequence[Clip], frames: int) -> tuple[Stretch, ...]:
    """The stretches of a programme, in order: no clip is heard in two of them, nothing is heard between.

    Args:
        clips: What is heard and when.
        frames: The programme's length at 48 kHz.

    Raises:
        ValueError: A clip starts or is cut before zero, or is cut backwards.
    """
    for clip in clips:
        if clip.start < 0 or clip.cut_start_s < 0 or clip.cut_end_s < clip.cut_start_s:
            raise ValueError(f"a clip must lie after zero and run forwards: {clip.start}, {clip.cut_start_s}")
    groups: list[tuple[int, int, list[Clip]]] = []
    for clip in sorted(clips, key=lambda clip: clip.start):
        first, last = _blocks(clip)
        if groups and first < groups[-1][1]:
            begun = groups.pop()
            groups.append((begun[0], max(begun[1], last), [*begun[2], clip]))
        elif first * BLOCK_FRAMES < frames:
            groups.append((first, last, [clip]))
    return tuple(
        _stretch(first * BLOCK_FRAMES, min(last * BLOCK_FRAMES, frames), inside)
        for first, last, inside in groups
    )


def _blocks(clip: Clip) -> tuple[int, int]:
    """The blocks [first, last) that a clip is heard in, with the silence on either side that a stretch has."""
    end = clip.start + (clip.cut_end_s - clip.cut_start_s) / float(clip.stretch) * MIX_RATE
    first, last = (clip.start - FADE_FRAMES) // BLOCK_FRAMES, ceil(end / BLOCK_FRAMES)
    return max(first - SILENT_BLOCKS, 0), last + SILENT_BLOCKS


def _stretch(start: int, stop: int, clips: Sequence[Clip]) -> Stretch:
    return Stretch(
        start, stop - start, tuple(_needed(replace(clip, start=clip.start - start)) for clip in clips)
    )


def _needed(clip: Clip) -> Clip:
    """A clip with no more of its recording than is heard, its lead-in included."""
    audio = clip.audio
    first = max(0, floor((clip.cut_start_s - FADE_FRAMES / MIX_RATE * float(clip.stretch)) * audio.rate))
    last = ceil(clip.cut_end_s * audio.rate)
    return replace(
        clip,
        audio=audio.part(first, last),
        cut_start_s=clip.cut_start_s - first / audio.rate,
        cut_end_s=clip.cut_end_s - first / audio.rate,
    )


# Levels -------------------------------------------------------------------------------------------------


def measured(stretch: Stretch) -> Measured:
    """Bring the clips of a stretch to one loudness, and measure what they are together."""
    laid = [_laid(clip) for clip in stretch.clips]
    gains_db = tuple(_gain(clip, one) for clip, one in zip(stretch.clips, laid, strict=True))
    samples = _mixed(laid, gains_db, stretch.frames)
    return Measured(gains_db, weighted_power(samples), peaks_by_ms(samples))


def _gain(clip: Clip, laid: Laid) -> float:
    """The gain in dB that brings a clip to its loudness; a take keeps a little of its dynamics."""
    own = gated_lufs([weighted_power(laid.samples[laid.lead :])])
    own = clip.whole_lufs if own is None else own
    if own is None:
        return 0.0
    gain = REFERENCE_LUFS - own
    if clip.kind == "take" and clip.whole_lufs is not None:
        gain += float(np.clip(own - clip.whole_lufs, -TAKE_DYNAMICS_LU, TAKE_DYNAMICS_LU))
    return min(gain, MOST_GAIN_DB)


def programme_gain(parts: Sequence[Measured], level: Level) -> float:
    """The gain in dB, in quarters, with which the limited programme comes nearest to its loudness.

    Args:
        parts: What was measured of every stretch of the programme.
        level: What the programme is to have.
    """
    found = gated_lufs([np.pad(part.power, EDGE_MS) for part in parts])
    if found is None:
        return 0.0
    missing = level.lufs - found
    tried: dict[float, float] = {}
    gain_db = 0.0
    for _ in range(ROUNDS):
        gain_db += round(missing * STEPS_PER_DB) / STEPS_PER_DB
        if gain_db in tried:
            break
        missing = level.lufs - _limited_lufs(parts, gain_db, level)
        tried[gain_db] = abs(missing)
    return min(tried, key=lambda gain: (tried[gain], gain))


def _limited_lufs(parts: Sequence[Measured], gain_db: float, level: Level) -> float:
    """The loudness that a programme has with a gain, limited."""
    factor = np.float32(10 ** (gain_db / 20))
    powers = (
        part.power * np.square(factor * limiting_gains(part.peaks * factor, level.peak_dbtp))
        for part in parts
    )
    found = gated_lufs([np.pad(power, EDGE_MS) for power in powers])
    return level.lufs if found is None else found


def finished(stretch: Stretch, found: Measured, gain_db: float, level: Level) -> Samples:
    """A stretch as it is heard.

    Args:
        stretch: What is heard.
        found: What was measured of it.
        gain_db: The programme's gain.
        level: The programme's level, of which the highest peak is kept.

    Returns:
        Samples (frames, 2) at 48 kHz.
    """
    samples = _mixed([_laid(clip) for clip in stretch.clips], found.gains_db, stretch.frames)
    factor = np.float32(10 ** (gain_db / 20))
    samples *= factor
    limit(samples, limiting_gains(found.peaks * factor, level.peak_dbtp))
    return stereo(samples)


# Laying clips -------------------------------------------------------------------------------------------


def _laid(clip: Clip) -> Laid:
    """A clip with its lead-in, cut, at 48 kHz and in its tempo."""
    audio = clip.audio
    before = int(clip.cut_start_s / float(clip.stretch) * MIX_RATE)
    lead = min(FADE_FRAMES, clip.start, before)
    from_s = clip.cut_start_s - lead / MIX_RATE * float(clip.stretch)
    samples = audio.samples[max(0, round(from_s * audio.rate)) : max(0, round(clip.cut_end_s * audio.rate))]
    samples = samples[:, None] if samples.ndim == 1 else samples
    if audio.rate != MIX_RATE:
        samples = soxr.resample(samples, audio.rate, MIX_RATE)
    return Laid(clip.start - lead, stretched(samples, MIX_RATE, clip.stretch), lead)


def _mixed(laid: Sequence[Laid], gains_db: Sequence[float], frames: int) -> Samples:
    """Clips with their gains and fades, added: shape (frames, channels), one channel where all have but one."""
    channels = max((one.samples.shape[1] for one in laid), default=1)
    mixed = np.zeros((frames, channels), np.float32)
    for one, gain_db in zip(laid, gains_db, strict=True):
        edge = min(FADE_FRAMES, len(one.samples) // 2 // FRAMES_PER_MS * FRAMES_PER_MS)
        middle = one.samples[edge : len(one.samples) - edge]
        _overlay(mixed, one.start, one.samples[:edge], gain_db, AudioSegment.fade_in)
        _add(mixed, one.start + edge, middle, gain_db)
        _overlay(
            mixed,
            one.start + edge + len(middle),
            one.samples[len(one.samples) - edge :],
            gain_db,
            AudioSegment.fade_out,
        )
    return mixed


def _add(mixed: Samples, start: int, samples: Samples, gain_db: float) -> None:
    """Add samples with a gain; what lies after the end is cut off."""
    under = mixed[start : start + len(samples)]
    under += samples[: len(under)] * np.float32(10 ** (gain_db / 20))


def _overlay(
    mixed: Samples,
    start: int,
    edge: Samples,
    gain_db: float,
    fade: Callable[[AudioSegment, int], AudioSegment],
) -> None:
    """Lay the edge of a clip, faded, over what is heard there."""
    under = mixed[start : start + len(edge)]
    if len(under) and len(edge):
        faded = fade(_segment(edge, mixed.shape[1]), len(edge) // FRAMES_PER_MS).apply_gain(gain_db)
        under[:] = _samples(_segment(under, mixed.shape[1]).overlay(faded))


def _segment(samples: Samples, channels: int) -> AudioSegment:
    """Samples (frames, channels) at 48 kHz as a 32-bit segment."""
    words = np.clip(samples * np.float64(FULL_SCALE), -(2**31), 2**31 - 1).astype("<i4")
    words = np.broadcast_to(words, (len(words), channels))
    return AudioSegment(words.tobytes(), frame_rate=MIX_RATE, sample_width=4, channels=channels)


def _samples(segment: AudioSegment) -> Samples:
    words = np.frombuffer(segment.raw_data, "<i4").reshape(-1, segment.channels)
    return (words / np.float64(FULL_SCALE)).astype(np.float32)
