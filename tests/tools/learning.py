"""How weights of clues are learned from sentences with what they say: a multinomial logistic regression.

It has a penalty on the squared weights and is fitted by L-BFGS; the weights that say most are kept and fitted again.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import scipy.optimize
import scipy.sparse

from lessonmaker.script.plain.learned import Clue, Weights
from lessonmaker.script.plain.learned.weights import STEP

__all__ = ["Learning", "Said", "Sample", "Ways", "in_lower_case", "measure", "weights_from"]

Floats = npt.NDArray[np.float64]
Said = tuple[str, str]
"""A thing and a sentence that says it."""
SURE = 0.8


@dataclass(frozen=True)
class Learning:
    """What to learn by: a sentence's clues, how often one has to come, the penalty, how many weights are kept."""

    clues_in: Callable[[str], Sequence[Clue]]
    fewest: int
    penalty: float
    kept: int

    def clues(self, say: str) -> list[str]:
        """The names of the clues of a sentence as written."""
        return [clue.name for clue in self.clues_in(in_lower_case(say))]


def in_lower_case(say: str) -> str:
    """A sentence as the reader has it."""
    return say.lower().replace("’", "'")


@dataclass(frozen=True)
class Sample:
    """Sentences with what they say, as numbers."""

    said: Sequence[Said]
    learning: Learning

    @cached_property
    def things(self) -> list[str]:
        """All that is told apart."""
        return sorted({thing for thing, _ in self.said})

    @cached_property
    def columns(self) -> dict[str, int]:
        """The clues that come often enough to be counted."""
        counts = Counter(clue for _, say in self.said for clue in self.learning.clues(say))
        often = sorted(name for name, count in counts.items() if count >= self.learning.fewest)
        return {name: at for at, name in enumerate(often)}

    @cached_property
    def wanted(self) -> npt.NDArray[np.intp]:
        """The place of what each sentence says."""
        places = {thing: at for at, thing in enumerate(self.things)}
        return np.array([places[thing] for thing, _ in self.said], np.intp)

    @cached_property
    def matrix(self) -> Any:
        """The clues of each sentence, weighted so that long ones count as much."""
        rows, columns, values = list[int](), list[int](), list[float]()
        for row, (_, say) in enumerate(self.said):
            clues = self.learning.clues(say)
            inside = [self.columns[clue] for clue in clues if clue in self.columns]
            rows += [row] * len(inside)
            columns += inside
            values += [1 / sqrt(max(len(clues), 1))] * len(inside)
        return scipy.sparse.csr_matrix((values, (rows, columns)), shape=(len(self.said), len(self.columns)))


def weights_from(sample: Sample) -> Weights:
    """The weights that make what is said likely; all but those that say most are nought."""
    nothing = np.zeros((len(sample.columns), len(sample.things)))
    every = _fitted(sample, nothing, np.ones(nothing.shape, bool), 60)
    centred = every - np.median(every, axis=1, keepdims=True)
    least = np.sort(np.abs(centred).ravel())[-min(sample.learning.kept, centred.size)]
    fitted = _fitted(sample, centred, np.abs(centred) >= least, 40)
    steps = np.round(fitted / STEP).astype(int)
    says = {
        clue: [int(number) for at in np.flatnonzero(steps[row]) for number in (at, steps[row, at])]
        for clue, row in sample.columns.items()
    }
    return Weights(tuple(sample.things), {clue: told for clue, told in says.items() if told})


def _fitted(sample: Sample, start: Floats, mask: npt.NDArray[np.bool_], rounds: int) -> Floats:
    """The weights under a mask that make what is said likely."""
    matrix, wanted = sample.matrix, sample.wanted
    rows = np.arange(len(wanted))
    penalty = sample.learning.penalty

    def loss(flat: Floats) -> tuple[float, Floats]:
        weights = flat.reshape(start.shape) * mask
        scores = matrix @ weights
        powers = np.exp(scores - scores.max(1, keepdims=True))
        found = np.asarray(powers / powers.sum(1, keepdims=True))
        total = -np.log(found[rows, wanted] + 1e-12).sum() + penalty / 2 * (weights**2).sum()
        found[rows, wanted] -= 1
        return float(total), ((matrix.T @ found + penalty * weights) * mask).ravel()

    made = scipy.optimize.minimize(
        loss, (start * mask).ravel(), jac=True, method="L-BFGS-B", options={"maxiter": rounds}
    )
    return np.asarray(made.x).reshape(start.shape) * mask


def measure(weights: Weights, said: Sequence[Said], learning: Learning, nothing: str) -> Mapping[str, float]:
    """The shares of sentences that are told right, of those that are told surely, and of these that are told right."""
    right = sure = surely_right = 0
    for thing, say in said:
        chances = weights.chances(learning.clues_in(in_lower_case(say)))
        best = max(chances, key=chances.__getitem__)
        right += best == thing
        if chances[best] >= SURE and best != nothing:
            sure += 1
            surely_right += best == thing
    count = max(len(said), 1)
    return {"right": right / count, "sure": sure / count, "right where sure": surely_right / max(sure, 1)}


@dataclass(frozen=True)
class Ways:
    """Files of ways to say things, of which a command learns all but those that it is told to leave out and measure.

    `read` reads one; `unopened` is what the names of those begin with that nobody learns from.
    """

    folder: Path
    unopened: str
    read: Callable[[Path], list[Said]]

    def chosen(self, doc: str) -> tuple[list[Said], dict[str, list[Said]], bool]:
        """By the command line: what is learned, what is left out by its file, and whether all is but measured."""
        parser = argparse.ArgumentParser(description=doc.splitlines()[0])
        parser.add_argument(
            "--without", nargs="*", default=[], help="names of files of ways to leave out and to measure"
        )
        parser.add_argument("--measure-only", action="store_true", help="write nothing")
        arguments = parser.parse_args()
        files = [
            path for path in sorted(self.folder.glob("*.yaml")) if not path.stem.startswith(self.unopened)
        ]
        said = {path.stem: self.read(path) for path in files}
        left_out = {name: own for name, own in said.items() if name in arguments.without}
        learned = [each for name, own in said.items() if name not in left_out for each in own]
        return learned, left_out, arguments.measure_only
