"""What the draft voice says in one breath, and breaths put together: all that is known of it without speaking.

A sentence is a breath; one too long for that is parted at its pauses. Each is spoken and timed by itself, so that it is
the same whatever is said before and after it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.model import Audio, Narration
from lessonmaker.sound.spelling import ends_sentence, pause_after, spoken_words

__all__ = [
    "DEFAULT_VOICE",
    "DRAFT_RATE",
    "LONGEST_BREATH",
    "VoiceSettings",
    "breaths",
    "in_one_go",
    "with_pauses",
]

DEFAULT_VOICE = "heart"
DRAFT_RATE = 24_000
"""The draft voice's rate in Hz."""

PAUSE_S = {".": 0.45, "!": 0.45, "?": 0.5, "…": 0.55, ",": 0.2, ";": 0.3, ":": 0.3, "—": 0.3, "": 0.12}
"""Silence after a sentence, or after a part of one too long to be said in one breath, by its last mark."""

LONGEST_BREATH = 36
"""Spoken words in one synthesis; the voice's model is made for sentences of up to 400 sounds."""

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True)
class VoiceSettings:
    """How the draft voice reads: which voice, its pace as a share of its own, its seed, the author's pronunciations."""

    voice: str = DEFAULT_VOICE
    speed: float = 1.0
    seed: int = 1
    own: Mapping[str, str] = field(default_factory=dict)


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


def with_pauses(speeches: Sequence[Samples], last_words: Sequence[str]) -> tuple[Samples, list[int]]:
    """Breaths one after the other, with the pauses of an unhurried reader.

    Args:
        speeches: Their samples (frames,) at the draft voice's rate.
        last_words: The last written word of each, with its mark.

    Returns:
        The samples of all, and the frame that each begins at.
    """
    gaps = [np.zeros(round(PAUSE_S[pause_after(word)] * DRAFT_RATE), np.float32) for word in last_words]
    pieces = [piece for pair in zip(speeches, gaps, strict=True) for piece in pair][:-1]
    lengths = [len(speech) + len(gap) for speech, gap in zip(speeches, gaps, strict=True)]
    return np.concatenate([np.zeros(0, np.float32), *pieces]), list(accumulate([0, *lengths[:-1]]))


def in_one_go(told: Sequence[Narration]) -> Narration:
    """Breaths as one narration, with the times of all their words; each has at least a word."""
    samples, starts = with_pauses([one.audio.samples for one in told], [one.words[-1].word for one in told])
    starts_s = [start / DRAFT_RATE for start in starts]
    words = (
        replace(word, start_s=word.start_s + start_s, end_s=word.end_s + start_s)
        for one, start_s in zip(told, starts_s, strict=False)
        for word in one.words
    )
    return Narration(Audio(samples, DRAFT_RATE), tuple(words), draft=True)
