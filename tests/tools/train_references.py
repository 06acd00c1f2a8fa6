"""Trains the weights by which names in sentences find their notes, and writes reference/weights.json.

    python -m tests.tools.train_references --rounds 4

The sentences of the kept sets (tests/script/sentences; none of those that nobody opens) with their readings say which
note each name means: the likelihood of all that agrees with a reading, under the conditional random field of
`reference.chain`, is raised sentence by sentence (AdaGrad: Duchi, Hazan and Singer, Adaptive subgradient methods,
2011; from memory), with a penalty on the squared weights. With `--without`, sets are left out, and how they are read
is printed: a measure on sentences that had no part in the training.
"""

from __future__ import annotations

import argparse
import json
import random
import zlib
from base64 import b85encode
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from itertools import chain as joined
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import yaml

import lessonmaker.script.plain.reference as reference
from lessonmaker.score.position import format_position, parse_span
from lessonmaker.script.load import load_lesson
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claims import claims_in
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.place import Context
from lessonmaker.script.plain.places import places_in
from lessonmaker.script.plain.reference.chain import NEVER, Chances, Scores
from lessonmaker.script.plain.reference.clues import Clues
from lessonmaker.script.plain.reference.refer import candidates, clues_of, facts_in_sight
from lessonmaker.script.plain.reference.weights import SIZE, STEP, place_of
from lessonmaker.script.plain.text import Sentence, sentences_in
from tests.tools.false_statements import FOLDER as STATEMENTS
from tests.tools.said_of_notes import DEGREES
from tests.tools.sentence_sets import OPEN, lesson_of, score_at, score_path, spelt

RATE, PENALTY = 0.05, 1e-3
LEFT_OUT = ("unread", "nothing", "framed", "said_of", "held")  # kept apart, or of another form
SCENES = (("copper-lane", "1-4"), ("corner-blues", "5-12"), ("night-tram", "5-8"), ("ropewalk", "9-12"))
ORDERS = 3  # orders of the sentences, whose weights are averaged
LEVELS = (0.5, 0.9, 0.98)

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Meant = frozenset[int | None] | None
"""The notes that a name may mean by a reading (None among them: none); None where the reading does not say."""


@dataclass(frozen=True)
class Gold:
    """What a name may mean; it is `asked` where one is as likely as the other, and `read` where a reading has it."""

    meant: Meant
    asked: bool = False
    read: bool = False


@dataclass(frozen=True)
class Example:
    """A sentence to learn from: the places of its clues' weights, `sizes` those of each part, and what is meant.

    Parts are the candidate notes, the names, and the pairs, each in order.
    """

    places: Ints
    sizes: Ints
    names: tuple[int, ...]
    notes: tuple[int, ...]
    meant: tuple[Meant, ...]
    asked: tuple[bool, ...]
    befores: tuple[int, ...]

    def scores(self, weights: Floats) -> Scores:
        """What speaks for each way."""
        sums = np.add.reduceat(weights[self.places], np.cumsum(self.sizes) - self.sizes).tolist()
        count, many = len(self.names), len(self.names) + len(self.meant)
        rest = iter(sums[many:])
        pairs = [[next(rest) for _ in range(before)] for before in self.befores]
        return Scores(self.names, sums[:count], sums[count:many], pairs)

    def evened(self, notes: Sequence[float]) -> list[float]:
        """Chances of the candidates, those among which is asked alike."""
        return [
            float(note in meant) / len(meant) if self.asked[name] and meant is not None else chance
            for name, note, chance in zip(self.names, self.notes, notes, strict=True)
            for meant in [self.meant[name]]
        ]

    def agreeing(self, scores: Scores) -> Scores:
        """The same, for the ways that agree with the reading alone."""
        notes = [
            score if self.meant[name] is None or note in (self.meant[name] or ()) else NEVER
            for name, note, score in zip(self.names, self.notes, scores.notes, strict=True)
        ]
        none = [
            score if meant is None or None in meant else NEVER
            for meant, score in zip(self.meant, scores.none, strict=True)
        ]
        return replace(scores, notes=notes, none=none)


