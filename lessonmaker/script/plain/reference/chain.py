"""How likely each way is in which the names of a sentence mean notes: a conditional random field over its names.

A way goes from name to name in the order of the sentence, past those that mean no note. Its score is the sum of what
speaks for each note, for each name that means none, and for each note after the one that was meant before it; the
chance of a way is proportional to the exponential of its score. Sums over all ways are taken forward and backward
(Lafferty, McCallum and Pereira, Conditional random fields, 2001; with ways past names as in segments, Sarawagi and
Cohen, Semi-Markov conditional random fields, 2004; both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

__all__ = ["NEVER", "Chances", "Scores"]

NEVER = -math.inf


@dataclass(frozen=True)
class Scores:
    """What speaks for the ways of a sentence.

    `names` has for each candidate note, in the order of the sentence, which name it is for, and `notes` its score;
    `none` has the score of each name's meaning no note; `pairs` has for each candidate the scores of its coming after
    each of those for names before it, in their order.
    """

    names: Sequence[int]
    notes: Sequence[float]
    none: Sequence[float]
    pairs: Sequence[Sequence[float]]


class Chances:
    """The chances of all that is in the ways of a sentence; what has a score of -inf is in none of them.

    They are sums over the ways up to each candidate, and from each on.
    """

    def __init__(self, scores: Scores) -> None:
        self.scores = scores
        self.count = len(scores.none)
        self.before = [sum(name < own for name in scores.names) for own in scores.names]

    @cached_property
    def skipped(self) -> list[list[float]]:
        """The score of no note from one name up to, and without, another."""
        return [
            [sum(self.scores.none[first:last]) for last in range(self.count + 1)]
            for first in range(self.count + 1)
        ]

    @cached_property
    def forward(self) -> list[float]:
        """Of all ways up to and with each candidate."""
        names, found = self.scores.names, list[float]()
        for at, own in enumerate(self.scores.notes):
            ways = [self.skipped[0][names[at]]]
            ways += [
                found[other] + pair + self.skipped[names[other] + 1][names[at]]
                for other, pair in enumerate(self.scores.pairs[at])
            ]
            found.append(own + _log_sum(ways))
        return found

    @cached_property
    def backward(self) -> list[float]:
        """Of all ways on from each candidate, without it."""
        names, notes, found = self.scores.names, self.scores.notes, [NEVER] * len(self.scores.names)
        for at in reversed(range(len(names))):
            ways = [self.skipped[names[at] + 1][self.count]]
            ways += [
                self.scores.pairs[other][at]
                + self.skipped[names[at] + 1][names[other]]
                + notes[other]
                + found[other]
                for other in range(at + 1, len(names))
                if self.before[other] > at
            ]
            found[at] = _log_sum(ways)
        return found

    @cached_property
    def total(self) -> float:
        """The logarithm of the sum of all ways."""
        names = self.scores.names
        ends = [
            each + self.skipped[name + 1][self.count] for each, name in zip(self.forward, names, strict=True)
        ]
        return _log_sum([self.skipped[0][self.count], *ends])

    @cached_property
    def notes(self) -> list[float]:
        """That of each candidate."""
        both = zip(self.forward, self.backward, strict=True)
        return [math.exp(one + other - self.total) for one, other in both]

    @cached_property
    def none(self) -> list[float]:
        """That of each name's meaning no note."""
        lit = [0.0] * self.count
        for name, share in zip(self.scores.names, self.notes, strict=True):
            lit[name] += share
        return [max(1 - each, 0.0) for each in lit]

    @cached_property
    def pairs(self) -> list[list[float]]:
        """Those of each candidate's coming after each of those for names before it."""
        return [[self._pair(at, other) for other in range(count)] for at, count in enumerate(self.before)]

    def _pair(self, at: int, other: int) -> float:
        names, scores = self.scores.names, self.scores
        between = self.skipped[names[other] + 1][names[at]] + scores.pairs[at][other]
        return math.exp(self.forward[other] + between + scores.notes[at] + self.backward[at] - self.total)


def _log_sum(values: Sequence[float]) -> float:
    """The logarithm of the sum of exponentials."""
    most = max(values)
    if most == NEVER:
        return NEVER
    return most + math.log(sum(math.exp(each - most) for each in values))
