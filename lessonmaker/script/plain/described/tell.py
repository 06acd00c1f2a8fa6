"""Which thing of those in sight a sentence describes, and how likely that is.

Things that the bars do not have are left out: what cannot be meant there is not meant.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.described.things import NOTHING_TOLD
from lessonmaker.script.plain.learned import Clue, clues_of, read_weights, stem

__all__ = ["Described", "clues_in", "described"]

WORD = pattern_of(r"[a-z]+(?:'[a-z]+)?|\d+")
LIKELY, SURE = 0.7, 0.98


@dataclass(frozen=True)
class Described:
    """The likeliest thing, the words at [first, last) that tell it, and how likely it is."""

    thing: str
    first: int
    last: int
    chance: float

    @property
    def is_likely(self) -> bool:
        """Whether it is likely enough to be lit."""
        return self.chance >= LIKELY

    @property
    def is_sure(self) -> bool:
        """Whether it is as good as sure, and what seems false beside it is doubtful."""
        return self.chance >= SURE


def described(text: str, things: Collection[str]) -> Described | None:
    """What a sentence most likely describes.

    Args:
        text: the sentence in lower case.
        things: what the bars have that it speaks of.

    Returns:
        None where it most likely describes nothing of it.
    """
    clues = clues_in(text)
    if not clues or not things:
        return None
    weights = read_weights(__package__)
    chances = weights.chances(clues, {*things, NOTHING_TOLD})
    best = max(chances, key=chances.__getitem__)
    if best == NOTHING_TOLD:
        return None
    return Described(best, *weights.words_for(best, NOTHING_TOLD, clues), chances[best])


def clues_in(text: str) -> list[Clue]:
    """The clues of a sentence in lower case to what it describes."""
    return clues_of([Clue(stem(word[0]), *word.span()) for word in WORD.finditer(text)])