def kept_sets(folder: Path) -> list[Path]:
    """The sets to learn from."""
    return [path for path in sorted(folder.glob("*.yaml")) if not any(n in path.name for n in LEFT_OUT)]


def examples_of(path: Path) -> list[Example]:
    """The sentences of a set that have names."""
    return examples_in(loaded(path), path.parent)


def loaded(path: Path) -> Any:
    """What a YAML file holds."""
    return yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader)


def examples_in(items: Sequence[Mapping[str, Any]], folder: Path = OPEN.parent) -> list[Example]:
    """The sentences of some items that have names."""
    by_score: dict[Path, list[Mapping[str, Any]]] = {}
    for item in items:
        by_score.setdefault(score_path(folder, item["score"]), []).append(item)
    return [each for score, own in by_score.items() for each in _of_score(score, own)]


def sayings() -> list[dict[str, Any]]:
    """Items of sentences that are kept in other forms: what claims nothing, ways to speak of a note, false statements.

    Of a false statement only the words are known that are false; the item is `partial`.
    """
    rng = random.Random(1)
    nothing = [
        {"score": f"{score}.musicxml", "bars": bars, "say": say, "read": []}
        for each in loaded(OPEN.with_name("nothing.yaml")).values()
        for say in each
        for score, bars in [rng.choice(SCENES)]
    ]
    false = [
        {**item, "read": [{"words": item["false"], "fault": True}], "partial": True}
        for path in sorted(STATEMENTS.glob("learned-*.yaml"))
        for item in loaded(path)
        if "false" in item
    ]
    return [*nothing, *_framed(rng), *false]


def _framed(rng: random.Random) -> Iterator[dict[str, Any]]:
    """Ways to speak of a note, each said of one that is the only one with its degree in a bar."""
    there = [each for score, _ in SCENES for each in _single_notes(score)]
    for kind, frames in loaded(OPEN.with_name("framed.yaml")).items():
        for frame in frames:
            score, bar, name, place = rng.choice(there)
            say = frame.format(it=name, bar=f"bar {bar}")
            read = [{"words": name, "lit": [place]}] if kind == "meant" else []
            yield {"score": score, "bars": bar, "say": say[0].upper() + say[1:], "read": read}


def _single_notes(name: str) -> Iterator[tuple[str, str, str, str]]:
    """The score, bar, degree in words and place of notes that have their degree alone in their bar."""
    music = Music.of(score_at(OPEN.with_name(f"{name}.musicxml")))
    for bar in music.score.bars:
        notes = [note for note in music.line if note.bar == bar.index]
        degrees = [music.finding(note).degree for note in notes]
        for note, degree in zip(notes, degrees, strict=True):
            if degree in DEGREES and degrees.count(degree) == 1 and bar.number.isdecimal():
                place = format_position(music.score, note.onset)
                yield f"{name}.musicxml", bar.number, DEGREES[degree], place


def _of_score(path: Path, items: Sequence[Mapping[str, Any]]) -> Iterator[Example]:
    music = Music.of(score_at(path))
    at = {format_position(music.score, note.onset): index for index, note in enumerate(music.line)}
    cues = load_lesson(lesson_of(path, items)).cues
    for item, cue in zip(items, cues, strict=True):
        if cue.say is None or cue.bars is None:
            continue
        spans = (parse_span(music.score, cue.bars),)
        facts = facts_in_sight(music, spans)
        readings = [spelt(music.score, reading) for reading in item.get("read", ())]
        for sentence in sentences_in(cue.say, music, ()):
            places = places_in(sentence, Context(music, spans, None))
            ground = Ground(sentence, places, spans, music)
            clues = clues_of(ground, claims_in(sentence), facts)
            if any(name.notes for name in clues.names):
                gold = _meant(clues, sentence, str(item["say"]).lower(), readings, at)
                if "partial" in item:
                    gold = [each if each.read else Gold(None) for each in gold]
                yield _example(clues, gold)


