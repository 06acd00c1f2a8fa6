"""Sets of sentences with their right readings (YAML), and how they are read: python -m tests.tools.sentence_sets FILE.

A set is a list of items: `score` (a file beside the set, or of media/), the `bars` that the cue shows, what it has to
`say`, and the readings that are right. A reading has the `words` that make the claim and what is right for them:

    lit: [2.1, "3.2&"]     these notes
    bars: 13-14            something that begins in the first and ends in the last of these bars
    fault: yes             the claim is false
    ask: [4.2, 4.3]        a question, with these places to choose from

`or` holds others that are right as well; a reading with `may: yes` may be missing. A sentence with nothing to `read`
is small talk. `second` holds the readings of another listener, where they are others: either is right. A sentence is
right where every reading is found (several notes may be lit as one, or those of one reading one by one) and nothing
else is lit or called false, confidently wrong where something else is, and missed otherwise. Some of a reading's
notes that are lit once more, by whatever words, are nothing else.
Bars that are named beside a claim may be lit with it. So may the thing that a claim is made of before it is called
false: "the enclosure goes around the root" lights the enclosure, and its root is the fault.
"""

from __future__ import annotations

import argparse
import atexit
import json
import re
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from lessonmaker.cli.explain import mention_json
from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position, parse_span
from lessonmaker.score.read import read_score
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = [
    "OPEN",
    "REPOSITORY",
    "Judged",
    "judge_items",
    "judge_set",
    "lesson_of",
    "mentions_of",
    "score_at",
    "score_path",
    "spelt",
]

REPOSITORY = Path(__file__).parents[2]
OPEN = REPOSITORY / "tests" / "script" / "sentences" / "open.yaml"
MEDIA = REPOSITORY / "media"
FOUND = Mapping[str, Any]
FITS = Callable[[Mapping[str, Any], FOUND], bool]
VERDICTS = ("right", "missed", "wrong")
WORD = re.compile(r"[\w#'-]+")
BARS = re.compile(rf"\b(?:bar|measure)s?\b|^{NUMBER}$", re.IGNORECASE)


@dataclass(frozen=True)
class Judged:
    """A sentence, its verdict ("right", "wrong" confidently, or "missed"), and what was read."""

    score: str
    bars: str
    say: str
    verdict: str
    read: tuple[str, ...]


def judge_set(path: Path, step: int = 1) -> tuple[Judged, ...]:
    """Every sentence of a set with its verdict; every third, if that is the step."""
    items: list[dict[str, Any]] = yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader)[::step]
    return judge_items(items, path.resolve().parent)


def judge_items(items: Sequence[Mapping[str, Any]], folder: Path = OPEN.parent) -> tuple[Judged, ...]:
    """Some sentences with their verdicts, score by score; the scores are in a folder, or with those of all sets."""
    names = dict.fromkeys(item["score"] for item in items)
    return tuple(
        judged
        for name in names
        for judged in _judge_score(
            score_path(folder, name), [item for item in items if item["score"] == name]
        )
    )


def score_path(folder: Path, name: str) -> Path:
    beside = [each / name for each in (folder, OPEN.parent, MEDIA)]
    return next(each for each in beside if each.exists())


@cache
def _scratch() -> Path:
    """A folder of this process, until it ends."""
    folder = tempfile.TemporaryDirectory()
    atexit.register(folder.cleanup)
    return Path(folder.name)


def _place(score: Score, text: str) -> str:
    span = parse_span(score, text)
    return text if "-" in text else format_position(score, span.start)


@cache
def score_at(path: Path) -> Score:
    """A score, read once."""
    return read_score(path)


@cache
def _positions(path: Path) -> tuple[str, ...]:
    """Where each struck note is."""
    score = score_at(path)
    return tuple(format_position(score, note.onset) for note in score.struck)


def _judge_score(path: Path, items: Sequence[Mapping[str, Any]]) -> Iterable[Judged]:
    score = score_at(path)
    found = mentions_of(path, items)
    for number, item in enumerate(items, 1):
        here = [each for each in found if each["cue"] == number]
        places = _Places(_positions(path), here)
        read = tuple(places.told(each) for each in here)
        keys = [item.get("read", ()), *([item["second"]] if "second" in item else [])]
        verdicts = [places.verdict([spelt(score, reading) for reading in key]) for key in keys]
        yield Judged(item["score"], item["bars"], item["say"], min(verdicts, key=VERDICTS.index), read)


