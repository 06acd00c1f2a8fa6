"""Word times: when each written word is spoken, by forced alignment against an acoustic model of English.

The aligner is PocketSphinx with the model and dictionary inside its package (16 kHz, 10 ms frames). Words
missing from the dictionary are pronounced by the draft voice's letter-to-sound model. Long recordings are
aligned a window at a time, so time grows only with their length. Nothing here fails: words that cannot be
placed are filled in between their neighbours and marked as guessed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import numpy.typing as npt
import soxr
from pocketsphinx import Decoder

from lessonmaker.sound.model import Audio, WordTime
from lessonmaker.sound.phonemes import arpabet
from lessonmaker.sound.pronunciation import word_sounds
from lessonmaker.sound.spelling import spoken_words

__all__ = ["time_words"]

ALIGNER_RATE = 16_000
FRAME_S = 0.01
LONGEST_AT_ONCE_S = 30.0
"""Alignment time grows with the square of what is aligned at once: 30 s take about 0.7 s, six minutes 20 s."""

WINDOW_S = 24.0
KEEP_S = 16.0
"""Of a window's words only those that end within the first KEEP_S are kept; the rest are aligned again."""

FASTEST_WORDS_PER_S = 5.0
LEAST_S = 0.02

BEAM = 1e-120
SEARCH = {"beam": BEAM, "pbeam": BEAM, "wbeam": BEAM, "bestpath": False, "lw": 1.0, "silprob": 0.1}
"""How the aligner searches: nothing that matters is pruned; the way found is taken as it is, since the search
over its lattice loses words at the ends; and pauses cost little, so that a word does not stretch over them."""

NOISE_FLOOR = 0.002
"""Noise laid under the speech, as a share of full scale (-54 dB): the model knows no digital silence."""
SPEECH_FLOOR_DB = -35.0

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Spoken:
    """One spoken word: the name it has in the aligner's dictionary, and the written word it belongs to."""

    name: str
    owner: int


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
    speech = _at_aligner_rate(audio)
    spoken = [
        Spoken(name, owner)
        for owner, word in enumerate(words)
        for part in spoken_words(word)
        if (name := _name(part, own)) is not None
    ]
    placed = _align(speech, spoken) if len(speech) / ALIGNER_RATE > LEAST_S else []
    return _fill(words, placed, speech)


def _at_aligner_rate(audio: Audio) -> Samples:
    mono = audio.samples if audio.samples.ndim == 1 else audio.samples.mean(axis=1)
    speech = np.asarray(soxr.resample(mono, audio.rate, ALIGNER_RATE), np.float32)
    peak = float(np.abs(speech).max(initial=0.0))
    if peak == 0:
        return speech
    floor = np.random.default_rng(1).normal(0, NOISE_FLOOR, len(speech)).astype(np.float32)
    return speech * np.float32(0.7 / peak) + floor


@cache
def _decoder() -> Decoder:
    return Decoder(lm=None, loglevel="FATAL", **SEARCH)


def _name(word: str, own: Mapping[str, str] | None) -> str | None:
    """The word's name in the aligner's dictionary, put there if need be; None where nothing says its sounds.

    A word that is added is named by its sounds too, so that nobody's pronunciation changes another's times.
    """
    plain = word.lower()
    if plain not in (own or {}) and _decoder().lookup_word(plain):
        return plain
    phones = arpabet(word_sounds(word, own))
    if not phones:
        return None
    name = f"{plain}={phones.replace(' ', '_')}"
    if not _decoder().lookup_word(name):
        _decoder().add_word(name, phones, True)
    return name


def _align(speech: Samples, spoken: Sequence[Spoken]) -> list[Placed]:
    """The spoken words' places, as many as could be found."""
    if not spoken:
        return []
    if len(speech) <= LONGEST_AT_ONCE_S * ALIGNER_RATE:
        whole = _align_all(speech, spoken)
        if whole:
            return whole
    return _align_by_windows(speech, spoken)


def _align_all(speech: Samples, spoken: Sequence[Spoken]) -> list[Placed]:
    _decoder().set_align_text(" ".join(word.name for word in spoken))
    found = _decode(speech)
    return _placed(found, spoken) if len(found) == len(spoken) else []


def _align_by_windows(speech: Samples, spoken: Sequence[Spoken]) -> list[Placed]:
    """Words in order, a window of the recording at a time, the last of each window left for the next."""
    placed: list[Placed] = []
    at = 0
    while len(placed) < len(spoken) and at < len(speech):
        window = speech[at : at + round(WINDOW_S * ALIGNER_RATE)]
        last_window = at + len(window) >= len(speech)
        start = len(placed)
        most = start + int(WINDOW_S * FASTEST_WORDS_PER_S)
        found = _align_beginning(window, spoken[start:most], last_window and most >= len(spoken))
        kept = [word for word in found if last_window or word.end_s <= KEEP_S]
        offset = at / ALIGNER_RATE
        placed += [replace(word, start_s=word.start_s + offset, end_s=word.end_s + offset) for word in kept]
        at += round((kept[-1].end_s if kept else KEEP_S) * ALIGNER_RATE)
    return placed


def _align_beginning(window: Samples, spoken: Sequence[Spoken], to_the_end: bool) -> list[Placed]:
    """Align a window against words of which it holds only the first so many, or all of them."""
    if to_the_end:
        whole = _align_all(window, spoken)
        if whole:
            return whole
    decoder = _decoder()
    steps = [(index, index + 1, 1.0, word.name) for index, word in enumerate(spoken)]
    ends = [(index, len(spoken), 1.0) for index in range(1, len(spoken))]
    grammar = decoder.create_fsg("beginning", 0, len(spoken), [*steps, *ends])
    decoder.add_fsg("beginning", grammar)
    decoder.activate_search("beginning")
    found = _decode(window)
    return _placed(found, spoken[: len(found)])


def _decode(speech: Samples) -> list[tuple[float, float]]:
    """Start and end in seconds of each word heard, without silences and noises."""
    decoder = _decoder()
    decoder.start_utt()
    decoder.process_raw((speech * 32767).astype("<i2").tobytes(), full_utt=True)
    decoder.end_utt()
    return [
        (segment.start_frame * FRAME_S, (segment.end_frame + 1) * FRAME_S)
        for segment in decoder.seg() or ()
        if not segment.word.startswith(("<", "[", "+", "(NULL)"))
    ]


def _placed(found: Sequence[tuple[float, float]], spoken: Sequence[Spoken]) -> list[Placed]:
    return [Placed(word.owner, *span) for word, span in zip(spoken, found, strict=True)]


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
            words[index:last], start, follower[0] if follower else len(speech) / ALIGNER_RATE, speech
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
    frame = round(FRAME_S * ALIGNER_RATE)
    part = speech[round(start_s * ALIGNER_RATE) : round(end_s * ALIGNER_RATE)]
    power = np.square(part[: len(part) // frame * frame]).reshape(-1, frame).mean(axis=1)
    active = np.flatnonzero(power > power.max(initial=0.0) * 10 ** (SPEECH_FLOOR_DB / 10))
    if len(active) < 2:
        return np.array([start_s, max(start_s, end_s)])
    return np.concatenate([start_s + active * FRAME_S, [start_s + (active[-1] + 1) * FRAME_S]])
