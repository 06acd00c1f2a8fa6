"""Recorded human speech for tests, out of two Debian packages.

asterisk-core-sounds-en-g722: single words, letters and numbers, each spoken by itself (CC-BY-SA-3.0, as the
package's copyright file says), 16 kHz; each file is one word, so words put one after another have known starts.
pocketsphinx-testdata: sentences of a book out of copyright read for LibriVox, with their words (BSD-2 and public
domain), 16 kHz.
"""

from __future__ import annotations

import re
import wave
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.sound.model import Audio
from tests.tools.spoken import Spoken

__all__ = ["PROMPTS", "READINGS", "WORDS", "book_sentences", "in_a_row"]

PROMPTS = Path("/usr/share/asterisk/sounds/en_US_f_Allison")
READINGS = Path("/usr/share/pocketsphinx/test/data/librivox")
RATE = 16_000

NUMBERS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"]
TEENS = ["twelve", "thirteen", "fourteen", "fifteen", "sixteen"]
ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"]
WORDS = {
    **{f"digits/{number}": word for number, word in enumerate([*NUMBERS, *TEENS])},
    **{f"digits/h-{number}": word for number, word in enumerate(ORDINALS, 1)},
    **{f"letters/{letter}": letter.upper() for letter in "abcdefg"},
    "digits/20": "twenty", "digits/30": "thirty", "digits/90": "ninety", "digits/minus": "minus", "vm-and": "and",
    "digits/hundred": "hundred", "digits/at": "at", "digits/today": "today", "letters/plus": "plus", "is": "is",
    "with": "with", "vm-for": "for", "vm-from": "from", "number": "number", "time": "time", "minutes": "minutes",
    "letters/slash": "slash", "letters/equals": "equals", "letters/dash": "dash", "your": "your",
}  # fmt: skip

EDGE_DB = -35.0
EDGE_STEP = 80
ROOM_LEVEL = 2e-4

Samples = npt.NDArray[np.float32]


@cache
def _word(name: str) -> Samples:
    """A recorded word from where it rises above `EDGE_DB` of its own peak to where it falls below, in steps of 5 ms."""
    with av.open(str(PROMPTS / f"{name}.g722"), format="g722") as file:
        samples = np.concatenate([frame.to_ndarray().ravel() for frame in file.decode(audio=0)])
    speech = samples.astype(np.float32) / 32768
    steps = speech[: len(speech) // EDGE_STEP * EDGE_STEP].reshape(-1, EDGE_STEP)
    level = np.sqrt(np.square(steps).mean(axis=1))
    loud = np.flatnonzero(level > level.max() * 10 ** (EDGE_DB / 20))
    return speech[loud[0] * EDGE_STEP : (loud[-1] + 1) * EDGE_STEP]


def in_a_row(pauses_s: Sequence[float], count: int, seed: int) -> Spoken:
    """Recorded words drawn at random, each once, with pauses drawn from a list between them, in a quiet room."""
    draw = np.random.default_rng(seed)
    pieces = [np.zeros(RATE // 4, np.float32)]
    starts, written = [], []
    for name in draw.permutation(list(WORDS))[:count]:
        starts.append(sum(map(len, pieces)) / RATE)
        written.append(WORDS[name])
        pieces += [_word(name), np.zeros(round(draw.choice(pauses_s) * RATE), np.float32)]
    samples = np.concatenate(pieces)
    room = draw.normal(0, ROOM_LEVEL, len(samples))
    return Spoken(Audio((samples + room).astype(np.float32), RATE), tuple(written), tuple(starts))


def book_sentences() -> list[tuple[Audio, tuple[str, ...]]]:
    """Sentences of the book as they were read, with their words."""
    lines = (READINGS / "transcription").read_text(encoding="utf-8").splitlines()
    found = []
    for line in lines:
        words, name = re.fullmatch(r"<s> (.*) </s> \((.*)\)", line).groups()  # type: ignore[union-attr]
        with wave.open(str(READINGS / f"{name}.wav")) as file:
            samples = np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(np.float32) / 32768
            found.append((Audio(samples, file.getframerate()), tuple(words.split())))
    return found