def spelt(score: Score, reading: Mapping[str, Any]) -> dict[str, Any]:
    """A reading with its places as the score's positions are written: "4.4e" for "4.4+1/4"."""
    found = dict(reading)
    for kind in ("lit", "ask"):
        if kind in reading:
            found[kind] = [_place(score, str(place)) for place in reading[kind]]
    if "or" in reading:
        found["or"] = [spelt(score, way) for way in reading["or"]]
    return found


def mentions_of(path: Path, items: Sequence[Mapping[str, Any]]) -> list[FOUND]:
    """What `check` understands of the sentences of some items, all over the score at `path`, each as a cue (from 1)."""
    checked = examine_lesson(load_lesson(lesson_of(path, items)), score_at(path)).checked
    if checked is None:
        raise ValueError(f"{path}: the lesson cannot be read")
    return list(mention_json(checked))


def lesson_of(path: Path, items: Sequence[Mapping[str, Any]]) -> Path:
    """A lesson script over the score at `path`, with each item as a cue."""
    lines = ["lesson: Sentences", f"score: {json.dumps(str(path))}", "cues:"]
    for item in items:
        lines += [f"  - bars: {item['bars']}", f"    say: {json.dumps(item['say'])}"]
    script = _scratch() / "sentences.yaml"
    script.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return script


class _Places:
    """The mentions of one sentence against its readings; `at` has where each struck note is."""

    def __init__(self, at: Sequence[str], found: Sequence[FOUND]) -> None:
        self.at, self.found = at, list(found)

    def told(self, each: FOUND) -> str:
        """A mention in a line."""
        what = " ".join(self._lit(each)) or f"{each['from']} to {each['to']}"
        return f"{each['status']} {each['words']!r} {each['choices'] or (each['target'], what)}"

    def verdict(self, readings: Sequence[Mapping[str, Any]]) -> str:
        """right, wrong or missed."""
        left, unread = list(self.found), list(readings)
        shown: set[str] = set()
        self._match(
            left, unread, shown, self._is_lit_by_its_words
        )  # of two readings of the same notes each its own
        left = self._without_parts(left, unread, shown)
        self._match(left, unread, shown, self._is_lit_or_asked)
        left = self._without_parts(left, unread, shown)
        self._match(left, unread, shown, self._is_in_bars_by_its_words)
        for each in [each for each in left if each["status"] == "lit" and each["notes"]]:
            parts = [reading for reading in unread if set(_wanted(reading)) <= set(self._lit(each))]
            if {place for part in parts for place in _wanted(part)} == set(self._lit(each)):
                left.remove(each)
                shown |= set(self._lit(each))
        left = self._without_parts(left, unread, shown)
        self._match(left, unread, shown, self._is_in_bars)  # the last, as any note fits its bar
        unread = [reading for reading in unread if not set(_wanted(reading)) <= shown]
        wrong = [each for each in left if each["status"] in ("lit", "fault")]
        wrong = [each for each in wrong if not any(self._repeats(each, reading) for reading in readings)]
        found = [reading for reading in readings if reading not in unread]
        wrong = [each for each in wrong if not any(self._is_of(each, reading) for reading in found)]
        wrong = [each for each in wrong if not self._is_before_a_fault(each, found)]
        if any(not (readings and _names_bars(each)) for each in wrong):
            return "wrong"
        return "right" if all(reading.get("may") for reading in unread) else "missed"

    def _match(
        self, left: list[FOUND], unread: list[Mapping[str, Any]], shown: set[str], is_it: FITS
    ) -> None:
        """Take away each reading with the mention that it is."""
        for reading in list(unread):
            hits = [each for each in left if is_it(reading, each)]
            hit = max(hits, key=lambda each: _shared(reading["words"], each["words"]), default=None)
            if hit is not None:
                left.remove(hit)
                unread.remove(reading)
                shown |= set(self._lit(hit))

    def _without_parts(
        self, left: Sequence[FOUND], unread: Sequence[Mapping[str, Any]], shown: set[str]
    ) -> list[FOUND]:
        """The mentions without those that light a reading's notes together, which are added to those shown."""
        rest = list(left)
        for reading in unread:
            parts = [each for each in rest if each["status"] == "lit" and self._is_part(each, reading)]
            if {place for part in parts for place in self._lit(part)} == set(_wanted(reading)):
                rest = [each for each in rest if each not in parts]
                shown |= set(_wanted(reading))
        return rest

    def _is_part(self, each: FOUND, reading: Mapping[str, Any]) -> bool:
        """Whether a mention lights some of a reading's notes, by some of its words."""
        inside = each["words"].casefold() in str(reading["words"]).casefold()
        return inside and bool(self._lit(each)) and set(self._lit(each)) <= set(_wanted(reading))

    def _repeats(self, each: FOUND, reading: Mapping[str, Any]) -> bool:
        """Whether a mention lights nothing but notes of a reading, by some of its words."""
        notes, words = set(self._lit(each)), str(reading["words"])
        part = _share_words(words, each["words"]) and words.casefold() != each["words"].casefold()
        return part and bool(notes) and any(notes <= set(_wanted(way)) for way in _ways(reading))

    def _is_of(self, each: FOUND, reading: Mapping[str, Any]) -> bool:
        """Whether a mention is nothing but notes of a reading, or one more word of what is called false."""
        inside = each["words"].casefold() in str(reading["words"]).casefold()
        among = bool(self._lit(each)) and any(
            set(self._lit(each)) <= set(_wanted(way)) for way in _ways(reading)
        )
        return (each["status"] == "lit" and among) or (inside and "fault" in reading)

    def _is_before_a_fault(self, each: FOUND, readings: Sequence[Mapping[str, Any]]) -> bool:
        """Whether something is lit before what is rightly called false."""
        after = self.found[self.found.index(each) + 1 :]
        return each["status"] == "lit" and any(
            later["status"] == "fault" and "fault" in reading and self._fits(reading, later, reading["words"])
            for later in after
            for reading in readings
        )

    def _lit(self, each: FOUND) -> list[str]:
        return [self.at[index] for index in each["notes"]]

    def _is_lit_or_asked(self, reading: Mapping[str, Any], each: FOUND) -> bool:
        return any(self._fits(way, each, reading["words"]) for way in _ways(reading) if "bars" not in way)

    def _is_lit_by_its_words(self, reading: Mapping[str, Any], each: FOUND) -> bool:
        return _share_words(reading["words"], each["words"]) and self._is_lit_or_asked(reading, each)

    def _is_in_bars(self, reading: Mapping[str, Any], each: FOUND) -> bool:
        return any(self._fits(way, each, reading["words"]) for way in _ways(reading) if "bars" in way)

    def _is_in_bars_by_its_words(self, reading: Mapping[str, Any], each: FOUND) -> bool:
        return _share_words(reading["words"], each["words"]) and self._is_in_bars(reading, each)

    def _fits(self, way: Mapping[str, Any], each: FOUND, words: str) -> bool:
        if "lit" in way:
            return each["status"] == "lit" and self._lit(each) == [str(place) for place in way["lit"]]
        if "bars" in way:
            ends = str(way["bars"]).split("-")
            there = [str(end).split(".")[0] for end in (each["from"], each["to"])]
            return each["status"] == "lit" and there == [ends[0], ends[-1]]
        if "ask" in way:
            places = [str(place) for place in way["ask"]]
            return each["status"] == "question" and sorted(self._chosen(each)) == sorted(places)
        return each["status"] == "fault" and _share_words(words, each["words"])

    def _chosen(self, each: FOUND) -> list[str]:
        return [choice.split("@")[-1] for choice in each["choices"]]


