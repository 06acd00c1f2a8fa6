"""The draft voice: speaks commentary offline until the author's own narration exists.

A sentence is synthesised at a time, trimmed to its speech, brought to one level and joined with the pauses of
an unhurried reader, so it is known which sentence lies where. The same text, seed and speed give the same samples.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt
from hibari import SAMPLE_RATE, Hibari
from hibari.voices import VOICES, voice_path

from lessonmaker.faults import Fault, MaterialError
from lessonmaker.sound.breaths import DEFAULT_VOICE, VoiceSettings, breaths, with_pauses
from lessonmaker.sound.model import Audio
from lessonmaker.sound.pronunciation import marked, sounds_of
from lessonmaker.sound.spelling import END_OF_SENTENCE, pause_after, spoken_words

__all__ = ["Draft", "Sentence", "speak", "speak_breath", "speak_sentences"]

SPEECH_RMS = 0.07
SPEECH_FLOOR_DB = -45.0
EDGE_S = 0.03
FADE_S = 0.005
WINDOW_S = 0.01

Samples = npt.NDArray[np.float32]


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
    runs = breaths(words)
    speeches = [_say(words[first:last], settings) for first, last in runs]
    samples, starts = with_pauses(speeches, [words[last - 1] for _, last in runs])
    sentences = (
        Sentence(first, last, start / SAMPLE_RATE, (start + len(speech)) / SAMPLE_RATE)
        for (first, last), speech, start in zip(runs, speeches, starts, strict=False)
    )
    return Draft(Audio(samples, SAMPLE_RATE), tuple(sentences))


def speak_breath(words: Sequence[str], settings: VoiceSettings) -> Audio:
    """Written words of one breath (see `breaths`) in the draft voice.

    Raises:
        MaterialError: The voice is not there.
    """
    return Audio(_say(words, settings), SAMPLE_RATE)


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
