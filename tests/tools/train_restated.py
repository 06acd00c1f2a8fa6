"""Trains the weights by which a sentence tells what it states, and writes restated/weights.json.

    python -m tests.tools.train_restated

Ways to say each statement (tests/script/restated; not those that nobody opens) and its plain words, with words in their
slots, and small talk (tests/script/sentences/nothing.yaml) are told apart as `learning` does it; then once more, with
the small talk of the kept sets that was taken for a statement. With `--without`, files of ways are left out, and how
they are told is printed.
"""

from __future__ import annotations

import random
from pathlib import Path

import lessonmaker.script.plain.restated as restated
from lessonmaker.script.plain.learned import Weights
from lessonmaker.script.plain.learned.weights import text_of
from lessonmaker.script.plain.restated.forms import FORMS, NOTHING_STATED
from lessonmaker.script.plain.restated.slots import SLOT
from lessonmaker.script.plain.restated.words import clues_in
from tests.tools.learning import Learning, Said, Sample, Ways, in_lower_case, measure, weights_from
from tests.tools.sentence_sets import OPEN
from tests.tools.train_described import parts_of_nothing
from tests.tools.train_references import kept_sets, loaded

__all__ = ["SLOT_WORDS", "UNOPENED", "WAYS", "ways_in", "with_words"]

WAYS = OPEN.parent.parent / "restated"
UNOPENED = "unopened"
LEARNING = Learning(clues_in, fewest=2, penalty=0.01, kept=30_000)
WEIGHTS = Path(restated.__file__).with_name("weights.json")
TAKEN = 0.25
# What may stand in each slot.
SLOT_WORDS = {
    "bar": ("four", "nine", "twelve", "three", "seventeen"),
    "beat": ("two", "four", "three", "one", "and of two", "and of four"),
    "chord": (
        "G seven", "C minor seven", "D seven", "E flat major seven", "B half-diminished", "B flat seven", "F minor",
        "F sharp diminished",
    ),
    "count": ("three", "two", "four", "five", "six", "eight"),
    "degree": (
        "third", "seventh", "flat nine", "fifth", "ninth", "sharp eleven", "root", "thirteenth", "sixth",
        "flat thirteen", "minor third", "major seventh", "F sharp",
    ),
    "interval": ("third", "fourth", "whole step", "half step", "fifth", "octave", "minor third", "sixth"),
    "key": ("F major", "G minor", "B flat", "E flat major", "D minor", "C"),
    "scale": (
        "dorian", "the altered scale", "the whole tone scale", "mixolydian", "the blues scale", "the major scale",
        "melodic minor", "lydian",
    ),
}  # fmt: skip
SLOT_WORDS["triad"] = SLOT_WORDS["chord"]


def ways_in(path: Path) -> list[Said]:
    """The statements of a file of ways, with a word in each slot, the same each time."""
    chance = random.Random(path.stem)
    return [(form, with_words(say, chance)) for form, own in loaded(path).items() for say in own]


def with_words(say: str, chance: random.Random) -> str:
    """A way with a word in each slot."""
    return SLOT.sub(lambda slot: chance.choice(SLOT_WORDS[slot[1]]), say)


def plain_statements() -> list[Said]:
    """Each statement in its own plain words."""
    chance = random.Random(NOTHING_STATED)
    return [(form, with_words(plain, chance)) for form, plain in FORMS.items() if plain]


def small_talk() -> list[str]:
    """The sentences of the kept sets, and those of what has several, that no reading is of."""
    items = [item for path in kept_sets(OPEN.parent) for item in loaded(path)]
    read = [(item["say"], [*item.get("read", ()), *item.get("second", ())]) for item in items]
    return list(dict.fromkeys(part for say, readings in read for part in parts_of_nothing(say, readings)))


def is_taken_for_more(weights: Weights, say: str) -> bool:
    """Whether a sentence is likely to state something."""
    chances = weights.chances(clues_in(in_lower_case(say)))
    best = max(chances, key=chances.__getitem__)
    return best != NOTHING_STATED and chances[best] >= TAKEN


def main() -> None:
    """Train, measure what was left out, and write."""
    said, left_out, only_measured = Ways(WAYS, UNOPENED, ways_in).chosen(__doc__)
    said += plain_statements()
    said += [(NOTHING_STATED, say) for own in loaded(OPEN.with_name("nothing.yaml")).values() for say in own]
    weights = weights_from(Sample(said, LEARNING))
    taken = [(NOTHING_STATED, say) for say in small_talk() if is_taken_for_more(weights, say)]
    print(len(taken), "sentences of small talk were taken for statements, and are learned as well")
    weights = weights_from(Sample([*said, *taken], LEARNING))
    print("learned:", measure(weights, said, LEARNING, NOTHING_STATED))
    for name, own in left_out.items():
        print(f"{name}:", measure(weights, own, LEARNING, NOTHING_STATED))
    if not only_measured:
        about = {"made_by": "python -m tests.tools.train_restated", "sentences": len(said)}
        WEIGHTS.write_text(text_of(weights, about), encoding="utf-8")


if __name__ == "__main__":
    main()
