"""Speech whose word times are known: espeak-ng speaks through its library, whose events say where each word starts.

The events are those of its public header speak_lib.h (`espeak_SetSynthCallback`, espeakEVENT_WORD and
espeakEVENT_PHONEME), which give the sample at which a word or a sound begins. They are checked against the
energy of the speech in tests/outside/test_word_times.py before anything is measured with them.
"""

from __future__ import annotations

import ctypes
import ctypes.util
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

__all__ = ["Speech", "espeak_is_there", "speak_text", "speak_words"]

SYNCHRONOUS = 2
WITH_PHONEME_EVENTS = 1
WORD_EVENT, PHONEME_EVENT, END_EVENT, LIST_END = 1, 7, 5, 0
CHARS_UTF8, PHONEME_INPUT = 1, 0x100
RATE_SETTING, PITCH_SETTING, RANGE_SETTING = 1, 3, 4

Samples = npt.NDArray[np.float32]


class _Id(ctypes.Union):
    _fields_ = [("number", ctypes.c_int), ("name", ctypes.c_char_p), ("string", ctypes.c_char * 8)]


class _Event(ctypes.Structure):
    _fields_ = [
        ("type", ctypes.c_int),
        ("unique_identifier", ctypes.c_uint),
        ("text_position", ctypes.c_int),
        ("length", ctypes.c_int),
        ("audio_position", ctypes.c_int),
        ("sample", ctypes.c_int),
        ("user_data", ctypes.c_void_p),
        ("id", _Id),
    ]


_Callback = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(_Event)
)


@dataclass(frozen=True)
class Speech:
    """Mono speech, its rate in Hz, and where its words begin.

    Attributes:
        samples: (frames,) float32.
        rate: in Hz.
        words: pairs of a place in the text (letters from 0) and the second at which the word there begins.
        sounds: pairs of a phoneme's name and the second at which it begins.
    """

    samples: Samples
    rate: int
    words: tuple[tuple[int, float], ...]
    sounds: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class _Engine:
    library: ctypes.CDLL
    rate: int


def espeak_is_there() -> bool:
    """Whether the library is installed."""
    return ctypes.util.find_library("espeak-ng") is not None


@cache
def _engine() -> _Engine:
    library = ctypes.CDLL(ctypes.util.find_library("espeak-ng") or "libespeak-ng.so.1")
    rate = library.espeak_Initialize(SYNCHRONOUS, 0, None, WITH_PHONEME_EVENTS)
    if rate <= 0:
        raise RuntimeError("espeak-ng does not start")
    return _Engine(library, rate)


def speak_text(text: str, voice: str = "en-us", words_per_minute: int = 165, pitch: int = 50) -> Speech:
    """Text in one of espeak-ng's voices ("en-us", "en-gb+f3"); sounds in [[ ]] are its own mnemonics."""
    engine = _engine()
    chunks: list[Samples] = []
    words: dict[int, float] = {}
    sounds: list[tuple[str, float]] = []

    def take(wave: object, count: int, events: object) -> int:
        if wave and count:
            chunks.append(np.ctypeslib.as_array(wave, (count,)).astype(np.float32) / 32768)  # type: ignore[call-overload]
        for index in range(10_000):
            event = events[index]  # type: ignore[index]
            if event.type == LIST_END:
                break
            if event.type == WORD_EVENT:
                words.setdefault(event.text_position - 1, event.sample / engine.rate)
            elif event.type == PHONEME_EVENT:
                sounds.append((event.id.string.decode("utf-8", "replace"), event.sample / engine.rate))
        return 0

    callback = _Callback(take)
    library = engine.library
    library.espeak_SetSynthCallback(callback)
    if library.espeak_SetVoiceByName(voice.encode()) != 0:
        raise ValueError(f"espeak-ng has no voice '{voice}'")
    library.espeak_SetParameter(RATE_SETTING, words_per_minute, 0)
    library.espeak_SetParameter(PITCH_SETTING, pitch, 0)
    data = text.encode()
    library.espeak_Synth(data, len(data) + 1, 0, 0, 0, CHARS_UTF8 | PHONEME_INPUT, None, None)
    library.espeak_Synchronize()
    return Speech(np.concatenate(chunks), engine.rate, tuple(sorted(words.items())), tuple(sounds))


def speak_words(
    said: Sequence[str], voice: str = "en-us", words_per_minute: int = 165
) -> tuple[Speech, tuple[float | None, ...]]:
    """What is said, item by item, and where each item begins; None where the voice runs it into the one before.

    Args:
        said: What is said for each written word, in the voice's own notation.
        voice: As for `speak_text`.
        words_per_minute: The pace.
    """
    places = np.cumsum([0, *(len(item) + 1 for item in said[:-1])])
    speech = speak_text(" ".join(said), voice, words_per_minute)
    known = dict(speech.words)
    return speech, tuple(known.get(int(place)) for place in places)
