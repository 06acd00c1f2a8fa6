"""What the words of a sentence come to, and what all claims need to be decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from lessonmaker.faults import Place as FilePlace
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, format_span, whole_bars
from lessonmaker.script.candidates import (
    Candidate,
    lit_note,
    note_candidate,
)
from lessonmaker.script.model import Mention, Piece
from lessonmaker.script.music import Findings, Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.scope import BEFORE_IT, Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import FALLING, RISING
from lessonmaker.script.targets import resolve

__all__ = ["APPROACHES", "HEDGED", "MOST_CHOICES", "NOTHING", "PREDICATE", "Common", "Decided"]

APPROACHES = ("enclosure", "double approach", "chromatic approach")
PREDICATE = pattern_of(
    r"\b(?:is|are|was|were|as)(?: just| only| really| simply| actually)? (?:(?:an?|the|our|its|one) )?"
    r"(?:chromatic |little )?$"
)
INTO = pattern_of(
    rf"\b(?:{FALLING}|{RISING}) (?:into|onto|towards?) $"
)  # "the flat thirteen rises into bar nine"
ANOTHER_PART = pattern_of(r"[,;:]|\b(?:while|whereas|but|yet)\b")
MOST_CHOICES = 6
HEDGED = pattern_of(
    r"\b(?:at least|about|around|some|almost|or so|maybe|perhaps|more than|up to(?! (?:an?|the|its|our|that)\b)|or)\b"
)
THESE = pattern_of(
    r"\bin (?:these|all(?: of)? these|the) (?:\w+ )?(?:bars|measures)\b"
    r"|\bin (?:this|that) (?:\w+ )?(?:line|phrase|passage|excerpt|section|bit|stretch|part)\b"
)


@dataclass(frozen=True)
class Decided:
    """What a claim came to: a mention; or choices; or a fault; or nothing (`says` is False).

    What is false begins at `since`, if that is given, and ends at `until`, if that is beyond the words of the claim.
    """

    mention: Mention | None = None
    target: str = ""
    choices: tuple[str, ...] = ()
    what: str = ""
    todo: str = ""
    until: int = 0
    since: int | None = None

    @property
    def says(self) -> bool:
        """Whether it came to anything."""
        return self.mention is not None or bool(self.choices) or bool(self.what)


NOTHING = Decided()


@dataclass
class Common:
    """The claims of one sentence; `chosen` are the notes lit so far, the latest last.

    `begun` is the id of the first note of the device that was lit last; `chords_before` tell the notes over the chords
    that the sentence before named last; `begun_sets` are the first notes of the rows that were lit. What is said before
    `false_until` is said of what is false.
    """

    music: Music
    sentence: Sentence
    spans: Sequence[Span]
    before: Span | None
    notes_before: tuple[str, ...]
    places: Sequence[Place] = ()
    chosen: list[Note] = field(default_factory=list)
    claims: Sequence[Claim] = ()
    scopes: Sequence[Scope] = ()
    options: list[list[Note]] = field(default_factory=list)
    begun: str | None = None
    chords_before: Sequence[Test] = ()
    begun_sets: list[Note] = field(default_factory=list)
    false_until: int = 0

    def is_seen(self, span: Span) -> bool:
        """Whether the cue shows some of a span."""
        return any(shown.start < span.end and span.start < shown.end for shown in self.spans)

    def is_one_bar(self, span: Span) -> bool:
        """Whether a span is a bar or less."""
        return len(bars_in(self.music.score, span)) == 1

    def in_only_bar(self, scope: Scope) -> Scope:
        """A scope whose bars are not said: the only bar that the cue shows."""
        if scope.spans or scope.unknown or len(self.spans) != 1 or not self.is_one_bar(self.spans[0]):
            return scope
        return replace(scope, spans=tuple(self.spans), explicit=True)

    def may_be_false(self, claim: Claim, scope: Scope) -> bool:
        """Whether something that is not there is false, as what a cue says is said of its bars.

        The bars and beats of another part of the sentence, about another claim, are not sure to be this one's.
        """
        for place in scope.used:
            before = self.sentence.text[: place.first]
            if BEFORE_IT.search(before) or (place.first >= claim.last and INTO.search(before)):
                return False
            between = self.sentence.text[place.last : claim.first]
            since = 0 if place.level == "beat" else place.last  # a beat is that of the claim before it
            others = any(since <= other.first < claim.first for other in self.claims)
            if place.level in ("bar", "beat") and others and ANOTHER_PART.search(between):
                return False
        return True

    def claims_before(self, claim: Claim) -> list[Claim]:
        """The claims of the sentence before one."""
        return [other for other in self.claims if other.first < claim.first]

    def is_said_of_before(self, claim: Claim) -> bool:
        """Whether a claim says what was named before it is: "the sharp five is a passing note", "played as one"."""
        before = self.claims_before(claim)[-1:]
        between = self.sentence.text[before[0].last : claim.first] if before else ""
        return bool(self.chosen) and bool(PREDICATE.search(between))

    def phrase_before(self, claim: Claim) -> tuple[Span, ...]:
        """The phrase of which a claim is said, where the sentence speaks of one by its number."""
        before = [place for place in self.places if place.level == "bar" and place.last <= claim.first]
        phrases = [place for place in before if "phrase" in self.sentence.words(place.first, place.last)]
        return phrases[0].spans if len(phrases) == 1 else ()

    def has_device(self, kind: str) -> bool:
        """Whether the sentence speaks of a device as well."""
        return any(claim.kind == "device" and claim.name == kind for claim in self.claims)

    def several(self, claim: Claim, notes: list[Note]) -> Decided:
        """Several notes of one degree: all of them, if their number is the one claimed."""
        if claim.count > 0 and len({note.onset for note in notes}) != claim.count:
            spans = self.scopes[self.claims.index(claim)].spans
            own = [note for note in notes if any(span.start <= note.onset < span.end for span in spans)]
            if (
                len({note.onset for note in own}) != claim.count
            ):  # one struck before the bar line may count or not
                return self.other_number(claim, notes)
            notes = own
        self.chosen += notes
        lit = tuple(lit_note(note, self.music) for note in notes)
        span = Span(notes[0].onset, notes[-1].onset + notes[-1].held)
        target = f"{','.join(each.label or '' for each in lit)}@{format_span(self.music.score, self.bars_of(span))}"
        return Decided(Mention("notes", span, lit, target=target), target)

    def other_number(self, claim: Claim, notes: Sequence[Note]) -> Decided:
        """Not as many as claimed: false where it is said of bars that are named or shown, else to be asked."""
        asked = self.ask(claim, notes)
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: {len(asked.choices)} found, not {claim.count}"
        scope = self.scopes[self.claims.index(claim)]
        plain = claim.sure and not scope.tests and not scope.unknown and not HEDGED.search(self.sentence.text)
        if plain and (scope.explicit or THESE.search(self.sentence.text)):
            return Decided(None, asked.choices[0], (), what, f"they are {' and '.join(asked.choices)}")
        return replace(asked, what=what)

    def bars_of(self, span: Span) -> Span:
        """The whole bars that a span touches."""
        return whole_bars(self.music.score, bars_in(self.music.score, span))

    def light(self, claim: Claim, notes: Sequence[Note]) -> Decided:
        """Light a note (or those struck together); nothing where it is no degree, and is called none."""
        degree = self.music.finding(notes[0]).degree
        if degree is None and not claim.names:
            return NOTHING
        self.chosen.append(notes[0])
        label = degree or claim.names[0]
        name = label if label in claim.names or not claim.sure or not claim.names else claim.names[0]
        each = note_candidate(name, notes[0], self.music)
        return Decided(each.mention, each.target)

    def ask(self, claim: Claim, notes: Sequence[Note]) -> Decided:
        """Which of several notes is meant?"""
        choices = [
            note_candidate(self.music.finding(note).degree or "", note, self.music).target for note in notes
        ]
        return self.question(self.sentence.words(claim.first, claim.last), list(dict.fromkeys(choices)))

    def question(self, words: str, choices: Sequence[str]) -> Decided:
        """A question with its choices."""
        shown = tuple(choices[:MOST_CHOICES])
        what = f"“{words}” may be {len(choices)} things"
        todo = "say which: " + " or ".join(f"[{words}]({choice})" for choice in shown)
        return Decided(None, "", shown, what, todo)

    def fault(self, target: str, claim: Claim) -> Decided:
        """What a link to the target would say is wrong."""
        own = Findings()
        place = FilePlace()
        mention = resolve(Piece("link", "", target, place), self.music, own)
        if own.faults:
            return Decided(None, target, (), own.faults[0].what, own.faults[0].todo or "")
        if mention is not None and claim.kind == "set" and not self.scopes[self.claims.index(claim)].tests:
            self.chosen += [note for note in self.music.struck if note.id == mention.notes[-1].note]
            return Decided(mention, target)
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}” does not fit where it is said to be"
        return Decided(None, target, (), what, f"{target} would be true of the bars as a whole")

    def lit(self, each: Candidate) -> Decided:
        """Light one candidate."""
        notes = self.music.struck_by_id
        self.chosen += [notes[lit.note] for lit in each.mention.notes[-1:] if lit.note in notes]
        self.begun = each.mention.notes[0].note if each.mention.notes else None
        return Decided(each.mention, each.target)
