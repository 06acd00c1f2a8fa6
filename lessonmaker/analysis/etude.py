"""An etude as every later part of the analysis sees it: the notes with their chords, and what is already known.

Conventions: a line is one voice, one note at a time: of notes struck together the highest. Times are in quarters.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby, pairwise
from math import lcm
from typing import TypeVar

from lessonmaker.analysis.harmony import Harmony
from lessonmaker.analysis.lines import LONGEST_BREATH, Heard
from lessonmaker.analysis.model import Device, Finding, Function, KeyCentre, Phrase
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span

__all__ = ["Etude", "Ticks", "connected", "device_of", "ids_of", "in_force", "runs_of", "span_of"]

Spanned = TypeVar("Spanned", Function, KeyCentre)


@dataclass(frozen=True)
class Ticks:
    """A line as whole numbers: `grid` of them are a quarter."""

    grid: int
    onsets: list[int]
    ends: list[int]
    pitches: list[int]

    @cached_property
    def steps(self) -> list[int]:
        """The interval from each note to the next, in semitones."""
        return [later - earlier for earlier, later in pairwise(self.pitches)]

    @cached_property
    def gaps(self) -> list[int]:
        """The time from each note's onset to the next one's."""
        return [later - earlier for earlier, later in pairwise(self.onsets)]

    @cached_property
    def breaks(self) -> list[bool]:
        """Whether more than a breath lies between each note and the next."""
        longest = int(LONGEST_BREATH * self.grid)
        return [later - end > longest for end, later in zip(self.ends, self.onsets[1:], strict=False)]


@dataclass(frozen=True)
class Etude:
    """A score and what is known of it so far; `heard` and `findings` are in the order of `score.struck`."""

    score: Score
    harmony: Harmony
    heard: tuple[Heard, ...]
    findings: tuple[Finding, ...]
    phrases: tuple[Phrase, ...] = ()
    keys: tuple[KeyCentre, ...] = ()
    functions: tuple[Function, ...] = ()

    @cached_property
    def finding(self) -> dict[str, Finding]:
        """The findings by note id."""
        return {finding.note: finding for finding in self.findings}

    @cached_property
    def heard_by_id(self) -> dict[str, Heard]:
        """The heard notes by note id."""
        return {heard.note.id: heard for heard in self.heard}

    @cached_property
    def lines(self) -> tuple[tuple[Heard, ...], ...]:
        """Each voice as a line, the first voice first."""
        voices = sorted({heard.note.voice for heard in self.heard})
        return tuple(self._line(voice) for voice in voices)

    @property
    def melody(self) -> tuple[Heard, ...]:
        """The first voice's line; empty for a score without notes."""
        return self.lines[0] if self.lines else ()

    @cached_property
    def melody_ticks(self) -> Ticks:
        """The melody's onsets, ends and pitches as whole numbers, for searches that compare many of them."""
        times = [time for heard in self.melody for time in (heard.note.onset, heard.end)]
        grid = lcm(*(time.denominator for time in times))
        whole = [int(time * grid) for time in times]
        return Ticks(grid, whole[0::2], whole[1::2], [heard.pitch for heard in self.melody])

    def _line(self, voice: int) -> tuple[Heard, ...]:
        notes = [heard for heard in self.heard if heard.note.voice == voice]
        notes.sort(key=lambda heard: (heard.note.onset, -heard.pitch))
        return tuple(next(group) for _, group in groupby(notes, key=lambda heard: heard.note.onset))

    def notes_between(self, span: Span) -> tuple[Heard, ...]:
        """The melody's notes struck in a span."""
        return self.melody[bisect_left(self._onsets, span.start) : bisect_left(self._onsets, span.end)]

    @cached_property
    def _onsets(self) -> list[Fraction]:
        """The melody's onsets in order."""
        return [heard.note.onset for heard in self.melody]


def in_force(things: Sequence[Spanned], time: Fraction) -> Spanned | None:
    """Of keys, functions and the like, which follow each other in time, the one in whose span a time lies."""
    place = bisect_right(things, time, key=lambda thing: thing.span.start) - 1
    return things[place] if place >= 0 and time < things[place].span.end else None


def span_of(notes: Sequence[Heard]) -> Span:
    """From the first note's onset to where the last one stops sounding (notes in time, at least one)."""
    return Span(notes[0].note.onset, notes[-1].end)


def ids_of(notes: Iterable[Heard]) -> tuple[str, ...]:
    """The ids of notes, in their order."""
    return tuple(heard.note.id for heard in notes)


def device_of(
    kind: str,
    notes: Sequence[Heard],
    text: str,
    confidence: float,
    groups: Sequence[Sequence[Heard]] = (),
    detail: str = "",
) -> Device:
    """A device of some notes in time (at least one)."""
    parts = tuple(ids_of(group) for group in groups)
    return Device(kind, span_of(notes), text, confidence, ids_of(notes), parts, detail)


def connected(earlier: Heard, later: Heard) -> bool:
    """Whether one note follows the other without more than a breath between."""
    return later.note.onset - earlier.end <= LONGEST_BREATH


def runs_of(line: Sequence[Heard], goes_on: Callable[[Heard, Heard], bool]) -> list[tuple[Heard, ...]]:
    """A line cut wherever two neighbours do not go on from each other."""
    runs: list[list[Heard]] = []
    for heard in line:
        if runs and goes_on(runs[-1][-1], heard):
            runs[-1].append(heard)
        else:
            runs.append([heard])
    return [tuple(run) for run in runs]
