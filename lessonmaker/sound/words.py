"""Word times: when each written word is spoken.

Words are placed by forced alignment; those that no dictionary has are pronounced by the trade's table or the
draft voice's letter-to-sound model. Nothing here fails: words that cannot be placed are filled in between their
neighbours and marked as guessed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.aligner import Samples, aligner_name, aligner_samples, word_spans
from lessonmaker.sound.model import Audio, WordTime
from lessonmaker.sound.pauses import FRAME_S
from lessonmaker.sound.recogniser import RECOGNISER_RATE
from lessonmaker.sound.spelling import spoken_words

__all__ = ["time_words"]

SPEECH_FLOOR_DB = -35.0
LEAST_S = 0.02


@dataclass(frozen=True)
class Placed:
    """A spoken word's place in seconds."""

    owner: int
    start_s: float
    end_s: float


def time_words(
    audio: Audio, words: Sequence[str], own: Mapping[str, str] | None = None
) -> tuple[WordTime, ...]:
    """When each written word is spoken.

    Args:
        audio: The speech, mono or stereo, at any rate.
        words: The written words in order; "B♭7," counts as one and covers all that is said for it.
        own: The author's own pronunciations.

    Returns:
        One time a written word, in order, none before the one before it.
    """
    speech = aligner_samples(audio)
    spoken = [
        (name, owner)
        for owner, word in enumerate(words)
        for part in spoken_words(word)
        if (name := aligner_name(part, own)) is not None
    ]
    spans = (
        word_spans(speech, [name for name, _ in spoken]) if len(speech) > LEAST_S * RECOGNISER_RATE else []
    )
    placed = [Placed(owner, *span) for (_, owner), span in zip(spoken, spans, strict=False)]
    return _fill(words, placed, speech)


def _fill(words: Sequence[str], placed: Sequence[Placed], speech: Samples) -> tuple[WordTime, ...]:
    """A time for every written word; those without one share the speech between their neighbours."""
    spans: list[tuple[float, float] | None] = [None] * len(words)
    for word in placed:
        span = spans[word.owner]
        spans[word.owner] = (span[0] if span else word.start_s, word.end_s)
    times: list[WordTime] = []
    index = 0
    while index < len(words):
        span = spans[index]
        if span:
            times.append(WordTime(words[index], *span))
            index += 1
            continue
        last = next((k for k in range(index, len(words)) if spans[k]), len(words))
        follower = spans[last] if last < len(words) else None
        start = times[-1].end_s if times else 0.0
        times += _guess(
            words[index:last], start, follower[0] if follower else len(speech) / RECOGNISER_RATE, speech
        )
        index = last
    return tuple(times)


def _guess(words: Sequence[str], start_s: float, end_s: float, speech: Samples) -> list[WordTime]:
    """Words spread over the speech in a stretch of the recording, by their length in letters."""
    clock = _speech_clock(speech, start_s, end_s)
    letters = np.array([sum(map(len, spoken_words(word))) for word in words], float)
    shares = np.concatenate([[0.0], np.cumsum(letters)]) / max(letters.sum(), 1.0)
    edges = np.interp(shares, np.linspace(0, 1, len(clock)), clock)
    return [
        WordTime(word, float(first), float(last), guessed=True)
        for word, first, last in zip(words, edges, edges[1:], strict=False)
    ]


def _speech_clock(speech: Samples, start_s: float, end_s: float) -> npt.NDArray[np.float64]:
    """Times at which equal amounts of speech have passed, from the start of a stretch to its end."""
    frame = round(FRAME_S * RECOGNISER_RATE)
    part = speech[round(start_s * RECOGNISER_RATE) : round(end_s * RECOGNISER_RATE)]
    power = np.square(part[: len(part) // frame * frame]).reshape(-1, frame).mean(axis=1)
    active = np.flatnonzero(power > power.max(initial=0.0) * 10 ** (SPEECH_FLOOR_DB / 10))
    if len(active) < 2:
        return np.array([start_s, max(start_s, end_s)])
    return np.concatenate([start_s + active * FRAME_S, [start_s + (active[-1] + 1) * FRAME_S]])
