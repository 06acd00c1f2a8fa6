"""Note values by their names, and which notes of a score have them. Common practice, no source.

A note has a value that it is printed with, that it sounds for with what is tied to it, or after which the next begins.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.durations import FEW, NO_VALUE, NOTE_VALUES, few_of, length_said

__all__ = [
    "TODO",
    "ValueWord",
    "is_long",
    "lengths_of",
    "measures",
    "notes_printed",
    "times_of",
    "value_words",
]

TODO = "say how long it is"

WITH_NOTE = "|".join(name for name, _, _ in NOTE_VALUES)
ALONE = "|".join(name for _, name, _ in NOTE_VALUES)
VALUE = (
    rf"(?:(?P<dotted>(?P<double>double[ -])?dotted[ -])?(?:(?P<name>{WITH_NOTE})[ -]notes?"
    rf"|(?P<alone>{ALONE})"
    rf"|(?<=dotted[ -])(?P<bare>half|quarter|eighth)|(?:(?<=\ba )|(?<=\ban ))(?P<one>quarter"
    rf"|eighth)(?! of\b){NO_VALUE})(?P<triplet>[ -]triplets?)?|(?P<triplets>triplets?))"
)
LOOKS = (
    r"(?:bare|clean|consecutive|detached|different|equal|even|fast|full|identical|little|long|more"
    r"|ordinary|plain|quick|quiet"
    r"|regular|repeated|running|separate|short|simple|single|slow|solid|steady|straight|swung|whole"
    r"|descending|ascending"
    r"|falling|rising|climbing|chromatic|scalar|accented|low|high)"
)
SAID = pattern_of(
    rf"(?<![\w'-])(?<!flat )(?<!sharp )(?<!bar )(?<!beat )(?<!on )"
    rf"(?:(?P<count>{FEW}|(?:a )?(?:pair|couple) of)(?: {LOOKS}){{0,2}} )?"
    rf"{VALUE}(?![\w'])"
)
PLAIN = pattern_of(r"\b(?:straight|ordinary|plain|regular|normal|equal|even) (?:[a-z]+ )?[a-z]+(?: notes?)?$")
SHORT = Fraction(1, 2)  # quarters of a rest that a note may be held over
DOTTED, DOUBLE_DOTTED, TRIPLET = Fraction(3, 2), Fraction(7, 4), Fraction(2, 3)


@dataclass(frozen=True)
class ValueWord:
    """A note value at [first, last) of a sentence, which begins at `named` after its number.

    `length` is in quarters, None for triplets of any value; `count` is 0 where no number is said. What `is_plain`
    ("straight eighths") is in no tuplet.
    """

    first: int
    last: int
    named: int
    length: Fraction | None
    count: int
    in_triplets: bool = False
    is_plain: bool = False

    def fits(self, note: Note, told: Told) -> bool:
        """Whether a note has the value; in a tuplet it may be called by the value it is printed with."""
        if self.length is None:
            return note.in_tuplet
        lengths = lengths_of(note, told)
        if note.in_tuplet and self.is_plain:
            return False
        if note.in_tuplet and self.length * TRIPLET in lengths:
            return True
        return not self.in_triplets and self.length in lengths


def value_words(text: str) -> Iterator[ValueWord]:
    """The note values in a text in lower case, in its order."""
    for match in SAID.finditer(text):
        count = few_of(match["count"]) if match["count"] else 0
        triplet = bool(match["triplet"])
        named = match.end("count") + 1 if match["count"] else match.start()
        yield ValueWord(
            match.start(),
            match.end(),
            named,
            _length(match),
            count,
            triplet,
            PLAIN.search(text[max(match.start() - 24, 0) : match.end()]) is not None,
        )


def _length(match: re.Match[str]) -> Fraction | None:
    if match["triplets"]:
        return None
    name = match["name"] or match["bare"] or match["one"]
    length = next(
        length
        for with_note, alone, length in NOTE_VALUES
        if (name and pattern_of(with_note).fullmatch(name))
        or (match["alone"] and pattern_of(alone).fullmatch(match["alone"]))
    )
    dots = DOUBLE_DOTTED if match["double"] else DOTTED if match["dotted"] else 1
    return length * dots


def measures(note: Note, told: Told) -> tuple[Fraction, Fraction, Fraction]:
    """How long a note may be said to be, in quarters: as printed, as it sounds, until the next if that is soon."""
    after = told.next_note(note)
    until = after.onset - note.onset if after is not None else note.held
    return note.duration, note.held, until if until - note.held <= SHORT else note.held


def lengths_of(note: Note, told: Told) -> set[Fraction]:
    """How long a note may be said to be, in quarters, by whatever measure."""
    return set(measures(note, told))


def times_of(note: Note, told: Told) -> set[Fraction]:
    """How much time a note may be said to take, in quarters: also as far as bars and chords have it, or in a row."""
    end, score = note.onset + note.held, told.music.score
    edges = {bar.start for bar in score.bars} | {change.onset for change in score.changes}
    cuts = sorted({note.onset, end} | {edge for edge in edges if note.onset < edge < end})
    return lengths_of(note, told) | {b - a for a, b in combinations(cuts, 2)} | {_in_a_row(note, told)}


def _in_a_row(note: Note, told: Told) -> Fraction:
    """How long a note sounds with those at its pitch that follow it."""
    at: Note | None = note
    end = note.onset + note.held
    while at is not None and at.sounding.midi == note.sounding.midi:
        end = at.onset + at.held
        at = told.next_note(at)
    return end - note.onset


def notes_printed(told: Told, spans: Sequence[Span]) -> list[Note]:
    """The notes printed in some spans, those that are tied on as well."""
    return [
        note
        for note in told.music.score.notes
        if not note.grace
        and any(
            span.start <= note.onset < span.end or span.start < note.onset + note.held <= span.end
            for span in spans
        )
    ]


def is_long(note: Note, told: Told) -> str:
    """How long a note is, in words."""
    at, metre = told.music.position(note), told.music.score.bars[note.bar].metre
    return f"the {note.written.name} at {at} lasts {length_said(note.held, metre)}"
