"""Decides which chords' roots move, or stand to each other, as is said: "G seven falls a fifth to C minor".

Roots have no octave, so that a fifth down is a fourth up. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from lessonmaker.score.position import Span, format_span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_times import ChordTimes
from lessonmaker.script.plain.chord_words import root_said, semitones_of, sounding
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.heard import Heard
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.root_claim import ROOT, RootsClaim
from lessonmaker.script.plain.root_words import LEAST
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.vocabulary import number_of

__all__ = ["SIZES", "RootMotion"]

BETWEEN = pattern_of(r"\bbetween\b")
STATED = pattern_of(
    r"\b(?:that's|this is|that is|it's|there's|there is|we have|we've got|you have|you've got) an? $"
)


class RootMotion(ChordTimes):
    """Decides which chords' roots move as is said."""

    def roots(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The chords whose roots move, or stand to each other, as is said."""
        assert isinstance(claim, RootsClaim)  # as roots_claims makes them
        deciders = {
            "between": self.connects,
            "measured": self.measured_from,
            "pair": self.pair_moves,
            "resolved": self.resolves_to,
            "reached": self.reached,
            "bars": self.from_bar_to_bar,
            "into": self.into_bar,
            "chain": self.chain,
            "row": self.row,
            "there and back": self.there_and_back,
            "pedal": self.pedal,
            "bass": self.in_bass,
            "named": self.root_named,
            "step": self.one_step,
        }
        return deciders[claim.name](claim, scope)

    def one_step(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The two chords of which the second stands as far from the first as is said, or a fault where none does."""
        pairs = list(pairwise(self.chords_in(scope)))
        fitting = [pair for pair in pairs if self.fits_step(claim, *pair)]
        if fitting and len(fitting) in (1, len(pairs)):
            return self.lit_chords([fitting[0][0], fitting[-1][1]])
        return self.moves_otherwise(claim, scope, *pairs[0]) if pairs and not fitting else NOTHING

    def root_named(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The one chord of some bars, where its root is the one that is named, or a fault."""
        chords, root = self.chords_in(scope), sounding(root_said(claim.names[0]), self.harmony)
        fitting = [each for each in chords if root in each.roots]
        if fitting and self.is_one_stretch(fitting):
            return self.lit_chords(fitting)
        if len(chords) != 1 or fitting or not self.is_certain(claim, scope):
            return NOTHING
        words, where = self.sentence.words(claim.first, claim.last), chords[0].span
        what = f"“{words}”: {self.told_of(where, f'has {chords[0].text}')}"
        return Decided(None, format_span(self.music.score, where), (), what, "name the root that is there")

    # What is there --------------------------------------------------------------------------------------

    def seen_chords(self) -> list[Heard]:
        """The chords that the cue shows, in order."""
        return list(dict.fromkeys(each for span in self.spans for each in self.harmony.within(span)))

    def step(self, one: Heard, other: Heard) -> int:
        """Semitones up from one root to another."""
        return (other.root - one.root) % OCTAVE

    def fits_step(self, claim: RootsClaim, one: Heard, other: Heard) -> bool:
        """Whether the roots, or the basses, of two chords stand as is said."""
        return any((b - a) % OCTAVE in claim.steps for a in self.basses(one) for b in self.basses(other))

    def basses(self, each: Heard) -> set[int]:
        """The pitch classes of a chord's root and of its bass."""
        return {each.root, *([each.chord.bass.pitch_class] if each.chord.bass else [])}

    def moves_otherwise(self, claim: RootsClaim, scope: Scope, one: Heard, other: Heard) -> Decided:
        """A fault: the roots of two chords move by another interval."""
        if not self.is_certain(claim, scope):
            return NOTHING
        span = Span(one.span.start, other.span.end)
        size = self.step(one, other)
        there = f"from {one.text} to {other.text} is {SIZES[size]}"
        words = self.sentence.words(claim.first, claim.last)
        return Decided(
            None, format_span(self.music.score, span), (), f"“{words}”: {there}", "say how far it is"
        )

    def judged(self, claim: RootsClaim, scope: Scope, pairs: Sequence[tuple[Heard, Heard]]) -> Decided:
        """Of two chords in a row that may be meant: those that move as is said, or a fault."""
        fitting = [pair for pair in pairs if self.fits_step(claim, *pair)]
        if fitting:
            return self.lit_chords(fitting[0])
        return self.moves_otherwise(claim, scope, *pairs[0]) if pairs else NOTHING

    # Two chords -----------------------------------------------------------------------------------------

    def pairs_in(self, scope: Scope) -> list[tuple[Heard, Heard]]:
        """The chords in a row that begin or end in a claim's place and are seen."""
        near = set(self.chords_in(scope))
        return [pair for pair in pairwise(self.seen_chords()) if near & set(pair)]

    def pair_moves(self, claim: RootsClaim, scope: Scope) -> Decided:
        """Two chords that are named, one after the other."""
        assert claim.one is not None and claim.other is not None
        pairs = [
            (one, other)
            for one, other in self.pairs_in(scope)
            if claim.one.fits(one, self.harmony) and claim.other.fits(other, self.harmony)
        ]
        return self.judged(claim, scope, pairs)

    def resolves_to(self, claim: RootsClaim, scope: Scope) -> Decided:
        """A chord that is told, and the one after it."""
        assert claim.one is not None and claim.other is not None
        own = [
            each
            for each in self.chords_in(self.scope_within(claim, scope))
            if claim.one.fits(each, self.harmony)
        ]
        pairs = [(each, after) for each in own if (after := self.harmony.after(each)) is not None]
        found = [pair for pair in pairs if claim.other.fits(pair[1], self.harmony)]
        if len(found) == 1:
            return self.lit_chords(found[0])
        if found or len(pairs) != 1 or not self.is_certain(claim, scope):
            return NOTHING
        one, after = pairs[0]
        words = self.sentence.words(claim.first, claim.last)
        target = format_span(self.music.score, one.span)
        what = f"“{words}”: {one.text} goes to {after.text}"
        return Decided(None, target, (), what, "say where it goes")

    def reached(self, claim: RootsClaim, scope: Scope) -> Decided:
        """A chord that is named, from the one before it."""
        assert claim.other is not None
        pairs = [pair for pair in self.pairs_in(scope) if claim.other.fits(pair[1], self.harmony)]
        return self.judged(claim, scope, pairs)

    def from_bar_to_bar(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The last chord of one bar and the first of another."""
        numbers = [str(number_of(name)) for name in claim.names]
        bars = {bar.number: bar for bar in self.music.score.bars}
        if not all(number in bars for number in numbers):
            return NOTHING
        first, second = (self.harmony.within(Span(bars[n].start, bars[n].end)) for n in numbers)
        if (
            not first
            or not second
            or not all(self.is_seen(Span(bars[n].start, bars[n].end)) for n in numbers)
        ):
            return NOTHING
        return self.judged(claim, scope, [(first[-1], second[0])])

    def into_bar(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The chord of a bar, or of the first that is shown, from the one before it."""
        chords = self.chords_in(scope)
        before = self.harmony.before(chords[0]) if chords else None
        if before is None or len(self.chord_stretches(scope)) != 1:
            return NOTHING
        if self.fits_step(claim, before, chords[0]):
            return self.lit_chords(chords if not scope.explicit else chords[:1])
        return NOTHING

    # A chord and another --------------------------------------------------------------------------------

    def measured_from(self, claim: RootsClaim, scope: Scope) -> Decided:
        """A chord that stands so far from another."""
        chords = self.chords_in(scope)
        some, sure = chords, scope.explicit and len(chords) == 1
        if claim.one is not None:
            at = claim.one.nth - 1 if claim.one.nth > 0 else claim.one.nth
            own = chords[at:][:1] if claim.one.nth else [c for c in chords if claim.one.fits(c, self.harmony)]
            some, sure = (own, len(own) == 1) if own else (chords, sure)
        anchored = [
            (each, anchor)
            for each in some
            for anchor in self.anchors(claim, each, chords)
            if anchor is not None
        ]
        fitting = list(
            dict.fromkeys(e for e, anchor in anchored if (e.root - anchor) % OCTAVE in claim.steps)
        )
        if fitting:
            return self.lit_chords(fitting) if self.is_one_stretch(fitting) else NOTHING
        if not sure or not anchored or not claim.sure or not self.is_certain(claim, scope):
            return NOTHING
        each, anchor = anchored[0]
        if each.root % OCTAVE == anchor % OCTAVE:
            return NOTHING  # no chord is measured from itself: a triad over it is, or a note
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: {each.text} stands {SIZES[(each.root - anchor) % OCTAVE]} above it"
        return Decided(None, format_span(self.music.score, each.span), (), what, "say how far it is")

    def anchors(self, claim: RootsClaim, each: Heard, chords: Sequence[Heard]) -> Sequence[int | None]:
        """The pitch classes that a chord may be measured from."""
        before, after = self.harmony.before(each), self.harmony.after(each)
        if claim.anchor == "before":
            return [before.root if before else None]
        if claim.anchor == "next":
            return [after.root if after else None]
        if claim.anchor == "first":
            return [chords[0].root]
        if claim.anchor == "home":
            return [key.tonic.pitch_class for key in self.harmony.keys_of(each)]
        assert claim.other is not None
        name = ROOT.match(self.sentence.text, claim.other.first)
        return [sounding(root_said(name[0]), self.harmony)] if name is not None else []

    def connects(self, claim: RootsClaim, scope: Scope) -> Decided:
        """A chord between two that are named; false where the one that is said to be so stands elsewhere."""
        one, other = claim.one, claim.other
        assert one is not None and other is not None
        chords, here = self.harmony.chords, self.chords_in(scope)
        for a, b, c in zip(chords, chords[1:], chords[2:], strict=False):
            if b in here and one.fits(a, self.harmony) and other.fits(c, self.harmony):
                stands = BETWEEN.search(self.sentence.words(claim.first, claim.last))
                return self.lit_chords([b] if stands else [a, b, c])
        for a, b in pairwise(self.seen_chords()):
            if one.fits(a, self.harmony) and other.fits(b, self.harmony):
                return self.lit_chords([a, b])
        if len(here) != 1 or not scope.explicit or not self.is_certain(claim, scope):
            return NOTHING
        sides = [side for side in (self.harmony.before(here[0]), self.harmony.after(here[0])) if side]
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: {here[0].text} stands by {self.harmony.said(sides)}"
        return Decided(
            None, format_span(self.music.score, here[0].span), (), what, "name the chords beside it"
        )

    def row(self, claim: RootsClaim, scope: Scope) -> Decided:
        """Chords in a row on roots, or basses, that are named."""
        chords, roots = (
            self.chords_in(scope),
            [sounding(root_said(name), self.harmony) for name in claim.names],
        )
        rows = [chords[at : at + len(roots)] for at in range(len(chords) - len(roots) + 1)]
        found = [
            row for row in rows if all(root in self.basses(c) for c, root in zip(row, roots, strict=True))
        ]
        return self.lit_chords(found[0]) if len(found) == 1 else NOTHING

    # Many -----------------------------------------------------------------------------------------------

    def chain(self, claim: RootsClaim, scope: Scope) -> Decided:
        """Chords whose roots go on by one interval."""
        chords = self.chords_in(scope)
        runs: list[list[Heard]] = [chords[:1]]
        for one, other in pairwise(chords):
            if self.fits_step(claim, one, other) and self.roots_go_on(claim, runs[-1], other):
                runs[-1].append(other)
            else:
                runs.append([other])
        least = claim.count + 1 if claim.count else LEAST
        long = [run for run in runs if (len(run) == least if claim.count else len(run) >= least)]
        if len(long) == 1:
            return self.lit_chords(long[0])
        if len(runs) == 1 and len(chords) == 2 and claim.sure:
            return self.lit_chords(chords)
        if long or not claim.sure or len(chords) < 2 or any(len(run) > 1 for run in runs):
            return NOTHING
        return (
            self.moves_otherwise(claim, scope, *chords[:2]) if scope.explicit or len(chords) < 6 else NOTHING
        )

    def roots_go_on(self, claim: RootsClaim, run: Sequence[Heard], other: Heard) -> bool:
        """Whether a chord goes on in the direction of a run, where none is said."""
        if len(run) < 2 or len(claim.steps) == 1:
            return True
        up = {step for step in claim.steps if step <= OCTAVE // 2}
        return (self.step(run[-2], run[-1]) in up) == (self.step(run[-1], other) in up)

    def there_and_back(self, claim: RootsClaim, scope: Scope) -> Decided:
        """Three chords, of which the last is on the root of the first."""
        chords = self.chords_in(scope)
        found = [
            row
            for row in zip(chords, chords[1:], chords[2:], strict=False)
            if self.fits_step(claim, row[0], row[1]) and row[0].root == row[2].root
        ]
        return self.lit_chords(found[0]) if len(found) == 1 else NOTHING

    # A bass that stays -----------------------------------------------------------------------------------

    def pedal(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The chords in a row over one bass that is not the root of all of them."""
        chords = self.chords_in(scope)
        runs: list[list[Heard]] = []
        for each in self.seen_chords():
            if runs and self.bass(runs[-1][0]) == self.bass(each):
                runs[-1].append(each)
            else:
                runs.append([each])
        held = [run for run in runs if len(run) > 1 and set(run) & set(chords)]
        runs = [run for run in held if len({each.root for each in run}) > 1]
        on_it = [run for run in held if not claim.anchor or self.stands_on(claim.anchor, run[0])]
        found = [run for run in runs if run in on_it]
        if len(found) == 1:
            return self.lit_chords_in(scope, found[0])
        before = self.sentence.text[: claim.first]
        said = claim.anchor or STATED.search(before)
        if on_it or not said or len(chords) < 2 or not self.is_certain(claim, scope):
            return NOTHING
        words = self.sentence.words(claim.first, claim.last)
        there = f"the bass stays on one note under {self.harmony.said(runs[0])}" if runs else "the bass moves"
        target = format_span(self.music.score, Span(chords[0].span.start, chords[-1].span.end))
        return Decided(None, target, (), f"“{words}”: {there}", "say where the bass stays")

    def in_bass(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The chords over a bass of some name; a fault where those of a place that is named have others."""
        chords = self.chords_in(scope)
        found = [each for each in chords if self.stands_on(claim.anchor, each)]
        if found:
            return self.lit_chords_in(scope, found) if self.is_one_stretch(found) else NOTHING
        if not chords or not (scope.explicit or len(chords) == 1) or not self.is_certain(claim, scope):
            return NOTHING
        span = Span(chords[0].span.start, chords[-1].span.end)
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: {self.told_of(span, f'has {self.harmony.said(chords)}')}"
        return Decided(None, format_span(self.music.score, span), (), what, "say which note the bass has")

    def bass(self, each: Heard) -> int:
        """The pitch class of a chord's lowest note."""
        return each.chord.bass.pitch_class if each.chord.bass else each.root

    def stands_on(self, name: str, each: Heard) -> bool:
        """Whether the bass of a chord is a note, or a step of the key, by its name."""
        if ROOT.fullmatch(name):
            return self.bass(each) == sounding(root_said(name), self.harmony)
        word = "five" if name == "dominant" else name
        return any(
            (self.bass(each) - key.tonic.pitch_class) % OCTAVE in semitones_of(word, key)
            for key in self.harmony.keys_of(each)
        )


SIZES = (
    "no step at all", "a half step up", "a whole step up", "a minor third up", "a major third up", "a fourth up",
    "a tritone", "a fifth up", "a major third down", "a minor third down", "a whole step down", "a half step down",
)  # fmt: skip
