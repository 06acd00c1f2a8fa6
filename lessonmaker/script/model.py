"""Lesson scripts and books as values, before and after their claims are checked.

A loaded `Lesson` holds what the author wrote, each part with its place in the file. `check` turns it
into a `CheckedLesson`, in which every link is a `Mention` of real bars and notes. `words_for` an edition
turns a cue's commentary into `Token`s: what is printed, what is spoken, what it lights.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Literal

from lessonmaker.faults import Fault, Place
from lessonmaker.score.model import Score
from lessonmaker.theory.chord import Chord

__all__ = [
    "Book",
    "CheckedCue",
    "CheckedLesson",
    "Commentary",
    "Cue",
    "Hearing",
    "Lesson",
    "Lit",
    "Mention",
    "Piece",
    "Play",
    "Span",
    "Token",
]


@dataclass(frozen=True)
class Span:
    """A stretch of the printed score, in quarters (see score.model); `visit` is the time round, if said."""

    start: Fraction
    end: Fraction
    visit: int | None = None


@dataclass(frozen=True)
class Piece:
    """A run of commentary: plain text, a link (`text` spoken, `target` lit), or braces (`target` holds them)."""

    kind: Literal["text", "link", "brace"]
    text: str
    target: str
    place: Place


@dataclass(frozen=True)
class Commentary:
    """What is said in a cue."""

    pieces: tuple[Piece, ...]
    place: Place


@dataclass(frozen=True)
class Play:
    """Play a passage from the take: `bars` is the author's text ("all", "3-4"), tempo a share of the take's."""

    bars: str
    tempo: Fraction
    times: int
    place: Place


@dataclass(frozen=True)
class Cue:
    """One step of a lesson, as written."""

    place: Place
    bars: str | None = None
    title: str | None = None
    say: Commentary | None = None
    play: Play | None = None
    compare: tuple[str, ...] = ()
    show: tuple[str, ...] = ()
    narration: Path | None = None
    places: dict[str, Place] = field(default_factory=dict)


@dataclass(frozen=True)
class Hearing:
    """The author hears one chord over a span, whatever is printed."""

    bars: str
    chord: Chord
    place: Place


@dataclass(frozen=True)
class Lesson:
    """A lesson script, loaded. Paths are resolved against the script's folder."""

    path: Path
    title: str
    score: Path
    take: Path | None
    part: str | None
    written_for: str | None
    composer: str | None
    hear: tuple[Hearing, ...]
    changes: tuple[Hearing, ...]
    cues: tuple[Cue, ...]


@dataclass(frozen=True)
class Book:
    """A book file, loaded: which lessons, in which editions (ids), with which voice."""

    path: Path
    title: str
    author: str
    lessons: tuple[Path, ...]
    editions: tuple[str, ...]
    voice: str | None
    size: tuple[int, int]
    rate: Fraction


@dataclass(frozen=True)
class Lit:
    """One note that a mention lights, with the degree label it shows (ASCII, or None for no label)."""

    note: str
    label: str | None
    tension: bool


@dataclass(frozen=True)
class Mention:
    """What a link stands for: a span of bars, notes, or the chord symbols with these ids."""

    kind: Literal["span", "notes", "chord"]
    span: Span
    notes: tuple[Lit, ...] = ()
    changes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Token:
    """A word (or a name that prints as one): `printed` in captions, `spoken` words for the voice.

    `mention` is an index into the cue's mentions. Punctuation belongs to the printed word before it.
    """

    printed: str
    spoken: str
    mention: int | None = None


@dataclass(frozen=True)
class CheckedCue:
    """A cue whose bars and links are known. `mentions` are in the order of the links in `cue.say`."""

    cue: Cue
    bars: Span | None
    play: Span | None
    compare: tuple[Span, ...]
    mentions: tuple[Mention, ...]


@dataclass(frozen=True)
class CheckedLesson:
    """A lesson that holds against its score; `score` has the lesson's own changes and hearings applied."""

    lesson: Lesson
    score: Score
    cues: tuple[CheckedCue, ...]
    remarks: tuple[Fault, ...]
