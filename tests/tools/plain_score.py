"""A score of one line in common time from plain values, without reading any file."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from lessonmaker.score.model import Bar, Change, Clef, Key, Note, Score, Visit
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["plain_score"]

COMMON = Metre(4, 4)


def plain_score(
    notes: Iterable[tuple[Fraction, Fraction, Pitch]],
    chords: Iterable[tuple[Fraction, Chord]] = (),
    bars: int = 0,
) -> Score:
    """A score of notes (onset, length in quarters, pitch) and chords (onset, chord), at least so many bars long."""
    struck, changes = list(notes), list(chords)
    last = max((onset + length for onset, length, _ in struck), default=Fraction(0))
    count = max(bars, -int(-last // COMMON.bar_quarters), 1)
    printed = tuple(_bar(index) for index in range(count))
    return Score(
        title="",
        composer="",
        part="",
        bars=printed,
        notes=tuple(_note(place, *note) for place, note in enumerate(struck)),
        changes=tuple(
            Change(f"c{place}", _bar_at(onset), onset, chord, chord)
            for place, (onset, chord) in enumerate(changes)
        ),
        order=tuple(Visit(bar.index, 1, bar.start) for bar in printed),
        transposition=Interval(0, 0),
        clef=Clef("G", 2),
        tempo=None,
        mei="",
    )


def _bar(index: int) -> Bar:
    start = COMMON.bar_quarters * index
    return Bar(index, f"b{index}", str(index + 1), start, COMMON.bar_quarters, COMMON, Key(0))


def _bar_at(onset: Fraction) -> int:
    return int(onset // COMMON.bar_quarters)


def _note(place: int, onset: Fraction, length: Fraction, pitch: Pitch) -> Note:
    return Note(f"n{place}", _bar_at(onset), onset, length, length, pitch, pitch)
