"""The notes that a degree, or a note by its name, may be where it is claimed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.candidates import degree_candidates
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.choosing import STARTS, Choosing
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.degree_words import LEADING_NOTE
from lessonmaker.script.plain.enclosed import is_called
from lessonmaker.script.plain.motion import leading_notes, without_places
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.of_two import CALLING, ONLY_THE, are_one, is_pointed_out
from lessonmaker.script.plain.plain_numbers import is_named
from lessonmaker.script.plain.scope import Scope, lists_in
from lessonmaker.script.targets import Claim as OrderedClaim
from lessonmaker.script.targets import only_order

__all__ = ["MOVED_TO", "Possible", "plain_number"]

MOVED_TO = pattern_of(r"\b(?:to|into|onto)(?: the| its| a)? $")
AGAIN = pattern_of(r"\b(?:that|this|(?:the|that) (?:very )?same) $")
OF_A_CHORD = pattern_of(r" of [a-g](?: [\w ]+|[\w#]*)?")
SAID_AGAIN = pattern_of(
    r"(?: (?:up|down|over|right)? ?(?:there|here)| (?:is |gets |was )?(?:\w+(?:ing|ed)|held|hung|struck|sung)"
    r"(?: (?:up|down|over|out|on|there|high|right))*)?"
    r"(?:,[^,;:]{3,25},)?[,;:]?"
    r"(?: (?:that's|which is|is|was|it's|it is"
    r"|and that's|being|and (?:it|that|this) is|as|i mean|i call it|we call it|simply"
    r"|just|really|actually|of course|in fact))*(?: (?:the|your|our|an?|its))? "
)
APPOSED = pattern_of(
    r", (?:(?:that's|which is|namely|i mean) )?(?:the |an? |our |your |its |(?:that|this) (?:[a-z]+ )?)?"
)  # "on the five, the A"
TIED_INTO = pattern_of(
    r"\b(?:tied|ties|held|holds|hung|carried|carries|hangs|lasts|lingers|rings|sounds|spills|stretches"
    r"|sustained|sustains)(?: (?:over|on|out|past|across|right|straight|all the way|well|still|through"
    r"|the bar ?line))*(?: in)?to $"
)
OF_THE_CHORD = ("3", "5", "b7")  # degrees whose plain number names the one that the chord has
FINE = Fraction(1, 4)  # how finely it is looked where notes sound, in quarters
VOICE = 3  # the fewest notes of a line between those of another


class Possible(Choosing):
    """Finds the notes that claims may mean, and which of them can follow each other as they are named."""

    def notes_for(self, claim: Claim, scope: Scope) -> list[Note]:
        """The notes that a degree may mean where it is claimed."""
        if claim.at:
            return [self.music.struck_by_id[name] for name in claim.at]
        if claim.kind not in ("degree", "note") or scope.unknown:
            return []
        held = self.held_into_bar(claim, scope)
        if held is not None:
            fits = self.is_called(claim, held)
            if fits or claim.kind == "note":
                return [held] if fits else []
        found = {span: self.named(claim, span, scope) for span in scope.spans or self.spans}
        filled = [notes for span, notes in found.items() if notes and self.is_seen(span)]
        filled = filled or [notes for notes in found.values() if notes]
        merged = {note.id: note for notes in filled for note in notes}
        return sorted(merged.values(), key=lambda note: note.onset)

    def sounding_where(self, scope: Scope) -> dict[Fraction, Note]:
        """The notes that sound, struck or held, where the tests of a place are passed, by when they do."""
        found: dict[Fraction, Note] = {}
        for bar in self.music.bars_in(scope.spans):
            at = bar.start
            while at < bar.end:
                note = self.music.sounding_at(at)
                here = replace(note, onset=at, bar=bar.index) if note is not None else None
                if note is not None and here is not None and scope.passes(here, self.music):
                    found[at] = note
                at += FINE
        return found

    def held_into_bar(self, claim: Claim, scope: Scope) -> Note | None:
        """The note held into the bar that is said to be tied into: "the A flat that is tied into measure eighteen"."""
        bars = [place for place in scope.used if place.level == "bar" and place.first >= claim.last]
        tied = bars and TIED_INTO.search(self.sentence.text[claim.last : bars[0].first])
        return self.music.sounding_at(scope.spans[0].start) if tied and len(scope.spans) == 1 else None

    def is_called(self, claim: Claim, note: Note) -> bool:
        """Whether a note is what a claim names."""
        return is_called(claim, note, self.music)

    def named(self, claim: Claim, span: Span, scope: Scope) -> list[Note]:
        """The notes of a span with one of a claim's degrees, where the scope has them."""
        if claim.kind == "note":
            wanted = named_note(claim.name)
            struck = self.music.struck_between(span.start, span.end)
            here = [note for note in struck if scope.passes(note, self.music)]
            written = [note for note in here if note.written.name == wanted]
            sounding = [note for note in here if note.written.name.pitch_class == wanted.pitch_class]
            return written or (sounding if wanted.alter and scope.spans else [])
        if claim.name == LEADING_NOTE:
            leading = leading_notes(span, self.music)
            sevenths = [note for note in leading if self.music.finding(note).degree in claim.names]
            return [note for note in sevenths or leading if scope.passes(note, self.music)]
        by_id = self.music.struck_by_id
        found: dict[str, Note] = {}
        for name in claim.names:
            exact = [
                by_id[lit.note]
                for each in degree_candidates(name, span, self.music)
                for lit in each.mention.notes
                if lit.label == name or not found
            ]
            here = [note for note in exact if scope.passes(note, self.music)]
            label_exact = [note for note in here if self.music.finding(note).degree == name]
            found |= {note.id: note for note in (label_exact or ([] if found else here))}
            if found and claim.sure:
                break
        if not claim.sure:
            own = [note for note in found.values() if self.is_called(claim, note)]
            tones = [note for note in own if self.music.is_tone(note)]
            return tones if tones and claim.names[0] in OF_THE_CHORD else own
        return list(found.values())

    def leave_old_chords(self) -> None:
        """Look beyond the chord named before for what a note goes to, where that chord has it only before the note.

        "Over the G seven flat nine to root, then seven home to three".
        """
        for index, claim in enumerate(self.claims):
            notes, before = self.options[index], self.options[index - 1] if index else []
            to_it = MOVED_TO.search(self.sentence.text[: claim.first])
            if (
                claim.kind != "degree"
                or not notes
                or not before
                or not to_it
                or not self.scopes[index].carried
            ):
                continue
            if notes[-1].onset < before[0].onset:
                beyond = self.notes_for(claim, self.scopes[index].moved_on())
                self.options[index] = [note for note in beyond if note.onset > before[0].onset] or notes

    def order_lists(self) -> None:
        """Narrow the options of degrees in a list where they can follow each other in one way only."""
        for listed in lists_in(self.sentence, self.claims):
            run = listed[1:] if self.is_boxed_in(listed[0]) else listed  # its neighbours are told after it
            options = [self.options[index] for index in run]
            said_again = (self.is_the_same(index) for index in run[1:])
            if any(said_again):
                continue
            if len(run) < 2 or not all(options) or all(len(notes) == 1 for notes in options):
                continue
            ordered = only_order([OrderedClaim(str(index), tuple(self.options[index])) for index in run])
            for index, claim in zip(run, ordered, strict=False):
                self.options[index] = list(claim.notes)
            begun = pattern_of(STARTS).search(self.sentence.text[: self.claims[run[0]].first].rstrip())
            if not ordered and not begun and (near := self.nearest_order(run)):
                for index, note in zip(run, near, strict=True):
                    self.options[index] = [note]

    def is_boxed_in(self, index: int) -> bool:
        """Whether a note is what the enclosure that was just named goes round: "boxes in the fifth"."""
        before = self.claims[index - 1] if index else None
        if before is None or before.kind != "device" or before.name != "enclosure":
            return False
        return self.sentence.text[before.last : self.claims[index].first] in (" the ", " its ", " a ", " ")

    def nearest_order(self, run: Sequence[int]) -> list[Note]:
        """Notes of a list that stand next to each other in the line, if they do so in one place only."""
        line = self.music.line
        ways = []
        for stride in (1, 2):  # side by side, or in a voice of its own, every other note
            for first in range(len(line) - (len(run) - 1) * stride):
                here = line[first : first + (len(run) - 1) * stride + 1 : stride]
                if all(note in self.options[index] for note, index in zip(here, run, strict=True)):
                    ways.append(here)
            if ways or len(run) < VOICE:
                break
        return list(ways[0]) if len(ways) == 1 else []

    def join_names(self) -> None:
        """Narrow the options of two names of one note to those that are both: "the B natural is the third"."""
        for index in range(1, len(self.claims)):
            both = [note for note in self.options[index - 1] if note in self.options[index]]
            if both and self.says_again(index):
                self.options[index - 1] = self.options[index] = both

    def is_the_same(self, index: int) -> bool:
        """Whether a claim may name the note of the one before it once more."""
        again = AGAIN.search(self.sentence.text[: self.claims[index].first]) is not None
        both = set(self.options[index - 1]) & set(self.options[index])
        return again or (bool(both) and self.says_again(index))

    def says_again(self, index: int) -> bool:
        """Whether a degree is another name of the note that is named before it."""
        before, claim = self.claims[index - 1], self.claims[index]
        between = without_places(self.sentence, before.last, claim.first, self.places)
        if before.kind == "degree" and claim.kind == "note":
            return APPOSED.fullmatch(between) is not None or are_one(between)
        if before.kind != "note" or claim.kind != "degree":
            return self.is_other_name(index)
        if is_pointed_out(between, self.sentence.text[claim.last :]):
            return False
        calls = CALLING.search(self.sentence.text[: before.first]) and ONLY_THE.fullmatch(between)
        return bool(calls) or SAID_AGAIN.fullmatch(between) is not None or are_one(between)

    def is_other_name(self, index: int) -> bool:
        """Whether a degree is called otherwise once more: "the lydian note, the raised fourth"."""
        before, claim = self.claims[max(index - 1, 0)], self.claims[index]
        words = [self.sentence.words(each.first, each.last) for each in (before, claim)]
        shared = before.kind == claim.kind == "degree" and set(before.names) & set(claim.names)
        between = self.sentence.text[before.last : claim.first]
        return bool(shared) and words[0] != words[1] and between in (", the ", ", its ", ", our ")

    def has_own_chord(self, claim: Claim, scope: Scope) -> bool:
        """Whether the chord of a degree is named right after it: "the third of C"."""
        after = [place for place in scope.used if place.level == "chord" and place.first >= claim.last]
        return any(OF_A_CHORD.fullmatch(self.sentence.text[claim.last : place.last]) for place in after)

    def is_number(self, note: Note, names: str) -> bool:
        """Whether a note's degree is one of some, parted by |."""
        return is_named(names.split("|"), self.music.finding(note))


def plain_number(degree: str) -> str:
    """A degree's number in its first octave: "b13" is 6."""
    number = degree.strip("b#")
    return {"9": "2", "11": "4", "13": "6"}.get(number, number)
