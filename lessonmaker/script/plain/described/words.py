"""The words of a sentence as clues to what it describes: their stems, one by one and in pairs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from lessonmaker.script.pattern_store import pattern_of

__all__ = ["Clue", "clues_of"]

WORD = pattern_of(r"[a-z]+(?:'[a-z]+)?|\d+")
ENDINGS = ("ings", "ing", "edly", "ed", "ies", "es", "s", "ly")
SHORTEST = 3  # letters of a stem
EDGES = ("^", "$")  # before the first word, and after the last


@dataclass(frozen=True)
class Clue:
    """A stem or a pair of stems, and where its words stand: [first, last)."""

    name: str
    first: int
    last: int


def clues_of(text: str) -> list[Clue]:
    """The clues of a sentence in lower case, each once, where it comes first."""
    words = list(WORD.finditer(text))
    singles = [Clue(_stem(word[0]), *word.span()) for word in words]
    pairs = [Clue(f"{one.name} {other.name}", one.first, other.last) for one, other in pairwise(singles)]
    return list({clue.name: clue for clue in reversed([*_edges(singles), *singles, *pairs])}.values())


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
def _stem(word: str) -> str:
    """A word without its ending, roughly: what two forms of a word have in common."""
    word = word.replace("'s", "")
    for ending in ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= SHORTEST:
            word = word[: -len(ending)] + ("y" if ending == "ies" else "")
            break
    word = re.sub(r"(?<=.{4})e$", "", word)
    return word[:-1] if len(word) > SHORTEST + 1 and word[-1] == word[-2] else word
