"""Degrees and notes that are counted: "two thirds, one on two, one on the and of three", "its root twice".

Common practice, no source. A number that is said of a bar that is named is false where the bar has another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.degree_sets import COLOURS
from lessonmaker.script.plain.durations import how_often
from lessonmaker.script.plain.each import Eaches
from lessonmaker.script.plain.enclosed import is_called
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.note_times import is_only_once
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.theory.degree import degree_of

__all__ = ["Counts"]

AND_AGAIN = pattern_of(r",? and (?:then )?(?:again|once(?: more| again)?) (?:on|at) (?:the |beat )?")
MAY_BE_INTERVALS = pattern_of(r"(?:rd|th|second)s$")  # "two fourths"
FOURTH = ("4", "11")
TIED_BEFORE = pattern_of(r"\b(?:tied|held-over) $")
OVERHANG = inflected("hang, hold, ring, carry, sustain, spill, lap, sing, last")
HELD_BY = pattern_of(
    r"\b(?:hold|holds|holding|held|carry|carries|tie|ties|hang on to) (?:the|that|this|our) $"
)
OVER = pattern_of(r" over(?: and\b| into\b| to\b| the bar|,|[.;]|$)")
TIED_AFTER = pattern_of(
    r"(?: of (?:the|that|this) (?:\w+ ){0,2}chord| of [a-g][\w ]{0,16}?(?= (?:is|gets) ))?"
    r" (?:(?:is|gets|was|that's|which is|that is|that|which|note|just|still) )*(?:(?:tied|held|hung|carried)"
    r" (?:over|across|into|through|on)\b"
    rf"|{OVERHANG}(?: out)? (?:over(?! the [a-g]\b)(?=,|[.;]|$| (?:the bar|from|into|and|for|to|until))"
    r"|(?:across|through|past) the (?:bar|next)))"
)
HELD_PAST = pattern_of(
    r"[^;:.]*\b(?:hold|held|hang|let it ring|sustain\w*) (?:it )?(?:right )?(?:over|past|across|through) the bar ?line"
)
HELD = ("4", "11", "9", "13", "7", "b9")  # what a note may be called that waits for its chord
MANY = pattern_of(r"(?:all|how many)\b")


TAKE_TURNS = r"(?:alternat\w+|tak\w+ turns|swap\w* places|trad\w+ places|take it in turns)"
TURNS_WITH = pattern_of(rf",? (?:[\w']+ ){{0,3}}?{TAKE_TURNS} with (?:the |an? |its )?")
AND_OTHER = pattern_of(r",? and (?:the |an? |its )?")
DO_TURNS = pattern_of(rf" (?:\w+ )?{TAKE_TURNS}\b")
BETWEEN_TWO = pattern_of(
    rf"\b(?:{TAKE_TURNS}|back and forth|to and fro|see-?saw\w*|rock\w*|flip\w*|switch\w*|toggl\w+)"
    r" between (?:the |an? |its )?$"
)
TURNS = 4  # notes: the fewest that alternate


def _take_turns(text: str, one: Claim, other: Claim) -> bool:
    """Whether two notes are said to alternate."""
    between = text[one.last : other.first]
    if TURNS_WITH.fullmatch(between):
        return True
    around = DO_TURNS.match(text, other.last) or BETWEEN_TWO.search(text[: one.first])
    return bool(AND_OTHER.fullmatch(between) and around)


def _turns(line: Sequence[Note], mine: Sequence[Note], others: Sequence[Note]) -> list[Note]:
    """The longest stretch of the line in which notes of two sorts take turns."""
    best: list[Note] = []
    run: list[Note] = []
    for note in line:
        known = note in mine or note in others
        goes_on = bool(run) and known and (run[-1] in mine) != (note in mine)
        run = [*run, note] if goes_on else [note] if known else []
        best = run if len(run) > len(best) else best
    return best


class Counts(Eaches, Patterns):
    """Decides how many notes are meant."""

    def counted(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided | None:
        """What a number, or the beats named one after the other, choose; None where they choose nothing."""
        if claim.kind not in ("degree", "note") or claim.at or claim.which:
            return None
        many = self.in_each(claim, scope) or self.of_any_kind(claim, scope, notes) or self.alternating(claim)
        if many:
            return self.several(replace(claim, count=-1), many)
        if claim.count < 0:
            counted = claim.kind == "note" and MANY.match(self.sentence.words(claim.first, claim.last))
            return NOTHING if counted and not (scope.explicit or scope.tests) else None
        held = self.held_as(claim)
        if held is None and claim.kind == "degree" and not notes:
            held = self.held_degree(claim, scope)
        if held is not None:
            return self.lit_row([held])
        chosen = self.on_each_beat(claim, scope) or self.named_before(claim)
        if chosen:
            return self.several(replace(claim, count=-1), chosen)
        other = self.other_count(claim, scope, notes) if claim.count else self.only_once(claim, scope, notes)
        is_another = claim.kind == "note" and claim.count > 1 and len(notes) != claim.count
        return NOTHING if other is None and is_another else other

    def only_once(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided | None:
        """A fault where a note that is said to come once in a bar that is named comes more often."""
        many = len({note.onset for note in notes})
        if many < 2 or scope.tests or not is_only_once(*self.words_beside(claim)):
            return None
        if not self.is_plain(claim, scope) or HEDGED.search(self.sentence.text):
            return None
        return self.is_false(claim, scope.spans[0], f"has it {how_often(many)}")

    def of_any_kind(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> list[Note]:
        """The notes of a number that a chord may alter, where there are as many, or as many kinds: "the two ninths"."""
        kinds = COLOURS.get(claim.names[0]) if claim.kind == "degree" and not claim.sure else None
        if kinds is None or claim.count < 2 or len({note.onset for note in notes}) == claim.count:
            return []
        found = self.notes_for(replace(claim, names=tuple(kinds.split("|"))), scope)
        onsets, degrees = {note.onset for note in found}, {self.music.finding(note).degree for note in found}
        return found if claim.count in (len(onsets), len(degrees)) else []

    def alternating(self, claim: Claim) -> list[Note]:
        """The notes of a claim that take turns with those of another as is said: "the seventh alternates with it"."""
        at = self.claims.index(claim)
        for first in (at - 1, at):
            pair = self.claims[max(first, 0) : first + 2]
            if len(pair) < 2 or claim not in pair or not _take_turns(self.sentence.text, *pair):
                continue
            mine, others = self.options[at], self.options[first + 1 if first == at else first]
            turns = _turns(self.music.line, mine, others)
            return [note for note in turns if note in mine] if len(turns) >= TURNS else []
        return []

    def keep_tied(self, claim: Claim, notes: list[Note]) -> list[Note]:
        """Those of a claim's notes that are held over a bar line, where it is said to be: "that tied E flat"."""
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        held = HELD_BY.search(before) and OVER.match(after)
        if (
            held and not notes and claim.kind in ("degree", "note")
        ):  # the chord named next is what it is held into
            notes = self.notes_for(claim, replace(self.scopes[self.claims.index(claim)], tests=()))
        if claim.kind not in ("degree", "note") or not (
            held or TIED_BEFORE.search(before) or TIED_AFTER.match(after) or HELD_PAST.match(after)
        ):
            return notes
        bars = self.music.score.bars
        return [note for note in notes if note.onset + note.held > bars[note.bar].end] or notes

    def held_as(self, claim: Claim) -> Note | None:
        """The note chosen last, where it is held into a chord over which it is what is claimed: "it's the sus four"."""
        last = self.chosen[-1] if self.chosen else None
        if last is None or claim.kind != "degree" or not set(claim.names) & set(FOURTH):
            return None
        if self.music.finding(last).degree in claim.names:
            return None
        span = Span(last.onset, last.onset + last.held)
        chords = [change.chord for change in self.music.changes_in(span) if change.onset > last.onset]
        degrees = {degree_of(last.sounding.midi % OCTAVE, chord) for chord in chords if chord is not None}
        return last if degrees & set(claim.names) else None

    def held_degree(self, claim: Claim, scope: Scope) -> Note | None:
        """The note that is, while it is held into another chord, what its own chord does not make it: "the fourth"."""
        found = {
            note.id: note
            for span in scope.spans or self.spans
            for change in self.music.changes_in(span)
            if (note := self.music.sounding_at(change.onset)) is not None and change.chord is not None
            if degree_of(note.sounding.midi % OCTAVE, change.chord) in claim.names and claim.names[0] in HELD
        }
        return next(iter(found.values())) if len(found) == 1 else None

    def on_each_beat(self, claim: Claim, scope: Scope) -> list[Note]:
        """The notes on the beats that follow a claim, if these are as many as is said and each has one."""
        later = min((c.first for c in self.claims if c.first > claim.first), default=len(self.sentence.text))
        beats = [
            place for place in self.places if place.level == "beat" and claim.last <= place.first < later
        ]
        again = all(self.is_again(*pair) for pair in pairwise(beats))
        if len(beats) < 2 or len(beats) != (claim.count or len(beats)) or not (claim.count or again):
            return []
        tests = tuple(place.test for place in scope.used if place.level == "chord" and place.test is not None)
        notes = self.notes_for(claim, replace(scope, tests=tests))
        each = [[note for note in notes if beat.test and beat.test(note, self.music)] for beat in beats]
        return [here[0] for here in each] if all(len(here) == 1 for here in each) else []

    def is_again(self, beat: Place, following: Place) -> bool:
        """Whether one beat follows another: "on three and again on six"."""
        return AND_AGAIN.fullmatch(self.sentence.text[beat.last : following.first]) is not None

    def named_before(self, claim: Claim) -> list[Note]:
        """The notes named before of which a degree is said: "there's the B natural, it's the third both times"."""
        named = [other for other in self.claims_before(claim) if other.kind == "note"]
        if claim.kind != "degree" or claim.count < 2 or not named:
            return []
        notes = self.options[self.claims.index(named[-1])]
        fits = all(self.music.finding(note).degree in claim.names for note in notes)
        return notes if fits and len(notes) == claim.count else []

    def other_count(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided | None:
        """A fault where a bar that is named has another number than is said."""
        unsure = MAY_BE_INTERVALS.search(self.sentence.words(claim.first, claim.last))
        if unsure or HEDGED.search(self.sentence.text):
            return None
        if not self.is_plain(claim, scope) or scope.tests:
            return self.fewer(claim, scope, notes)
        span = scope.spans[0]
        onsets = {note.onset for note in notes}
        inside = {onset for onset in onsets if span.start <= onset < span.end}
        all_there = {note.onset for note in self.music.struck_in(span) if is_called(claim, note, self.music)}
        if claim.count in (len(inside), len(onsets), len(all_there)) or self.is_held_over(claim, span):
            return None  # what else is said of them, one of them may do less plainly
        return self.is_false(claim, span, f"has it {how_often(len(inside))}")

    def fewer(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided | None:
        """A fault where all that is shown, or a chord that is named, has fewer than is said."""
        spans = scope.spans or tuple(self.spans)
        guessed = bool(scope.unknown or scope.borrowed or scope.next_chord or scope.carried)
        guessed = guessed or any(place.level == "beat" for place in scope.used)
        if guessed or not spans or self.sentence.is_question or not self.may_be_false(claim, scope):
            return None
        many = len({note.onset for note in notes})
        if many >= claim.count or any(self.is_held_over(claim, span) for span in spans):
            return None
        kinds = COLOURS.get(claim.names[0], "").split("|") if not claim.sure and claim.names else []
        if len(self.onsets_with((*claim.names, *kinds), spans)) >= claim.count:
            return None  # what else is said of them, one of them may do later, or less plainly
        return self.is_false(claim, hull(spans), f"has it {how_often(many)}")

    def onsets_with(self, degrees: Sequence[str], spans: Sequence[Span]) -> set[Fraction]:
        """When notes with one of some degrees are struck, whatever else they do."""
        notes = (note for span in spans for note in self.music.struck_in(span))
        return {note.onset for note in notes if self.music.finding(note).degree in degrees}

    def is_held_over(self, claim: Claim, span: Span) -> bool:
        """Whether a note that is held into a span may count as well."""
        held = self.music.sounding_at(span.start)
        if held is None:
            return False
        return (
            self.is_held_into(claim, span) if not claim.name else held.written.name == named_note(claim.name)
        )