def _example(clues: Clues, gold: Sequence[Gold]) -> Example:
    pairs = candidates(clues)
    befores = [sum(other < name for other, _ in pairs) for name, _ in pairs]
    parts = [
        *(clues.of_note(name, note) for name, note in pairs),
        *(clues.of_none(name) for name in range(len(clues.names))),
        *(
            clues.of_pair(*pairs[other], *pair)
            for pair, before in zip(pairs, befores, strict=True)
            for other in range(before)
        ),
    ]
    places = [[place_of(clue) for clue in part] for part in parts]
    return Example(
        np.array(list(joined.from_iterable(places)), np.intp),
        np.array([len(part) for part in places], np.intp),
        tuple(name for name, _ in pairs),
        tuple(note for _, note in pairs),
        tuple(each.meant for each in gold),
        tuple(each.asked for each in gold),
        tuple(befores),
    )


# What is meant --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Told:
    """A reading at [first, last) of what is said; None where it is not known which of several."""

    first: int
    last: int
    reading: Mapping[str, Any] | None


def _meant(
    clues: Clues,
    sentence: Sentence,
    say: str,
    readings: Sequence[Mapping[str, Any]],
    at: Mapping[str, int],
) -> list[Gold]:
    """What each name of a sentence means by its readings."""
    told = list(_told(say, readings))
    offsets = sentence.offsets
    spans = [(offsets[name.claim.first], offsets[name.claim.last - 1] + 1) for name in clues.names]
    found: list[Gold] = []
    for which, (first, last) in enumerate(spans):
        over = [each for each in told if each.first < last and first < each.last]
        own = min(
            (each for each in over if each.first <= first and last <= each.last),
            key=lambda each: each.last - each.first,
            default=None,
        )
        if own is None:
            found.append(Gold(None if over else frozenset([None])))
        elif own.reading is None:
            found.append(Gold(None))
        else:
            inside = [n for n, (a, b) in enumerate(spans) if own.first <= a and b <= own.last]
            found.append(_by(own.reading, inside.index(which), len(inside), clues.names[which].notes, at))
    return found


def _told(say: str, readings: Sequence[Mapping[str, Any]]) -> Iterator[Told]:
    """Where the words of readings stand; of the same words each reading has its own, in order."""
    by_words: dict[str, list[Mapping[str, Any]]] = {}
    for reading in readings:
        by_words.setdefault(str(reading["words"]).lower(), []).append(reading)
    for words, own in by_words.items():
        places = list(_places_of(say, words))
        known: Sequence[Mapping[str, Any] | None] = own if len(own) in (1, len(places)) else ()
        for number, first in enumerate(places):
            reading = known[number] if number < len(known) else None
            yield Told(first, first + len(words), reading)


def _places_of(say: str, words: str) -> Iterator[int]:
    first = say.find(words)
    while first >= 0:
        yield first
        first = say.find(words, first + 1)


def _by(
    reading: Mapping[str, Any], which: int, count: int, notes: Sequence[int], at: Mapping[str, int]
) -> Gold:
    """What the name that is number `which` of `count` in a reading's words means; its notes are those that fit."""
    ways = [reading, *reading.get("or", ())]
    asked = [at.get(str(place)) for place in reading.get("ask", ())]
    if asked and count == 1:
        return Gold(frozenset(place for place in asked if place in notes) or None, True, True)
    if any("ask" in way for way in ways):
        return Gold(None)
    found: set[int | None] = set()
    for way in ways:
        lit = [at.get(str(place)) for place in way.get("lit", ())]
        own = [lit[which]] if count == len(lit) > 1 and lit[which] in notes else lit
        found |= {place for place in own if place in notes}
    spans = any("bars" in way for way in ways)
    if reading.get("may") or "fault" in reading or (spans and (count > 1 or len(ways) == 1)) or not found:
        found.add(None)
    return Gold(frozenset(found), read=True)


# Training -------------------------------------------------------------------------------------------------


def train(examples: Sequence[Example], rounds: int) -> Floats:
    """The weights that make the readings likely, averaged over some orders of the sentences."""
    return np.mean([_train(examples, rounds, seed) for seed in range(ORDERS)], axis=0)


