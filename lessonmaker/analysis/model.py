"""The findings of the analysis, keyed by note id."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lessonmaker.theory.chord import Chord

__all__ = ["Analysis", "Finding", "Role"]

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
class Analysis:
    """All findings of a score, in the order of `Score.struck`; `by_note` maps a note id to its finding."""

    findings: tuple[Finding, ...]

    @property
    def by_note(self) -> dict[str, Finding]:
        """The findings by note id."""
        return {finding.note: finding for finding in self.findings}
