"""Deciding which figure comes again as a sentence says: a sequence, bars alike in a row, a cross rhythm.

Common practice, no source. One that fits all that is said is lit; where the only one that there is does otherwise,
and enough is said of it, the sentence is false.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.device_names import DeviceName
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, hull
from lessonmaker.script.candidates import device_candidates
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.again_words import Repetition
from lessonmaker.script.plain.beside import Run, holds, runs_of_units, touch
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.intervals import interval_sizes
from lessonmaker.script.plain.likeness import mostly_in
from lessonmaker.script.plain.moved_words import Moved
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope

__all__ = ["Again", "other_way"]

HALF = Fraction(1, 2)
STAFF_STEPS = ("step", "third", "fourth", "fifth", "sixth", "seventh", "octave")

# What comes again that is no figure of the line: "descending two-fives, each pair a whole step lower".
OF_CHORDS = pattern_of(r"\b(?:two[- ]fives?|dominants|chords|changes|keys?|roots|progressions?|harmon\w+)\b")


class Again(Patterns):
    """Decides repetitions."""

    def repeated(self, claim: Claim, said: Repetition, scope: Scope) -> Decided:
        """The one figure that comes again as is said, or what is false of the only one there is.

        A bar that is named may be only the first of those that are alike: "the figure of bar seven comes three times".
        """
        decided = self.repeated_in(claim, said, scope)
        if decided.mention is not None or not scope.explicit or len(scope.spans) != 1:
            return decided
        shown = self.repeated_in(claim, said, replace(scope, explicit=False))
        if shown.mention is None or not touch(shown.mention.span, scope.spans[0]):
            return decided
        return shown

    def repeated_in(self, claim: Claim, said: Repetition, scope: Scope) -> Decided:
        """What a figure that comes again comes to in the place that is named, else in all that is shown."""
        spans = scope.spans if scope.explicit and len(scope.spans) == 1 else tuple(self.spans)
        runs = list(self.runs_again(spans))
        if said.is_cross or said.is_grouping:
            runs = [each for each in runs if each[0].is_cross]
        if said.nth:
            runs = [
                each
                for each in self.runs_again(self.spans, touching=True)
                if self.is_heard_now(each[0], said.nth)
            ]
        fitting = [each for each in runs if not _contradiction(said, each[0])]
        if fitting:
            run, device = max(fitting, key=lambda each: len(each[0].notes))
            if said.nth:
                return self.lit_row(list(filter(self.is_struck_in_sight, run.notes)))
            return self.lit_device(device) if device is not None else self.lit_row(run.notes)
        whole = [run for run, _ in runs if self.fills(run, spans)]
        of_chords = OF_CHORDS.search(self.sentence.text)
        if (
            not whole
            or of_chords
            or self.sentence.is_question
            or not said.is_definite
            or said.nth
            or self.goes_on(spans)
        ):
            return NOTHING
        left = max(span.end for span in spans) - whole[0].notes[-1].onset - whole[0].notes[-1].held
        more = said.times - len(whole[0].whole)
        if more > 0 and not said.is_strict and left >= (more - HALF) * whole[0].period:
            return NOTHING  # it may go on in another way
        span = self.bars_of(Span(whole[0].notes[0].onset, whole[0].notes[-1].onset))
        return self.is_false(claim, span, f"has a figure that {_contradiction(said, whole[0])}")

    def is_heard_now(self, run: Run, nth: int) -> bool:
        """Whether a figure comes for the time that is said where the cue begins."""
        return len(run.groups) >= nth and self.is_struck_in_sight(run.groups[nth - 1][0])

    def is_struck_in_sight(self, note: Note) -> bool:
        """Whether the cue shows where a note is struck."""
        return any(shown.start <= note.onset < shown.end for shown in self.spans)

    def runs_again(
        self, spans: Sequence[Span], touching: bool = False
    ) -> Iterator[tuple[Run, Device | None]]:
        """The figures that come again mostly in some spans, or touch them."""
        by_id = self.music.struck_by_id
        for kind in ("sequence", "units", "cross rhythm"):
            if kind == "units":
                whole = hull(spans)
                yield from ((run, None) for run in runs_of_units(self.music, whole) if not self.is_cut(run))
                continue
            for device in self.music.analysis.devices:
                is_in = touch if touching else mostly_in
                if device.kind == kind and any(is_in(device.span, span) for span in spans):
                    groups = tuple(tuple(by_id[name] for name in group) for group in device.groups)
                    yield Run(groups, kind == "cross rhythm"), device

    def is_cut(self, run: Run) -> bool:
        """Whether units alike are only some of a sequence that goes on."""
        first, last = run.notes[0].onset, run.notes[-1].onset
        spans = [device.span for device in self.music.analysis.devices if device.kind == "sequence"]
        return any(span.start <= first and last < span.end - run.period for span in spans)

    def goes_on(self, spans: Sequence[Span]) -> bool:
        """Whether a figure that comes again is cut by where some spans begin or end."""
        return any(
            device.kind in ("sequence", "cross rhythm")
            and any(touch(device.span, span) and not holds(span, device.span) for span in spans)
            for device in self.music.analysis.devices
        )

    def fills(self, run: Run, spans: Sequence[Span]) -> bool:
        """Whether a figure takes up most of some spans, so that it is what they are said to have."""
        length = sum(span.end - span.start for span in spans)
        return 2 * (run.notes[-1].onset + run.notes[-1].held - run.notes[0].onset) >= length

    def lit_device(self, device: Device) -> Decided:
        """Light a device of the analysis."""
        found = device_candidates(DeviceName(device.kind), device.span, self.music)
        return self.lit(next(each for each in found if each.mention.device is device))


def _contradiction(said: Repetition, run: Run) -> str:
    """What a figure does instead of what is said of it; nothing where it holds."""
    counts = run.counts | ({count - 1 for count in run.counts} if said.more else set())
    if said.times and said.times not in counts:
        return f"comes {number_words(len(run.whole))} times"
    if said.size and not run.has_size(said.size, said.in_notes):
        count = len(run.groups[0])
        return f"has {number_words(count)} note{'s' if count > 1 else ''}"
    return other_way(said.moved, run) if said.moved is not None else ""


def other_way(moved: Moved, run: Run) -> str:
    """Where each group begins instead of where it is said to, from the one before."""
    moves = [*run.moves, *_moves_of_pairs(run)]
    if any(_is_as_said(moved, *each) for each in moves):
        return ""
    ways = {(semitones > 0) - (semitones < 0) for semitones, _ in moves}
    if moved.way and moved.way not in ways:
        return f"begins {'lower' if -1 in ways else 'higher' if 1 in ways else 'on the same note'} each time"
    steps = sorted({abs(semitones) for semitones, _ in run.moves})
    return f"moves by {' or '.join(number_words(step) for step in steps)} semitones"


def _is_as_said(moved: Moved, semitones: int, steps: int) -> bool:
    """Whether a group begins as far from the one before, and on the side of it, that is said."""
    way = semitones * moved.way > 0 or not moved.way
    return way and (not moved.interval or _is_interval(moved.interval, semitones, steps))


def _moves_of_pairs(run: Run) -> list[tuple[int, int]]:
    """How far each pair of groups begins from the one before, where they are moved two by two."""
    moves = run.moves
    pairs = [(a[0] + b[0], a[1] + b[1]) for a, b in pairwise(moves)]
    return pairs if len(moves) > 2 and len(set(pairs)) == 1 and len(set(moves)) > 1 else []


def _is_interval(name: str, semitones: int, steps: int) -> bool:
    on_staff = name in STAFF_STEPS and abs(steps) == STAFF_STEPS.index(name) + 1
    return on_staff or abs(semitones) in interval_sizes(name)
