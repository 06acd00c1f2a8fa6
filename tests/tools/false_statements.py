"""Statements of teachers, most with a slip, and how many are called false: python -m tests.tools.false_statements FILE.

A set is a list of items: `score` (a file of `tests/script/sentences`), the `bars` that the cue shows, what it has to
`say`, and, where that is false, the words that are (`false`) and `why`. The others are true.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from tests.tools.sentence_sets import OPEN, mentions_of

__all__ = ["FOLDER", "Statement", "judge", "sums"]

FOLDER = OPEN.parents[1] / "statements"


@dataclass(frozen=True)
class Statement:
    """A statement, the words of it that are false ("": none), those called false and those doubted."""

    say: str
    false: str
    called: tuple[str, ...]
    doubted: tuple[str, ...] = ()

    @property
    def verdict(self) -> str:
        """caught, doubted or missed where it is false; alarm, doubt or right where it is true."""
        if self.false:
            return "caught" if self.called else "doubted" if self.doubted else "missed"
        return "alarm" if self.called else "doubt" if self.doubted else "right"


def judge(path: Path, step: int = 1) -> Iterator[Statement]:
    """Every statement of a set, in no order; every third, if that is the step."""
    items: list[dict[str, Any]] = yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader)[::step]
    for name in dict.fromkeys(item["score"] for item in items):
        own = [item for item in items if item["score"] == name]
        found = mentions_of(OPEN.parent / name, own)
        for number, item in enumerate(own, 1):
            here = [each for each in found if each["cue"] == number]
            called = tuple(each["words"] for each in here if each["status"] == "fault")
            doubted = tuple(each["words"] for each in here if each["choices"][-1:] == ["-"])
            yield Statement(item["say"], item.get("false", ""), called, doubted)


def sums(paths: Iterable[Path], step: int = 1) -> Counter[str]:
    """How many statements of some sets, or of every so many of them, have each verdict."""
    return Counter(each.verdict for path in paths for each in judge(path, step))


def main() -> None:
    """Print how a set fares; with -v what passes and what is called false wrongly."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sets", nargs="*", type=Path, default=sorted(FOLDER.glob("learned-*.yaml")))
    parser.add_argument(
        "-v", "--verbose", action="store_true", help="print what is missed and what is an alarm"
    )
    arguments = parser.parse_args()
    for path in arguments.sets:
        judged = list(judge(path))
        print(f"{path}: {dict(Counter(each.verdict for each in judged))}")
        for each in judged if arguments.verbose else ():
            if each.verdict in ("missed", "alarm"):
                print(f"  {each.verdict}: {each.say} ({each.false or ', '.join(each.called)})")


if __name__ == "__main__":
    main()
