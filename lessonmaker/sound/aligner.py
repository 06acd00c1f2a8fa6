"""Forced alignment: where known words lie in a recording, against an acoustic model of English.

The aligner is PocketSphinx with the model and dictionary inside its package (16 kHz, 10 ms frames); it finds the
likeliest path through the words' sounds, with a pause or a noise between any two words where there is one
(Viterbi, 1967). Long recordings are aligned a window at a time, so time grows only with their length.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np
import numpy.typing as npt
from pocketsphinx import Decoder

from lessonmaker.sound.model import Audio
from lessonmaker.sound.pauses import FRAME_S
from lessonmaker.sound.phonemes import arpabet
from lessonmaker.sound.pronunciation import word_readings, word_sounds
from lessonmaker.sound.recogniser import RECOGNISER_RATE, decoded, mono_speech

__all__ = [
    "Samples",
    "Span",
    "aligner_name",
    "aligner_samples",
    "without_pauses",
    "word_spans",
]

FRAME = round(FRAME_S * RECOGNISER_RATE)

LONGEST_AT_ONCE_S = 40.0
"""The search keeps a table of words by frames, so its time grows with the square of what is aligned at once."""

WINDOW_S = 24.0
KEEP_S = 16.0
"""Of a window's words only those that end within the first KEEP_S are kept; the rest are aligned again."""

CUT_PAUSE_S = 0.12
CUT_FROM_S = 8.0
"""A window ends in a pause at least this long, where there is one from CUT_FROM_S on."""

FASTEST_WORDS_PER_S = 7.0

BEAM = 1e-120
SEARCH = {"beam": BEAM, "pbeam": BEAM, "wbeam": BEAM, "bestpath": False, "lw": 1.0, "silprob": 0.1}
"""How the aligner searches: nothing that matters is pruned; the way found is taken as it is, since the search
over its lattice loses words at the ends; and pauses cost little, so that a word does not stretch over them."""

SPEECH_LEVEL = 0.15
NOISE_FLOOR = 0.001
"""Noise is laid under the speech, 44 dB below its louder part: the model knows no digital silence."""

LOUDER_PART = 95
QUIETEST_PART = 5
PAUSE_BELOW_DB = 30.0
CLEAN_FROM_DB = 34.0
"""Only a recording whose quietest part is this far below its louder part has pauses that show in its level."""

LONGEST_CLOSURE_S = 0.12
"""Silence inside a word, as before the release of a stop, is shorter than this; longer silence is a pause."""

LONGEST_REST_S = 0.1
"""So much of the word before a pause may have been given to the word after it."""

LEAST_SOUND_S = 0.03

Samples = npt.NDArray[np.float32]
Span = tuple[float, float]


def aligner_samples(audio: Audio) -> Samples:
    """A recording as the aligner hears it: mono, (frames,) at `RECOGNISER_RATE`, at one level, over soft noise."""
    speech = mono_speech(audio)
    levels = _frame_levels(speech)
    loud = float(np.percentile(levels, LOUDER_PART)) if len(levels) else 0.0
    if loud <= 0:
        return speech
    floor = np.random.default_rng(1).normal(0, NOISE_FLOOR, len(speech)).astype(np.float32)
    levelled: Samples = np.clip(speech * np.float32(SPEECH_LEVEL / loud) + floor, -1, 1)
    return levelled


