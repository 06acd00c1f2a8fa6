"""Deciding what a sentence says of the notes of a stretch as they stand: rows of names. Common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position, format_span
from lessonmaker.script.candidates import lit_note
from lessonmaker.script.model import Mention
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Common, Decided
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.scope import Scope

__all__ = ["Patterns"]


class Patterns(Common):
    """Decides claims that the notes of a stretch alone make true or false."""

    def is_plain(self, claim: Claim, scope: Scope) -> bool:
        """Whether something that is not in the bars that are named for it is plainly false."""
        said = scope.explicit and len(scope.spans) == 1 and not scope.unknown and not scope.borrowed
        return said and not self.sentence.is_question and self.may_be_false(claim, scope)

    def is_false(self, claim: Claim, span: Span, is_there: str) -> Decided:
        """A fault: what some bars have instead of what is claimed of them."""
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: {self.music.said(span)} {is_there}"
        return Decided(None, format_span(self.music.score, span), (), what, "say what is there")

    def no_name_row(self, claim: Claim, scope: Scope) -> Decided:
        """A row of names some of which its bar has not."""
        if not self.is_plain(claim, scope):
            return NOTHING
        span = scope.spans[0]
        struck = self.music.struck_between(span.start, span.end)
        there = {note.written.name.pitch_class for note in struck}
        missing = [name for name in claim.names if named_note(name).pitch_class not in there]
        return self.is_false(claim, span, f"has no {' and no '.join(dict.fromkeys(missing))}")

    def lit_row(self, notes: Sequence[Note]) -> Decided:
        """Light notes of a stretch, without their degrees."""
        self.chosen.append(notes[-1])
        lit = tuple(replace(lit_note(note, self.music), label=None) for note in notes)
        span, target = Span(notes[0].onset, notes[-1].onset + notes[-1].held), self.row_target(notes)
        return Decided(Mention("notes", span, lit, target=target), target)

    def lit_span(self, span: Span) -> Decided:
        """Light a stretch as a whole."""
        target = format_span(self.music.score, span)
        return Decided(Mention("span", span, (), target=target), target)

    def row_target(self, notes: Sequence[Note]) -> str:
        """How a link names the stretch of some notes."""
        ends = [format_position(self.music.score, note.onset) for note in (notes[0], notes[-1])]
        return "-".join(dict.fromkeys(ends))
