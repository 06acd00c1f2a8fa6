"""Deciding what each claim of a sentence means: one thing, several, or nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.model import Device
from lessonmaker.analysis.scales import scale_fits
from lessonmaker.faults import Place as FilePlace
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, format_position, format_span
from lessonmaker.script.candidates import (
    Candidate,
    DeviceName,
    degree_candidates,
    device_candidates,
    lit_note,
    note_candidate,
    role_candidates,
    scale_mention,
    scale_target,
)
from lessonmaker.script.model import Lit, Mention, Piece
from lessonmaker.script.music import Findings, Music
from lessonmaker.script.plain.claims import Claim
from lessonmaker.script.plain.likeness import may_be_missed, mostly_in
from lessonmaker.script.plain.scope import Scope, lists_in
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import RELIABLE
from lessonmaker.script.targets import Claim as OrderedClaim
from lessonmaker.script.targets import only_order, resolve
from lessonmaker.theory.chord import family, readings
from lessonmaker.theory.scale import scales_named

__all__ = ["Decided", "Decider"]

LANDS = (
    r"\b(?:lands?|landing|ends?|ending|finish(?:es)?|settles?|settling|comes? to rest|rests?"
    r"|arrives?|arriving|stops?|closes?|closing)(?: up| down| early| home| finally| right| "
    r"here)*(?: on| at| in)(?: the| a| an| its| that)?$"
)
STARTS = (
    r"\b(?:starts?|starting|begins?|beginning|opens?|opening|sets? off|enters?|kicks? off"
    r"|jumps? in)(?: right| off| out| here)*(?: on| with| from| at)(?: the| a| an| its| "
    r"that)?$"
)
LEANS = (
    r"\b(?:leans?|leaning|sits?|sitting|hangs?|hanging|dwells?|holds?|holding|held|long"
    r"|sustain(?:s|ed)?|stress(?:es|ed)?|accent(?:s|ed)?)(?: right| hard| down| on to)*(?: "
    r"on)?(?: the| a| an| its| that)?$"
)
ARRIVES = (
    r"(?:to|into|onto|on|as|becomes?|in|home to|down to|up to|meets?|finds?|reach(?:es)?"
    r"|hits?)(?: the| a| an| its)?(?: chord's)?$"
)
MOTION = (
    r"\b(?:resolv\w+|falls?|falling|drops?|dropping|goes|going|moves?|moving|lets? go|slid\w+"
    r"|slides?|leads?|leading|steps?|stepping|comes?|settles?|climbs?|climbing|rises?|rising"
    r"|pulls?|sinks?|melts?|wants?|turns?|down|up|before)\b"
)
# What is said of the chords as often as of the line that spells them out.
SAID_OF_THE_LINE = {
    "substitute dominant": "tritone-substitute triad",
    "upper-structure triad": "tritone-substitute triad",
}
APPROACHES = ("enclosure", "double approach", "chromatic approach")
TARGETS = (
    r"\b(?:targets?|targeting|aims? at|aiming at|around|round|surround\w*|enclos\w+|into|onto|to|on|hits?|of)"
    r"(?: the| a| its)?$"
)
NEAR_QUARTERS = Fraction(4)
CLEAR_LEAD = 0.15
MOST_CHOICES = 6


@dataclass(frozen=True)
class Decided:
    """What a claim came to: a mention; or choices; or a fault; or nothing (`says` is False)."""

    mention: Mention | None = None
    target: str = ""
    choices: tuple[str, ...] = ()
    what: str = ""
    todo: str = ""

    @property
    def says(self) -> bool:
        """Whether it came to anything."""
        return self.mention is not None or bool(self.choices) or bool(self.what)


NOTHING = Decided()


@dataclass
class Decider:
    """Decides the claims of one sentence in order; `chosen` are the notes lit so far, the latest last."""

    music: Music
    sentence: Sentence
    spans: Sequence[Span]
    before: Span | None
    notes_before: tuple[str, ...]
    chosen: list[Note] = field(default_factory=list)
    followed: int = 0

    def decide(self, claims: Sequence[Claim], scopes: Sequence[Scope]) -> list[Decided]:
        """What each claim means."""
        self.claims, self.scopes = claims, scopes
        self.options = [self.notes_for(claim, scope) for claim, scope in zip(claims, scopes, strict=True)]
        self.order_lists()
        decided: list[Decided] = []
        for index, claim in enumerate(claims):
            self.follow_pointers(claim.first)
            decided.append(self.by_kind(index, claim, scopes[index]))
        return decided

    def follow_pointers(self, before: int) -> None:
        """Take what links before a claim point at as spoken of."""
        notes = {note.id: note for note in self.music.struck}
        passed = [p for p in self.sentence.pointers if p.is_link and self.followed < p.last <= before]
        for pointer in passed:
            self.chosen += [notes[name] for name in pointer.notes[-1:] if name in notes]
            self.followed = pointer.last

    def by_kind(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """What one claim means."""
        deciders: dict[str, Callable[[int, Claim, Scope], Decided]] = {
            "degree": self.degree,
            "set": self.set_of_degrees,
            "device": self.device,
            "role": self.role,
            "scale": self.scale,
            "resolves": self.resolves,
        }
        return deciders[claim.kind](index, claim, scope)

    # Degrees --------------------------------------------------------------------------------------------

    def notes_for(self, claim: Claim, scope: Scope) -> list[Note]:
        """The notes that a degree may mean where it is claimed."""
        if claim.kind != "degree" or scope.unknown:
            return []
        for alternatives in [scope.spans] if scope.spans else [self.spans]:
            found = {span: self.named(claim, span, scope) for span in alternatives}
            filled = [notes for span, notes in found.items() if notes and self.is_seen(span)]
            filled = filled or [notes for notes in found.values() if notes]
            merged = {note.id: note for notes in filled for note in notes}
            return sorted(merged.values(), key=lambda note: note.onset)
        return []

    def is_seen(self, span: Span) -> bool:
        """Whether the cue shows some of a span."""
        return any(shown.start < span.end and span.start < shown.end for shown in self.spans)

    def named(self, claim: Claim, span: Span, scope: Scope) -> list[Note]:
        """The notes of a span with one of a claim's degrees, where the scope has them."""
        by_id = {note.id: note for note in self.music.struck}
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
            own = {key: note for key, note in found.items() if self.music.finding(note).degree in claim.names}
            found = own
        return list(found.values())

    def order_lists(self) -> None:
        """Narrow the options of degrees in a list where they can follow each other in one way only."""
        for run in lists_in(self.sentence, self.claims):
            options = [self.options[index] for index in run]
            if len(run) < 2 or not all(options) or all(len(notes) == 1 for notes in options):
                continue
            ordered = only_order([OrderedClaim(str(index), tuple(self.options[index])) for index in run])
            for index, claim in zip(run, ordered, strict=False):
                self.options[index] = list(claim.notes)
            if not ordered and (near := self.nearest_order(run)):
                for index, note in zip(run, near, strict=True):
                    self.options[index] = [note]

    def nearest_order(self, run: Sequence[int]) -> list[Note]:
        """Notes of a list that stand next to each other in the line, if they do so in one place only."""
        line = [heard.note for heard in self.music.etude.melody]
        ways = []
        for first in range(len(line) - len(run) + 1):
            here = line[first : first + len(run)]
            if all(note in self.options[index] for note, index in zip(here, run, strict=True)):
                ways.append(here)
        return ways[0] if len(ways) == 1 else []

    def degree(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """One degree."""
        notes = self.arrived(claim, scope) or self.options[index]
        if scope.next_chord and self.chosen:
            notes = self.of_next_chord(notes)
        if not notes:
            return self.no_degree(claim, scope)
        if claim.count:
            return self.several(claim, notes)
        if claim.which:
            notes = notes[claim.which - 1 : claim.which] if claim.which > 0 else notes[-1:]
        onsets = {note.onset for note in notes}
        if len(onsets) > 1:
            notes = self.likeliest(index, claim, notes)
        if len({note.onset for note in notes}) == 1:
            return self.light(claim, notes)
        if not claim.sure and not scope.explicit and not scope.tests:
            return NOTHING
        return self.ask(claim, notes)

    def arrived(self, claim: Claim, scope: Scope) -> list[Note]:
        """The degree that the note chosen last resolves to, or moves to, where the words say that it moves."""
        if not self.chosen or scope.followed:
            return []
        before = self.sentence.text[: claim.first].rstrip()
        if self.is_target(claim, before):
            return [self.chosen[-1]]
        clause = re.split(r"[;:]", before)[-1]
        if not re.search(rf"\b{ARRIVES}", before) or not re.search(MOTION, clause):
            return []
        last = self.chosen[-1]
        goal = self.music.finding(last).resolves_to
        later = [note for note in self.music.struck if note.onset > last.onset]
        near = [note for note in later if note.id == goal] or later[:1]
        return [note for note in near if self.music.finding(note).degree in claim.names]

    def is_target(self, claim: Claim, before: str) -> bool:
        """Whether a degree is what the enclosure or approach that was just named leads to."""
        named = self.claims_before(claim)[-1:]
        degree = self.music.finding(self.chosen[-1]).degree
        leads = bool(named) and named[0].kind == "device" and named[0].name in APPROACHES
        return leads and degree in claim.names and bool(re.search(TARGETS, before))

    def of_next_chord(self, notes: Sequence[Note]) -> list[Note]:
        """The notes over the first other chord after the last note chosen."""
        last = self.chosen[-1]
        chord = self.music.finding(last).chord
        later = [note for note in self.music.struck if note.onset > last.onset]
        following = next(
            (self.music.finding(n).chord for n in later if self.music.finding(n).chord != chord), None
        )
        return [
            note for note in notes if note.onset > last.onset and self.music.finding(note).chord == following
        ][:1]

    def likeliest(self, index: int, claim: Claim, notes: list[Note]) -> list[Note]:
        """The notes that the words before the claim, or the claim after it, single out."""
        before = self.sentence.text[: claim.first].rstrip()
        for choose in (
            self.by_target,
            self.by_arrival,
            self.by_motion_from,
            self.by_verb,
            self.by_end,
            self.by_neighbour,
            self.by_goal,
            self.by_place_before,
            self.by_role,
        ):
            narrowed = choose(index, before, notes)
            if narrowed and len({note.onset for note in narrowed}) == 1:
                return narrowed
        return notes

    def by_arrival(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """Where the last note chosen moves to: its resolution, or the next of these notes soon after it."""
        if not self.chosen or not re.search(rf"\b{ARRIVES}", before):
            return []
        last = self.chosen[-1]
        if last in notes:  # it has just got there: "one three five, up to the fifth"
            return [last]
        goal = self.music.finding(last).resolves_to
        resolved = [note for note in notes if note.id == goal]
        soon = [note for note in notes if last.onset < note.onset <= last.onset + last.held + NEAR_QUARTERS]
        return resolved or soon[:1]

    def by_motion_from(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """Those that move to the degree named next: "the flat nine resolves to the fifth"."""
        if index + 1 >= len(self.claims):
            return []
        claim, after = self.claims[index], self.claims[index + 1]
        if after.kind == "resolves" and index + 2 < len(self.claims):
            after = self.claims[index + 2]
        between = self.sentence.text[claim.last : after.first]
        if after.kind != "degree" or not re.search(MOTION, between):
            return []
        goals = {note.id for note in self.options[self.claims.index(after)]}
        resolving = [note for note in notes if self.music.finding(note).resolves_to in goals]
        return resolving or self.before_goals(notes, goals)

    def before_goals(self, notes: Sequence[Note], goals: Iterable[str]) -> list[Note]:
        """Those whose next note in the line is one of the goals."""
        line = [heard.note for heard in self.music.etude.melody]
        wanted = set(goals)
        following = {earlier.id: later.id for earlier, later in pairwise(line)}
        return [note for note in notes if following.get(note.id) in wanted]

    def by_verb(self, index: int, before: str, notes: list[Note]) -> list[Note]:
        """Where the line lands, starts, or leans, by the verb before the claim."""
        del index
        if re.search(LANDS, before):
            ends = {phrase.notes[-1] for phrase in self.music.analysis.phrases}
            return [note for note in notes if note.id in ends]
        if re.search(STARTS, before) or re.search(r"\bfrom(?: the| its| a)?$", before):
            starts = {phrase.notes[0] for phrase in self.music.analysis.phrases}
            first_in_bar = self.first_of_bars()
            return [note for note in notes if note.id in starts] or [
                note for note in notes if note.id in first_in_bar
            ]
        if re.search(LEANS, before):
            longest = max(note.held for note in notes)
            return [note for note in notes if note.held == longest]
        return []

    def by_end(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The first or last note of the bars, where the sentence says so."""
        said = re.search(r"\b(first|opening|last|final) note\b", self.sentence.text)
        spans = self.scopes[index].spans
        if said is None or len(spans) != 1 or len(self.claims) > 1:
            return []
        struck = self.music.struck_between(spans[0].start, spans[0].end)
        end = struck[:1] if said[1] in ("first", "opening") else struck[-1:]
        return [note for note in notes if note in end]

    def by_neighbour(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The note just before or after the one chosen last, where the words say so."""
        side = re.search(r"\b(before|precedes|after|following|follows)(?: the| a| an| its)?$", before)
        if not self.chosen or side is None:
            return []
        line = [heard.note for heard in self.music.etude.melody]
        at = line.index(self.chosen[-1]) if self.chosen[-1] in line else len(line)
        # "the ninth right after the third": the third is the note before the ninth chosen last.
        near = line[at + 1 : at + 2] if side[1] in ("before", "precedes") else line[max(at - 1, 0) : at]
        return [note for note in notes if note in near]

    def first_of_bars(self) -> set[str]:
        """The first note struck in each bar."""
        first: dict[int, str] = {}
        for note in self.music.struck:
            first.setdefault(note.bar, note.id)
        return set(first.values())

    def by_target(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The target of an enclosure or approach that was just chosen."""
        last = self.chosen[-1] if self.chosen else None
        if last is None or not re.search(
            r"\b(?:around|round|of|into|to|on|enclos\w+|surround\w*|the)$", before
        ):
            return []
        return [note for note in notes if note.id == last.id]

    def by_goal(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The next note after the one chosen last, in a list."""
        listed = r"\b(?:then|next|followed by|and then|after that)(?: the| a| an)?$|,(?: the| a)?$"
        if not self.chosen or not re.search(listed, before):
            return []
        last = self.chosen[-1]
        soon = [note for note in notes if last.onset < note.onset <= last.onset + last.held + NEAR_QUARTERS]
        return soon[:1] if len(soon) == 1 else []

    def by_place_before(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """Where this sentence says no bars, those of the bars spoken of just before."""
        if self.scopes[index].spans or self.before is None:
            return []
        return [note for note in notes if self.before.start <= note.onset < self.before.end]

    def by_role(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The only one that is leaned on, where the claim is one of a tension."""
        leaned = [note for note in notes if self.music.finding(note).role in ("tension", "suspension")]
        return leaned if self.claims[index].sure and len(leaned) == 1 else []

    def several(self, claim: Claim, notes: list[Note]) -> Decided:
        """Several notes of one degree: all of them, if their number is the one claimed."""
        if claim.count > 0 and len({note.onset for note in notes}) != claim.count:
            return self.other_number(claim, notes)
        self.chosen += notes
        lit = tuple(lit_note(note, self.music) for note in notes)
        span = Span(notes[0].onset, notes[-1].onset + notes[-1].held)
        target = f"{','.join(each.label or '' for each in lit)}@{format_span(self.music.score, self.bars_of(span))}"
        return Decided(Mention("notes", span, lit, target=target), target)

    def other_number(self, claim: Claim, notes: Sequence[Note]) -> Decided:
        """Not as many as claimed: what is there, to be asked."""
        asked = self.ask(claim, notes)
        words = self.sentence.words(claim.first, claim.last)
        return replace(asked, what=f"“{words}”: {len(asked.choices)} found, not {claim.count}")

    def bars_of(self, span: Span) -> Span:
        """The whole bars that a span touches."""
        bars = bars_in(self.music.score, span)
        return Span(self.music.score.bars[bars[0]].start, self.music.score.bars[bars[-1]].end)

    def light(self, claim: Claim, notes: Sequence[Note]) -> Decided:
        """Light a note (or those struck together)."""
        self.chosen.append(notes[0])
        label = self.music.finding(notes[0]).degree or claim.names[0]
        name = label if label in claim.names or not claim.sure else claim.names[0]
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

    def no_degree(self, claim: Claim, scope: Scope) -> Decided:
        """Nothing fits a degree: a fault, where it is clear that one is claimed and where."""
        if scope.unknown or self.sentence.is_question or (not claim.sure and not scope.explicit):
            return NOTHING
        if not claim.sure and claim.names[0] not in ("1", "3", "5", "b7", "9", "11", "13"):
            return NOTHING
        span = scope.spans[0] if scope.spans else self.spans[0]
        return self.fault(f"{claim.names[0]}@{format_span(self.music.score, span)}", claim)

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

    # Sets -----------------------------------------------------------------------------------------------

    def set_of_degrees(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """Degrees in a row, next to each other in the line."""
        spans = scope.spans or tuple(self.spans)
        line = [heard.note for heard in self.music.etude.melody]
        count = len(claim.names)
        ways = [
            line[first : first + count]
            for first in range(len(line) - count + 1)
            if any(span.start <= line[first].onset < span.end for span in spans)
            and all(
                self.is_number(n, names)
                for n, names in zip(line[first : first + count], claim.names, strict=True)
            )
            and scope.passes(line[first], self.music)
        ]
        later = [way for way in ways if not self.chosen or way[0].onset > self.chosen[-1].onset]
        if not ways:
            return self.no_set(claim, scope)
        if len(ways) > 1 and re.search(r"\b(?:each|every|all)\b", self.sentence.text):
            return self.every_way(ways)
        if len(ways) > 1 and len(later) != 1 and not self.has_device("sequence"):
            return self.question(
                self.sentence.words(claim.first, claim.last), [self.set_target(way) for way in ways]
            )
        way = (later or ways)[0]
        self.chosen.append(way[-1])
        target = self.set_target(way)
        lit = tuple(lit_note(note, self.music) for note in way)
        return Decided(
            Mention("notes", Span(way[0].onset, way[-1].onset + way[-1].held), lit, target=target), target
        )

    def every_way(self, ways: Sequence[Sequence[Note]]) -> Decided:
        """Degrees that come over and over: all of their notes."""
        notes = {note.id: note for way in ways for note in way}
        ordered = sorted(notes.values(), key=lambda note: note.onset)
        self.chosen.append(ordered[-1])
        span = Span(ordered[0].onset, ordered[-1].onset + ordered[-1].held)
        first, last = (format_position(self.music.score, note.onset) for note in (ordered[0], ordered[-1]))
        target = f"{first}-{last}"
        bare = tuple(Lit(note.id, None, False) for note in ordered)
        return Decided(Mention("span", span, bare, target=target), target)

    def no_set(self, claim: Claim, scope: Scope) -> Decided:
        """No such degrees in a row: in another order perhaps, else a fault where a place is said."""
        names = [each.split("|")[0] for each in claim.names]
        if not scope.explicit or self.sentence.is_question:
            return NOTHING
        return self.fault(f"{','.join(names)}@{format_span(self.music.score, scope.spans[0])}", claim)

    def has_device(self, kind: str) -> bool:
        """Whether the sentence speaks of a device as well."""
        return any(claim.kind == "device" and claim.name == kind for claim in self.claims)

    def is_number(self, note: Note, names: str) -> bool:
        """Whether a note's degree is one of some, parted by |."""
        return self.music.finding(note).degree in names.split("|")

    def set_target(self, way: Sequence[Note]) -> str:
        """How a link names degrees in a row."""
        labels = ",".join(self.music.finding(note).degree or "" for note in way)
        ends = [format_position(self.music.score, note.onset) for note in (way[0], way[-1])]
        return f"{labels}@{'-'.join(dict.fromkeys(ends))}"

    # Devices, roles, scales -----------------------------------------------------------------------------

    def device(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A device of the line or of the chords."""
        if claim.name == "phrase":
            return self.phrases(claim, scope)
        found = self.devices_for(DeviceName(claim.name, claim.detail), scope)
        if not found and claim.name in SAID_OF_THE_LINE and not claim.detail:
            found = self.devices_for(DeviceName(SAID_OF_THE_LINE[claim.name]), scope)
        if claim.name in APPROACHES:
            found = self.with_goal(index, found)
        if not found and len(self.claims) > 1 and not scope.followed and not scope.tests:
            found = self.devices_for(DeviceName(claim.name, claim.detail), Scope())  # elsewhere in the cue
            if len(found) > 1:
                return NOTHING
        if not found:
            return self.no_device(claim, scope)
        return self.choose(index, claim, scope, found)

    def phrases(self, claim: Claim, scope: Scope) -> Decided:
        """Counted phrases: those that are mostly in the claim's place, if their number is the one claimed."""
        spans = scope.spans or tuple(self.spans)
        all_ = [
            each
            for span in self.whole()
            for each in device_candidates(DeviceName("phrase"), span, self.music)
        ]
        found = [each for each in all_ if any(mostly_in(each.mention.span, span) for span in spans)]
        return self.all_of(claim, found) if len(found) == claim.count else NOTHING

    def whole(self) -> list[Span]:
        """The whole score, as one span."""
        bars = self.music.score.bars
        return [Span(bars[0].start, bars[-1].end)] if bars else []

    def devices_for(self, name: DeviceName, scope: Scope) -> list[Candidate]:
        """The devices of a kind in the claim's place."""
        spans = scope.spans or tuple(self.spans)
        seen = [span for span in spans if self.is_seen(span)]
        return self.devices_of(name, seen, scope) or self.devices_of(name, spans, scope)

    def devices_of(self, name: DeviceName, spans: Sequence[Span], scope: Scope) -> list[Candidate]:
        """The devices of a kind in some spans."""
        found: dict[str, Candidate] = {}
        for span in spans:
            for each in device_candidates(name, span, self.music):
                if self.passes(each, scope):
                    found[each.target] = each
        return list(found.values())

    def passes(self, each: Candidate, scope: Scope) -> bool:
        """Whether the first note of a device stands where it is claimed."""
        device = each.mention.device
        if not scope.tests or device is None or not device.notes:
            return True
        notes = {note.id: note for note in self.music.struck}
        return any(scope.passes(notes[name], self.music) for name in device.notes)

    def with_goal(self, index: int, found: list[Candidate]) -> list[Candidate]:
        """The enclosures of the degree that is named beside them, if any."""
        near = [claim for claim in self.claims[max(index - 1, 0) : index + 2] if claim.kind == "degree"]
        fitting = [
            each
            for each in found
            if any(each.mention.device and each.mention.device.detail in c.names for c in near)
        ]
        return fitting or found

    def no_device(self, claim: Claim, scope: Scope) -> Decided:
        """No such device: a fault where the analysis hardly misses one."""
        if claim.name not in RELIABLE or scope.unknown or self.sentence.is_question or scope.tests:
            return NOTHING
        if may_be_missed(claim.name, scope.spans or self.spans, self.music):
            return NOTHING
        if any(other.kind == claim.kind and other.name == claim.name for other in self.claims_before(claim)):
            return NOTHING  # said again of what was named before: "an enclosure that surrounds the third"
        span = scope.spans[0] if scope.spans else self.spans[0]
        return self.fault(f"{claim.name}@{format_span(self.music.score, span)}", claim)

    def claims_before(self, claim: Claim) -> list[Claim]:
        """The claims of the sentence before one."""
        return [other for other in self.claims if other.first < claim.first]

    def choose(self, index: int, claim: Claim, scope: Scope, found: list[Candidate]) -> Decided:
        """One of several devices, all of them, or a question."""
        ordered = sorted(found, key=lambda each: (each.mention.span.start, each.mention.span.end))
        if claim.which and len(ordered) >= abs(claim.which):
            ordered = [ordered[claim.which - 1 if claim.which > 0 else -1]]
        if claim.count and len(ordered) > 1:
            return self.all_of(claim, ordered)
        if len(ordered) > 1:
            ordered = self.surest(index, ordered)
        if len(ordered) == 1:
            return self.lit(ordered[0])
        if not scope.explicit and claim.name in (
            "arpeggio",
            "enclosure",
            "chromatic approach",
            "register peak",
            "motif",
        ):
            near = [each for each in ordered if self.before is not None and self.within(each, self.before)]
            if len(near) == 1:
                return self.lit(near[0])
        return self.question(self.sentence.words(claim.first, claim.last), [each.target for each in ordered])

    def within(self, each: Candidate, span: Span) -> bool:
        """Whether a device begins in a span."""
        return span.start <= each.mention.span.start < span.end

    def surest(self, index: int, found: list[Candidate]) -> list[Candidate]:
        """The one device that is clearly surer, or longer, or the one whose notes were just spoken of."""
        touched = [each for each in found if self.chosen and self.chosen[-1].id in self.device_of(each).notes]
        if len(touched) == 1:
            return touched
        after = self.options[index + 1] if index + 1 < len(self.claims) else []
        holding = [each for each in found if any(note.id in self.device_of(each).notes for note in after)]
        if len(holding) == 1:
            return holding
        ranked = sorted(
            found, key=lambda each: (-self.device_of(each).confidence, -len(self.device_of(each).notes))
        )
        first, second = self.device_of(ranked[0]), self.device_of(ranked[1])
        clear = first.confidence - second.confidence >= CLEAR_LEAD or (
            first.confidence >= second.confidence and len(first.notes) >= len(second.notes) + 2
        )
        return ranked[:1] if clear else found

    def device_of(self, each: Candidate) -> Device:
        """The device of a candidate."""
        assert each.mention.device is not None  # device_candidates sets it
        return each.mention.device

    def all_of(self, claim: Claim, found: Sequence[Candidate]) -> Decided:
        """Several devices at once, if their number is the one claimed."""
        if claim.count > 0 and len(found) != claim.count:
            return NOTHING
        lit = tuple({each.note: each for one in found for each in one.mention.notes}.values())
        span = Span(found[0].mention.span.start, max(one.mention.span.end for one in found))
        target = format_span(self.music.score, self.bars_of(span))
        return Decided(Mention("device", span, lit, device=found[0].mention.device, target=target), target)

    def lit(self, each: Candidate) -> Decided:
        """Light one candidate."""
        notes = {note.id: note for note in self.music.struck}
        self.chosen += [notes[lit.note] for lit in each.mention.notes[-1:] if lit.note in notes]
        return Decided(each.mention, each.target)

    def role(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A note by its role."""
        spans = scope.spans or tuple(self.spans)
        notes = {note.id: note for note in self.music.struck}
        found = {
            each.target: each
            for span in spans
            for each in role_candidates(claim.name, span, self.music)
            if scope.passes(notes[each.mention.notes[0].note], self.music)
        }
        ordered = list(found.values())
        spoken = [
            each for each in ordered if self.chosen and each.mention.notes[0].note == self.chosen[-1].id
        ]
        after = self.options[index + 1] if index + 1 < len(self.claims) else []
        holding = [each for each in ordered if any(note.id == each.mention.notes[0].note for note in after)]
        if len(ordered) > 1:
            ordered = spoken or (holding if len(holding) == 1 else ordered)
        if claim.which and len(ordered) >= abs(claim.which):
            ordered = [ordered[claim.which - 1 if claim.which > 0 else -1]]
        if not ordered:
            if (
                claim.name not in ("suspension", "anticipation")
                or not scope.explicit
                or self.sentence.is_question
                or self.is_suspended(scope)
            ):
                return NOTHING
            return self.fault(f"{claim.name}@{format_span(self.music.score, scope.spans[0])}", claim)
        if len(ordered) == 1:
            return self.lit(ordered[0])
        if claim.count:
            return self.all_roles(claim, ordered)
        return self.question(self.sentence.words(claim.first, claim.last), [each.target for each in ordered])

    def is_suspended(self, scope: Scope) -> bool:
        """Whether a suspended chord sounds there, whose fourth is as good as a suspension."""
        changes = [change for span in scope.spans for change in self.music.changes_in(span)]
        return any(change.chord and family(readings(change.chord)[0]) == "suspended" for change in changes)

    def all_roles(self, claim: Claim, found: Sequence[Candidate]) -> Decided:
        """Several notes with one role."""
        notes = {note.id: note for note in self.music.struck}
        return self.several(claim, [notes[each.mention.notes[0].note] for each in found])

    def scale(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """A scale by its name."""
        named = scales_named(claim.name)
        if not named:
            return NOTHING
        spans = scope.spans or tuple(self.spans)
        uses = [
            use
            for use in self.music.analysis.scales
            if use.scale in named
            and any(use.span.start < span.end and span.start < use.span.end for span in spans)
        ]
        fitting = [use for use in uses if self.scale_passes(use.notes, scope)]
        if len(fitting) == 1:
            target = scale_target(fitting[0], self.music)
            return Decided(scale_mention(fitting[0], self.music, target), target)
        if len(fitting) > 1:
            span = Span(fitting[0].span.start, fitting[-1].span.end)
            return self.judged_scale(claim, span, scope)
        return self.judged_scale(claim, self.tested_span(spans[0], scope), scope)

    def scale_passes(self, names: Sequence[str], scope: Scope) -> bool:
        """Whether most of a scale's notes stand where it is claimed."""
        notes = [note for note in self.music.struck if note.id in set(names)]
        return 2 * sum(scope.passes(note, self.music) for note in notes) >= len(notes)

    def tested_span(self, span: Span, scope: Scope) -> Span:
        """The part of a span whose notes pass the claim's tests."""
        notes = [
            n for n in self.music.struck if span.start <= n.onset < span.end and scope.passes(n, self.music)
        ]
        if not scope.tests or not notes:
            return span
        return Span(notes[0].onset, max(notes[-1].onset + notes[-1].held, notes[0].onset + Fraction(1, 64)))

    def judged_scale(self, claim: Claim, span: Span, scope: Scope) -> Decided:
        """A claim about a scale, judged by the notes of a stretch."""
        verdict = scale_fits(self.music.etude, span, claim.name)
        if verdict is None:
            return NOTHING
        others = [
            use
            for use in self.music.analysis.scales
            if mostly_in(use.span, span) or mostly_in(span, use.span)
        ]
        if verdict.verdict == "undecided" and others:
            return NOTHING  # its notes fit, but those of another scale do more surely
        if verdict.verdict != "false":
            target = scale_target(verdict.use, self.music)
            return Decided(scale_mention(verdict.use, self.music, target), target)
        if not scope.explicit or self.sentence.is_question:
            return NOTHING
        name = claim.name if claim.name.endswith("scale") else f"{claim.name} scale"
        return self.fault(f"{name}@{format_span(self.music.score, self.bars_of(span))}", claim)

    # Resolution -----------------------------------------------------------------------------------------

    def resolves(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """Where the tension spoken of last resolves, unless the sentence says it itself."""
        del scope
        later = [other for other in self.claims[index + 1 :] if other.kind in ("degree", "set")]
        if later or any(
            pointer.is_link and pointer.first >= claim.last for pointer in self.sentence.pointers
        ):
            return NOTHING
        notes = {note.id: note for note in self.music.struck}
        last = self.chosen[-1] if self.chosen else None
        if last is None and len(self.notes_before) == 1:
            last = notes.get(self.notes_before[0])
        goal = self.music.finding(last).resolves_to if last is not None else None
        if goal is None or goal not in notes:
            return NOTHING
        each = note_candidate(self.music.finding(notes[goal]).degree or "", notes[goal], self.music)
        self.chosen.append(notes[goal])
        return Decided(each.mention, each.target)
