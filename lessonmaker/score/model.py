"""The score as the rest of the program sees it: bars, notes, changes, and the order they are played in.

Conventions: time is in quarters, exact fractions, counted from the start of the first full bar, so a
pickup has negative onsets; printed order, not unrolled (`order` unrolls it). A note's `id` is its MEI
id and never changes: transposition, analysis, engraving and timing all speak of the same id.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from lessonmaker.faults import Fault
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["PICKUP_NUMBER", "Bar", "Change", "Clef", "Key", "Note", "Score", "Visit"]

PICKUP_NUMBER = "0"


@dataclass(frozen=True)
class Key:
    """A written key signature: sharps positive, flats negative; mode "major", "minor" or ""."""

    fifths: int
    mode: str = ""


@dataclass(frozen=True)
class Clef:
    """A clef: MEI shape ("G", "F", "C"), line from below, octaves up (+1, -1) it displaces."""

    shape: str
    line: int
    octave: int = 0


@dataclass(frozen=True)
class Bar:
    """A printed bar. `number` is the printed number as text; the pickup has `PICKUP_NUMBER`."""

    index: int
    id: str
    number: str
    start: Fraction
    length: Fraction
    metre: Metre
    key: Key
    section: str = ""

    @property
    def end(self) -> Fraction:
        """Where the bar ends, in quarters."""
        return self.start + self.length


@dataclass(frozen=True)
class Note:
    """A printed notehead.

    `duration` is the printed length (0 for a grace note), `held` the sounding length with all notes
    tied on (0 for a note that is itself tied on). `bar` is an index into `Score.bars`.
    """

    id: str
    bar: int
    onset: Fraction
    duration: Fraction
    held: Fraction
    written: Pitch
    sounding: Pitch
    grace: bool = False
    tied_on: bool = False
    voice: int = 1
    in_tuplet: bool = False


@dataclass(frozen=True)
class Change:
    """A chord symbol at its onset; `chord` is None for N.C. Written is as the source prints it."""

    id: str
    bar: int
    onset: Fraction
    chord: Chord | None
    written: Chord | None


@dataclass(frozen=True)
class Visit:
    """One playing of one bar: `bar` is an index, `number` the time round (from 1), `start` unrolled quarters."""

    bar: int
    number: int
    start: Fraction


@dataclass(frozen=True)
class Score:
    """One part, read. `transposition` is written above sounding; `mei` is the source for engraving."""

    title: str
    composer: str
    part: str
    bars: tuple[Bar, ...]
    notes: tuple[Note, ...]
    changes: tuple[Change, ...]
    order: tuple[Visit, ...]
    transposition: Interval
    clef: Clef
    tempo: float | None
    mei: str
    remarks: tuple[Fault, ...] = field(default=(), compare=False)

    @property
    def struck(self) -> tuple[Note, ...]:
        """The notes that are begun: not tied on, no grace notes, in the order printed."""
        return tuple(note for note in self.notes if not note.tied_on and not note.grace)
