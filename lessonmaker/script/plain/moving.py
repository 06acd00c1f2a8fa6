"""Deciding how the line is said to move, and which bars are said to be alike. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.line_shapes import (
    HALF_STEPS,
    MOVED_BAR,
    SAME_ENDS,
    STACK,
    half_step_runs,
    interval_sizes,
    is_of_size,
    stacks,
)
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.spelt import Spelt

__all__ = ["Moving"]

OCTAVE = 12
OF_THE_LINE = re.compile(
    r"\b(?:line|voice|melody|tune|notes?|quavers|eighths|solo|phrase|here|it|this|that|we|you|i)\b"
)
LEAST_ALIKE = 3  # notes of two bars
LOOSE = 1  # semitones by which an interval that stays in the key may differ


class Moving(Spelt):
    """Decides claims of the steps of the line."""

    @property
    def own_deciders(self) -> dict[str, Callable[[Claim, Scope], Decided]]:
        """What decides claims that are not looked for among the devices of the analysis."""
        return super().own_deciders | {
            HALF_STEPS: self.half_steps,
            STACK: self.stack,
            MOVED_BAR: self.moved_bar,
            SAME_ENDS: self.same_ends,
        }

    def half_steps(self, claim: Claim, scope: Scope) -> Decided:
        """A run by half steps, in the line or in a voice of its own."""
        if not (scope.explicit or scope.tests or OF_THE_LINE.search(self.sentence.text)):
            return NOTHING
        notes = self.notes_of_line(scope)
        runs = half_step_runs(notes, claim.shape.way)
        longest = [run for run in runs if len(run) == max(map(len, runs))]
        if len(longest) == 1:
            return self.lit_row(longest[0])
        if longest:
            words = self.sentence.words(claim.first, claim.last)
            return self.question(words, [self.row_target(run) for run in longest])
        voice = self.figure(replace(claim, name="moving voice", count=0), scope)
        return voice if voice.says else self.no_half_steps(claim, scope, notes)

    def no_half_steps(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided:
        """No such run: a fault where a bar is said to go so, and hardly does."""
        if self.claims_before(claim) or scope.tests or not self.is_plain(claim, scope):
            return NOTHING
        moves = [after.sounding.midi - before.sounding.midi for before, after in pairwise(notes)]
        going = [step for step in moves if not claim.shape.way or step * claim.shape.way > 0]
        half = sum(abs(step) == 1 for step in going)
        if len(moves) < LEAST_ALIKE or 2 * half >= max(len(going), 1):
            return NOTHING
        way = {1: " going up", -1: " going down", 0: ""}[claim.shape.way]
        return self.is_false(claim, scope.spans[0], f"has no three notes in a row a half step apart{way}")

    def stack(self, claim: Claim, scope: Scope) -> Decided:
        """Intervals of one size on top of each other."""
        if not claim.count and any(other.kind == "degree" for other in self.claims):
            return NOTHING  # on the way to what is meant: "stacks thirds up to the ninth"
        line = self.notes_of_line(scope)
        found = stacks(line, claim.detail, claim.count or 2)
        if len(found) == 1:
            return self.lit_row(found[0])
        if found or not claim.names or scope.tests or not self.is_plain(claim, scope):
            return NOTHING
        if any(
            is_of_size(*pair, claim.detail) for pair in (*pairwise(line), *zip(line, line[2:], strict=False))
        ):
            return NOTHING
        return self.is_false(claim, scope.spans[0], f"has no {claim.detail}s in its line")

    def two_bars(self, claim: Claim) -> list[Span]:
        """The two bars that are named before a claim, or all that the sentence names if these are two."""
        spans = [
            span
            for place in self.places
            if place.level == "bar" and not place.pointed and place.first < claim.first
            for span in (place.spans if place.parts or len(place.spans) == 1 else ())
        ]
        bars = [self.music.score.bars[index] for span in spans for index in bars_in(self.music.score, span)]
        return [Span(bar.start, bar.end) for bar in bars] if len(bars) == 2 else []

    def heights(self, span: Span) -> list[int]:
        """The pitches struck in a span, as MIDI numbers."""
        return [note.sounding.midi for note in self.music.struck_between(span.start, span.end)]

    def moved_bar(self, claim: Claim, _: Scope) -> Decided:
        """A bar that is said to be another one higher or lower: false where it plainly is not."""
        bars = self.two_bars(claim)
        if not bars or self.sentence.is_question:
            return NOTHING
        later, earlier = (self.heights(span) for span in bars)
        if min(len(later), len(earlier)) < LEAST_ALIKE:
            return NOTHING
        said = [claim.shape.way * size for size in interval_sizes(claim.detail)]
        ways = list(_moves(earlier, later))
        if any(_is_near(way, each) for way in ways for each in said):
            return NOTHING
        exact = [way[0] for way in ways if len(set(way)) == 1]
        what = f"is not {self.music.said(bars[1])} {'up' if claim.shape.way > 0 else 'down'} a {claim.detail}"
        if exact:
            apart = "at the same height" if not exact[0] else f"{_semitones(exact[0])}"
            what = f"has the notes of {self.music.said(bars[1])} {apart}"
        return self.is_false(claim, bars[0], what)

    def same_ends(self, claim: Claim, _: Scope) -> Decided:
        """Bars that are said to begin or end with the same notes."""
        bars = self.two_bars(claim)
        if not bars or self.sentence.is_question:
            return NOTHING
        step = 1 if claim.detail == "first" else -1
        first, second = (self.music.struck_between(span.start, span.end)[::step] for span in bars)
        pairs = zip(first, second, strict=False)
        alike = next(
            (i for i, (a, b) in enumerate(pairs) if a.sounding != b.sounding), min(len(first), len(second))
        )
        if alike >= max(claim.count, 2):
            count = claim.count or alike
            return self.lit_row(sorted((*first[:count], *second[:count]), key=lambda note: note.onset))
        if alike or claim.count > 1 or not claim.count:
            there = (
                f"shares its {claim.detail} {number_words(alike)} notes with"
                if alike > 1
                else "does not so with"
            )
            return self.is_false(claim, bars[0], f"{there} {self.music.said(bars[1])}")
        return NOTHING


def _moves(one: Sequence[int], other: Sequence[int]) -> list[list[int]]:
    """How far apart the notes of two bars are, the shorter laid beside each stretch of the longer."""
    count = min(len(one), len(other))
    return [
        [b - a for a, b in zip(one[i : i + count], other[j : j + count], strict=True)]
        for i in range(len(one) - count + 1)
        for j in range(len(other) - count + 1)
    ]


def _is_near(way: Sequence[int], said: int) -> bool:
    """Whether all notes are moved as is said, or as it is in the key; an octave does not count."""
    off = [(step - said + OCTAVE // 2) % OCTAVE - OCTAVE // 2 for step in way]
    return all(abs(each) <= LOOSE for each in off) and 0 in off


def _semitones(step: int) -> str:
    return f"{abs(step)} semitone{'s' if abs(step) > 1 else ''} {'higher' if step > 0 else 'lower'}"
