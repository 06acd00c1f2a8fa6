"""Deciding what a sentence calls a sequence: as far as its figure goes on in sight, or units that are plainly alike.

The analysis has those whose notes are moved exactly; one whose figure is fitted to its chords (the same rhythm, the
same ups and downs) is heard as one where somebody speaks of it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.devices.sequences import has_own_degrees, is_diatonic
from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, hull, overlap
from lessonmaker.script.candidates import device_candidate
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.again import other_way
from lessonmaker.script.plain.beside import Beside, Run, runs_of_units
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, Decided
from lessonmaker.script.plain.durations import FEW, few_of
from lessonmaker.script.plain.moved_words import moved_in
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretches import MASK, masked
from lessonmaker.script.plain.suspensions import Suspensions
from lessonmaker.script.plain.verbs import FALLING, RISING, inflected

__all__ = ["Sequences"]

SEQUENCE = "sequence"
FIGURE = 4  # notes
GOES = pattern_of(
    rf"(?:,? (?:in|on|at|over|of|from|during|within)(?: the| this| that)? {MASK}+)*"
    r"(?: (?:that|which|here|simply|just))*"
    rf" (?P<how>(?:{RISING}|{FALLING}|goes|moves|steps|works|walks|is (?:going|moving))\b[^,;:.]*)"
    rf"|(?: (?:of|from) (?:the )?(?:first|one before|{MASK}+))?,"
    r" (?P<placed>(?:(?:just|only|this time) )?(?:an? [\w -]{4,20} (?:higher|lower|up|down)"
    r"|(?:up|down) (?:by )?an? [\w -]{4,20}))"
    r"(?=[,.;:!?]|$)"
)

# How a sequence is said to be moved: "an exact sequence", "the sequence goes through the changes".
KIND = r"(?P<kind>exact|diatonic|rhythmic)"
OF_A_KIND = pattern_of(rf"(?:^|(?<=\s)){KIND} $")
IS_OF_A_KIND = pattern_of(
    rf"(?: (?:here|in|of|over|{MASK}+))*"
    rf"(?: (?:is|stays|remains)(?: (?:really|quite|perfectly|strictly|purely|wholly))? {KIND}"
    r"| (?:goes|moves|runs|is taken) (?P<through>through the (?:changes|chords)))(?=[.,;:!]|$)"
)
NOT_QUITE = pattern_of(
    r"\b(?:not?|never|hardly|nearly|almost|quasi|except|apart|but|until|till|first|last|partly|half|part)\b"
)
THROUGH = "through the changes"
IT_IS = {
    "exact": "it is moved exactly",
    "diatonic": "it is moved by the steps of one scale",
    THROUGH: "it goes through the changes",
    "rhythmic": "only its rhythm stays",
}

LASTS = pattern_of(
    rf"(?: (?:here|in|of|that|which|{MASK}+))*"
    rf" {inflected('be, cover, extend, fill, go, go on, last, run, span, stretch, take, take up')}"
    rf"(?: (?:for|over|across|through|on|all|exactly|just))* (?P<count>{FEW}) (?:full |whole )?"
    r"(?:bars|measures)(?: long)?\b"
)


class Sequences(Suspensions):
    """Decides claims of sequences."""

    def usual_device(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A device by its kind; a sequence as far as it goes on."""
        each = super().usual_device(index, claim, scope)
        if claim.name != SEQUENCE or each.choices:
            return each
        spans = scope.spans if scope.explicit else tuple(self.spans)
        device = each.mention.device if each.mention is not None else None
        if device is not None and device.kind == SEQUENCE:
            run = self.longer(device, spans)
            return (
                self.is_of_another_kind(claim, device, spans)
                or self.goes_otherwise(claim, run)
                or (self.lit_row(self.seen_notes(run)) if len(run.notes) > len(device.notes) else each)
            )
        unit = self.units_in(claim, spans) if spans and each.mention is None else None
        unit = unit or (self.moved_over(claim, self.wider(spans)) if spans and each.mention is None else None)
        return each if unit is None else self.goes_otherwise(claim, unit) or self.lit_row(unit.notes)

    def wider(self, spans: Sequence[Span]) -> list[Span]:
        """The bars of a place, with those that are named beside it; a bar alone with the one before it."""
        named = [place.spans[0] for place in self.places if place.level == "bar" and len(place.spans) == 1]
        seen = [
            bar.index
            for bar in self.music.bars_in([*spans, *named])
            if self.is_seen(Span(bar.start, bar.end))
        ]
        first, last = min(seen, default=0), max(seen, default=0)
        bars = [Span(bar.start, bar.end) for bar in self.music.score.bars]
        before = bars[first - 1 : first] if first == last else []
        return [*(span for span in before if self.is_seen(span)), *bars[first : last + 1]]

    def moved_over(self, claim: Claim, bars: Sequence[Span]) -> Run | None:
        """Bars that are alike one after the other, or of which as much as a figure is alike from their beginning."""
        pairs = [Beside.of(self.music, one, other) for one, other in pairwise(bars)]
        alike = [pair.is_alike or pair.steps_alike >= FIGURE for pair in pairs]
        moved = [
            pair.copy and pair.model and pair.copy[0].sounding != pair.model[0].sounding for pair in pairs
        ]
        if not pairs or not all(alike) or not all(moved):
            return None
        run = Run(tuple(self.music.line_in(span) for span in bars))
        return None if claim.shape.times and claim.shape.times not in run.counts else run

    def seen_notes(self, run: Run) -> Sequence[Note]:
        """The notes of a sequence that the cue shows, if these are more than half of them; else all."""
        seen = [note for note in run.notes if self.is_seen(Span(note.onset, note.onset + INSTANT))]
        return seen if 2 * len(seen) > len(run.notes) else run.notes

    def is_of_another_kind(self, claim: Claim, device: Device, spans: Sequence[Span]) -> Decided | None:
        """A fault where a sequence is said to be exact, diatonic, rhythmic or through the changes, and is another."""
        text = self.sentence.text
        before = OF_A_KIND.search(text[: claim.first])
        after = IS_OF_A_KIND.match(masked(self.sentence, self.places), claim.last)
        match = before or after
        unsure = NOT_QUITE.search(text) or HEDGED.search(text) or self.sentence.is_question
        if match is None or unsure or claim.stance in ("denied", "touched"):
            return None
        said = match["kind"] or THROUGH
        there = [each for each in self.music.analysis.devices if each.kind == SEQUENCE]
        near = [each for each in there if any(overlap(each.span, span) for span in spans)]
        if any(self.is_kind(said, each) for each in (device, *near)):
            return None
        since, until = match.start() if before else claim.first, max(match.end() if after else 0, claim.last)
        what = f"“{self.sentence.words(since, until)}”: {IT_IS[device.detail]}"
        target = device_candidate(device, self.music).target
        return Decided(None, target, (), what, "say which it is", until=until, since=since)

    def is_kind(self, said: str, device: Device) -> bool:
        """Whether a sequence is moved as is said, by what it is heard as or by any other fair reading."""
        heard = self.music.etude.heard_by_id
        statements = [[heard[name] for name in group] for group in device.groups]
        steps = {tuple(b.pitch - a.pitch for a, b in pairwise(statement)) for statement in statements}
        return (
            said == device.detail
            or (said == "exact" and len(steps) == 1)
            or (said == "diatonic" and is_diatonic(statements))
            or (said == THROUGH and has_own_degrees(statements))
        )

    def lasts_otherwise(self, claim: Claim, run: Run) -> Decided | None:
        """A fault where a sequence is said to go on for more bars, or fewer, than it does."""
        match = LASTS.match(masked(self.sentence, self.places), claim.last)
        if match is None or self.sentence.is_question or HEDGED.search(self.sentence.text):
            return None
        first, last = run.notes[0], run.notes[-1]
        bars = last.bar - first.bar + 1
        if few_of(match["count"]) in (bars, bars - 1):
            return None
        words = self.sentence.words(claim.first, match.end())
        where = self.music.said(self.bars_of(Span(first.onset, last.onset + last.held)))
        return Decided(
            None, "", (), f"“{words}”: it goes on in {where}", "say how long it is", until=match.end()
        )

    def goes_otherwise(self, claim: Claim, run: Run) -> Decided | None:
        """A fault where a sequence is said to go another way, or by another step, than it does."""
        match = GOES.match(masked(self.sentence, self.places), claim.last)
        how = "how" if match is not None and match["how"] else "placed"
        moved = moved_in(match[how], with_way_only=True) if match is not None else None
        lasting = self.lasts_otherwise(claim, run)
        if lasting is not None or match is None or moved is None or self.sentence.is_question:
            return lasting
        does, last = other_way(moved, run), match.start(how) + moved.last
        if not does:
            return None
        what = f"“{self.sentence.words(claim.first, last)}”: it {does}"
        return Decided(None, self.row_target(run.notes), (), what, "say where it goes", until=last)

    def longer(self, device: Device, spans: Sequence[Span]) -> Run:
        """A sequence with what is before and after it in some spans, as far as that goes on in the same way."""
        by_id = self.music.struck_by_id
        known = Run(tuple(tuple(by_id[name] for name in group) for group in device.groups))
        starts = [group[0].onset for group in known.groups]
        period = starts[1] - starts[0] if len(starts) > 1 else Fraction(0)
        if period <= 0:
            return known
        first, last = starts[0], starts[-1]
        while self.is_alike_at(first, first - period, period, spans):
            first -= period
        while self.is_alike_at(starts[0], last + period, period, spans):
            last += period
        if (first, last) == (starts[0], starts[-1]):
            return known
        count = int((last - first) / period) + 1
        return Run(
            tuple(
                self.music.line_in(Span(first + at * period, first + (at + 1) * period))
                for at in range(count)
            )
        )

    def is_alike_at(self, model: Fraction, copy: Fraction, period: Fraction, spans: Sequence[Span]) -> bool:
        """Whether what begins at one place is like what begins at another, so long, and in some spans."""
        if not any(span.start <= copy and copy + period <= span.end for span in spans):
            return False
        return Beside.of(self.music, Span(model, model + period), Span(copy, copy + period)).is_alike

    def units_in(self, claim: Claim, spans: Sequence[Span]) -> Run | None:
        """Units alike, one after the other and each at its own height, that fill most of some spans."""
        whole = hull(spans)
        moved = [run for run in runs_of_units(self.music, whole) if all(step for step, _ in run.moves)]
        filling = [run for run in moved if 2 * run.period * len(run.groups) >= whole.end - whole.start]
        if claim.shape.times:
            filling = [run for run in filling if claim.shape.times in run.counts]
        return filling[0] if filling else None
