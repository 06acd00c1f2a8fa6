"""What the two readers (MusicXML, MEI) hand on: one part, bar by bar, nothing yet added up.

Offsets are quarters from the start of their bar; pitches and chords are as written.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from lessonmaker.score.model import Clef, Key
from lessonmaker.score.order import Signs
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["RawBar", "RawChange", "RawNote", "RawPart"]


@dataclass
class RawNote:
    """A notehead; `line` of the source is for faults, `staff` and `voice` order the voices."""

    id: str
    offset: Fraction
    duration: Fraction
    pitch: Pitch
    grace: bool
    tie_from: bool
    tie_on: bool
    staff: int
    voice: str
    in_tuplet: bool


@dataclass
class RawChange:
    """A chord symbol; None is N.C."""

    id: str
    offset: Fraction
    chord: Chord | None


@dataclass
class RawBar:
    """A bar; `extent` is how far its notes and rests reach, `number` what is printed."""

    id: str
    number: str
    implicit: bool
    metre: Metre
    key: Key
    transposition: Interval
    extent: Fraction = Fraction(0)
    section: str = ""
    signs: Signs = field(default_factory=Signs)
    notes: list[RawNote] = field(default_factory=list)
    changes: list[RawChange] = field(default_factory=list)


@dataclass
class RawPart:
    """A part; `mei` is the source for engraving."""

    title: str
    composer: str
    name: str
    clef: Clef
    tempo: float | None
    bars: list[RawBar]
    mei: str
    remarks: list[str] = field(default_factory=list)
