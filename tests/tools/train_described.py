"""Trains the weights by which a sentence tells what it describes, and writes described/weights.json.

    python -m tests.tools.train_described

Ways to say that a thing is there (tests/script/described; none of those whose name says that nobody opens them), and
the kept sentences that claim nothing of the kind, are told apart as `learning` does it. With `--without`, files of ways
are left out, and how they are told is printed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import lessonmaker.script.plain.described as described
from lessonmaker.script.plain.described.tell import clues_in
from lessonmaker.script.plain.described.things import NOTHING_TOLD, THINGS
from lessonmaker.script.plain.learned.weights import text_of
from tests.tools.learning import Learning, Said, Sample, Ways, measure, weights_from
from tests.tools.sentence_sets import OPEN, judge_set
from tests.tools.train_references import kept_sets, loaded

WAYS = OPEN.parent.parent / "described"
UNOPENED = "unopened"
SMALL_TALK = "small talk"
WEIGHTS = Path(described.__file__).with_name("weights.json")


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
        found += [(NOTHING_TOLD, part) for part in parts_of_nothing(each.say, readings)]
        if not readings or each.verdict != "right":
            continue
        if len(named) == 1 and plain:
            found.append((*named, each.say))
        elif not named and notes and not any(_is_thing(target) for target in targets):
            found.append((NOTHING_TOLD, each.say))
    return found


def parts_of_nothing(say: str, readings: Sequence[Mapping[str, Any]]) -> list[str]:
    """The sentences of what is said that no reading has words of, where it has several or nothing is read."""
    parts = re.split(r"(?<=[.!?]) ", say)
    words = [str(reading["words"]).lower() for reading in readings]
    several = len(parts) > 1 or not readings
    return [part for part in parts if several and not any(_meets(part.lower(), each) for each in words)]


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


LEARNING = Learning(clues_in, fewest=3, penalty=0.01, kept=30_000)


def main() -> None:
    """Train, measure what was left out, and write."""
    ways, left_out, only_measured = Ways(WAYS, UNOPENED, ways_in).chosen(__doc__)
    with ProcessPoolExecutor() as pool:
        kept = [each for own in pool.map(kept_sentences, kept_sets(OPEN.parent)) for each in own]
    nothing = [(NOTHING_TOLD, say) for own in loaded(OPEN.with_name("nothing.yaml")).values() for say in own]
    said = [*ways, *dict.fromkeys(kept), *nothing]
    weights = weights_from(Sample(said, LEARNING))
    print("learned:", measure(weights, said, LEARNING, NOTHING_TOLD))
    for name, own in left_out.items():
        print(f"{name}:", measure(weights, own, LEARNING, NOTHING_TOLD))
    if not only_measured:
        about = {"made_by": "python -m tests.tools.train_described", "sentences": len(said)}
        WEIGHTS.write_text(text_of(weights, about), encoding="utf-8")


if __name__ == "__main__":
    main()
