"""Word times against recorded human speech.

Source of truth: each word of Debian's asterisk-core-sounds-en-g722 is a file of its own, so where it begins in
a row of them is known to 5 ms; of the sentences in pocketsphinx-testdata the words are known, and where the
first of each sentence rises out of silence. tests/tools/recorded_words.py says whose recordings these are.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from lessonmaker.sound.model import Audio
from lessonmaker.sound.words import time_words
from tests.tools.recorded_words import PROMPTS, READINGS, WORDS, book_sentences, in_a_row
from tests.tools.spoken import Spoken, errors, noisy, reverberant

prompts = pytest.mark.skipif(
    not PROMPTS.exists(), reason="Debian's asterisk-core-sounds-en-g722 is not installed"
)
readings = pytest.mark.skipif(not READINGS.exists(), reason="Debian's pocketsphinx-testdata is not installed")


@prompts
@pytest.mark.parametrize(
    ("room", "pauses_s"),
    [("dry", (0.0,)), ("dry", (0.0, 0.1, 0.4, 3.0)), ("reverberant", (0.0, 0.4)), ("noisy", (0.0, 0.4))],
)
def test_recorded_words_in_a_row_are_found(room: str, pauses_s: tuple[float, ...]) -> None:
    rooms = {"dry": lambda case: case, "reverberant": reverberant, "noisy": noisy}
    found = errors([rooms[room](in_a_row(pauses_s, 10, seed)) for seed in range(8)])
    assert found.guessed == 0
    assert found.share_within(0.12) >= 0.95, found.worst()
    assert found.share_within(0.05) >= 0.8, found.worst()


@prompts
def test_all_recorded_words_in_one_long_row_are_found() -> None:
    row = in_a_row((0.05, 0.3, 2.0), len(WORDS), seed=3)
    assert row.audio.seconds > 60
    found = errors([row])
    assert found.share_within(0.12) >= 0.95, found.worst()


@readings
def test_a_book_read_aloud_is_timed_sentence_by_sentence() -> None:
    """Where each sentence starts in a row of them is known; within it, each word lies where it can be said."""
    sentences = book_sentences()
    gap = np.random.default_rng(1).normal(0, 1e-4, 32_000).astype(np.float32)
    pieces: list[np.ndarray] = []
    starts: list[float | None] = []
    for audio, words in sentences:
        loud = np.flatnonzero(np.abs(audio.samples) > 0.1 * np.abs(audio.samples).max())  # above a breath
        starts += [sum(map(len, pieces)) / audio.rate + (len(gap) + loud[0]) / audio.rate]
        starts += [None] * (len(words) - 1)
        pieces += [gap, audio.samples]
    written = tuple(word for _, words in sentences for word in words)
    read = Audio(np.concatenate(pieces), sentences[0][0].rate)
    found = errors([Spoken(read, written, tuple(starts))])
    assert len(found.seconds) == 5
    assert np.abs(found.seconds).max() < 0.12, found.worst()
    times = time_words(read, written)
    assert not any(time.guessed for time in times)
    assert all(first.end_s <= second.start_s + 1e-9 for first, second in pairwise(times))
    assert all(0.03 <= time.end_s - time.start_s < 1.2 for time in times)