def _train(examples: Sequence[Example], rounds: int, seed: int) -> Floats:
    weights, squares = np.zeros(SIZE), np.full(SIZE, 1e-6)
    order = list(examples)
    rng = random.Random(seed)
    for number in range(rounds):
        rng.shuffle(order)
        loss = sum(_learn(example, weights, squares) for example in order)
        print(f"order {seed}, round {number + 1}: {loss / len(order):.4f} nats a sentence", flush=True)
    return weights


def _learn(example: Example, weights: Floats, squares: Floats) -> float:
    """Raise the likelihood of one sentence's reading."""
    scores = example.scores(weights)
    every, agreed = Chances(scores), Chances(example.agreeing(scores))
    if agreed.total == NEVER:
        return 0.0
    more = [
        *np.subtract(every.notes, example.evened(agreed.notes)),
        *np.subtract(every.none, agreed.none),
        *np.subtract([*joined.from_iterable(every.pairs)], [*joined.from_iterable(agreed.pairs)]),
    ]
    places, inverse = np.unique(example.places, return_inverse=True)
    slope = np.bincount(inverse, np.repeat(more, example.sizes)) + PENALTY * weights[places]
    squares[places] += slope**2
    weights[places] -= RATE * slope / np.sqrt(squares[places])
    return every.total - agreed.total


def measure(examples: Iterable[Example], weights: Floats) -> str:
    """How many names are read as a reading says, and of those that are lit with some chance how many rightly."""
    rows: list[tuple[float, bool, bool]] = []
    losses: list[float] = []
    for example in examples:
        scores = example.scores(weights)
        found, agreed = Chances(scores), Chances(example.agreeing(scores))
        losses += [found.total - agreed.total] if agreed.total > NEVER else []
        for name, meant in enumerate(example.meant):
            if meant is None or example.asked[name]:
                continue
            own = [
                (chance, note)
                for each, note, chance in zip(example.names, example.notes, found.notes, strict=True)
                if each == name
            ]
            chance, note = max([(found.none[name], None), *own], key=lambda pair: pair[0])
            rows.append((chance, note in meant, note is not None))
    right = sum(is_right for _, is_right, _ in rows)
    told = [
        f"{sum(losses) / len(losses):.4f} nats a sentence; {right / len(rows):.4f} of {len(rows)} names right"
    ]
    for level in LEVELS:
        lit = [is_right for chance, is_right, is_lit in rows if is_lit and chance >= level]
        told.append(f"lit from {level}: {len(lit)}, {sum(lit) / max(len(lit), 1):.4f} right")
    return "; ".join(told)


def write(weights: Floats, about: Mapping[str, Any]) -> None:
    """Put the weights beside the module that reads them."""
    steps = np.clip(np.round(weights / STEP), -127, 127).astype(np.int8)
    text = b85encode(zlib.compress(steps.tobytes(), 9)).decode()
    path = Path(reference.__file__).with_name("weights.json")
    path.write_text(json.dumps({**about, "weights": text}, indent=1) + "\n", encoding="utf-8")


def main() -> None:
    """Train, measure what was left out, and write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=4)
    parser.add_argument("--without", nargs="*", default=[], help="names of sets to leave out and to measure")
    parser.add_argument("--measure-only", action="store_true", help="write nothing")
    arguments = parser.parse_args()
    sets = kept_sets(OPEN.parent)
    with ProcessPoolExecutor() as pool:
        by_name = dict(zip([path.stem for path in sets], pool.map(examples_of, sets), strict=True))
    examples = [each for name, own in by_name.items() if name not in arguments.without for each in own]
    examples += examples_in(sayings())
    weights = train(examples, arguments.rounds)
    left = [each for name in arguments.without for each in by_name[name]]
    if left:
        print(measure(left, weights))
    if not arguments.measure_only:
        command = f"python -m tests.tools.train_references --rounds {arguments.rounds}"
        write(weights, {"made_by": command, "sentences": len(examples)})


if __name__ == "__main__":
    main()
