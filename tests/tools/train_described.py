"""Trains the weights by which a sentence tells what it describes, and writes described/weights.json.

    python -m tests.tools.train_described

Ways to say that a thing is there (tests/script/described; none of those whose name says that nobody opens them), and
the kept sentences that claim nothing of the kind, are told apart by a multinomial logistic regression with a penalty on
the squared weights, fitted by L-BFGS; the weights that say most are kept and fitted again. With `--without`, files of
ways are left out, and how they are told is printed.
"""

from __future__ import annotations

import argparse
import json
import re
import zlib
from base64 import b64encode
from collections import Counter
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import scipy.optimize
import scipy.sparse

import lessonmaker.script.plain.described as described
from lessonmaker.script.plain.described.things import NOTHING_TOLD, THINGS
from lessonmaker.script.plain.described.weights import SIZE, STEP, place_of
from lessonmaker.script.plain.described.words import clues_of
from tests.tools.sentence_sets import OPEN, judge_set
from tests.tools.train_references import kept_sets, loaded

WAYS = OPEN.parent.parent / "described"
UNOPENED = "unopened"
SMALL_TALK = "small talk"
PENALTY, FEWEST, KEPT = 0.03, 3, 20_000
SURE = 0.8

Floats = npt.NDArray[np.float64]
Said = tuple[str, str]
"""A thing and a sentence that describes it."""


def ways_in(path: Path) -> list[Said]:
    """The sentences of a file of ways."""
    return [
        (NOTHING_TOLD if thing == SMALL_TALK else thing, say)
        for thing, own in loaded(path).items()
        for say in own
    ]


def kept_sentences(path: Path) -> list[Said]:
    """The sentences of a set that are read right and describe nothing, or one thing by its name."""
    items = {(item["say"], item["bars"]): item for item in loaded(path)}
    found: list[Said] = []
    for each in judge_set(path):
        readings = items[each.say, each.bars].get("read") or []
        targets = [target for told in each.read if (target := _lit(told))]
        named = {target.split("@")[0] for target in targets} & THINGS.keys()
        plain = all(_lit(told) for told in each.read) and not any("@" not in target for target in targets)
        notes = each.read and plain and not any(reading.get("may") for reading in readings)
        found += [(NOTHING_TOLD, part) for part in _of_nothing(each.say, readings)]
        if not readings:
            found.append((NOTHING_TOLD, each.say))
        elif each.verdict != "right":
            continue
        elif len(named) == 1 and plain:
            found.append((*named, each.say))
        elif not named and notes and not any(_is_thing(target) for target in targets):
            found.append((NOTHING_TOLD, each.say))
    return found


def _of_nothing(say: str, readings: Sequence[Mapping[str, Any]]) -> list[str]:
    """The sentences of what is said, where it has several, that no reading has words of."""
    parts = re.split(r"(?<=[.!?]) ", say)
    words = [str(reading["words"]).lower() for reading in readings]
    return [
        part for part in parts if len(parts) > 1 and not any(_meets(part.lower(), each) for each in words)
    ]


def _meets(part: str, words: str) -> bool:
    """Whether a part of what is said has some words, or some of them."""
    return (
        words in part
        or part.strip(" .!?") in words
        or any(piece in part for piece in re.split(r"[.!?] ", words))
    )


def _lit(told: str) -> str:
    """What a line of a verdict says was lit, as a link would name it; empty where it was not."""
    return told.split("('")[1].split("'")[0] if told.startswith("lit") and "('" in told else ""


def _is_thing(target: str) -> bool:
    """Whether a target is more than degrees."""
    return any(part.isalpha() and len(part) > 1 for part in target.split("@")[0].replace(",", " ").split())


@dataclass(frozen=True)
class Sample:
    """Sentences with what they describe, as numbers: `columns` are the clues that are counted."""

    said: Sequence[Said]
    columns: Mapping[str, int]

    @cached_property
    def things(self) -> list[str]:
        """All that is told apart."""
        return sorted({*THINGS, NOTHING_TOLD})

    @cached_property
    def wanted(self) -> npt.NDArray[np.intp]:
        """The place of what each sentence describes."""
        places = {thing: at for at, thing in enumerate(self.things)}
        return np.array([places[thing] for thing, _ in self.said], np.intp)

    @cached_property
    def matrix(self) -> Any:
        """The clues of each sentence, weighted so that long ones count as much."""
        rows, columns, values = [], [], []
        for row, (_, say) in enumerate(self.said):
            clues = clues_of(say.lower().replace("’", "'"))
            inside = [self.columns[clue.name] for clue in clues if clue.name in self.columns]
            rows += [row] * len(inside)
            columns += inside
            values += [1 / sqrt(max(len(clues), 1))] * len(inside)
        return scipy.sparse.csr_matrix((values, (rows, columns)), shape=(len(self.said), len(self.columns)))


