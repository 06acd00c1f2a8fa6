"""Deciding how the line is said to move, and which bars are said to be alike. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.extremes import OF_ALL
from lessonmaker.script.plain.line_shapes import (
    HALF_STEPS,
    SAME_ENDS,
    STACK,
    half_step_runs,
    is_of_size,
    stacks,
)
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.spelt import Spelt

__all__ = ["Moving"]

OF_THE_LINE = pattern_of(
    r"\b(?:line|voice|melody|tune|notes?|quavers|eighths|solo|phrase|here|it|this|that|we|you|i)\b"
)
CHROMATIC_WAYS = {"descent": -1, "ascent": 1, "climb": 1}
ITS_OWN = pattern_of(r"\b(?:its|our) (?:very )?highest\b")
LEAST_ALIKE = 3  # notes of two bars


class Moving(Spelt):
    """Decides claims of the steps of the line."""

    @property
    def own_deciders(self) -> dict[str, Callable[[Claim, Scope], Decided]]:
        """What decides claims that are not looked for among the devices of the analysis."""
        return super().own_deciders | {
            HALF_STEPS: self.half_steps,
            STACK: self.stack,
            SAME_ENDS: self.same_ends,
        }

    def half_steps(self, claim: Claim, scope: Scope) -> Decided:
        """A run by half steps, in the line or in a voice of its own."""
        if not (scope.explicit or scope.tests or OF_THE_LINE.search(self.sentence.text)):
            return NOTHING
        notes = self.notes_of_line(scope)
        runs = half_step_runs(notes, claim.shape.way)
        between = self.between_named(runs)
        if between:
            return self.lit_row(between)
        longest = [run for run in runs if len(run) == max(map(len, runs))]
        if len(longest) == 1:
            return self.lit_row(self.from_spoken_of(longest[0]))
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

    def between_named(self, runs: Sequence[list[Note]]) -> list[Note]:
        """The part of a run between two notes that are named: "from the nine by half steps to the root"."""
        known = {notes[0].onset for notes in self.options if len({note.onset for note in notes}) == 1}
        inside = [[at for at, note in enumerate(run) if note.onset in known] for run in runs]
        parts = [run[at[0] : at[-1] + 1] for run, at in zip(runs, inside, strict=True) if len(at) > 1]
        return parts[0] if len(parts) == 1 and len(parts[0]) >= LEAST_ALIKE else []

    def from_spoken_of(self, run: list[Note]) -> list[Note]:
        """A run from the note on that was spoken of before: "your sharp eleven slides down in half steps"."""
        spoken = [note for note in (*self.begun_sets[-1:], *self.chosen[-1:]) if note in run]
        rest = run[run.index(spoken[0]) :] if spoken else run
        return rest if len(rest) >= LEAST_ALIKE else run

    def no_peak(self, claim: Claim, scope: Scope) -> Decided:
        """A fault where the highest note of all is said to be in a bar that does not have it."""
        struck = self.music.struck
        best = max(struck, key=lambda note: note.sounding.midi, default=None)
        if best is None or not OF_ALL.search(self.sentence.text) or not self.is_plain(claim, scope):
            return NOTHING
        here = self.music.struck_between(scope.spans[0].start, scope.spans[0].end)
        shown = [note.sounding.midi for span in self.spans for note in self.music.line_in(span)]
        if ITS_OWN.search(self.sentence.text) and max(shown, default=None) in [
            note.sounding.midi for note in here
        ]:
            return NOTHING  # of what is in sight
        if any(note.sounding.midi == best.sounding.midi for note in here):
            return NOTHING
        at = format_position(self.music.score, best.onset)
        return self.is_false(claim, scope.spans[0], f"does not have the highest note: {best.written} at {at}")

    def heard_as(self, claim: Claim, scope: Scope) -> Decided:
        """What only its notes tell; a chromatic descent or ascent is three half steps' notes or more."""
        if claim.name == "register peak":
            return self.no_peak(claim, scope)
        way = CHROMATIC_WAYS.get(self.words_of(claim).split()[-1].rstrip("s"), 0)
        if claim.name == "chromatic run" and way:
            runs = half_step_runs(self.notes_of_line(scope), way)
            longest = [run for run in runs if len(run) == max(map(len, runs))]
            if len(longest) == 1:
                return self.lit_row(longest[0])
        return super().heard_as(claim, scope)

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
        bars = self.music.bars_in(spans)
        return [Span(bar.start, bar.end) for bar in bars] if len(bars) == 2 else []

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
