"""The draft voice: speaks commentary offline until the author's own narration exists.

A sentence is synthesised at a time, trimmed to its speech, brought to one level and joined with the pauses of
an unhurried reader, so it is known which sentence lies where. The same text, seed and speed give the same samples.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

import numpy as np
import numpy.typing as npt
from hibari import SAMPLE_RATE, Hibari
from hibari.voices import VOICES, voice_path

from lessonmaker.faults import Fault, MaterialError
from lessonmaker.sound.model import Audio
from lessonmaker.sound.pronunciation import marked, sounds_of
from lessonmaker.sound.spelling import END_OF_SENTENCE, ends_sentence, pause_after, spoken_words

__all__ = ["DEFAULT_VOICE", "Draft", "Sentence", "VoiceSettings", "speak", "speak_sentences"]

DEFAULT_VOICE = "heart"

PAUSE_S = {".": 0.45, "!": 0.45, "?": 0.5, "…": 0.55, ",": 0.2, ";": 0.3, ":": 0.3, "—": 0.3, "": 0.12}
"""Silence after a sentence, or after a part of one too long to be said in one breath, by its last mark."""

LONGEST_BREATH = 36
"""Spoken words in one synthesis; the voice's model is made for sentences of up to 400 sounds."""

SPEECH_RMS = 0.07
SPEECH_FLOOR_DB = -45.0
EDGE_S = 0.03
FADE_S = 0.005
WINDOW_S = 0.01

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class VoiceSettings:
    """How the draft voice reads: which voice, its pace as a share of its own, its seed, the author's pronunciations."""

    voice: str = DEFAULT_VOICE
    speed: float = 1.0
    seed: int = 1
    own: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Sentence:
    """Where one breath of the draft lies: written words [first, last) in seconds [start_s, end_s)."""

    first: int
    last: int
    start_s: float
    end_s: float


@dataclass(frozen=True)
class Draft:
    """A spoken text and where each of its breaths lies."""

    audio: Audio
    sentences: tuple[Sentence, ...]


def speak(text: str, seed: int = 1, settings: VoiceSettings | None = None) -> Audio:
    """Text in the draft voice, mono at 24 kHz.

    Args:
        text: Plain written words with their punctuation; see `spelling` for what else is understood.
        seed: Fixes the breath noise; used where no settings are given.
        settings: The voice, its pace and the author's pronunciations.

    Raises:
        MaterialError: The voice is not there.
    """
    return speak_sentences(text.split(), settings or VoiceSettings(seed=seed)).audio


def speak_sentences(words: Sequence[str], settings: VoiceSettings) -> Draft:
    """Written words in the draft voice, with the place of each breath.

    Args:
        words: Written words in order, each with the punctuation after it.
        settings: The voice, its pace and the author's pronunciations.

    Raises:
        MaterialError: The voice is not there.
    """
    pieces: list[Samples] = []
    sentences: list[Sentence] = []
    at = 0
    for first, last in breaths(words):
        speech = _say(words[first:last], settings)
        sentences.append(Sentence(first, last, at / SAMPLE_RATE, (at + len(speech)) / SAMPLE_RATE))
        pause = np.zeros(round(PAUSE_S[pause_after(words[last - 1])] * SAMPLE_RATE), np.float32)
        pieces += [speech, pause]
        at += len(speech) + len(pause)
    samples = np.concatenate(pieces[:-1]) if pieces else np.zeros(0, np.float32)
    return Draft(Audio(samples, SAMPLE_RATE), tuple(sentences))


def breaths(words: Sequence[str]) -> list[tuple[int, int]]:
    """Runs [first, last) of written words said in one breath: sentences, long ones parted at their pauses."""
    runs: list[tuple[int, int]] = []
    first = 0
    for index, word in enumerate(words):
        if ends_sentence(word) or index == len(words) - 1:
            runs += _parted(words, first, index + 1)
            first = index + 1
    return runs


def _parted(words: Sequence[str], first: int, last: int) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    counts = [len(spoken_words(word)) for word in words[first:last]]
    while sum(counts) > LONGEST_BREATH:
        cut = _cut(words[first:last], counts)
        runs.append((first, first + cut))
        first, counts = first + cut, counts[cut:]
    return [*runs, (first, last)]


def _cut(words: Sequence[str], counts: Sequence[int]) -> int:
    """After how many words to breathe: the last pause mark within a breath, or where the breath ends."""
    said = np.cumsum(counts)
    within = max(1, int(np.searchsorted(said, LONGEST_BREATH, side="right")))
    marks = [index + 1 for index in range(min(within, len(words) - 1)) if pause_after(words[index])]
    return marks[-1] if marks else min(within, len(words) - 1) or 1


def _say(words: Sequence[str], settings: VoiceSettings) -> Samples:
    sounds = sounds_of(_marked_breath(words, settings))
    if not sounds.strip(" " + END_OF_SENTENCE + ",;:—"):
        return np.zeros(0, np.float32)
    speech = _loaded(settings.voice).from_phonemes(sounds, settings.speed, settings.seed)
    return _levelled(_trimmed(np.asarray(speech, np.float32)))


def _marked_breath(words: Sequence[str], settings: VoiceSettings) -> str:
    """The breath's spoken words with their marks and pronunciations; one that just stops falls like a sentence."""
    said: list[str] = []
    marks: list[str] = []
    for word in words:
        spoken = spoken_words(word)
        said += spoken
        marks += [""] * len(spoken)
        if marks:
            marks[-1] = pause_after(word) or (marks[-1] if not spoken else "")
    if marks and not marks[-1]:
        marks[-1] = "."
    return marked(said, marks, settings.own)


@cache
def _loaded(voice: str) -> Hibari:
    if voice not in VOICES:
        raise MaterialError(Fault(f"there is no voice '{voice}'", f"choose one of {', '.join(VOICES)}"))
    try:
        return Hibari(voice, model=voice_path(voice, download_missing=False))
    except FileNotFoundError as error:
        todo = f"use '{DEFAULT_VOICE}', or fetch it with the voice library's own command"
        raise MaterialError(Fault(f"the voice '{voice}' is not on this computer", todo)) from error


def _trimmed(speech: Samples) -> Samples:
    """The speech without the silence about it, faded in and out over 5 ms."""
    window = round(WINDOW_S * SAMPLE_RATE)
    power = np.square(speech[: len(speech) // window * window]).reshape(-1, window).mean(axis=1)
    active = np.flatnonzero(power > power.max(initial=0.0) * 10 ** (SPEECH_FLOOR_DB / 10))
    if not len(active):
        return np.zeros(0, np.float32)
    edge = round(EDGE_S * SAMPLE_RATE)
    cut = speech[max(0, active[0] * window - edge) : (active[-1] + 1) * window + edge].copy()
    fade = np.linspace(
        0, 1, min(round(FADE_S * SAMPLE_RATE), len(cut) // 2), endpoint=False, dtype=np.float32
    )
    cut[: len(fade)] *= fade
    cut[len(cut) - len(fade) :] *= fade[::-1]
    return cut


def _levelled(speech: Samples) -> Samples:
    """The speech at one level: the root mean square of its louder half of 10 ms windows."""
    window = round(WINDOW_S * SAMPLE_RATE)
    power = np.square(speech[: len(speech) // window * window]).reshape(-1, window).mean(axis=1)
    if not len(power):
        return speech
    loud = np.sort(power)[len(power) // 2 :].mean()
    return (speech * np.float32(SPEECH_RMS / np.sqrt(max(loud, 1e-12)))).astype(np.float32)
