"""A compact notation for lines, so that a situation fits on one line of a test.

`tune("[Dm7] D4e F4 A4 C5 | [G7] B4q.~ B4e r2 ...")`: bars are parted by `|`; `[G7]` is a change there;
a note is letter, accidental, octave and optionally a length (w h q e s, t for a triplet eighth, a dot) that
stays until another is written; `r` rests; `~` ties on to the next note.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

import pytest

from lessonmaker.analysis.model import Analysis, Finding
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Bar, Change, Clef, Key, Note, Score, Visit
from lessonmaker.theory.chord import Chord, parse_change
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

LENGTHS = {
    "w": Fraction(4),
    "h": Fraction(2),
    "q": Fraction(1),
    "e": Fraction(1, 2),
    "s": Fraction(1, 4),
    "t": Fraction(1, 3),
}
TOKEN = re.compile(
    r"\[(?P<chord>[^\]]+)\]|(?P<step>[A-Gr])(?P<sign>[b#]*)(?P<octave>\d?)(?P<length>[whqest]?\.?)(?P<tie>~?)"
)


class Writer:
    """Writes notes one after the other and keeps the time."""

    def __init__(self, voice: int) -> None:
        self.voice = voice
        self.length = Fraction(1, 2)
        self.tied = False
        self.notes: list[Note] = []
        self.changes: list[Change] = []

    def bar(self, text: str, index: int, start: Fraction) -> Fraction:
        time = start
        for match in TOKEN.finditer(text):
            if match["chord"]:
                chord = parse_change(match["chord"])
                self.changes.append(Change(f"c{len(self.changes)}", index, time, chord, chord))
                continue
            if match["length"]:
                dotted = Fraction(3, 2) if match["length"].endswith(".") else 1
                self.length = LENGTHS[match["length"][0]] * dotted
            if match["step"] != "r":
                self._note(match, index, time)
            time += self.length
        return time

    def _note(self, match: re.Match[str], index: int, time: Fraction) -> None:
        alter = match["sign"].count("#") - match["sign"].count("b")
        pitch = Pitch(match["step"], alter, int(match["octave"]))
        held = Fraction(0) if self.tied else self.length
        name = f"v{self.voice}n{len(self.notes)}"
        if self.tied:
            first = max(place for place, note in enumerate(self.notes) if not note.tied_on)
            old = self.notes[first]
            longer = {"held": old.held + self.length}
            self.notes[first] = Note(**{**vars(old), **longer})
        self.notes.append(
            Note(name, index, time, self.length, held, pitch, pitch, False, self.tied, self.voice)
        )
        self.tied = bool(match["tie"])


def build(
    text: str, metre: str = "4/4", pickup: bool = False, second: str = "", groups: tuple[int, ...] = ()
) -> Score:
    beats, unit = map(int, metre.split("/"))
    time_signature = Metre(beats, unit, groups)
    writer, other = Writer(1), Writer(2)
    bars: list[Bar] = []
    start = Fraction(0)
    seconds = second.split("|") if second else []
    for index, part in enumerate(text.split("|")):
        if pickup and index == 0:
            probe = Writer(1)
            start = -probe.bar(part, 0, Fraction(0))
        end = writer.bar(part, index, start)
        if index < len(seconds):
            other.bar(seconds[index], index, start)
        length = end - start if pickup and index == 0 else time_signature.bar_quarters
        number = str(index if pickup else index + 1)
        bars.append(Bar(index, f"b{index}", number, start, length, time_signature, Key(0)))
        start += length
    notes = tuple(sorted(writer.notes + other.notes, key=lambda note: note.onset))
    order = tuple(Visit(bar.index, 1, bar.start) for bar in bars)
    return Score(
        "", "", "", tuple(bars), notes, tuple(writer.changes), order, Interval(0, 0), Clef("G", 2), None, ""
    )


Tune = Callable[..., Score]
Hearing = Callable[..., list[Finding]]


@pytest.fixture(scope="session")
def tune() -> Tune:
    return build


@pytest.fixture(scope="session")
def heard() -> Hearing:
    """The findings of a tune, one a struck note."""

    def hear(
        text: str, hear: tuple[tuple[Fraction, Fraction, Chord], ...] = (), **options: object
    ) -> list[Finding]:
        analysis: Analysis = analyse(build(text, **options), hear)  # type: ignore[arg-type]
        return list(analysis.findings)

    return hear