def columns_of(said: Sequence[Said]) -> dict[str, int]:
    """The clues that come often enough to be counted."""
    counts = Counter(clue.name for _, say in said for clue in clues_of(say.lower().replace("’", "'")))
    return {name: at for at, name in enumerate(sorted(name for name, n in counts.items() if n >= FEWEST))}


def chances(weights: Floats, matrix: Any) -> Floats:
    """How likely each thing is for each row."""
    scores = matrix @ weights
    powers = np.exp(scores - scores.max(1, keepdims=True))
    return np.asarray(powers / powers.sum(1, keepdims=True))


def fitted(sample: Sample, start: Floats, mask: npt.NDArray[np.bool_], rounds: int) -> Floats:
    """The weights under a mask that make what is described likely."""
    matrix, wanted = sample.matrix, sample.wanted
    rows = np.arange(len(wanted))

    def loss(flat: Floats) -> tuple[float, Floats]:
        weights = flat.reshape(start.shape) * mask
        found = chances(weights, matrix)
        total = -np.log(found[rows, wanted] + 1e-12).sum() + PENALTY / 2 * (weights**2).sum()
        found[rows, wanted] -= 1
        return float(total), ((matrix.T @ found + PENALTY * weights) * mask).ravel()

    made = scipy.optimize.minimize(
        loss, (start * mask).ravel(), jac=True, method="L-BFGS-B", options={"maxiter": rounds}
    )
    return np.asarray(made.x).reshape(start.shape) * mask


def train(sample: Sample) -> Floats:
    """The weights of the clues (rows) for the things (columns); all but those that say most are nought."""
    nothing = np.zeros((len(sample.columns), len(sample.things)))
    every = fitted(sample, nothing, np.ones(nothing.shape, bool), 60)
    centred = every - np.median(every, axis=1, keepdims=True)
    least = np.sort(np.abs(centred).ravel())[-min(KEPT, centred.size)]
    return fitted(sample, centred, np.abs(centred) >= least, 40)


def measure(weights: Floats, sample: Sample) -> str:
    """How many sentences are told right, and of those that are told surely."""
    found = chances(weights, sample.matrix)
    right, sure = found.argmax(1) == sample.wanted, found.max(1) >= SURE
    return (
        f"{right.mean():.3f} of {len(right)} right; {sure.mean():.3f} told with {SURE} and more, "
        f"{right[sure].sum() / max(sure.sum(), 1):.3f} of these right"
    )


def write(weights: Floats, sample: Sample, about: Mapping[str, Any]) -> None:
    """Put the weights beside the module that reads them."""
    table = np.zeros(SIZE, np.int8)
    steps = np.clip(np.round(weights / STEP), -127, 127).astype(np.int8)
    for name, row in sample.columns.items():
        for column in np.flatnonzero(steps[row]):
            table[place_of(sample.things[column], name)] = steps[row, column]
    text = b64encode(zlib.compress(table.tobytes(), 9)).decode()
    path = Path(described.__file__).with_name("weights.json")
    path.write_text(json.dumps({**about, "weights": text}, indent=1) + "\n", encoding="utf-8")


def main() -> None:
    """Train, measure what was left out, and write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument(
        "--without", nargs="*", default=[], help="names of files of ways to leave out and to measure"
    )
    parser.add_argument("--measure-only", action="store_true", help="write nothing")
    arguments = parser.parse_args()
    files = [path for path in sorted(WAYS.glob("*.yaml")) if UNOPENED not in path.name]
    ways = [each for path in files if path.stem not in arguments.without for each in ways_in(path)]
    with ProcessPoolExecutor() as pool:
        kept = [each for own in pool.map(kept_sentences, kept_sets(OPEN.parent)) for each in own]
    nothing = [(NOTHING_TOLD, say) for own in loaded(OPEN.with_name("nothing.yaml")).values() for say in own]
    said = [*ways, *dict.fromkeys(kept), *nothing]
    sample = Sample(said, columns_of(said))
    weights = train(sample)
    print("learned:", measure(weights, sample))
    for path in files:
        if path.stem in arguments.without:
            print(f"{path.stem}:", measure(weights, Sample(ways_in(path), sample.columns)))
    if not arguments.measure_only:
        write(weights, sample, {"made_by": "python -m tests.tools.train_described", "sentences": len(said)})


if __name__ == "__main__":
    main()