def _frame_levels(speech: Samples) -> npt.NDArray[np.float64]:
    """Root mean square of each whole frame, (frames,)."""
    frames = speech[: len(speech) // FRAME * FRAME].reshape(-1, FRAME)
    levels: npt.NDArray[np.float64] = np.sqrt(np.square(frames, dtype=np.float64).mean(axis=1))
    return levels


@cache
def _decoder() -> Decoder:
    return Decoder(lm=None, loglevel="FATAL", **SEARCH)


def aligner_name(word: str, own: Mapping[str, str] | None = None) -> str | None:
    """A spoken word's name in the aligner's dictionary, put there if need be; None where nothing says its sounds.

    The author's pronunciation is the only one; else the dictionary's and the trade's are all listened for. A word
    that is added is named by its sounds too, so that nobody's pronunciation changes another's times.
    """
    plain = word.lower()
    if plain in (own or {}):
        return _added(plain, [arpabet(word_sounds(word, own))])
    common = _dictionary_readings(plain)
    trade = [arpabet(sounds) for sounds in word_readings(word)]
    if common and set(trade) <= set(common):
        return plain
    return _added(plain, [*common, *trade] if common or trade else [arpabet(word_sounds(word))])


def _dictionary_readings(plain: str) -> list[str]:
    decoder = _decoder()
    readings: list[str] = []
    name = plain
    while phones := decoder.lookup_word(name):
        readings.append(phones)
        name = f"{plain}({len(readings) + 1})"
    return readings


def _added(plain: str, readings: Sequence[str]) -> str | None:
    different = list(dict.fromkeys(filter(None, readings)))
    if not different:
        return None
    decoder = _decoder()
    name = f"{plain}={'/'.join(different)}".replace(" ", "_")
    if not decoder.lookup_word(name):
        for number, phones in enumerate(different, 1):
            decoder.add_word(name if number == 1 else f"{name}({number})", phones, True)
    return name


def word_spans(speech: Samples, names: Sequence[str]) -> list[Span]:
    """Start and end in seconds of words said in order, of as many from the first on as could be found.

    Args:
        speech: As `aligner_samples` gives it.
        names: As `aligner_name` gives them.
    """
    spans = _all_spans(speech, names) if len(speech) <= LONGEST_AT_ONCE_S * RECOGNISER_RATE else []
    return without_pauses(spans or _spans_by_windows(speech, names), speech)


def _all_spans(speech: Samples, names: Sequence[str]) -> list[Span]:
    if not names:
        return []
    _decoder().set_align_text(" ".join(names))
    found = _decode(speech)
    return found if len(found) == len(names) else []


def _spans_by_windows(speech: Samples, names: Sequence[str]) -> list[Span]:
    """Words in order, a window of the recording at a time, the last of each window left for the next."""
    spans: list[Span] = []
    at = 0
    while len(spans) < len(names) and at < len(speech):
        window = speech[at : at + round(WINDOW_S * RECOGNISER_RATE)]
        last_window = at + len(window) >= len(speech)
        most = len(spans) + int(WINDOW_S * FASTEST_WORDS_PER_S)
        found = _beginning_spans(window, names[len(spans) : most], last_window and most >= len(names))
        kept = found if last_window else _kept(found)
        offset = at / RECOGNISER_RATE
        spans += [(start + offset, end + offset) for start, end in kept]
        at += round((kept[-1][1] if kept else KEEP_S) * RECOGNISER_RATE)
    return spans


def _kept(found: Sequence[Span]) -> Sequence[Span]:
    """The words of a window that are sure, up to its last pause if it has one."""
    kept = [span for span in found if span[1] <= KEEP_S]
    for index in range(min(len(kept), len(found) - 1), 0, -1):
        end = found[index - 1][1]
        if end >= CUT_FROM_S and found[index][0] - end >= CUT_PAUSE_S:
            return kept[:index]
    return kept


def _beginning_spans(window: Samples, names: Sequence[str], to_the_end: bool) -> list[Span]:
    """Align a window against words of which it holds only the first so many, or all of them."""
    if to_the_end:
        whole = _all_spans(window, names)
        if whole:
            return whole
    decoder = _decoder()
    steps = [(index, index + 1, 1.0, name) for index, name in enumerate(names)]
    ends = [(index, len(names), 1.0) for index in range(1, len(names))]
    decoder.add_fsg("beginning", decoder.create_fsg("beginning", 0, len(names), [*steps, *ends]))
    decoder.activate_search("beginning")
    return _decode(window)


def _decode(speech: Samples) -> list[Span]:
    """Start and end in seconds of each word heard, without silences and noises."""
    return [(start_s, end_s) for _, start_s, end_s in decoded(_decoder(), speech)]


def without_pauses(spans: Sequence[Span], speech: Samples) -> list[Span]:
    """Words that begin after the pause before them, where the recording's level shows its pauses.

    Args:
        spans: Words in order, in seconds.
        speech: As `aligner_samples` gives it.
    """
    levels = _frame_levels(speech)
    if not len(levels):
        return list(spans)
    decibels = 20 * np.log10(np.maximum(levels, 1e-9))
    loud, quiet = np.percentile(decibels, [LOUDER_PART, QUIETEST_PART])
    if loud - quiet < CLEAN_FROM_DB:
        return list(spans)
    return [_sounding_part(span, decibels < loud - PAUSE_BELOW_DB) for span in spans]


def _sounding_part(span: Span, silent: npt.NDArray[np.bool_]) -> Span:
    """A word without a silence at its start that is too long for a stop, nor the end of a sound before it."""
    first, last = (round(edge / FRAME_S) for edge in span)
    for start, end in _runs(silent[first:last]):
        starts_here = start * FRAME_S <= LONGEST_REST_S
        is_pause = (end - start) * FRAME_S >= LONGEST_CLOSURE_S
        if starts_here and is_pause and (last - first - end) * FRAME_S >= LEAST_SOUND_S:
            return ((first + end - 1) * FRAME_S, span[1])
    return span


def _runs(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Stretches [start, end) of true flags."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], flags.astype(np.int8), [0]])))
    return [(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]
