"""The words of a sentence as clues to what it says: their stems, one by one and in pairs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

__all__ = ["Clue", "clues_of", "stem"]

ENDINGS = ("ings", "ing", "edly", "ed", "ies", "es", "s", "ly")
SHORTEST = 3  # letters of a stem
EDGES = ("^", "$")  # before the first word, and after the last


@dataclass(frozen=True)
class Clue:
    """A word by its stem, or by what kind of thing it names, or a pair of such, and where they stand: [first, last)."""

    name: str
    first: int
    last: int


def clues_of(words: Sequence[Clue]) -> list[Clue]:
    """The words of a sentence and their pairs, each once, where it comes first."""
    pairs = [Clue(f"{one.name} {other.name}", one.first, other.last) for one, other in pairwise(words)]
    return list({clue.name: clue for clue in reversed([*_edges(words), *words, *pairs])}.values())


def _edges(singles: Sequence[Clue]) -> list[Clue]:
    """The first word and the last as such."""
    if not singles:
        return []
    first, last = singles[0], singles[-1]
    return [
        Clue(f"{EDGES[0]} {first.name}", first.first, first.last),
        Clue(f"{last.name} {EDGES[1]}", last.first, last.last),
    ]


@lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """A word without its ending, roughly: what two forms of a word have in common."""
    word = word.replace("'s", "")
    for ending in ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= SHORTEST:
            word = word[: -len(ending)] + ("y" if ending == "ies" else "")
            break
    word = re.sub(r"(?<=.{4})e$", "", word)
    return word[:-1] if len(word) > SHORTEST + 1 and word[-1] == word[-2] else word
