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
    """A statement, the words of it that are false ("": none), and those that are called false."""

    say: str
    false: str
    called: tuple[str, ...]

    @property
    def verdict(self) -> str:
        """caught or missed where it is false, alarm or right where it is true."""
        if self.false:
            return "caught" if self.called else "missed"
        return "alarm" if self.called else "right"


def judge(path: Path) -> Iterator[Statement]:
    """Every statement of a set, in no order."""
    items: list[dict[str, Any]] = yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader)
    for name in dict.fromkeys(item["score"] for item in items):
        own = [item for item in items if item["score"] == name]
        found = mentions_of(OPEN.parent / name, own)
        for number, item in enumerate(own, 1):
            faults = (each for each in found if each["cue"] == number and each["status"] == "fault")
            yield Statement(item["say"], item.get("false", ""), tuple(each["words"] for each in faults))


def sums(paths: Iterable[Path]) -> Counter[str]:
    """How many statements of some sets have each verdict."""
    return Counter(each.verdict for path in paths for each in judge(path))


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
