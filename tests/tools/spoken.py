"""Speech with known word times, what rooms and microphones do to it, and how near found times come."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import soxr
from scipy import signal

from lessonmaker.sound.model import Audio
from lessonmaker.sound.words import time_words
from tests.tools.commentary import SENTENCES
from tests.tools.espeak_voice import speak_words

__all__ = ["Spoken", "WordErrors", "at_rate", "errors", "joined", "noisy", "reverberant", "voice_set"]

Samples = npt.NDArray[np.float32]
BREATH_S = 0.35


@dataclass(frozen=True)
class Spoken:
    """Speech, what is written for it, and the second at which each written word begins (None: not known)."""

    audio: Audio
    written: tuple[str, ...]
    starts_s: tuple[float | None, ...]


@dataclass(frozen=True)
class WordErrors:
    """Found minus true starts in seconds, with the words, and how many of these times were guessed."""

    seconds: npt.NDArray[np.float64]
    words: tuple[str, ...]
    guessed: int

    def share_within(self, seconds: float) -> float:
        """The share of words no farther off than this."""
        return float(np.mean(np.abs(self.seconds) <= seconds))

    def worst(self, count: int = 5) -> str:
        """The words farthest off, for a message."""
        order = np.argsort(-np.abs(self.seconds))[:count]
        return ", ".join(f"{self.words[index]} {self.seconds[index] * 1000:+.0f} ms" for index in order)


def voice_set(voice: str, words_per_minute: int, first: int = 0, step: int = 1) -> list[Spoken]:
    """Every `step`-th commentary sentence from `first` on, in a voice of espeak-ng."""
    found = []
    for sentence in SENTENCES[first::step]:
        speech, starts = speak_words(sentence.said, voice, words_per_minute)
        found.append(Spoken(Audio(speech.samples, speech.rate), sentence.written, starts))
    return found


def errors(cases: Sequence[Spoken]) -> WordErrors:
    """How far off the words' starts are."""
    seconds, words, guessed = [], [], 0
    for case in cases:
        for time, start in zip(time_words(case.audio, case.written), case.starts_s, strict=True):
            if start is not None:
                seconds.append(time.start_s - start)
                words.append(time.word)
                guessed += time.guessed
    return WordErrors(np.array(seconds), tuple(words), guessed)


def changed(case: Spoken, change: Callable[[Samples, int], Samples]) -> Spoken:
    """The same words, the samples changed."""
    return Spoken(
        Audio(change(case.audio.samples, case.audio.rate), case.audio.rate), case.written, case.starts_s
    )


def noisy(case: Spoken, decibels: float = 20.0) -> Spoken:
    """With a room's hum and hiss (low-passed at 1 kHz, 6 dB an octave) so far below the speech."""

    def change(samples: Samples, rate: int) -> Samples:
        speech = samples[np.abs(samples) > 0.02 * np.abs(samples).max()]
        numerator, denominator = signal.butter(1, 1000, fs=rate)
        hiss = signal.lfilter(numerator, denominator, np.random.default_rng(0).normal(size=len(samples)))
        level = np.sqrt(np.mean(np.square(speech)) * 10 ** (-decibels / 10)) / hiss.std()
        return (samples + level * hiss).astype(np.float32)

    return changed(case, change)


def reverberant(case: Spoken, decay_s: float = 0.5, share: float = 0.35) -> Spoken:
    """In a room that decays by 60 dB in `decay_s`: noise that dies away, at a share of the direct sound."""

    def change(samples: Samples, rate: int) -> Samples:
        length = round(decay_s * rate)
        tail = np.random.default_rng(0).normal(size=length) * 10 ** (-3 * np.arange(length) / length)
        wet = signal.fftconvolve(samples, tail / np.linalg.norm(tail))[: len(samples)]
        return (samples + share * wet).astype(np.float32)

    return changed(case, change)


def at_rate(case: Spoken, rate: int) -> Spoken:
    """At another sample rate."""
    samples = soxr.resample(case.audio.samples, case.audio.rate, rate).astype(np.float32)
    return Spoken(Audio(samples, rate), case.written, case.starts_s)


def joined(
    cases: Sequence[Spoken], pauses_s: tuple[float, float], seed: int = 0, breaths: bool = False
) -> Spoken:
    """One reading of all, in order, each after a pause of a length drawn between two, with a breath in it or not."""
    draw = np.random.default_rng(seed)
    rate = cases[0].audio.rate
    pieces: list[Samples] = []
    written: list[str] = []
    starts: list[float | None] = []
    at = 0
    for case in cases:
        pause = _pause(round(draw.uniform(*pauses_s) * rate), rate, draw if breaths else None)
        at += len(pause)
        starts += [None if start is None else start + at / rate for start in case.starts_s]
        written += case.written
        pieces += [pause, case.audio.samples]
        at += len(case.audio.samples)
    return Spoken(Audio(np.concatenate(pieces), rate), tuple(written), tuple(starts))


def _pause(length: int, rate: int, breath: np.random.Generator | None) -> Samples:
    """Silence, or silence with an intake of breath (noise between 800 Hz and 4 kHz) before its end."""
    pause = np.zeros(length, np.float32)
    drawn_in = round(BREATH_S * rate)
    if breath is not None and length > 2 * drawn_in:
        band = signal.butter(2, [800, 4000], "bandpass", fs=rate)
        air = signal.lfilter(*band, breath.normal(size=drawn_in)) * np.hanning(drawn_in)
        pause[-drawn_in - rate // 10 : -(rate // 10)] += (0.04 * air / np.abs(air).max()).astype(np.float32)
    return pause
