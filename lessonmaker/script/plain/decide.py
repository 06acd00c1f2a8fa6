"""Deciding what each claim of a sentence means: one thing, several, or nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.candidates import note_candidate
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.alike import Alike
from lessonmaker.script.plain.beat_lists import BeatLists
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.counts import Counts
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.denials import Denials
from lessonmaker.script.plain.entries import Entries
from lessonmaker.script.plain.extents import Extents
from lessonmaker.script.plain.forms import Forms
from lessonmaker.script.plain.goals import MOVED_TO
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.lines import Lines
from lessonmaker.script.plain.members import Members
from lessonmaker.script.plain.motion import motion_between
from lessonmaker.script.plain.moving import Moving
from lessonmaker.script.plain.scales import Scales
from lessonmaker.script.plain.scope import RESOLVED, Scope
from lessonmaker.script.plain.standouts import Standouts
from lessonmaker.script.plain.together import TO_WHAT, Together
from lessonmaker.script.plain.two_fives import TwoFives

__all__ = ["Decided", "Decider"]

OWN_NAME = pattern_of(r"rhythm|hemiola")
STEPS = ("two", "four", "five", "six")  # "the five of D minor" is a chord

ON_A_BEAT = pattern_of(r"(?: only| just| finally| late| again| exactly| right)* (?:on|at) (?:the )?")
# What says which of the devices of a kind are meant.
THESE = pattern_of(r"\b(?:the|these|those|both|all) (?:[\w-]+ )?$")
# What a listener is told to hear is there: "listen to the sharp nine".
HEARD = pattern_of(r"\s*(?:(?:and|so|now|then|but|please|just),? )*(?:feel|hear|listen)\b")
RESOLVES_WAY = pattern_of(r" (up|down|upwards?|downwards?)\b")


@dataclass
class Decider(
    Together,
    Counts,
    Moving,
    TwoFives,
    Forms,
    Entries,
    Lines,
    BeatLists,
    Extents,
    Members,
    Denials,
    Standouts,
    Scales,
    Alike,
):
    """Decides the claims of one sentence in order; `followed` is how far its links are taken as spoken of."""

    followed: int = 0

    def decide(self, claims: Sequence[Claim], scopes: Sequence[Scope]) -> list[Decided]:
        """What each claim means; what is said of the line as it stands comes after all others."""
        order = sorted(range(len(claims)), key=lambda index: claims[index].kind == "line")
        found = self.decide_each([claims[index] for index in order], [scopes[index] for index in order])
        decided = [found[order.index(index)] for index in range(len(claims))]
        self.join_degrees(claims, decided)
        self.join_shapes(claims, decided)
        return decided

    def decide_each(self, claims: Sequence[Claim], scopes: Sequence[Scope]) -> list[Decided]:
        """What each claim means, one after the other."""
        self.claims = claims
        scopes = [self.in_only_bar(self.narrowest(*each)) for each in zip(claims, scopes, strict=True)]
        self.scopes = scopes
        self.options = [self.notes_for(claim, scope) for claim, scope in zip(claims, scopes, strict=True)]
        self.leave_old_chords()
        self.options = [self.keep_tied(*each) for each in zip(claims, self.options, strict=True)]
        self.order_lists()
        self.join_names()
        decided: list[Decided] = []
        for index, claim in enumerate(claims):
            self.follow_pointers(claim.first)
            each = self.by_stance(index, claim, scopes[index])
            same = [at for at, other in enumerate(decided) if _is_one_device(each, other)]
            if same and claim.sure and (not claims[same[0]].sure or self.is_the_name(claim, claims[same[0]])):
                decided[same[0]] = NOTHING  # the surer words are those that name it
                same = []
            decided.append(NOTHING if same else each)
        self.hold_together(claims, decided)
        return decided

    def is_the_name(self, claim: Claim, before: Claim) -> bool:
        """Whether a claim calls by its name what the one before describes: "groups of three: a cross rhythm"."""
        named = [OWN_NAME.search(self.sentence.words(each.first, each.last)) for each in (before, claim)]
        return named[0] is None and named[1] is not None

    def narrowest(self, claim: Claim, scope: Scope) -> Scope:
        """A claim's scope, without the chords from which the sentence has moved on where they do not have it."""
        if self.is_over_its_own_chord(claim, scope) or self.is_over_another_bar(claim, scope):
            scope = replace(scope, spans=(), explicit=False)
        if not scope.carried or (claim.kind == "degree" and self.notes_for(claim, scope)):
            return scope
        if claim.kind == "set" and (claim.parts or self.ways_of(claim, scope)):
            return scope
        return scope.moved_on()

    def is_over_another_bar(self, claim: Claim, scope: Scope) -> bool:
        """Whether a chord that is named after a bar is of another bar: "bar five again, now over F seven"."""
        before = sorted(
            [place for place in scope.used if place.last <= claim.first], key=lambda place: place.first
        )
        levels = [place.level for place in before]
        if any(
            each.first < place.last and place.first < each.last for place in before for each in self.claims
        ):
            return False
        if levels != ["bar", "chord"] or not scope.tests or not scope.spans or scope.followed:
            return False
        here, shown = (
            any(scope.passes(note, self.music) for span in spans for note in self.music.struck_in(span))
            for spans in (scope.spans, self.spans)
        )
        return shown and not here

    def is_over_its_own_chord(self, claim: Claim, scope: Scope) -> bool:
        """Whether a degree stands over the chord named right after it, elsewhere than in the bar named before."""
        bars = [place for place in scope.used if place.level == "bar" and place.last <= claim.first]
        named = [other for other in self.claims_before(claim) if other.kind != "resolves"]
        earlier = any(bars[-1].last <= other.first for other in named) if bars else False
        own = claim.kind == "degree" and earlier and self.has_own_chord(claim, scope)
        if not own or self.notes_for(claim, scope) or self.sentence.words(claim.first, claim.last) in STEPS:
            return False
        if motion_between(self.sentence, named[-1], claim, self.places):
            return False  # it is reached from the note before it
        return len({note.onset for note in self.notes_for(claim, replace(scope, spans=()))}) == 1

    def follow_pointers(self, before: int) -> None:
        """Take what links before a claim point at as spoken of."""
        notes = self.music.struck_by_id
        passed = [p for p in self.sentence.pointers if p.is_link and self.followed < p.last <= before]
        for pointer in passed:
            self.chosen += [notes[name] for name in pointer.notes[-1:] if name in notes]
            self.followed = pointer.last

    def by_stance(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """What one claim means, as it is stated, only touched upon, or denied."""
        if claim.first < self.false_until or self.is_of_such_things(claim, scope):
            return NOTHING
        if claim.stance == "denied" and claim.kind in ("degree", "note"):
            return self.denied(claim, scope, self.options[index])
        if claim.stance == "shared" and not (index and self.claims[index - 1].count < 0):
            notes = self.in_each(claim, scope)
            return self.several(replace(claim, count=-1), notes) if notes else NOTHING
        each = self.by_kind(index, claim, scope)
        if claim.stance == "denied":
            return self.denied_device(claim, scope, each)
        if claim.stance in ("stated", "found") or (
            claim.stance == "handled" and self.says_where(claim, scope)
        ):
            return each
        return each if each.mention is not None or each.choices else NOTHING

    def is_of_such_things(self, claim: Claim, scope: Scope) -> bool:
        """Whether it is told what to do with devices of a kind wherever they are: "don't rush your arpeggios"."""
        of_many = claim.stance == "handled" and claim.kind == "device" and claim.count < 0
        return of_many and not scope.explicit and not THESE.search(self.sentence.text[: claim.first])

    def says_where(self, claim: Claim, scope: Scope) -> bool:
        """Whether what is spoken of as known is said to be somewhere, so that it is false if it is not there."""
        heard = claim.sure and HEARD.match(self.sentence.text) is not None
        return (
            scope.explicit
            or heard
            or self.lacking_chord(claim, scope) is not None
            or self.is_at_an_end(claim)
        )

    def by_kind(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """What one claim means."""
        if scope.is_nowhere:
            return NOTHING
        deciders: dict[str, Callable[[int, Claim, Scope], Decided]] = {
            "degree": self.degree,
            "note": self.note,
            "set": self.set_of_degrees,
            "device": self.device,
            "role": self.role,
            "scale": self.scale,
            "resolves": self.resolves,
            "symbol": self.symbol,
            "changes": self.changes,
            "roots": self.roots,
            "key": self.key,
            "progression": self.progression_said,
            "form": self.form,
            "entry": self.entry,
            "line": self.line,
            "beats": self.beats,
            "extent": self.extent,
            "member": self.member,
            "standout": self.standout,
            "alike": self.alike,
        }
        counted = self.counted(claim, scope, self.options[index]) or self.standing_on(claim, scope)
        return deciders[claim.kind](index, claim, scope) if counted is None else counted

    # Resolution -----------------------------------------------------------------------------------------

    def resolves(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """Where the tension spoken of last resolves, unless the sentence says it itself."""
        del scope
        notes = self.music.struck_by_id
        last = self.chosen[-1] if self.chosen else None
        if last is None and len(self.notes_before) == 1:
            last = notes.get(self.notes_before[0])
        if (resolved := self.told_after(index)) is not None:
            return self.resolves_when(claim, self.claims[index + 1], resolved)
        goal = notes.get(self.music.finding(last).resolves_to or "") if last is not None else None
        if last is None or goal is None:
            return NOTHING
        otherwise = self.resolves_against(claim, last, goal) or self.resolves_elsewhere(claim, goal)
        if otherwise is not None:
            self.false_until = len(self.sentence.text)
            return otherwise
        later = [other for other in self.claims[index + 1 :] if other.kind in ("degree", "set")]
        if (
            later
            or self.is_told_its_goal(index)
            or any(pointer.is_link and pointer.first >= claim.last for pointer in self.sentence.pointers)
        ):
            return NOTHING
        if goal in self.chosen:
            return NOTHING  # with the suspension, as its second note
        each = note_candidate(self.music.finding(goal).degree or "", goal, self.music)
        self.chosen.append(goal)
        return Decided(each.mention, each.target)

    def told_after(self, index: int) -> Note | None:
        """The one note that something is said to resolve: "he resolves that B flat on the downbeat"."""
        named = self.claims[index + 1 : index + 2]
        if not named or named[0].kind not in ("degree", "note"):
            return None
        notes = {note.onset: note for note in self.options[index + 1]}
        told = RESOLVED.search(self.sentence.text[: named[0].first]) and len(notes) == 1
        return next(iter(notes.values())) if told else None

    def resolves_when(self, claim: Claim, named: Claim, note: Note) -> Decided:
        """A fault where a note that is named is resolved on another beat; else it is lit by its name alone."""
        goal = self.music.struck_by_id.get(self.music.finding(note).resolves_to or "")
        return (self.resolves_elsewhere(named, goal, claim.first) if goal is not None else None) or NOTHING

    def is_told_its_goal(self, index: int) -> bool:
        """Whether the note to which something is said to resolve is named: "resolves up to B flat"."""
        after = self.claims[index + 1 : index + 2]
        return (
            bool(after)
            and after[0].kind == "note"
            and MOVED_TO.search(self.sentence.text[self.claims[index].last : after[0].first]) is not None
        )

    def resolves_against(self, claim: Claim, last: Note, goal: Note) -> Decided | None:
        """A fault where a note resolves the other way than is said."""
        way = RESOLVES_WAY.match(self.sentence.text, claim.last)
        if way is not None and TO_WHAT.fullmatch(self.sentence.text[way.end() : self.next_degree(claim)]):
            return None  # told with what it resolves to
        step = goal.sounding.midi - last.sounding.midi
        if way is None or not step or abs(step) >= OCTAVE // 2:
            return None
        if (step > 0) == (way[1] in ("up", "upward", "upwards")):
            return None
        degree, at = self.music.finding(goal).degree, format_position(self.music.score, goal.onset)
        said = f"{self.sentence.words(claim.first, claim.last)}{way[0]}"
        what = f"“{said}”: it {'rises' if step > 0 else 'falls'} to the {degree} at {at}"
        return Decided(None, f"{degree}@{at}", (), what, "say which way it goes, or only that it resolves")

    def next_degree(self, claim: Claim) -> int:
        """Where the first degree or note that is named after a claim begins."""
        later = [
            each.first for each in self.claims if each.kind in ("degree", "note") and each.first > claim.first
        ]
        return min(later, default=len(self.sentence.text))

    def resolves_elsewhere(self, claim: Claim, goal: Note, since: int | None = None) -> Decided | None:
        """A fault where the beat on which a note is said to resolve, right after the word for it, is another.

        What is false begins at `since`, if that is given.
        """
        place = next((place for place in self.places if place.first >= claim.last), None)
        if place is None or place.level != "beat" or place.test is None or self.sentence.is_question:
            return None
        between = self.sentence.text[claim.last : place.first]
        if not ON_A_BEAT.fullmatch(between) or place.test(goal, self.music):
            return None
        words, at = (
            self.sentence.words(claim.first, place.last),
            format_position(self.music.score, goal.onset),
        )
        degree = self.music.finding(goal).degree or ""
        what, todo = f"“{words}”: it resolves at {at}", "say when it resolves"
        return Decided(None, f"{degree}@{at}", (), what, todo, place.last, since)


def _is_one_device(each: Decided, other: Decided) -> bool:
    """Whether two claims came to the same device."""
    return each.mention is not None and each.mention.device is not None and each.target == other.target
