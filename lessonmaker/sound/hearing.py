"""What is said in a recording, as words: free listening for a script's words, and a contest between two readings.

Words are known by their names in the recogniser's dictionary (PocketSphinx, 16 kHz, 10 ms frames). A recording is
listened to in stretches that begin and end in pauses, so time grows with its length and memory does not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import numpy.typing as npt
from pocketsphinx import Decoder

from lessonmaker.sound.guessing import arpa
from lessonmaker.sound.model import Audio
from lessonmaker.sound.pauses import pieces
from lessonmaker.sound.phonemes import arpabet
from lessonmaker.sound.pronunciation import word_sounds
from lessonmaker.sound.recogniser import RECOGNISER_RATE, decoded, mono_speech

__all__ = [
    "Choice",
    "Heard",
    "at_hearing_rate",
    "choose",
    "known",
    "listen",
    "name_of",
    "sounds_like",
]

SHORTEST_S = 0.1
PEAK = 0.7
NOISE_FLOOR = 2e-4
"""Noise at -74 dBFS: the recogniser was made for rooms, and knows no silence of a noise gate."""

UNLIKELY = 0.005
"""How likely the other reading of a `Choice` is held before listening; the recogniser raises it to the 6.5th power."""

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Heard:
    """A word that was heard, by its name in the dictionary, and where."""

    name: str
    start_s: float
    end_s: float

    @property
    def text(self) -> str:
        """The word as it is written."""
        return self.name.partition("=")[0]


@dataclass(frozen=True)
class Choice:
    """Either these names are said here or those; either may be none."""

    likely: tuple[str, ...]
    other: tuple[str, ...]


def at_hearing_rate(audio: Audio) -> Samples:
    """The recording as it is listened to: mono, (frames,) at `RECOGNISER_RATE`, at one level, over soft noise."""
    speech = mono_speech(audio)
    peak = float(np.abs(speech).max(initial=0.0))
    if peak == 0:
        return speech
    speech = speech * np.float32(PEAK / peak)
    floor = np.random.default_rng(1).standard_normal(len(speech), np.float32)
    floor *= np.float32(NOISE_FLOOR)
    speech += floor
    return np.asarray(np.clip(speech, -1, 1, out=speech), np.float32)


def name_of(word: str, own: Mapping[str, str] | None = None) -> str | None:
    """A spoken word's name in the dictionary, put there if need be; None where nothing says its sounds."""
    plain = word.lower()
    if plain not in (own or {}) and _decoder().lookup_word(plain):
        return plain
    phones = arpabet(word_sounds(word, own))
    if not phones:
        return None
    name = f"{plain}={phones.replace(' ', '_')}"
    if not _decoder().lookup_word(name):
        _decoder().add_word(name, phones, False)
    return name


def known(name: str) -> bool:
    """Whether the dictionary itself says how a word sounds."""
    return "=" not in name


def sounds_like(name: str) -> str:
    """What a word sounds like; words with equal sounds cannot be told apart by ear."""
    return str(_decoder().lookup_word(name) or name)


def listen(speech: Samples, script: Sequence[Sequence[str]]) -> list[Heard]:
    """What is said in a recording, where most of it is likely to come from a script.

    Args:
        speech: The recording as `at_hearing_rate` gives it.
        script: The names of each sentence's words.

    Returns:
        Words of the script and common English ones, in order of time; noises and music may give some too.
    """
    if not any(script):
        return []
    _expect(script)
    heard: list[Heard] = []
    for start, end in pieces(speech, RECOGNISER_RATE):
        heard += _decode(speech[start:end], start / RECOGNISER_RATE)
    return heard


def choose(speech: Samples, choices: Sequence[Choice]) -> list[Heard]:
    """Which readings fit best, the other ones only where they clearly do.

    Args:
        speech: Speech as `at_hearing_rate` gives it, in which the choices are said in order and nothing else.
        choices: What is said; where `likely` and `other` are equal there is no choice.

    Returns:
        The words as they were heard; none where nothing fits.
    """
    arcs, last = _grammar(choices)
    decoder = _decoder()
    decoder.add_fsg("choices", decoder.create_fsg("choices", 0, last, arcs))
    decoder.activate_search("choices")
    return _decode(speech, 0.0)


@cache
def _decoder() -> Decoder:
    return Decoder(lm=None, loglevel="FATAL")


@cache
def _common() -> tuple[str, ...]:
    """Common words that the dictionary has, commonest first."""
    text = (files("lessonmaker.sound") / "commonwords.txt").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return tuple(word for line in lines for word in line.split() if _decoder().lookup_word(word))


def _expect(script: Sequence[Sequence[str]]) -> None:
    """Make the recogniser expect a script's words in their order, and common words now and then."""
    taken = {sounds_like(name) for sentence in script for name in sentence}
    others = [word for word in _common() if sounds_like(word) not in taken]
    _expect_model(arpa(script, others))
    _decoder().activate_search("script")


@lru_cache(maxsize=1)
def _expect_model(model: str) -> None:
    """Give the recogniser a model, which takes it about a second; the one it has it is not given again."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "script.lm"
        path.write_text(model, encoding="utf-8")
        _decoder().add_lm_file("script", str(path))


def _decode(speech: Samples, offset_s: float) -> list[Heard]:
    """The words heard in a stretch that starts at `offset_s`, without silences and noises."""
    if len(speech) < SHORTEST_S * RECOGNISER_RATE:
        return []
    return [
        Heard(_plain(word), offset_s + start_s, offset_s + end_s)
        for word, start_s, end_s in decoded(_decoder(), speech)
    ]


def _plain(word: str) -> str:
    """A word's name without the number of its pronunciation, as in "the(2)"."""
    return word.partition("(")[0] or word


Arc = tuple[int, int, float] | tuple[int, int, float, str]


def _grammar(choices: Sequence[Choice]) -> tuple[list[Arc], int]:
    """The arcs of a grammar that says the choices in order, from state 0, and its last state."""
    arcs: list[Arc] = []
    at, free = 0, len(choices) + 1
    for choice in choices:
        sure = choice.likely == choice.other
        ways = [(choice.likely, 1.0 if sure else 1 - UNLIKELY)] + ([] if sure else [(choice.other, UNLIKELY)])
        for names, chance in ways:
            free = _add_way(arcs, at, at + 1, free, names, chance)
        at += 1
    return arcs, at


def _add_way(arcs: list[Arc], start: int, end: int, free: int, names: Sequence[str], chance: float) -> int:
    """Add a way from one state to another that says some names; the first state still free after it."""
    if not names:
        arcs.append((start, end, chance))
        return free
    between = [start, *range(free, free + len(names) - 1), end]
    for index, name in enumerate(names):
        arcs.append((between[index], between[index + 1], chance if index == 0 else 1.0, name))
    return free + len(names) - 1