def _ways(reading: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """What is right for a reading."""
    return [reading, *reading.get("or", ())]


def _shared(one: str, other: str) -> int:
    """How many words two texts have in common; "the root's right there" has the root."""
    own, others = (
        {word.removesuffix("'s") for word in WORD.findall(text.casefold())} for text in (one, other)
    )
    return len(own & others)


def _share_words(one: str, other: str) -> bool:
    return _shared(one, other) > 0


def _wanted(reading: Mapping[str, Any]) -> list[str]:
    """The notes of a reading, which may be lit together with those beside it; "" where it has none."""
    return [str(place) for place in reading.get("lit", [""])]


def _names_bars(each: FOUND) -> bool:
    """Whether a mention lights the bars that its words name, and nothing else."""
    return each["status"] == "lit" and not each["notes"] and bool(BARS.search(each["words"]))


def main() -> None:
    """Print how a set is read; with -v the sentences that are not right."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sets", nargs="*", type=Path, default=[OPEN])
    parser.add_argument("-v", "--verbose", action="store_true", help="print the sentences that are not right")
    arguments = parser.parse_args()
    for path in arguments.sets:
        judged = judge_set(path)
        count = Counter(each.verdict for each in judged)
        right, wrong, missed = (count[verdict] for verdict in ("right", "wrong", "missed"))
        print(f"{path}: {right} of {len(judged)} right, {wrong} confidently wrong, {missed} missed")
        for each in judged if arguments.verbose else ():
            if each.verdict != "right":
                print(f"  {each.verdict}: {each.score} {each.bars}: {each.say}")
                print("".join(f"      {line}\n" for line in each.read or ("nothing read",)), end="")


if __name__ == "__main__":
    main()
