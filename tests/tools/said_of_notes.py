"""Statements about the notes of a score, true and false, made of templates and of what its analysis knows."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.score.read import read_score
from lessonmaker.script.music import Music
from lessonmaker.theory.chord import Chord

__all__ = ["Statement", "statements"]

DEGREES = {
    "1": "root", "b9": "flat nine", "9": "ninth", "#9": "sharp nine", "b3": "minor third", "3": "third",
    "11": "eleventh", "#11": "sharp eleven", "5": "fifth", "b13": "flat thirteen", "13": "thirteenth",
    "b7": "flat seven", "7": "major seventh",
}  # fmt: skip
SIGNS = {-1: " flat", 0: "", 1: " sharp"}
KINDS = {
    "dominant": " seven", "major-seventh": " major seven", "minor-seventh": " minor seven",
    "half-diminished": " half-diminished", "major-sixth": " six",
}  # fmt: skip
BEATS = ("one", "two", "three", "four")
HALF = Fraction(1, 2)


@dataclass(frozen=True)
class Statement:
    """What is said of a bar, and the places of the notes that it names."""

    bar: str
    say: str
    places: frozenset[str]


@dataclass(frozen=True)
class _Pair:
    """A note and the next one of its bar, each of whose degrees no other note of the bar has."""

    note: Note
    next: Note
    chord: Chord


def statements(path: Path, templates: Sequence[str], names: Sequence[str], seed: int) -> Iterator[Statement]:
    """One statement for each template, of a pair of notes taken at random.

    Args:
        path: the score.
        templates: with the fields that `said_of_notes.yaml` tells.
        names: which notes a template names, of "note" and "next".
        seed: for the choice of notes.
    """
    music = Music.of(read_score(path))
    pairs, choose = list(_pairs(music)), random.Random(seed)
    for template in templates if pairs else ():
        pair = choose.choice(pairs)
        places = (format_position(music.score, getattr(pair, name).onset) for name in names)
        say = template.format_map(_facts(pair, music, choose))
        yield Statement(music.score.bars[pair.note.bar].number, say[0].upper() + say[1:], frozenset(places))


def _pairs(music: Music) -> Iterator[_Pair]:
    line = music.line
    for note, after in pairwise(line):
        beside = [other for other in line if other.bar == note.bar]
        numbers = [_number(music.finding(other).degree or "") for other in beside]
        steps = [other.written.step for other in beside]
        bar, change = music.score.bars[note.bar], [c for c in music.score.changes if c.onset <= note.onset]
        both = [music.finding(note), music.finding(after)]
        plain = all(finding.degree in DEGREES for finding in both) and both[0].chord == both[1].chord
        alone = plain and all(numbers.count(_number(finding.degree or "")) == 1 for finding in both)
        alone = alone and all(steps.count(each.written.step) == 1 for each in (note, after))
        beat = note.onset - bar.start
        placed = after.bar == note.bar and beat.denominator <= HALF.denominator and beat < len(BEATS)
        written = change[-1].written if change else None
        named = bar.number.isdecimal() and bar.number != "0"
        if _absent(numbers) and alone and placed and named and written is not None and written.kind in KINDS:
            yield _Pair(note, after, written)


def _facts(pair: _Pair, music: Music, choose: random.Random) -> dict[str, str]:
    """What a template may say of two notes."""
    bar = music.score.bars[pair.note.bar]
    beat = pair.note.onset - bar.start
    here = [_number(music.finding(note).degree or "") for note in music.line if note.bar == pair.note.bar]
    count = BEATS[int(beat)]
    return {
        "note": _name(pair.note), "after": _name(pair.next),
        "degree": DEGREES[music.finding(pair.note).degree or ""],
        "next": DEGREES[music.finding(pair.next).degree or ""],
        "beat": f"beat {count}" if beat.denominator == 1 else f"the and of {count}",
        "bar": bar.number, "chord": pair.chord.root.step + SIGNS[pair.chord.root.alter] + KINDS[pair.chord.kind],
        "not_here": choose.choice(_absent(here)),
    }  # fmt: skip


def _absent(numbers: Sequence[str]) -> list[str]:
    """The degrees whose numbers are not among some."""
    return [name for degree, name in DEGREES.items() if _number(degree) not in numbers]


def _number(degree: str) -> str:
    return degree.strip("b#")


def _name(note: Note) -> str:
    return note.written.step + SIGNS.get(note.written.alter, "")
