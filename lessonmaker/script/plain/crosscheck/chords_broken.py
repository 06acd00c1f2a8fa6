"""Which way broken chords go, and in which order their degrees come. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.plain.chord_shapes import CHORD_SHAPE, TRIADS
from lessonmaker.script.plain.claim import Claim, named_degrees
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.plain_numbers import is_named

__all__ = ["chords_broken"]

FEWEST = 3  # notes of a broken chord
BROKEN = ("arpeggio", CHORD_SHAPE, "chord members", "upper-structure triad")
UP = re.compile(
    r"\bfrom (?:the )?(?:bottom|low \w+|lowest \w+)(?: note)?,? (?:up(?:wards?)?|to (?:the )?top)\b"
    r"|\b(?:bottom to top|(?:rolled|spelled|spelt|played|broken|arpeggiated|spread|stacked|run|running)"
    r" up(?:wards?)?)\b"
)
DOWN = re.compile(
    r"\bfrom (?:the )?(?:top|high \w+|highest \w+)(?: note)?,? (?:down(?:wards?)?|to (?:the )?bottom)\b"
    r"|\b(?:top to bottom|(?:rolled|spelled|spelt|played|broken|arpeggiated|spread|run|running) down(?:wards?)?)\b"
)
BOTH = re.compile(
    r"\b(?:up|down|upwards|downwards|bottom|top)(?: and| or|,? then|, and)(?: back)? (?:up|down|back|from)\b"
)
STEP = r"(?:root|third|fifth|seventh|ninth|one|three|five|seven|nine)"
NEXT = r",? (?:and |then |and then )?"
ROW = re.compile(
    rf"(?<![\w-])(?<!on )(?<!beat )(?P<row>{STEP}{NEXT}{STEP}{NEXT}{STEP})\b(?!,? (?:and |then )*{STEP}\b)"
)
IN_ORDER = re.compile(r"\b(?:then|cells?|spell\w*|patterns?|always|each time|every time|order)\b")


def chords_broken(told: Told) -> Iterator[Untrue]:
    """Broken chords that go the other way, or whose degrees come in another order."""
    yield from _goes_other_way(told)
    yield from _other_order(told)


def _goes_other_way(told: Told) -> Iterator[Untrue]:
    """Ways that are said of a broken chord, where no three notes of the line go that way."""
    if BOTH.search(told.text):
        return
    for claim in (claim for claim in told.named if claim.name in BROKEN):
        notes = _line(told, claim)
        for pattern, way in ((UP, 1), (DOWN, -1)):
            first, last = told.part_of(claim.first)
            for match in pattern.finditer(told.text, claim.first if claim.first < first else first, last):
                if _runs(notes, -way) and not _runs(notes, way):
                    words = told.sentence.words(*match.span())
                    does = "down" if way > 0 else "up"
                    what = f"“{words}”: it goes {does}, from the {notes[0].written.name} on"
                    yield Untrue(*match.span(), what, "say which way it goes")


def _line(told: Told, claim: Claim) -> list[Note]:
    """The notes of the line where a claim is made."""
    spans = told.spans_at(claim.first)
    return [note for note in told.music.line if any(s.start <= note.onset < s.end for s in spans)]


def _runs(notes: Sequence[Note], way: int) -> bool:
    """Whether three notes of a line go one way."""
    steps = [(later.sounding.midi - one.sounding.midi) * way for one, later in pairwise(notes)]
    return any(one > 0 and later > 0 for one, later in pairwise(steps))


def _other_order(told: Told) -> Iterator[Untrue]:
    """Degrees that are said to come one after the other, and come in another order only."""
    if not IN_ORDER.search(told.text):
        return
    for match in ROW.finditer(told.text):
        row = [named_degrees(_step(word)) for word in re.findall(STEP, match["row"])]
        spans = told.spans_at(match.start())
        line = [note for note in told.music.line if any(s.start <= note.onset < s.end for s in spans)]
        threes = list(zip(line, line[1:], line[2:], strict=False))
        orders = [order for notes in threes for order in _orders(told, notes, row)]
        if orders and tuple(range(FEWEST)) not in orders:
            words = told.sentence.words(*match.span("row"))
            said = re.findall(STEP, match["row"])
            there = ", ".join(said[at] for at in orders[0])
            fact = told.is_fact(*match.span("row"))
            what = f"“{words}”: they come as {there}"
            yield Untrue(*match.span("row"), what, "say how they come", meant=fact)


def _step(word: str) -> str:
    return "root" if word == "one" else word


def _orders(told: Told, notes: Sequence[Note], row: Sequence[Sequence[str]]) -> Iterator[tuple[int, ...]]:
    """In which order notes have the degrees of a row, over their chord or as a triad of their own."""
    for degrees in (_over_chord(told, notes, row), _of_triad(notes, row)):
        if sorted(degrees) == list(range(FEWEST)):
            yield tuple(degrees)


def _over_chord(told: Told, notes: Sequence[Note], row: Sequence[Sequence[str]]) -> list[int]:
    """Which of the row each note is over its chord, where all three have one chord."""
    findings = [told.music.finding(note) for note in notes]
    if len({each.chord for each in findings}) > 1:
        return []
    return [next((at for at, names in enumerate(row) if is_named(names, each)), -1) for each in findings]


def _of_triad(notes: Sequence[Note], row: Sequence[Sequence[str]]) -> list[int]:
    """Which of the row each note is, where the row is a triad's and the notes make one."""
    classes = [note.sounding.midi % OCTAVE for note in notes]
    for root in classes:
        for steps in TRIADS.values():
            if {(root + step) % OCTAVE for step in steps} == set(classes):
                own = [("1", "3", "5")[steps.index((each - root) % OCTAVE)] for each in classes]
                return [next((at for at, names in enumerate(row) if each in names), -1) for each in own]
    return []
