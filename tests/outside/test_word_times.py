"""Word times against espeak-ng: another synthesiser, whose library says at which sample each word begins.

Source of truth: the word events of libespeak-ng (its public header speak_lib.h), which are themselves checked
here against where sound rises out of silence.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from tests.tools.commentary import SENTENCES
from tests.tools.espeak_voice import espeak_is_there, speak_words
from tests.tools.spoken import Spoken, WordErrors, at_rate, errors, joined, noisy, reverberant, voice_set

pytestmark = pytest.mark.skipif(not espeak_is_there(), reason="the espeak-ng library is not installed")

GOAL_S = 0.12
NEAR_S = 0.05


@cache
def speech(voice: str = "en+f3", pace: int = 165, first: int = 1, step: int = 6) -> list[Spoken]:
    return voice_set(voice, pace, first, step)


def assert_in_time(found: WordErrors, near: float = 0.88) -> None:
    assert found.guessed == 0
    assert found.share_within(GOAL_S) >= 0.97, found.worst()
    assert found.share_within(NEAR_S) >= near, found.worst()
    assert abs(np.median(found.seconds)) < 0.015


def test_there_are_enough_sentences() -> None:
    assert len(SENTENCES) >= 60
    assert all(len(sentence.written) == len(sentence.said) for sentence in SENTENCES)


@pytest.mark.parametrize("voice", ["en-us", "en+f3"])
def test_the_other_voice_says_truly_where_its_words_begin(voice: str) -> None:
    """After a pause of 0.15 s the sound rises within 35 ms of the word's event, if the word begins loud."""
    misses = []
    for sentence in SENTENCES[::3]:
        spoken, starts = speak_words(sentence.said, voice)
        step = spoken.rate // 200
        levels = np.abs(spoken.samples[: len(spoken.samples) // step * step]).reshape(-1, step).max(axis=1)
        loud = levels > 0.02 * levels.max()
        rises = [k / 200 for k in range(30, len(loud)) if loud[k] and not loud[k - 30 : k].any()]
        known = np.array([start for start in starts if start is not None])
        misses += [np.abs(known - rise).min() for rise in rises]
    assert len(misses) >= 12
    assert np.median(misses) < 0.025
    assert np.mean(np.array(misses) < 0.035) > 0.85


@pytest.mark.parametrize(
    ("voice", "pace"),
    [("en-us", 165), ("en", 140), ("en+f3", 165), ("en-us+m3", 220), ("en-us+f2", 110), ("en-us+f4", 260)],
)
def test_words_are_found_in_any_voice_at_any_pace(voice: str, pace: int) -> None:
    assert_in_time(errors(speech(voice, pace)))


def test_words_are_found_in_a_room_with_noise() -> None:
    assert_in_time(errors([noisy(reverberant(case)) for case in speech()]), near=0.85)


@pytest.mark.parametrize("rate", [11025, 96000])
def test_words_are_found_at_any_rate(rate: int) -> None:
    assert_in_time(errors([at_rate(case, rate) for case in speech(step=12)]), near=0.85)


def test_words_are_found_in_the_narrow_band_of_8_khz() -> None:
    found = errors([at_rate(case, 8000) for case in speech()])
    assert found.guessed == 0
    assert found.share_within(GOAL_S) >= 0.95, found.worst()


def test_pauses_of_seconds_with_breaths_belong_to_no_word() -> None:
    found = errors([joined(speech(), (1.5, 6.0), breaths=True)])
    assert found.guessed == 0
    assert found.share_within(GOAL_S) >= 0.95, found.worst()
    assert found.share_within(NEAR_S) >= 0.88, found.worst()


def test_a_read_of_minutes_does_not_slip() -> None:
    """A read far longer than a window: the last words are as near as the first."""
    read = joined(speech("en-us", 150, 0, 3), (0.2, 3.0), seed=4)
    assert read.audio.seconds > 90
    found = errors([read])
    assert_in_time(found)
    assert np.abs(found.seconds[-20:]).max() < 0.2
