"""Joining readings of sentences to one narration, and shortening long silences.

Sentences read in one go keep the reader's own pauses and breaths. What comes from different places is cut where it is
quiet and joined by a natural pause of the room's own sound, each edge faded over 30 ms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import soxr

from lessonmaker.sound.model import Audio, Difference, Narration, SentenceRead, WordTime
from lessonmaker.sound.pauses import FRAME_S, loudness_db, quietest

__all__ = ["assembled", "shortened"]

FADE_S = 0.03
JOIN_PAUSE_S = 0.5
"""From the last word of a stretch to the first of the next: an unhurried pause (common practice, no source)."""

NEAREST_CUT_S, FARTHEST_CUT_S = 0.04, 0.4
"""How far from a word a cut may lie."""

QUIET_S = 0.05
NEARLY_QUIETEST_DB = 6.0
INTERRUPTION_UNDER_SPEECH_DB = 20.0
SHORTEST_INTERRUPTION_S = 0.12
TONE_S = 0.4
OVER_ROOM_DB = 8.0
UNDER_SPEECH_DB, LEAST_UNDER_SPEECH_DB = 40.0, 15.0

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Stretch:
    """Sentences read in one go: seconds [start_s, end_s) of a recording, with the quiet about them."""

    audio: Audio
    reads: tuple[SentenceRead, ...]
    start_s: float
    end_s: float

    @classmethod
    def of(cls, audio: Audio, reads: Sequence[SentenceRead]) -> Stretch:
        """Cut in the quiet before the first word and after the last one."""
        start_s = _quiet_before(audio, reads[0].start_s)
        return cls(audio, tuple(reads), start_s, _quiet_after(audio, reads[-1].end_s))

    @property
    def lead_s(self) -> float:
        """The quiet before its first word."""
        return self.reads[0].start_s - self.start_s

    @property
    def tail_s(self) -> float:
        """The quiet after its last word."""
        return self.end_s - self.reads[-1].end_s


def assembled(reads: Sequence[tuple[Audio, SentenceRead]]) -> Narration:
    """A cue's narration, put together from readings of its sentences in order; not empty.

    Args:
        reads: Each sentence's recording and reading; what is of one recording is of one `Audio` object.

    Returns:
        One narration, mono at the first recording's rate; times of words and differences are those in it.
    """
    rate = reads[0][0].rate
    stretches = list(_stretches(reads))
    pieces = [_part(stretches[0].audio, stretches[0].start_s, stretches[0].end_s, rate)]
    places = [0]
    for before, after in pairwise(stretches):
        tone = _tone(before, JOIN_PAUSE_S - before.tail_s - after.lead_s, rate)
        pieces += [*tone, _part(after.audio, after.start_s, after.end_s, rate)]
        places.append(len(pieces) - 1)
    samples, starts = _chained(pieces, rate)
    words: list[WordTime] = []
    differences: list[Difference] = []
    for stretch, place in zip(stretches, places, strict=True):
        offset_s = starts[place] / rate - stretch.start_s
        for read in stretch.reads:
            differences += [_later(one, len(words), offset_s) for one in read.differences]
            words += [_moved(word, word.start_s + offset_s, word.end_s + offset_s) for word in read.words]
    return Narration(Audio(samples, rate), tuple(words), draft=False, differences=tuple(differences))


def shortened(narration: Narration, longest_pause_s: float) -> Narration:
    """A narration whose silences last at most so long; the room's sound stays, words and differences move along.

    Args:
        narration: A mono narration.
        longest_pause_s: What longer silences are shortened to, at least twice the fade.
    """
    audio = narration.audio
    kept = _kept(audio, max(longest_pause_s, 2 * FADE_S))
    if len(kept) == 1:
        return narration
    pieces = [_part(audio, start, end, audio.rate) for start, end in kept]
    samples, starts = _chained(pieces, audio.rate)
    places_s = np.array([edge for span in kept for edge in span])
    moved_s = np.array(
        [
            start / audio.rate + edge
            for start, (first, last) in zip(starts, kept, strict=True)
            for edge in (0, last - first)
        ]
    )

    def now(time_s: float) -> float:
        return float(np.interp(time_s, places_s, moved_s))

    return replace(
        narration,
        audio=Audio(samples, audio.rate),
        words=tuple(_moved(word, now(word.start_s), now(word.end_s)) for word in narration.words),
        differences=tuple(replace(one, time_s=now(one.time_s)) for one in narration.differences),
    )


def _moved(word: WordTime, start_s: float, end_s: float) -> WordTime:
    return replace(word, start_s=max(0.0, start_s), end_s=max(0.0, end_s))


def _later(one: Difference, words: int, offset_s: float) -> Difference:
    time_s = max(0.0, one.time_s + offset_s)
    return replace(one, first=one.first + words, last=one.last + words, time_s=time_s)


# Where to cut -------------------------------------------------------------------------------------------


def _stretches(reads: Sequence[tuple[Audio, SentenceRead]]) -> Iterator[Stretch]:
    """Readings that follow each other in one recording, with nothing but a pause between, stay together."""
    run = [reads[0][1]]
    for (audio, read), (next_audio, next_read) in pairwise(reads):
        if next_audio is not audio or not _goes_on(audio, read, next_read):
            yield Stretch.of(audio, run)
            run = []
        run.append(next_read)
    yield Stretch.of(reads[-1][0], run)


def _goes_on(audio: Audio, read: SentenceRead, following: SentenceRead) -> bool:
    """Whether between two readings there is nothing but quiet and breaths."""
    if following.start_s < read.end_s - QUIET_S:
        return False
    speech_db = np.percentile(_levels(audio, read.start_s, read.end_s), 75)
    between = _levels(audio, read.end_s + QUIET_S, following.start_s - QUIET_S)
    loud = np.count_nonzero(between > speech_db - INTERRUPTION_UNDER_SPEECH_DB)
    return bool(loud * FRAME_S < SHORTEST_INTERRUPTION_S)


def _quiet_before(audio: Audio, word_s: float) -> float:
    first = max(0.0, word_s - FARTHEST_CUT_S)
    levels = _levels(audio, first, word_s - NEAREST_CUT_S)
    return max(0.0, word_s - NEAREST_CUT_S - _nearest_quiet_s(levels[::-1]))


def _quiet_after(audio: Audio, word_s: float) -> float:
    levels = _levels(audio, word_s + NEAREST_CUT_S, word_s + FARTHEST_CUT_S)
    return min(audio.seconds, word_s + NEAREST_CUT_S + _nearest_quiet_s(levels))


def _nearest_quiet_s(levels: npt.NDArray[np.float32]) -> float:
    """How far away it is first nearly as quiet as it gets, for as long as a fade takes."""
    length = round(QUIET_S / FRAME_S)
    if len(levels) < length:
        return len(levels) * FRAME_S
    loudest = np.lib.stride_tricks.sliding_window_view(levels, length).max(axis=1)
    return float(np.argmax(loudest <= loudest.min() + NEARLY_QUIETEST_DB) + length) * FRAME_S


def _levels(audio: Audio, start_s: float, end_s: float) -> npt.NDArray[np.float32]:
    return loudness_db(_cut(audio, start_s, end_s), audio.rate)


def _kept(audio: Audio, longest_s: float) -> list[tuple[float, float]]:
    """The parts of a recording, in seconds, that stay when the middles of its long silences are left out."""
    quiet = _is_quiet(loudness_db(_cut(audio, 0.0, audio.seconds), audio.rate))
    edges = np.flatnonzero(np.diff(np.concatenate([[0], quiet, [0]]).astype(int)))
    kept: list[tuple[float, float]] = []
    start_s = 0.0
    for first, last in edges.reshape(-1, 2):
        if (last - first) * FRAME_S > longest_s + 2 * FADE_S:
            half_s = (longest_s + FADE_S) / 2
            kept.append((start_s, float(first) * FRAME_S + half_s))
            start_s = float(last) * FRAME_S - half_s
    return [*kept, (start_s, audio.seconds)]


def _is_quiet(levels: npt.NDArray[np.float32]) -> npt.NDArray[np.bool_]:
    """Where nobody speaks: by the room's own level and that of the speech."""
    if not len(levels):
        return np.zeros(0, bool)
    room_db, speech_db = np.percentile(levels, (5, 90))
    floor_db = max(room_db + OVER_ROOM_DB, speech_db - UNDER_SPEECH_DB)
    return np.asarray(levels < min(floor_db, speech_db - LEAST_UNDER_SPEECH_DB))


