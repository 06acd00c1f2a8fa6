"""Deciding which devices of the analysis a sentence speaks of."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonmaker.analysis.device_names import DEVICES, HARMONIC_DEVICES, DeviceName
from lessonmaker.analysis.model import Device
from lessonmaker.score.position import INSTANT, Span, format_span, overlap
from lessonmaker.script.candidates import (
    Candidate,
    device_candidates,
)
from lessonmaker.script.model import Mention
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import APPROACHES, HEDGED, NOTHING, Decided
from lessonmaker.script.plain.enclosed import enclosed_in, is_called, named_goal
from lessonmaker.script.plain.figured import MOVING_VOICE, Figured
from lessonmaker.script.plain.figures import CERTAIN, CROSS_RHYTHM, FIGURES
from lessonmaker.script.plain.heard import DOMINANT, SMALL, Harmony
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.likeness import may_be_missed
from lessonmaker.script.plain.name_rows import NAME_ROW
from lessonmaker.script.plain.named_moves import NAMED_MOVES, Moves
from lessonmaker.script.plain.progressions import PROGRESSIONS, progressions_in
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.shape import Shape, contradiction, times_end, way_after
from lessonmaker.script.plain.stretches import MASK, masked
from lessonmaker.script.plain.verbs import STARTING
from lessonmaker.script.plain.vocabulary import RELIABLE

__all__ = ["Things"]

# What is said of the chords as often as of the line that spells them out.
SAID_OF_THE_LINE = {
    "substitute dominant": "tritone-substitute triad",
    "upper-structure triad": "tritone-substitute triad",
}
KNOWN_AS = {"minor two five one": "minor cadence"}  # what the analysis calls some progressions
LEADS_INTO = pattern_of(
    r" (?:(?:leads?|leading|goes|going|runs?|running|takes us|brings us|carries us|spills) )?(?:right "
    r"|straight )?into"
    r"(?: the (?:first beat|downbeat|start) of)? ?"
)
SIDES = pattern_of(r"\bsides?\b")
WITH_IT = pattern_of(r"\bwith (?:the|its|an?) $")  # "a flat nine with the root on either side of it"
# Between a device and what it is said to do: where it is.
PLACED = pattern_of(
    rf"(?:,? (?:in|on|at|over|of|from|during|within|for)(?: the| this| that)? {MASK}+(?: of {MASK}+)?)+"
)
TWO_FIVE_KINDS = ("two five", "minor two five", "two five one", "minor two five one")
PERFECT = pattern_of(r"perfect|full|authentic")
FOURTH, NEAR = 5, 3  # semitones
# Before what some bars plainly have: "these two bars hold a two-five".
HAS_ONE = pattern_of(
    r"\b(?:is|are|'s|'re|was|were|makes?|forms?|holds?|contains?|has|have|got|spells?(?: out)?|brings?|gives?(?: us)?)"
    r"(?: (?:just|really|simply|only|both|together|all))*(?: (?:an?|our|your|the|another)(?: (?!minor)[a-z-]+)?)? $"
)
THERE_IS = pattern_of(
    r"\b(?:there's|there is|here's|here is|that's|this is|(?:is|'s) our|got|have|here comes"
    r"|(?:harmony|progression|chords|changes),?) an?(?: [a-z-]+)? $"
)
POINTED = pattern_of(r"\b(?:here|these|this|that's|there's)\b")
BEGUN = pattern_of(
    rf"\b{STARTING}(?: (?:off|out|up))? (?:with|on|in|by)(?: (?:an?|the|its|this))?(?: [a-z]+)? $"
)
VERB = pattern_of(
    r"(?:surround|encircle?|enclose?|circle?|frame?|flank|bracket|hug|sandwiche?|boxe?|wrap|squeeze?)"
    r"(?:s|d|ed|ing)(?: in| around| round)?(?: (?:the|its))?"
)
A_NAME = pattern_of(r"\b[a-g](?: flat| sharp| natural)? $")  # one that goes round another on both sides
IS_DONE = pattern_of(r"(?:\b(?:is|are|was|gets?|being)|'s)(?: \w+ly| also| then| just| nicely)? $")
BOTH_NEIGHBOURS = pattern_of(r"neighbou?r\b.*neighbou?r\b")
CLEAR_LEAD = 0.15
TWO_FIVE_ONE = pattern_of(r"\b(?:two|2|ii)[ -](?:five|5|v)\b")


class Things(Figured, Moves):
    """Decides claims of devices."""

    @property
    def own_deciders(self) -> dict[str, Callable[[Claim, Scope], Decided]]:
        """What decides claims that are not looked for among the devices of the analysis."""
        return {
            NAME_ROW: self.no_name_row,
            **dict.fromkeys(FIGURES, self.figure),
            **dict.fromkeys(CERTAIN, self.on_beats),
            **dict.fromkeys(NAMED_MOVES, self.named_move),
        }

    def device(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A device of the line or of the chords."""
        scope = self.of_this_part(claim, scope) if claim.name in HARMONIC_DEVICES else scope
        own = self.own_deciders.get(claim.name)
        if own is not None:
            return own(claim, scope)
        found = self.progression(index, claim, scope) if claim.name in PROGRESSIONS else None
        found = self.around_named(index, claim, scope) if claim.name == "enclosure" else found
        found = found if found is not None else self.usual_device(index, claim, scope)
        if claim.name == "cadence" and not found.says:
            found = self.usual_device(index, replace(claim, name="minor cadence"), scope)
            found = found if found.mention or found.choices else NOTHING
        if claim.name == "cadence" and not found.says:
            found = self.no_cadence(claim, scope) or found
        if claim.name == "minor cadence" and not found.says:
            found = self.into_major(claim, scope)
        one_by_one = BOTH_NEIGHBOURS.search(self.sentence.words(claim.first, claim.last))
        return self.two_neighbours(found) if one_by_one else found

    def into_major(self, claim: Claim, scope: Scope) -> Decided:
        """A fault where a two five one is said to be minor, and the only one there goes into major."""
        words = self.sentence.words(claim.first, claim.last)
        found = self.devices_for(DeviceName("two five one"), scope)
        major = [each for each in found if each.mention.device and each.mention.device.detail.endswith("-I")]
        plain = not self.sentence.is_question and not scope.unknown and self.may_be_false(claim, scope)
        if not TWO_FIVE_ONE.search(words) or len(major) != 1 or len(found) > 1 or not plain:
            return NOTHING
        return self.is_false(claim, major[0].mention.span, "has a two five one into major")

    def is_only_where(self, claim: Claim) -> bool:
        """Whether something is named to say where another is: "the sharp nine of the turnaround"."""
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        within = len(self.claims) > 1 and pattern_of(r"\b(?:of|in|over|on) (?:the|this|that) $").search(
            before
        )
        return bool(within or after.startswith("'s"))

    def progression(self, index: int, claim: Claim, scope: Scope) -> Decided | None:
        """What the chords do by their roots; None where the analysis may know it as a device."""
        name = claim.name
        known = KNOWN_AS.get(name, name)
        if known in DEVICES and self.devices_for(DeviceName(known), scope):
            return self.usual_device(index, replace(claim, name=known), scope)
        if self.is_only_where(claim):
            return NOTHING
        found = list(progressions_in(name, scope.spans or tuple(self.spans), self.music))
        over = [
            span for span in found if any(scope.passes(note, self.music) for note in self.struck_in(span))
        ]
        found = over or found
        if claim.which and len(found) >= abs(claim.which):
            found = [found[claim.which - 1 if claim.which > 0 else -1]]
        near = [span for span in found if self.before is not None and overlap(span, self.before) > 0]
        found = near if len(near) == 1 and not scope.explicit else found
        if len(found) > 1 and not (claim.count and len(found) == claim.count):
            targets = [format_span(self.music.score, span) for span in found]
            return self.question(self.sentence.words(claim.first, claim.last), targets)
        if not found:
            return self.no_two_five(claim, scope)
        return self.lit_span(Span(found[0].start, found[-1].end))

    def no_two_five(self, claim: Claim, scope: Scope) -> Decided | None:
        """A fault where bars are plainly said to be a two five, and no chord in them goes to a dominant a fourth up."""
        spans = scope.spans or tuple(self.spans)
        unsure = scope.unknown or scope.tests or self.sentence.is_question or claim.count or claim.which
        before = self.sentence.text[: claim.first]
        plain = (HAS_ONE.search(before) or THERE_IS.search(before)) and not HEDGED.search(self.sentence.text)
        if (
            claim.name not in TWO_FIVE_KINDS
            or unsure
            or not plain
            or not (scope.explicit or POINTED.search(self.sentence.text))
            or len(spans) != 1
            or not self.may_be_false(claim, scope)
        ):
            return None if claim.name in DEVICES else NOTHING
        span = spans[0]
        chords = Harmony(self.music).chords
        pairs = [pair for pair in pairwise(chords) if any(overlap(each.span, span) > 0 for each in pair)]
        if not pairs or any(
            (b.root - a.root) % OCTAVE == FOURTH and a.family in SMALL | DOMINANT and b.family in DOMINANT
            for a, b in pairs
        ):
            return None if claim.name in DEVICES else NOTHING
        return self.fault(f"two five@{format_span(self.music.score, self.bars_of(span))}", claim)

    def no_cadence(self, claim: Claim, scope: Scope) -> Decided | None:
        """A fault where bars are said to have a perfect cadence, and no root in them falls a fifth or a half step."""
        spans, before = scope.spans or tuple(self.spans), self.sentence.text[: claim.first]
        unsure = (
            scope.unknown or scope.tests or self.sentence.is_question or HEDGED.search(self.sentence.text)
        )
        said = PERFECT.match(self.sentence.text, claim.first) and (
            HAS_ONE.search(before) or THERE_IS.search(before)
        )
        if not said or unsure or len(spans) != 1 or not self.may_be_false(claim, scope):
            return None
        pairs = [
            pair
            for pair in pairwise(Harmony(self.music).chords)
            if any(overlap(each.span, spans[0]) > 0 for each in pair)
        ]
        if not pairs or any((b.root - a.root) % OCTAVE in (FOURTH, OCTAVE - 1) for a, b in pairs):
            return None
        words, where = self.sentence.words(claim.first, claim.last), format_span(self.music.score, spans[0])
        what = f"“{words}”: no chord in {self.music.said(spans[0])} falls a fifth"
        return Decided(None, where, (), what, "say what the chords do")

    def usual_device(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A device that is looked for by its kind and where it is said to be."""
        if claim.name == "enclosure" and self.is_of_two(claim):
            return NOTHING
        found = self.devices_for(DeviceName(claim.name, claim.detail), scope)
        if not found and claim.name in SAID_OF_THE_LINE and not claim.detail:
            found = self.devices_for(DeviceName(SAID_OF_THE_LINE[claim.name]), scope)
        found = self.leading_into(claim, scope) or found or self.moved_motifs(claim, scope)
        if claim.name in APPROACHES:
            found = self.with_goal(index, found, scope)
        placed = scope.followed or scope.tests or (scope.explicit and claim.name == "register peak")
        if not found and len(self.claims) > 1 and not placed:
            found = self.devices_for(DeviceName(claim.name, claim.detail), Scope())  # elsewhere in the cue
            found = [each for each in found if not scope.explicit or self.reaches_into(each, scope)]
            if len(found) > 1:
                return NOTHING
        if not found:
            return self.heard_as(claim, scope)
        if self.is_said_of_before(claim):
            found = [each for each in found if self.is_touched(each)]
            if not found:
                return NOTHING
        fitting = [each for each in found if not self.contradicts(claim, each)]
        if not fitting:
            return self.other_shape(claim, found[0]) if claim.sure else NOTHING
        chosen = self.choose(index, claim, scope, fitting)
        return self.statements_in(chosen, scope) if claim.name == "motif" and scope.explicit else chosen

    def statements_in(self, decided: Decided, scope: Scope) -> Decided:
        """Of a motif the statements in the bars that are named, if there are any."""
        mention, notes = decided.mention, self.music.struck_by_id
        if mention is None or mention.device is None:
            return decided
        inside = {
            name
            for group in mention.device.groups
            for name in group
            if all(any(s.start <= notes[each].onset < s.end for s in scope.spans) for each in group)
        }
        lit = tuple(each for each in mention.notes if each.note in inside)
        return replace(decided, mention=replace(mention, notes=lit)) if lit else decided

    def moved_motifs(self, claim: Claim, scope: Scope) -> list[Candidate]:
        """The motifs in sight of which each statement begins on another note: sequences whose parts stand apart."""
        if claim.name != "sequence" or claim.detail or claim.count:
            return []
        notes, found = self.music.struck_by_id, self.devices_for(DeviceName("motif"), scope)
        begun = [[notes[group[0]] for group in self.device_of(each).groups if group] for each in found]
        return [
            each
            for each, first in zip(found, begun, strict=True)
            if len({note.sounding.midi for note in first}) == len(first)
            and all(self.is_seen(Span(note.onset, note.onset + INSTANT)) for note in first)
        ]

    def around_named(self, index: int, claim: Claim, scope: Scope) -> Decided | None:
        """The notes around one that is named beside a claim, where no enclosure of the analysis leads to it."""
        goal = named_goal(self.sentence, self.claims, index)
        if goal is None:
            return None
        notes, spans = self.music.struck_by_id, scope.spans or tuple(self.spans)
        found = self.devices_for(DeviceName(claim.name), scope)
        if any(is_called(goal, notes[self.device_of(each).notes[-1]], self.music) for each in found):
            return None
        around = [
            notes
            for span in spans
            for notes in enclosed_in(self.music.line_in(span), goal, self.music)
            if scope.passes(notes[-1], self.music)
        ]
        if len(around) == 1:
            return self.lit_row(around[0])
        return None if around or found else self.not_around(claim, goal, scope)

    def not_around(self, claim: Claim, goal: Claim, scope: Scope) -> Decided | None:
        """A fault where no note that is called so has one above and one below it, near by, before it."""
        named = self.claims_before(claim) or A_NAME.search(self.sentence.text[: claim.first])
        active = VERB.fullmatch(self.sentence.words(claim.first, claim.last)) and named
        plain = self.is_plain(claim, scope) and self.is_of_all_there(scope) and not active
        if not plain or goal.first < claim.first:
            return None
        line, span = self.music.line, scope.spans[0]
        called = [
            (at, note)
            for at, note in enumerate(line)
            if span.start <= note.onset <= span.end and is_called(goal, note, self.music)
        ]
        around = [
            [other.sounding.midi - note.sounding.midi for other in line[max(at - 3, 0) : at]]
            for at, note in called
        ]
        near = [{step > 0 for step in steps if 0 < abs(step) <= NEAR} for steps in around]
        if not called or any(len(sides) > 1 for sides in near):
            return None
        self.false_until = goal.last
        false = self.is_false(
            claim, span, f"has nothing around its {self.music.finding(called[0][1]).degree}"
        )
        return replace(false, until=goal.last)

    def two_neighbours(self, decided: Decided) -> Decided:
        """Of an enclosure the notes around its goal alone: "upper neighbour, lower neighbour, and home"."""
        if decided.mention is None or len(decided.mention.notes) < 3:
            return decided
        goal = decided.mention.notes[-1].note
        notes = [self.music.struck_by_id[each.note] for each in decided.mention.notes if each.note != goal]
        return self.lit_row(notes)

    def is_of_two(self, claim: Claim) -> bool:
        """Whether two of the same stand on both sides of a note: "two sharp elevenths on either side of it"."""
        sides = SIDES.search(self.sentence.words(claim.first, claim.last)) is not None
        before = self.claims_before(claim)
        named = (
            before
            and before[-1].kind in ("degree", "note")
            and WITH_IT.search(self.sentence.text[: before[-1].first])
        )
        beside = named and not self.sentence.text[before[-1].last : claim.first].strip()
        return sides and (bool(beside) or any(other.count > 1 for other in before))

    def reaches_into(self, each: Candidate, scope: Scope) -> bool:
        """Whether a device has a part in the bars of a place, or stands right beside them."""
        own = each.mention.span
        near = [self.bars_of(span) for span in scope.spans]
        return any(own.start <= span.end and span.start <= own.end for span in near)

    def heard_as(self, claim: Claim, scope: Scope) -> Decided:
        """What only its notes tell, where the analysis has no such device; else a fault or nothing."""
        heard = NOTHING
        if claim.name == CROSS_RHYTHM:
            heard = self.figure(claim, replace(scope, tests=()))
        elif claim.name == "chromatic run":
            heard = self.figure(replace(claim, name=MOVING_VOICE, count=0), scope)
        return heard if heard.mention is not None or heard.choices else self.no_device(claim, scope)

    def is_touched(self, each: Candidate) -> bool:
        """Whether a device has the note lit last, or is of the chords under it."""
        device, last = self.device_of(each), self.chosen[-1]
        return last.id in device.notes if device.notes else device.span.start <= last.onset < device.span.end

    def leading_into(self, claim: Claim, scope: Scope) -> list[Candidate]:
        """The devices that lead into the bars that follow the claim ("an enclosure leads into bar twelve")."""
        place = next(
            (place for place in scope.used if place.level == "bar" and place.first >= claim.last), None
        )
        if place is None or len(place.spans) != 1:
            return []
        if not LEADS_INTO.fullmatch(self.sentence.text[claim.last : place.first]):
            return []
        goal, notes = place.spans[0], self.music.struck_by_id
        all_ = [
            each
            for span in self.whole()
            for each in device_candidates(DeviceName(claim.name, claim.detail), span, self.music)
        ]
        return [
            each
            for each in all_
            if (names := self.device_of(each).notes)
            and notes[names[0]].onset < goal.start <= notes[names[-1]].onset < goal.end
        ]

    def contradicts(self, claim: Claim, each: Candidate) -> str:
        """What a device does instead of what is said of its shape."""
        return contradiction(self.shape_of(claim)[0], self.device_of(each), self.music)

    def shape_of(self, claim: Claim) -> tuple[Shape, int]:
        """What is said of a device's shape, and up to where; of its way beyond its place too.

        "The arpeggio in bar two descends".
        """
        after = PLACED.match(masked(self.sentence, self.places), claim.last)
        if claim.shape.way or after is None:
            return claim.shape, claim.last
        way, length = way_after(self.sentence.text[after.end() :])
        return replace(claim.shape, way=way), after.end() + length if way else claim.last

    def other_shape(self, claim: Claim, each: Candidate) -> Decided:
        """A device of another shape than is said: a fault."""
        words = self.sentence.words(claim.first, claim.last)
        name, _, place = each.target.partition("@")
        what = f"“{words}”: the {name} at {place} {self.contradicts(claim, each)}"
        todo = f"write [{words}]({each.target})"
        until = max(self.shape_of(claim)[1], claim.last + times_end(self.sentence.text[claim.last :]))
        return Decided(None, each.target, (), what, todo, until=until)

    def whole(self) -> list[Span]:
        """The whole score, as one span."""
        bars = self.music.score.bars
        return [Span(bars[0].start, bars[-1].end)] if bars else []

    def devices_for(self, name: DeviceName, scope: Scope) -> list[Candidate]:
        """The devices of a kind in the claim's place."""
        spans = scope.spans or tuple(self.spans)
        seen = [span for span in spans if self.is_seen(span)]
        return (
            self.devices_of(name, seen, scope)
            or self.devices_of(name, spans, scope)
            or self.devices_across(name, seen, scope)
        )

    def devices_across(self, name: DeviceName, spans: Sequence[Span], scope: Scope) -> list[Candidate]:
        """The devices from a beat into a chord, where both are named: "on beat four I box in the third of F"."""
        if len(scope.tests) < 2:
            return []
        notes = self.music.struck_by_id
        return [
            each
            for each in self.devices_of(name, spans, replace(scope, tests=()))
            if (own := [notes[note] for note in self.device_of(each).notes])
            and all(any(test(note, self.music) for note in own) for test in scope.tests)
        ]

    def devices_of(self, name: DeviceName, spans: Sequence[Span], scope: Scope) -> list[Candidate]:
        """The devices of a kind in some spans."""
        found: dict[str, Candidate] = {}
        for span in spans:
            for each in device_candidates(name, span, self.music):
                if self.passes(each, scope):
                    found[each.target] = each
        return list(found.values())

    def passes(self, each: Candidate, scope: Scope) -> bool:
        """Whether any note of a device stands where it is claimed; what only the chords do always does."""
        device = each.mention.device
        if device is not None and device.kind == "register peak" and scope.explicit:
            return any(
                self.within(each, span) for span in scope.spans
            )  # no note that is held over from before
        if not scope.tests or device is None or not device.notes:
            return True
        notes = self.music.struck_by_id
        return any(scope.passes(notes[name], self.music) for name in device.notes)

    def with_goal(self, index: int, found: list[Candidate], scope: Scope) -> list[Candidate]:
        """The enclosures of the degree that is named beside them, if any; of what a verb takes no other."""
        near = [claim for claim in self.claims[max(index - 1, 0) : index + 2] if claim.kind == "degree"]
        fitting = [
            each
            for each in found
            if any(each.mention.device and each.mention.device.detail in c.names for c in near)
        ]
        claim, after = self.claims[index], self.claims[index + 1 : index + 2]
        verb = (
            pattern_of(r"(?:es|s)$").search(self.sentence.words(claim.first, claim.last)) and not claim.count
        )
        takes = bool(verb) and bool(after) and after[0].kind == "degree"
        close = takes and pattern_of(r" (?:the|its|a) ").fullmatch(
            self.sentence.text[claim.last : after[0].first]
        )
        return fitting if close and not scope.explicit else fitting or found

    def no_device(self, claim: Claim, scope: Scope) -> Decided:
        """No such device: a fault where the analysis hardly misses one."""
        if (
            claim.name not in RELIABLE
            or not claim.sure
            or scope.unknown
            or self.sentence.is_question
            or not self.is_of_all_there(scope)
            or not self.may_be_false(claim, scope)
        ):
            return NOTHING
        if claim.name == "two five one" and self.devices_for(DeviceName("two five"), scope):
            return NOTHING  # its last chord is no plain tonic: a blues, a chain of them
        if may_be_missed(claim.name, scope.spans or self.spans, self.music):
            return NOTHING
        if any(other.kind == claim.kind and other.name == claim.name for other in self.claims_before(claim)):
            return NOTHING  # said again of what was named before: "an enclosure that surrounds the third"
        active = VERB.fullmatch(self.sentence.words(claim.first, claim.last))
        if active and self.claims_before(claim) and not IS_DONE.search(self.sentence.text[: claim.first]):
            return NOTHING  # "the fifth surrounds the seventh", from both sides or twice
        span = scope.spans[0] if scope.spans else self.spans[0]
        return self.fault(f"{claim.name}@{format_span(self.music.score, span)}", claim)

    def is_of_all_there(self, scope: Scope) -> bool:
        """Whether the beat or chord of which something is said has all notes of one bar or stretch."""
        if not scope.tests:
            return True
        return len(scope.spans) == 1 and all(
            scope.passes(note, self.music) for note in self.struck_in(scope.spans[0])
        )

    def choose(self, index: int, claim: Claim, scope: Scope, found: list[Candidate]) -> Decided:
        """One of several devices, all of them, or a question."""
        ordered = sorted(found, key=lambda each: (each.mention.span.start, each.mention.span.end))
        if claim.which and len(ordered) >= abs(claim.which):
            ordered = [ordered[claim.which - 1 if claim.which > 0 else -1]]
        goes_on = claim.name == CROSS_RHYTHM and self.are_one(ordered)
        if claim.count > 1 or (
            len(ordered) > 1 and (claim.count or goes_on or self.is_in_each(scope, ordered))
        ):
            return self.all_of(claim, scope, ordered)
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

    def are_one(self, found: Sequence[Candidate]) -> bool:
        """Whether devices alike follow each other bar by bar, so that they are heard as one."""
        bars = [self.bars_of(each.mention.span) for each in found]
        same = len({self.device_of(each).detail for each in found}) == 1
        return same and all(one.end == other.start for one, other in pairwise(bars))

    def is_in_each(self, scope: Scope, found: Sequence[Candidate]) -> bool:
        """Whether each of the spans named together has one of some devices."""
        each = [sum(self.within(one, span) for one in found) for span in scope.spans]
        return scope.each and each == [1] * len(scope.spans) and len(found) == len(each)

    def within(self, each: Candidate, span: Span) -> bool:
        """Whether a device begins in a span."""
        return span.start <= each.mention.span.start < span.end

    def surest(self, index: int, found: list[Candidate]) -> list[Candidate]:
        """The one device that is clearly surer, or longer, or the one whose notes were just spoken of."""
        if BEGUN.search(self.sentence.text[: self.claims[index].first]):
            return found[:1]
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

    def all_of(self, claim: Claim, scope: Scope, found: Sequence[Candidate]) -> Decided:
        """Several devices at once, if their number is the one claimed; else what there is, to be asked."""
        if claim.count > 0 and len(found) != claim.count:
            words = self.sentence.words(claim.first, claim.last)
            asked = self.question(words, [each.target for each in found])
            what = f"“{words}”: {len(found)} found, not {claim.count}"
            missed = claim.name not in RELIABLE or may_be_missed(
                claim.name, scope.spans or self.spans, self.music
            )
            plain = self.is_plain(claim, scope) or self.is_of_all_shown(scope)
            if plain and not missed and len(found) < claim.count and not HEDGED.search(self.sentence.text):
                return Decided(None, found[0].target, (), what, "say how many there are")
            return replace(asked, what=what)
        lit = tuple({each.note: each for one in found for each in one.mention.notes}.values())
        span = Span(found[0].mention.span.start, max(one.mention.span.end for one in found))
        target = format_span(self.music.score, self.bars_of(span))
        return Decided(Mention("device", span, lit, device=found[0].mention.device, target=target), target)
