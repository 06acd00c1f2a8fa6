"""How well plain words are read, against sentences with their right readings: python -m tests.tools.sentence_figures.

A sentence is right where every reading that is needed is there, with its status and notes, and nothing else is lit or
called false. It is confidently wrong where something else is.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position, format_span
from lessonmaker.score.read import read_score
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Understood

__all__ = ["DATA", "Figures", "Sentence", "figures", "read_sentences"]

REPOSITORY = Path(__file__).parents[2]
DATA = REPOSITORY / "tests" / "data"
ETUDES = {"G": "gaslight-errand", "T": "the-tin-heron"}


@dataclass(frozen=True)
class Sentence:
    """A sentence and its right readings."""

    etude: str
    bars: str
    text: str
    readings: tuple[str, ...]


@dataclass(frozen=True)
class Figures:
    """How many sentences there are, how many are read right, and how many confidently wrong; with the wrong ones."""

    count: int
    right: int
    wrong: int
    misses: tuple[str, ...]


def read_sentences(path: Path) -> tuple[Sentence, ...]:
    """The sentences of a file."""
    lines = [
        line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")
    ]
    return tuple(_sentence(line) for line in lines)


def _sentence(line: str) -> Sentence:
    etude, bars, text, readings = (part.strip() for part in f"{line} ".split("|"))
    return Sentence(etude, bars, text, tuple(each.strip() for each in readings.split(";") if each.strip()))


def figures(sentences: Sequence[Sentence]) -> Figures:
    """The figures for some sentences."""
    right = wrong = 0
    misses: list[str] = []
    for letter, name in ETUDES.items():
        mine = [sentence for sentence in sentences if sentence.etude == letter]
        score = read_score(REPOSITORY / "media" / f"{name}.musicxml")
        for sentence, found in zip(mine, _understood(name, score, mine), strict=True):
            good, bad = _judged(sentence, found, score)
            right, wrong = right + good, wrong + bad
            if not good:
                said = ", ".join(f"{each.status} {each.words!r} {each.target}" for each in found)
                misses.append(f"{'WRONG' if bad else 'miss'}: {sentence.text} [{said}]")
    return Figures(len(sentences), right, wrong, tuple(misses))


def _understood(name: str, score: Score, sentences: Iterable[Sentence]) -> list[tuple[Understood, ...]]:
    lines = ["lesson: Sentences", f"score: {REPOSITORY / 'media' / f'{name}.musicxml'}", "cues:"]
    for sentence in sentences:
        lines += [f"  - bars: {sentence.bars}", f"    say: {json.dumps(sentence.text)}"]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sentences.yaml"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return [cue.understood for cue in examine_lesson(load_lesson(path), score).checked.cues]


def _judged(sentence: Sentence, found: Sequence[Understood], score: Score) -> tuple[bool, bool]:
    left = list(found)
    complete = True
    for reading in sentence.readings:
        hit = next((each for each in left if _is(_needed(reading), each, score)), None)
        if hit is not None:
            left.remove(hit)
        elif not reading.startswith("maybe"):
            complete = False
    wrong = any(each.status in ("lit", "fault") for each in left)
    return complete and not left, wrong


def _needed(reading: str) -> str:
    """A reading without its "maybe": "maybe fault" is a fault, "maybe 2.1" a light."""
    bare = reading.removeprefix("maybe ")
    return bare if bare == reading or bare.split()[0] in ("fault", "ask", "lit") else f"lit {bare}"


def _is(reading: str, each: Understood, score: Score) -> bool:
    status, *rest = reading.split()
    if status == "fault":
        return each.status == "fault"
    if status == "ask":
        return each.status == "question" and {choice.split("@")[-1] for choice in each.choices} == set(rest)
    if each.status != "lit" or each.mention is None:
        return False
    lit = {note.note for note in each.mention.notes}
    places = [format_position(score, note.onset) for note in score.struck if note.id in lit]
    if rest[0] == "bars":
        return not places and format_span(score, each.mention.span) == rest[1]
    if rest[0] == "dev":
        device = each.mention.device
        cut_short = device is not None and len(each.mention.notes) < len(device.notes)
        return len(places) > 1 and places[0] == rest[1] and (places[-1] == rest[2] or cut_short)
    return set(places) == set(rest)


def main() -> None:
    """Print the figures of a file of sentences (by default the open ones)."""
    for name in sys.argv[1:] or [str(DATA / "sentences-open.txt")]:
        found = figures(read_sentences(Path(name)))
        print(f"{name}: {found.right} of {found.count} right, {found.wrong} confidently wrong")
        print("\n".join(f"  {miss}" for miss in found.misses))


if __name__ == "__main__":
    main()
