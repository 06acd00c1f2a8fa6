"""Chord symbols as values: root, kind, alterations and bass."""

from __future__ import annotations

from dataclasses import dataclass

from lessonmaker.theory.pitch import NoteName

__all__ = ["Chord", "ChordDegree"]


@dataclass(frozen=True)
class ChordDegree:
    """A degree that a chord symbol adds, alters or leaves out: "add", 9, +1 is an added sharp nine."""

    action: str
    value: int
    alter: int


@dataclass(frozen=True)
class Chord:
    """A chord symbol: `kind` is a MusicXML 4.0 kind value or "altered"; `text` is as the source printed it."""

    root: NoteName
    kind: str
    degrees: tuple[ChordDegree, ...] = ()
    bass: NoteName | None = None
    text: str = ""
