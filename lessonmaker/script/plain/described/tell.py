"""Which thing of those in sight a sentence describes, and how likely that is.

A multinomial logistic regression over the things and nothing, of which those that the bars do not have are left out:
what cannot be meant there is not meant.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from math import exp, sqrt

from lessonmaker.script.plain.described.things import NOTHING_TOLD
from lessonmaker.script.plain.described.weights import weight_of
from lessonmaker.script.plain.described.words import Clue, clues_of

__all__ = ["Described", "described"]

LIKELY, SURE = 0.6, 0.95
TELLING = 0.4  # of what the most telling clue says, a clue says at least, to be among the words that are told


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
    clues = clues_of(text)
    if not clues or not things:
        return None
    scores = {thing: _score(thing, clues) for thing in sorted({*things, NOTHING_TOLD})}
    best = max(scores, key=scores.__getitem__)
    if best == NOTHING_TOLD:
        return None
    chance = 1 / sum(exp(score - scores[best]) for score in scores.values())
    return Described(best, *_words(best, clues), chance)


def _score(thing: str, clues: Sequence[Clue]) -> float:
    return sum(weight_of(thing, clue.name) for clue in clues) / sqrt(len(clues))


def _words(thing: str, clues: Iterable[Clue]) -> tuple[int, int]:
    """From the first to the last of the words that tell a thing."""
    says = {clue: weight_of(thing, clue.name) - weight_of(NOTHING_TOLD, clue.name) for clue in clues}
    most = max(says.values())
    telling = [clue for clue, weight in says.items() if weight >= TELLING * most]
    return min(clue.first for clue in telling), max(clue.last for clue in telling)
