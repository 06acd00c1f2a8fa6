"""Deciding which notes a sentence means by their roles: a passing note, a suspension."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, format_span
from lessonmaker.script.candidates import (
    Candidate,
    role_candidates,
)
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.theory.chord import family, readings
from lessonmaker.theory.degree import degree_of, is_chord_tone

__all__ = ["Roles"]


class Roles(Patterns):
    """Decides claims of roles."""

    def role(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A note by its role."""
        spans = scope.spans or tuple(self.spans)
        notes = self.music.struck_by_id
        found = {
            each.target: each
            for span in spans
            for each in role_candidates(claim.name, span, self.music)
            if scope.passes(notes[each.mention.notes[0].note], self.music)
        }
        if not found and scope.tests:
            every = {e.target: e for span in spans for e in role_candidates(claim.name, span, self.music)}
            found = every if len(every) == 1 and claim.name == "suspension" else found
        ordered = list(found.values())
        spoken = [
            each for each in ordered if self.chosen and each.mention.notes[0].note == self.chosen[-1].id
        ]
        if not spoken and self.is_said_of_before(claim):
            return NOTHING
        after = self.options[index + 1] if index + 1 < len(self.claims) else []
        holding = [each for each in ordered if any(note.id == each.mention.notes[0].note for note in after)]
        if len(ordered) > 1:
            ordered = spoken or (holding if len(holding) == 1 else ordered)
        if claim.which and len(ordered) >= abs(claim.which):
            ordered = [ordered[claim.which - 1 if claim.which > 0 else -1]]
        if not ordered:
            return self.no_role(claim, scope)
        if len(ordered) == 1:
            return self.lit(ordered[0])
        if claim.count:
            return self.all_roles(claim, ordered)
        return self.question(self.sentence.words(claim.first, claim.last), [each.target for each in ordered])

    def no_role(self, claim: Claim, scope: Scope) -> Decided:
        """No note of a role: one that is held over a bar line may be a suspension; else a fault where it is plain."""
        held = self.held_suspension(claim, scope) or self.held_early(claim)
        if held is not None:
            return self.lit_row([held])
        unsure = claim.name not in ("suspension", "anticipation") or self.is_suspended(scope)
        if unsure or not scope.explicit or not scope.spans or self.sentence.is_question:
            return NOTHING
        return self.fault(f"{claim.name}@{format_span(self.music.score, scope.spans[0])}", claim)

    def held_early(self, claim: Claim) -> Note | None:
        """The note named before that is said to come early, and is held over the bar line: "the ninth is early"."""
        last = self.chosen[-1] if self.chosen and claim.name == "anticipation" else None
        if last is None or "anticip" in self.sentence.words(claim.first, claim.last):
            return None
        return last if last.onset + last.held > self.music.score.bars[last.bar].end else None

    def held_suspension(self, claim: Claim, scope: Scope) -> Note | None:
        """The note that is held into, or out of, the bar named, which is no chord tone of the chord that follows."""
        if claim.name != "suspension" or len(scope.spans) != 1:
            return None
        ends = (scope.spans[0].start, scope.spans[0].end)
        return next((held for onset in ends if (held := self.foreign_at(onset)) is not None), None)

    def foreign_at(self, onset: Fraction) -> Note | None:
        """The note that is held into a bar, if it is no chord tone of the chord that begins there."""
        held = self.music.sounding_at(onset)
        chords = [each.chord for each in self.music.changes_in(Span(onset, onset + INSTANT)) if each.chord]
        if held is None or not chords:
            return None
        degree = degree_of(held.sounding.midi % OCTAVE, chords[-1])
        return held if degree is not None and not is_chord_tone(degree, chords[-1]) else None

    def is_suspended(self, scope: Scope) -> bool:
        """Whether a suspended chord sounds there, whose fourth is as good as a suspension."""
        changes = [change for span in scope.spans for change in self.music.changes_in(span)]
        return any(change.chord and family(readings(change.chord)[0]) == "suspended" for change in changes)

    def all_roles(self, claim: Claim, found: Sequence[Candidate]) -> Decided:
        """Several notes with one role."""
        notes = self.music.struck_by_id
        return self.several(claim, [notes[each.mention.notes[0].note] for each in found])
