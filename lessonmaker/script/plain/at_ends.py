"""What is said of the first, last, highest or lowest note, held against the notes: lit, or false.

Common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import MOST_CHOICES, NOTHING, Common, Decided
from lessonmaker.script.plain.degree_words import LEADING_NOTE
from lessonmaker.script.plain.enclosed import is_called
from lessonmaker.script.plain.ends import (
    BETWEEN,
    BOTH_ENDS,
    EDGES,
    EXCEPT,
    OF_MORE,
    SPELT_FROM,
    End,
    end_said,
    notes_at,
)
from lessonmaker.script.plain.fair_ends import fair_ends
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.motion import leading_notes
from lessonmaker.script.plain.stretches import Stretch
from lessonmaker.theory.degree import degree_of

__all__ = ["Ends"]

AN_EIGHTH = pattern_of(r"\b(?:eighth|quaver)(?! rest)\b")
EIGHTH = Fraction(1, 2)  # quarters


class Ends(Common):
    """Decides what is said to begin or end with a degree or a note."""

    def at_an_end(self, claim: Claim) -> Decided | None:
        """The note that something is said to begin or end with, or to reach at most; a fault where it is another."""
        end = self.end_of_before(claim) or end_said(self.sentence, claim, self.places, self.spans, self.music)
        between = end is not None and [
            other
            for other in self.claims_before(claim)
            if other.kind in BETWEEN and other.first > end.first and other.name != "register peak"
        ]
        if end is None or between or claim.count > 1:
            return None
        both = self.at_both_ends(claim, end)
        if both is not None or not end.subjects or EXCEPT.match(self.sentence.text, claim.last):
            return both or NOTHING
        end = self.of_eighths(claim, end)
        for subject in end.subjects:
            lit = [each for each in subject.stretches if each.notes and each.notes[0].id == self.begun]
            lit = [] if subject.every else lit
            each = [self.named_at(claim, end, stretch) for stretch in lit or subject.stretches]
            fitting = [notes for notes in each if notes]
            if subject.every and len(fitting) == len(each):
                return self.several(replace(claim, count=-1), [notes[0] for notes in fitting])
            if not subject.every and fitting and all(notes == fitting[0] for notes in fitting):
                return self.light(claim, fitting[0])
            if fitting and not subject.every:
                return None
        return self.of_what_is_pointed_at(claim, end) or self.ends_otherwise(claim, end)

    def of_what_is_pointed_at(self, claim: Claim, end: End) -> Decided | None:
        """The one note with which something in sight begins or ends, where nothing says which thing is meant."""
        edge = EDGES.get(end.side)
        one_bar = len(self.music.bars_in(self.spans)) == 1  # which is what is meant
        if not end.pointed or edge is None or claim.name == LEADING_NOTE or one_bar:
            return None
        plain, possible = (
            [note for note in notes if self.is_so_placed(claim, end, note)]
            for notes in fair_ends(edge, self.spans, self.music)
        )
        found = plain or possible
        if len(found) == 1:
            return self.light(claim, found)
        return self.ask(claim, found) if 1 < len(found) <= MOST_CHOICES else NOTHING if found else None

    def is_so_placed(self, claim: Claim, end: End, note: Note) -> bool:
        """Whether a note is what a claim names, where an end is said to stand."""
        return is_called(claim, note, self.music) and all(test(note, self.music) for test in end.own)

    def of_eighths(self, claim: Claim, end: End) -> End:
        """An end of eighths alone, where it is said of one: the last eighth need not be the last note."""
        if not AN_EIGHTH.search(self.sentence.text[end.first : claim.first]):
            return end
        subjects = tuple(
            replace(
                subject,
                stretches=tuple(
                    replace(
                        each, notes=tuple(note for note in each.notes if note.held <= EIGHTH) or each.notes
                    )
                    for each in subject.stretches
                ),
            )
            for subject in end.subjects
        )
        return replace(end, subjects=subjects)

    def at_both_ends(self, claim: Claim, end: End) -> Decided | None:
        """The two notes, where something is said to begin and end with the same: "it starts and ends on the third"."""
        if end.side != "last" or not BOTH_ENDS.search(self.sentence.text[: claim.first]):
            return None
        stretches = [each for subject in end.subjects for each in subject.stretches if len(each.notes) > 1]
        for stretch in stretches:
            edges = [stretch.notes[0], stretch.notes[-1]]
            if all(is_called(claim, note, self.music) for note in edges):
                return self.several(replace(claim, count=-1), edges)
        first = replace(end, side="first")
        begun = any(self.named_at(claim, first, stretch) for stretch in stretches)
        return None if begun or not stretches else self.ends_otherwise(claim, first)

    def is_at_an_end(self, claim: Claim) -> bool:
        """Whether something is said to begin or end with a claim, or to reach it at most."""
        return end_said(self.sentence, claim, self.places, self.spans, self.music) is not None

    def end_of_before(self, claim: Claim) -> End | None:
        """An end of the bars that the sentence before spoke of, if it is so: "Bar two. First note is the ninth"."""
        placed = any(place.level == "bar" for place in self.places) or OF_MORE.search(self.sentence.text)
        if self.before is None or placed:
            return None
        end = end_said(self.sentence, claim, self.places, (self.before,), self.music)
        stretches = [stretch for subject in end.subjects for stretch in subject.stretches] if end else []
        return end if end and any(self.named_at(claim, end, stretch) for stretch in stretches) else None

    def named_at(self, claim: Claim, end: End, stretch: Stretch) -> list[Note]:
        """The notes at an end of a stretch that a claim names."""
        there = notes_at(end.side, stretch, self.music)
        placed = [note for note in there if all(test(note, self.music) for test in end.own)]
        if claim.name == LEADING_NOTE:
            return [note for note in placed if note in leading_notes(stretch.span, self.music)]
        return [note for note in placed if is_called(claim, note, self.music)]

    def none_has(self, claim: Claim, end: End) -> bool:
        """Whether each of several is said to have what none of them has, however these are told apart."""
        return all(
            subject.every and not any(self.named_at(claim, end, stretch) for stretch in subject.stretches)
            for subject in end.subjects
        )

    def is_of_chord_before(self, claim: Claim, note: Note) -> bool:
        """Whether a note that is tied into another chord is over its own bar's what a claim names."""
        changes = self.music.changes_in(Span(note.onset, note.onset + INSTANT))
        over = {degree_of(note.sounding.midi % OCTAVE, each.chord) for each in changes if each.chord}
        return bool(over & set(claim.names))

    def begins_its_bars(self, claim: Claim, stretch: Stretch) -> bool:
        """Whether a claim names the first note that a longer stretch has in the bars that are spoken of."""
        scope = self.scopes[self.claims.index(claim)]
        if not scope.explicit:
            return False
        inside = [note for note in stretch.notes if any(s.start <= note.onset < s.end for s in scope.spans)]
        return 0 < len(inside) < len(stretch.notes) and is_called(claim, inside[0], self.music)

    def ends_otherwise(self, claim: Claim, end: End) -> Decided | None:
        """A fault where what is spoken of plainly begins or ends with another note; None where it may not."""
        subject = end.subjects[0]
        known = end.certain and len(end.subjects) == 1 and claim.count <= 0
        known = known and (subject.every or len(subject.stretches) == 1 or subject.edges)
        known = known and (subject.edges or all(stretch.sure for stretch in subject.stretches))
        known = known or (end.certain and not claim.count and self.none_has(claim, end))
        others = [stretch for stretch in subject.stretches if not self.named_at(claim, end, stretch)]
        notes = notes_at(end.side, others[0], self.music) if others else ()
        if not known or not notes or self.music.finding(notes[-1]).degree is None:
            return NOTHING if end.certain else None
        if self.sentence.is_question or (
            claim.kind == "degree" and self.is_of_chord_before(claim, notes[-1])
        ):
            return NOTHING
        if end.side == "first" and self.begins_its_bars(claim, others[0]):
            return None
        spelt = SPELT_FROM.search(self.sentence.text[: claim.first])
        if (
            spelt
            and not subject.every
            and "arpeggio" in spelt[0]
            and any(is_called(claim, note, self.music) for note in others[0].notes[:-2])
        ):
            return None  # a part of an arpeggio that turns
        degree, place = (
            self.music.finding(notes[-1]).degree,
            format_position(self.music.score, notes[-1].onset),
        )
        words = self.sentence.words(claim.first, claim.last)
        what = (
            f"“{words}”: the {end.side} note of {self.music.said(others[0].span)} is the {degree} at {place}"
        )
        return Decided(None, f"{degree}@{place}", (), what, f"write [{degree}]({degree}@{place})")
