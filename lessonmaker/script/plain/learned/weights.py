"""Learned weights of clues for things: a multinomial logistic regression, in which things may be left out.

A file of weights holds the things, and of each clue the things that it says something for with its weights in steps,
one after the other, compressed; beside these, what made it.
"""

from __future__ import annotations

import json
import zlib
from base64 import b64decode, b64encode
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from math import exp, sqrt
from typing import Any

from lessonmaker.script.plain.learned.clues import Clue

__all__ = ["STEP", "Weights", "read_weights", "text_of"]

STEP = 0.1
"""The weight of one in a file."""
TELLING = 0.4  # of what the most telling clue says, a clue says at least, to be among the words that are told


@dataclass(frozen=True)
class Weights:
    """What each clue says for each of some things, in steps: a thing's place and its steps by turns."""

    things: tuple[str, ...]
    says: Mapping[str, Sequence[int]]

    def of_clue(self, clue: str) -> dict[str, float]:
        """What a clue says for each thing that it says something for."""
        told = self.says.get(clue, ())
        return {self.things[at]: STEP * steps for at, steps in zip(told[::2], told[1::2], strict=True)}

    def chances(self, clues: Sequence[Clue], things: Collection[str] | None = None) -> dict[str, float]:
        """How likely each thing is, or each of some of them."""
        scores = dict.fromkeys(self.things if things is None else sorted(things), 0.0)
        for clue in clues:
            for thing, weight in self.of_clue(clue.name).items():
                if thing in scores:
                    scores[thing] += weight
        root = sqrt(max(len(clues), 1))
        most = max(scores.values(), default=0.0)
        powers = {thing: exp((score - most) / root) for thing, score in scores.items()}
        whole = sum(powers.values())
        return {thing: power / whole for thing, power in powers.items()}

    def words_for(self, thing: str, other: str, clues: Iterable[Clue]) -> tuple[int, int]:
        """From the first to the last of the words that tell a thing from another."""
        says = {clue: self._of(thing, clue) - self._of(other, clue) for clue in clues}
        most = max(says.values())
        telling = [clue for clue, weight in says.items() if weight >= TELLING * most]
        return min(clue.first for clue in telling), max(clue.last for clue in telling)

    def _of(self, thing: str, clue: Clue) -> float:
        return self.of_clue(clue.name).get(thing, 0.0)


@lru_cache(maxsize=4)
def read_weights(package: str) -> Weights:
    """The weights that a package carries in its `weights.json`."""
    told = json.loads(files(package).joinpath("weights.json").read_text(encoding="utf-8"))
    says = json.loads(zlib.decompress(b64decode(told["weights"])))
    return Weights(tuple(told["things"]), says)


def text_of(weights: Weights, about: Mapping[str, Any]) -> str:
    """What a file of weights has in it; `about` says what made them."""
    says = json.dumps(weights.says, separators=(",", ":"), sort_keys=True)
    packed = b64encode(zlib.compress(says.encode(), 9)).decode()
    return json.dumps({**about, "things": list(weights.things), "weights": packed}, indent=1) + "\n"
