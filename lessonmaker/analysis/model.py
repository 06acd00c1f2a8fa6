"""What the analysis finds: about every note, and about the whole etude.

Conventions: all texts hold in every edition: they name degrees, numerals and counts, never notes or chords by letter.
Notes are named by id. Spans are in quarters of the printed score; a span of notes runs from the first one's
onset to where the last one stops sounding. A confidence lies between 0 and 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.pitch import NoteName

__all__ = [
    "Analysis",
    "Device",
    "Finding",
    "Function",
    "KeyCentre",
    "Phrase",
    "Proposal",
    "Role",
    "ScaleUse",
    "TensionPoint",
]

Role = Literal["chord tone", "tension", "passing", "neighbour", "approach", "anticipation", "suspension"]


@dataclass(frozen=True)
class Finding:
    """One struck note, heard against its chord.

    `degree` is one of 1 b9 9 #9 b3 3 4 11 #11 b5 5 #5 b13 13 6 bb7 b7 7 (ASCII), or None where no chord
    sounds; `resolves_to` the id of the note this one resolves to, or None.
    """

    note: str
    chord: Chord | None
    degree: str | None
    role: Role | None
    resolves_to: str | None = None


@dataclass(frozen=True)
class Phrase:
    """What is sung in one breath: its span, and the ids of its struck notes in time (never empty)."""

    span: Span
    notes: tuple[str, ...]


@dataclass(frozen=True)
class KeyCentre:
    """A stretch heard in one key. `mode` is "major", "minor", "blues" or a mode's name ("dorian")."""

    span: Span
    tonic: NoteName
    mode: str
    confidence: float


@dataclass(frozen=True)
class Function:
    """What a chord does in its local key, while it is in force.

    `numeral` is as the trade writes it ("ii7", "V7/vi", "subV7", "bVII7"); `function` one word or two of plain
    language ("tonic", "subdominant", "dominant", "secondary dominant", "substitute dominant", "passing").
    """

    span: Span
    chord: Chord
    numeral: str
    function: str
    key: KeyCentre


@dataclass(frozen=True)
class ScaleUse:
    """A scale that a passage uses: `scale` is a name of `theory.scale`, `root` its first note (sounding).

    `used` are the degrees of the scale (as the scale's table writes them) that sound, `deciding` the ids of
    the notes that tell it from its neighbours, `outside` the ids of the notes foreign to it.
    """

    span: Span
    root: NoteName
    scale: str
    notes: tuple[str, ...]
    used: tuple[str, ...]
    deciding: tuple[str, ...]
    outside: tuple[str, ...]
    text: str
    confidence: float


@dataclass(frozen=True)
class Device:
    """Something the line, or the harmony under it, does.

    Attributes:
        kind: a name of `device_names.DEVICES`.
        span: its exact place.
        text: one sentence of evidence in plain language.
        confidence: how sure it is.
        notes: the ids of its notes in time; empty for what only the harmony does.
        groups: the notes by part, where the device has parts: the statements of a sequence, the groups of a
            cross rhythm, the places of a motif, the two voices of oblique motion, a tension and its resolution.
        detail: what tells it from others of its kind, in the trade's short form: "exact", "diatonic", "through the
            changes", "rhythmic" (sequence); "3-5-7-9" (arpeggio); "bVI" (triad); "2+3" (cross rhythm, in its
            shortest note); "b9 -> 5" (resolution); "ii-V-I" (progression).
    """

    kind: str
    span: Span
    text: str
    confidence: float
    notes: tuple[str, ...] = ()
    groups: tuple[tuple[str, ...], ...] = ()
    detail: str = ""


@dataclass(frozen=True)
class Proposal:
    """Printed chords that the line treats as another one; the author confirms it with `hear`."""

    kind: str
    span: Span
    hear: Chord
    text: str
    confidence: float


@dataclass(frozen=True)
class TensionPoint:
    """How much tension a stretch of the form has: `value` from 0 (rest) to 1 (the most of this etude)."""

    span: Span
    value: float


@dataclass(frozen=True)
class Analysis:
    """All that is found in a score; `findings` are in the order of `Score.struck`, all else in time."""

    findings: tuple[Finding, ...]
    phrases: tuple[Phrase, ...] = ()
    keys: tuple[KeyCentre, ...] = ()
    functions: tuple[Function, ...] = ()
    scales: tuple[ScaleUse, ...] = ()
    devices: tuple[Device, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    tension: tuple[TensionPoint, ...] = ()

    @property
    def by_note(self) -> dict[str, Finding]:
        """The findings by note id."""
        return {finding.note: finding for finding in self.findings}
