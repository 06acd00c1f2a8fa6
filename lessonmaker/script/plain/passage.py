"""A passage of the line that something is said of, and what a look at it says to that. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from lessonmaker.score.model import Bar, Note
from lessonmaker.score.position import Span, overlap
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Test
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = [
    "A_BEAT",
    "EACH",
    "NUMBERS",
    "UNKNOWN",
    "Passage",
    "Saying",
    "Verdict",
    "beat_named",
    "rests_of",
    "runs_by",
    "said",
]


EACH = pattern_of(
    r"\b(?:both|each|every|all)(?: one)?(?: of)?(?: the| these| those| our)?(?: \w+)? (?:bars?|measures?)\b"
    rf"|\b(?:bars|measures) (?:{NUMBER})(?:, (?:{NUMBER}))?,? and (?:{NUMBER}),? (?:both|each|all)\b"
)


@dataclass(frozen=True)
class Passage:
    """A passage of the score: the notes struck in it that pass `tests`.

    `subject` is the note that the sentence has just spoken of, if what is said is said of that; `after` is when the
    last note that it has lit ends. `named` says that the sentence names these bars itself.
    """

    music: Music
    span: Span
    tests: tuple[Test, ...] = ()
    subject: Note | None = None
    after: Fraction | None = None
    named: bool = False

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes that are struck in it."""
        struck = self.music.struck_between(self.span.start, self.span.end)
        return tuple(note for note in struck if all(test(note, self.music) for test in self.tests))

    @property
    def bars(self) -> tuple[Bar, ...]:
        """The bars that it touches."""
        return tuple(self.music.bars_in([self.span]))

    @property
    def each_bar(self) -> list[Passage]:
        """The passage bar by bar."""
        return [replace(self, span=Span(bar.start, bar.end)) for bar in self.bars]

    @property
    def rests(self) -> list[Span]:
        """The rests that lie in it, or reach into it."""
        return [rest for rest in rests_of(self.music) if overlap(rest, self.span) > 0 and self.has_rest(rest)]

    def has_rest(self, rest: Span) -> bool:
        """Whether some of a rest is where the notes of the passage would be."""
        if not self.tests or not self.music.struck:
            return True
        return any(all(test(note, self.music) for test in self.tests) for note in self.silent(rest))

    def silent(self, rest: Span) -> list[Note]:
        """Notes as they might be struck on each eighth of a rest, to be tested for their places."""
        step, at, found = Fraction(1, 2), rest.start, list[Note]()
        while at < rest.end:
            bar = next((bar for bar in self.bars if bar.start <= at < bar.end), None)
            if bar is not None:
                found.append(replace(self.music.struck[0], onset=at, bar=bar.index))
            at += step
        return found


def rests_of(music: Music) -> list[Span]:
    """The rests of a score from its first note on, each as long as nothing sounds."""
    found, at = list[Span](), None
    for note in music.struck:
        if at is not None and note.onset > at:
            found.append(Span(at, note.onset))
        at = max(at or note.onset, note.onset + note.held)
    full = music.full_bars
    if music.struck and full and music.struck[0].onset > full[0].start:
        found.insert(0, Span(full[0].start, music.struck[0].onset))
    if at is not None and at < music.score.bars[-1].end:
        found.append(Span(at, music.score.bars[-1].end))
    return found


@dataclass(frozen=True)
class Verdict:
    """What a passage has of what is said: notes to light, or a span; else what `is_there` instead, so that it is false.

    `choices` are several that may be meant. `is_sure` says that it is false of whatever bars are shown.
    """

    notes: tuple[Note, ...] = ()
    span: Span | None = None
    is_there: str = ""
    choices: tuple[tuple[Note, ...], ...] = ()
    is_sure: bool = False

    @property
    def holds(self) -> bool:
        """Whether there is something to light."""
        return bool(self.notes) or self.span is not None


UNKNOWN = Verdict()
Judge = Callable[[re.Match[str], Passage], Verdict]


@dataclass(frozen=True)
class Saying:
    """A way of saying something of a passage: words, and what judges them.

    A true `denial` has nothing to light, not even the bars that it names. What is `alone` is read only in a sentence
    that names no degrees; what is said `aside` is lit only where the sentence speaks of no notes. What holds
    `by_bar` is looked for in each bar that is in sight, where none is named. What is said only `after` some words
    is not read without them.
    """

    pattern: re.Pattern[str]
    judge: Judge
    denial: bool = False
    alone: bool = False
    aside: bool = False
    by_bar: bool = True
    after: re.Pattern[str] | None = None


NUMBERS = ("one", "two", "three", "four", "five", "six", "seven")
A_BEAT = rf"(?:{ORDINAL}|last|final) beat|down-?beat|beat (?:{'|'.join(NUMBERS)})"


def beat_named(text: str, passage: Passage) -> int | None:
    """The index of a beat by its name: "beat two", "the last beat", "three"."""
    word = text.split()[-1] if text.startswith(("beat", "on")) else text.split()[0]
    if word in ("last", "final"):
        return passage.bars[0].metre.beats - 1 if passage.bars else None
    if pattern_of(r"down-?beat").match(word):
        return 0
    if word in NUMBERS:
        return number_of(word) - 1
    return ordinal_of(word) - 1 if pattern_of(ORDINAL).fullmatch(word) else None


def runs_by(notes: Sequence[Note], key: Callable[[Note], object]) -> list[list[Note]]:
    """Notes in a row that are alike."""
    return [list(run) for _, run in groupby(notes, key=key)]


def said(pattern: str) -> re.Pattern[str]:
    """What finds some words as whole words."""
    return pattern_of(rf"(?<![\w'-])(?:{pattern})(?![\w])")