# Samples ------------------------------------------------------------------------------------------------


def _cut(audio: Audio, start_s: float, end_s: float) -> Samples:
    """Mono samples from one time to another, as far as there are any."""
    part = audio.samples[max(0, round(start_s * audio.rate)) : max(0, round(end_s * audio.rate))]
    return part if part.ndim == 1 else np.asarray(part.mean(axis=1), np.float32)


def _part(audio: Audio, start_s: float, end_s: float, rate: int) -> Samples:
    """As `_cut`, at a rate."""
    part = _cut(audio, start_s, end_s)
    return part if audio.rate == rate else np.asarray(soxr.resample(part, audio.rate, rate), np.float32)


def _tone(stretch: Stretch, seconds: float, rate: int) -> list[Samples]:
    """The room's own sound for so long besides what its fades take; nothing where no time is left for it."""
    if seconds <= FADE_S:
        return []
    around = _part(stretch.audio, stretch.start_s - TONE_S, stretch.end_s + TONE_S, rate)
    length = round(TONE_S / 2 * rate)
    middle = quietest(loudness_db(around, rate), TONE_S / 2) * round(FRAME_S * rate)
    room = around[max(0, middle - length // 2) :][:length]
    wanted = round((seconds + 2 * FADE_S) * rate)
    fade = _fade(rate)
    if len(room) <= 2 * fade:
        return [np.zeros(wanted, np.float32)]
    copies = -(-wanted // (len(room) - fade)) + 1
    return [_chained([room if index % 2 else room[::-1] for index in range(copies)], rate)[0][:wanted]]


def _fade(rate: int) -> int:
    return round(FADE_S * rate)


def _chained(pieces: Sequence[Samples], rate: int) -> tuple[Samples, list[int]]:
    """Pieces laid one after another, each fading into the next, and the sample at which each starts."""
    starts, at = [], 0
    fades: list[int] = []
    for piece, following in zip(pieces, [*pieces[1:], pieces[-1]], strict=True):
        starts.append(at)
        fades.append(min(_fade(rate), len(piece) // 2, len(following) // 2))
        at += len(piece) - fades[-1]
    whole = np.zeros(at + fades[-1], np.float32)
    for index, (start, piece) in enumerate(zip(starts, pieces, strict=True)):
        before = fades[index - 1] if index else min(_fade(rate), len(piece) // 2)
        whole[start : start + len(piece)] += piece * _envelope(len(piece), before, fades[index])
    return whole, starts


def _envelope(length: int, fade_in: int, fade_out: int) -> Samples:
    """One, with a fade of equal power at either end."""
    envelope = np.ones(length, np.float32)
    for count, part in ((fade_in, envelope), (fade_out, envelope[::-1])):
        part[:count] *= np.sin((np.arange(count, dtype=np.float32) + 0.5) * (np.pi / 2 / max(count, 1)))
    return envelope
