"""Deciding which note a degree, or a note by its name, is in a sentence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, format_span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.adjectives import ADJECTIVES, OF_A_NOTE
from lessonmaker.script.plain.at_ends import Ends
from lessonmaker.script.plain.choosing import ARRIVES, LANDS, LEANS, REACHES
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import MOST_CHOICES, NOTHING, PREDICATE, Decided
from lessonmaker.script.plain.degree_sets import Sets
from lessonmaker.script.plain.degree_words import LEADING_NOTE, TONIC
from lessonmaker.script.plain.ends import BETWEEN
from lessonmaker.script.plain.goals import MOVED_TO, Goals
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.lacking import chord_without, is_surely_a_degree
from lessonmaker.script.plain.motion import motion_between, reached_from, without_places
from lessonmaker.script.plain.named_moves import NAMED_MOVES
from lessonmaker.script.plain.note_names import OF_A_KEY, named_note
from lessonmaker.script.plain.note_times import comes_again
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.scope import MOVES_ON, Scope, lists_in
from lessonmaker.script.plain.symbol_words import HARMONIC
from lessonmaker.script.plain.told_names import TOLD
from lessonmaker.script.plain.verbs import ENDING, FALLING, LEANING, RISING, SOUNDING, STARTING
from lessonmaker.theory.degree import degree_of

__all__ = ["THAT_ONE", "Degrees"]

IN_TWO_FIVES = pattern_of(
    r"\b(?:in|of|on|over) (?:(?P<both>both)|each|every|all)(?: (?:of )?(?:the|these|those))?(?: \w+)?"
    r" (?:two|ii)[- ](?:five|v)s?\b"
)
STEPS = ("one", "two", "four", "five", "six")
OF_CHORDS = (
    "substitute dominant",
    "backdoor dominant",
    "two five",
    "two five one",
    "turnaround",
    "cadence",
    *NAMED_MOVES,
)
PLAIN_ARTICLE = pattern_of(r"\b(?:the|its) $")
# What a note does, after the word that names it.
ACTS = pattern_of(
    r" (?:(?:that |which )?(?:is|was|gets) (?:\w+ )?(?:held|sustained|leaned|hidden|struck|played|there|on|hit"
    r"|heard|sounded|sung|repeated|approached|placed|stressed|accented|touched|tied)\b"
    rf"|(?:in|on) (?:bar|measure|beat)\b|{SOUNDING}|{LEANING}|{FALLING}|{RISING}|resolves?|comes\b(?! from))(?!\w)"
)
# After a degree that opens a sentence: "root of the chord on the one, easy".
OF_A_BEAT = pattern_of(
    r" (?:of (?:the|that|this) \w+ (?:chord |seventh )?)?(?:right |bang |squarely |just )?(?:on|at) (?:the )?"
    r"(?:beat|one|two|three|four|down-?beat|\w+ beat)\b"
)
PART_OF = pattern_of(r"\b(?:of|in|at|from|after|before)(?: the)? $")
DEFINITE = pattern_of(r"\b(?:that|this|the) $")
POINTED_NOTE = pattern_of(
    r"\b(?:the|that|this|our|your|an?|another|one|hits?|plays?)(?: (?:high|low|long|little|nice|big|lone))?"
    r" $"
)
TO_A = pattern_of(r"\bto an? $")  # "the line moves to an E in bar seventeen", from it or in it
# What was there before: "the F natural becomes F sharp".
BECOMES_SO = pattern_of(
    r" (?:is now|becomes|has become|turns into|changes (?:in)?to|is raised to|is lowered to) "
)
IN_IT = pattern_of(r" in (?:it|there)\b")
POINTED_AT = pattern_of(r" (?:in (?:this|these) |(?:right |up |somewhere |in )?(?:here|there)(?=[,.;!]|$))")
HERE = pattern_of(r"\b(?:right |over |in )?here\b(?! (?:comes?|is|are|goes)\b)|\bin (?:this|these) ")
THAT_ONE = pattern_of(rf"\b(?:that|this) (?:{ADJECTIVES})?$")
SHOWN = pattern_of(
    rf"\b(?:notice|hear|see|find|spot|catch|there(?:'s| is)|here(?:'s| is)) an? (?:{ADJECTIVES})?$"
)
# A chord by its step, not a note: "this time on the flat two".
ON_A_STEP = pattern_of(
    r"\b(?:time|again|now|once|pattern|shape|idea|arpeggio|triad|lick) (?:\w+ )?(?:on|over) the (?:flat|sharp) \w+$"
)
# "It opens on the downbeat with a big fat root".
BEGINS_WITH = pattern_of(rf"\b(?:{STARTING}|{ENDING})\b[^,;:]* with an? (?:{ADJECTIVES})?$")
OF_ANOTHER = pattern_of(r"\b(?:old|former|original|other|previous|would-be) $")  # another chord's
# What something else is measured from: "B flat, a minor sixth above the root".
MEASURED_FROM = pattern_of(
    r"\b(?:an?|one|two) (?:[\w-]+ )?(?:(?:half[- ]|whole[- ])?steps?|semitones?|tones?|second|third|fourth|fifth|sixth"
    r"|seventh|ninth|tritone|octave)"
    r" (?:up from|down from|above|below|under|over|from|higher than|lower than|away from) (?:the|its|that) $"
)
INTO_A_KEY = pattern_of(r" (?:in)?to (?P<name>[a-g](?:[ -](?:flat|sharp)|b|#)?)(?![\w#'])")
IN_EACH = pattern_of(r"\b(?:in|of) (?:each|both)\b|\b(?:each|both) times?\b")
OF_EACH_BAR = pattern_of(
    r"\b(?:each|every one|both)(?: of (?:the|these|those|our))?(?: (?:two|three|four|little|single))* "
    r"(?:bars?|measures?)\b[^,;:]* $"
)
# The line of the bars in sight, and where it goes: "the line climbs to the eleventh".
LINE_REACHES = pattern_of(
    rf"\b(?:line|melody|phrase|lick|run|figure|music|whole thing|it|we|you) (?:\w+ly |then |just )?"
    rf"(?:{RISING}|{FALLING})"
    r"(?: (?!(?:and|but|then|into|in|from)\b)\w+){0,3}? to (?:the|its|an?) $"
)
# Before a place that opens a sentence: "on beat one, the third ...", "on C major seven, beat three, we sit on ...".
IN_FRONT = pattern_of(r"(?:[\s,]|\b(?:and|at|here|in|now|of|on|over|so|the)\b)*")
FEW = 3  # the most notes of a name among which "that A" may be one


class Degrees(Goals, Sets, Ends):
    """Decides claims of degrees and of notes by their names, one by one."""

    def degree(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """One degree."""
        sided = self.on_both_sides(claim)
        if claim.at and sided is None:
            goal = self.leads_to(index, claim)
            return goal if goal is not None and goal.mention else self.light(claim, self.options[index])
        if claim.name == LEADING_NOTE and (self.is_said_of_before(claim) or self.leads_into_named(claim)):
            return NOTHING
        if self.is_a_step(claim):
            return NOTHING
        return sided or self.single(index, claim, scope)

    def leads_into_named(self, claim: Claim) -> bool:
        """Whether the note that was just named lies a half step below a key that is: "the leading tone into G"."""
        goal = INTO_A_KEY.match(self.sentence.text, claim.last)
        last = self.chosen[-1] if self.chosen else None
        if goal is None or last is None:
            return False
        above = (last.written.name.pitch_class + 1) % OCTAVE
        return above == named_note(goal["name"]).pitch_class

    def is_a_step(self, claim: Claim) -> bool:
        """Whether a number is a chord's, beside what else is said of chords: "the tritone sub slides into the five"."""
        if self.sentence.words(claim.first, claim.last) not in STEPS:
            return False
        inside = any(
            p.level == "chord" and p.first <= claim.first and claim.last <= p.last for p in self.places
        )
        others = (other for other in self.claims if other is not claim)
        return inside and any(other.kind in HARMONIC or other.name in OF_CHORDS for other in others)

    def single(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A degree that was not found with others."""
        if each := self.in_two_fives(index, claim, self.options[index]):
            return self.several(replace(claim, count=-1), each)
        said = (
            self.pair_again(index, claim)
            or self.named_again(index, claim)
            or self.comes_too_soon(index, claim, scope)
            or self.leads_to(index, claim)
            or self.become(index, claim)
            or self.at_an_end(claim)
            or self.moved_to(index, claim, scope)
        )
        if said is not None and (said.says or self.lacking_chord(claim, scope) is None):
            return said
        notes = self.arrived(claim, scope) or self.options[index]
        if self.is_of_all(claim, scope, notes):
            return NOTHING
        if scope.next_chord and self.chosen:
            notes = self.of_next_chord(notes)
        stepped = self.stepped_to(index, claim, notes)
        if stepped is not None and notes and not stepped:
            return self.not_stepped_to(claim, scope)
        notes = stepped or notes
        if not notes:
            as_well = self.over_its_chord(claim, scope)
            return as_well or (NOTHING if claim.name == TONIC else self.no_degree(claim, scope))
        return self.one_of(index, claim, scope, notes)

    def over_its_chord(self, claim: Claim, scope: Scope) -> Decided | None:
        """The note named before, as what it would be over the chord named next: "that B flat is the fourth of F"."""
        if not self.chosen or not self.has_own_chord(claim, scope) or not self.is_said_of_before(claim):
            return None
        tests = [place.test for place in scope.used if place.level == "chord" and place.test is not None]
        over = [note for note in self.music.struck if all(test(note, self.music) for test in tests)]
        last, chords = self.chosen[-1], {self.music.finding(note).chord for note in over}
        degrees = {degree_of(last.sounding.midi % OCTAVE, chord) for chord in chords if chord is not None}
        return self.light(claim, [last]) if degrees & set(claim.names) else None

    def one_of(self, index: int, claim: Claim, scope: Scope, notes: list[Note]) -> Decided:
        """One of the notes that a degree may be, several that are counted, or a question."""
        if self.is_resolution(index) and self.chosen:
            notes = [note for note in notes if note.onset > self.chosen[-1].onset]
            if not notes:
                return NOTHING
        if claim.count < 0 and not scope.spans and self.before is not None:
            notes = [note for note in notes if self.before.start <= note.onset < self.before.end] or notes
        if claim.count or self.comes_in_each(claim, scope, notes):
            return self.several(claim, notes)
        if claim.which:
            notes = notes[claim.which - 1 : claim.which] if claim.which > 0 else notes[-1:]
        onsets = {note.onset for note in notes}
        if self.comes_as_often(claim, notes):
            return self.several(replace(claim, count=len(onsets)), notes)
        if len(onsets) > 1:
            notes = self.likeliest(index, claim, notes)
        if len({note.onset for note in notes}) == 1:
            return self.light(claim, notes)
        placed = claim.sure or scope.explicit or scope.tests or self.is_pointed_at(claim)
        return self.ask(claim, notes) if placed or self.is_one_of_few(claim, notes) else NOTHING

    def comes_as_often(self, claim: Claim, notes: Sequence[Note]) -> bool:
        """Whether a note is said to come as often as it does: "the third, both times", "the ninth returns"."""
        times = len({note.onset for note in notes})
        return times > 1 and not claim.which and comes_again(*self.words_beside(claim), times)

    def words_beside(self, claim: Claim) -> tuple[str, str]:
        """The words before a claim and after it, as far as the next that speak of a note."""
        others = [other for other in self.claims if other is not claim and other.kind in BETWEEN]
        first = max((other.last for other in others if other.last <= claim.first), default=0)
        last = min(
            (other.first for other in others if other.first >= claim.last), default=len(self.sentence.text)
        )
        return self.sentence.text[first : claim.first], self.sentence.text[claim.last : last]

    def in_two_fives(self, index: int, claim: Claim, notes: Sequence[Note]) -> list[Note]:
        """The one of some notes in each two five, where it is said of each: "falls to the root in both two-fives"."""
        named = IN_TWO_FIVES.search(self.sentence.text)
        spans = self.two_fives_shown() if named else []
        if named is None or len(spans) < 2 or (named["both"] and len(spans) != 2):
            return []
        before = self.claims[index - 1] if index else None
        moved = before is not None and motion_between(self.sentence, before, claim, self.places)
        found: list[Note] = []
        for span in spans:
            since = [note.onset for note in self.chosen if moved and span.start <= note.onset < span.end]
            inside = [note for note in notes if max([span.start, *since]) <= note.onset < span.end]
            found += inside[:1] if moved or len({note.onset for note in inside}) == 1 else []
        return found if len(found) == len(spans) else []

    def two_fives_shown(self) -> list[Span]:
        """The two fives in sight, each from its second step to the end of its dominant."""
        devices = [each for each in self.music.analysis.devices if each.kind.startswith("two five")]
        spans = []
        for each in devices:
            changes = self.music.changes_in(each.span)
            ends = each.span.end if each.kind == "two five" or not changes else changes[-1].onset
            span = Span(each.span.start, ends)
            spans += [span] if self.is_seen(span) else []
        return spans

    def is_of_all(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> bool:
        """Whether what is asked of the player is asked of all such notes: "make the third sing", of a whole page."""
        many = len({note.onset for note in notes}) > MOST_CHOICES
        return many and claim.stance == "handled" and not scope.explicit

    def is_one_of_few(self, claim: Claim, notes: Sequence[Note]) -> bool:
        """Whether a name that a sentence speaks of as known to the hearer may be only two or three notes."""
        named = [
            other for other in self.claims if other.kind in BETWEEN and not self.is_its_goal(claim, other)
        ]
        alone = len(named) == 1
        known = DEFINITE.search(self.sentence.text[: claim.first]) and alone
        shown = claim.stance == "handled" or self.is_pointed_at(claim) or HERE.search(self.sentence.text)
        most = MOST_CHOICES if shown else FEW
        return bool(known) and 0 < len({note.onset for note in notes}) <= most

    def is_its_goal(self, claim: Claim, other: Claim) -> bool:
        """Whether a note is said to go to the other that is named after it."""
        return claim.last <= other.first and motion_between(self.sentence, claim, other, self.places) != ""

    def is_pointed_at(self, claim: Claim) -> bool:
        """Whether a degree is shown with the finger: "that ninth", "the third in this phrase"."""
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        shown = THAT_ONE.search(before) or POINTED_AT.match(after) or SHOWN.search(before)
        return bool(shown)

    def note(self, index: int, claim: Claim, _: Scope) -> Decided:
        """A note by its name: lit where only one can be meant."""
        notes = self.options[index]
        if claim.detail == TOLD:
            return self.light(claim, notes)
        if self.is_in_a_vague_row(index):
            return NOTHING
        said = self.at_an_end(claim) or self.moved_to(index, claim, self.scopes[index])
        return said or self.single_note(index, claim, notes)

    def single_note(self, index: int, claim: Claim, notes: list[Note]) -> Decided:
        """A note that is not said to begin or end anything."""
        if index and self.chosen and self.chosen[-1] in notes and self.says_again(index):
            notes = [self.chosen[-1]]
        if index and self.is_named_goal(index, claim):
            return self.light(claim, [self.chosen[-1]])
        if claim.count < 0 and notes:
            return self.several(claim, [note for note in notes if note.id in self.oblique] or notes)
        every = (claim.count and claim.count == len(notes)) or self.comes_as_often(claim, notes)
        if every or self.comes_in_each(claim, self.scopes[index], notes):
            return self.several(replace(claim, count=-1), notes)
        if claim.which:
            nth = notes[claim.which - 1 : claim.which] if claim.which > 0 else notes[-1:]
            notes = self.by_aim(index, "", notes) or nth
        if self.chosen and pattern_of(rf"\b{ARRIVES}").search(self.sentence.text[: claim.first].rstrip()):
            wanted = named_note(claim.name)
            near = [*reached_from(self.chosen[-1], self.music), *self.later_if_it_becomes(claim, notes)]
            notes = [note for note in near if note.written.name == wanted][:1]
        elif len({note.onset for note in notes}) > 1:
            notes = self.likeliest(index, claim, notes)
        if len({note.onset for note in notes}) == 1:
            return self.light(claim, notes) if self.music.finding(notes[0]).degree else NOTHING
        if not notes:
            return self.no_note(claim, self.scopes[index])
        return self.ask(claim, notes) if self.is_one_of_few(claim, notes) else NOTHING

    def later_if_it_becomes(self, claim: Claim, notes: Sequence[Note]) -> list[Note]:
        """The notes after the one chosen last that it may be said to become: "G natural becomes G flat"."""
        if not pattern_of(r"\bbecomes?$").search(self.sentence.text[: claim.first].rstrip()):
            return []
        return [note for note in notes if note.onset > self.chosen[-1].onset]

    def no_note(self, claim: Claim, scope: Scope) -> Decided:
        """A note by its name that is not there: a fault, where nothing of that name can be meant."""
        before = self.sentence.text[: claim.first]
        if OF_A_KEY.search(before):
            return NOTHING
        pointed = (POINTED_NOTE.search(before) or OF_A_NOTE.search(before)) and not MOVED_TO.search(before)
        pointed = pointed and not (BECOMES_SO.match(self.sentence.text, claim.last) or TO_A.search(before))
        if not pointed or len(scope.spans) != 1 or not scope.explicit or scope.unknown:
            return NOTHING
        if scope.tests and (scope.borrowed or not self.is_followed_by_beat(claim, scope)):
            return NOTHING
        if self.sentence.is_question or not self.may_be_false(claim, scope):
            return NOTHING
        span, wanted = scope.spans[0], named_note(claim.name).pitch_class
        near: Iterable[Note] = self.music.struck_between(span.start, span.end + INSTANT)
        if scope.tests:
            near = self.sounding_where(scope).values()
        there = {note.written.name.pitch_class for note in near}
        roots = {change.written.root.pitch_class for change in self.music.changes_in(span) if change.written}
        held = self.music.sounding_at(span.start)
        held_over = held is not None and not scope.tests and held.written.name.pitch_class == wanted
        root = wanted in roots and not OF_A_NOTE.search(before)  # "a high D" is no chord's
        if wanted in there or root or held_over:
            return NOTHING
        words = self.sentence.words(claim.first, claim.last)
        target, where = format_span(self.music.score, span), self.music.said(span)
        return Decided(
            None, target, (), f"“{words}”: there is no {claim.name} in {where}", "name a note that is there"
        )

    def is_followed_by_beat(self, claim: Claim, scope: Scope) -> bool:
        """Whether the beat on which a note is said to be stands right after it, and nothing else tells where."""
        placed = [place for place in scope.used if place.level != "bar"]
        after = [place for place in placed if place.level == "beat" and place.first >= claim.last]
        return len(placed) == len(after) == 1

    def is_nothing_else_on(self, claim: Claim, scope: Scope) -> bool:
        """Whether a bare ordinal with its beat right after it is nothing but a degree."""
        placed = self.is_followed_by_beat(claim, scope) and len(scope.spans) == 1
        if not placed or scope.borrowed or scope.next_chord:
            return False
        return is_surely_a_degree(self.sentence, claim, self.claims)

    def is_heard_as(self, claim: Claim, at: Fraction, note: Note) -> bool:
        """Whether a note is, at some time while it sounds, what a claim names."""
        changes = self.music.changes_in(Span(at, at + INSTANT))
        over = {degree_of(note.sounding.midi % OCTAVE, change.chord) for change in changes if change.chord}
        return bool((over | {self.music.finding(note).degree}) & set(claim.names))

    @property
    def oblique(self) -> set[str]:
        """The ids of the notes of oblique motion: one that is repeated, and those that move against it."""
        found = [device for device in self.music.analysis.devices if device.kind == "oblique motion"]
        return {name for device in found for name in device.notes}

    def is_in_a_vague_row(self, index: int) -> bool:
        """Whether a note is one of three or more named in a row that are not all known."""
        runs = [run for run in lists_in(self.sentence, self.claims) if index in run]
        row = [other for run in runs for other in run if self.claims[other].kind == "note"]
        return len(row) > 2 and any(len(self.options[other]) != 1 for other in row)

    def comes_in_each(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> bool:
        """Whether each of the spans named together, or of the bars if it is said of each, has one of some notes."""
        spans: Sequence[Span] = scope.spans or self.spans
        if not scope.each:
            bars = self.music.bars_in(spans)
            spans = [Span(bar.start, bar.end) for bar in bars]
            before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
            if len(spans) < 2 or not (IN_EACH.search(after) or OF_EACH_BAR.search(before)):
                return False
        inside = [[note for note in notes if span.start <= note.onset < span.end] for span in spans]
        return all(len({note.onset for note in here}) == 1 for here in inside)

    def no_degree(self, claim: Claim, scope: Scope) -> Decided:
        """Nothing fits a degree: a fault, where it is clear that one is claimed and where."""
        if self.is_elsewhere(claim, scope) and self.lacking_chord(claim, scope) is None:
            outside = self.outside_of(claim, scope)
            if outside.says or not self.is_nowhere(claim, scope):
                return outside
            scope = replace(scope, spans=(), used=tuple(each for each in scope.used if each.level != "bar"))
        if scope.borrowed and (notes := self.notes_for(claim, replace(scope, tests=()))):
            notes = self.likeliest(self.claims.index(claim), claim, notes)
            return self.light(claim, notes) if len({note.onset for note in notes}) == 1 else NOTHING
        span = self.lacking_chord(claim, scope)
        if span is None and self.is_claimed_here(claim, scope):
            span = scope.spans[0] if scope.spans else self.spans[0]
        if span is None or self.is_held_into(claim, span) or self.is_said_of_false(claim):
            return NOTHING
        return self.fault(f"{claim.names[0]}@{format_span(self.music.score, span)}", claim)

    def is_nowhere(self, claim: Claim, scope: Scope) -> bool:
        """Whether nothing in sight is what is claimed of a bar that is pointed at: "a flat nine right at the end"."""
        pointed = all(place.pointed for place in scope.used if place.level == "bar")
        shown = pointed and not scope.unknown and all(self.is_seen(span) for span in scope.spans)
        return claim.sure and shown and not self.notes_for(claim, Scope())

    def is_claimed_here(self, claim: Claim, scope: Scope) -> bool:
        """Whether it is clear that a degree is claimed, and where."""
        step = ON_A_STEP.search(self.sentence.text[: claim.last])
        step = step or OF_ANOTHER.search(self.sentence.text[: claim.first])
        step = step or MEASURED_FROM.search(self.sentence.text[: claim.first])
        if step or scope.unknown or self.sentence.is_question or not self.may_be_false(claim, scope):
            return False
        if scope.tests and any(self.is_heard_as(claim, *each) for each in self.sounding_where(scope).items()):
            return False  # it is held there
        beats = scope.tests and not scope.borrowed and all(place.level != "chord" for place in scope.used)
        if claim.sure or (beats and BEGINS_WITH.search(self.sentence.text[: claim.first])):
            return True
        ways = (self.is_plainly_said, self.is_nothing_else, self.is_nothing_else_on)
        return scope.explicit and any(is_clear(claim, scope) for is_clear in ways)

    def is_nothing_else(self, claim: Claim, scope: Scope) -> bool:
        """Whether a bare ordinal that is said of one bar is nothing but a degree, and alone in not being there."""
        if len(scope.spans) != 1 or not self.is_one_bar(scope.spans[0]) or scope.next_chord or claim.count:
            return False
        beats = [place for place in scope.used if place.level == "beat"]
        on_others = beats and (scope.borrowed or bool(self.notes_for(claim, replace(scope, tests=()))))
        at = self.claims.index(claim)
        row = [
            other for run in lists_in(self.sentence, self.claims) if at in run for other in run if other != at
        ]
        others = all(self.options[other] for other in row if other != at + 1 or not self.says_again(other))
        return not on_others and others and is_surely_a_degree(self.sentence, claim, self.claims)

    def lacking_chord(self, claim: Claim, scope: Scope) -> Span | None:
        """The chord named right after a degree that it has not."""
        if claim.kind != "degree" or self.sentence.is_question or not self.may_be_false(claim, scope):
            return None
        words = self.sentence.words(claim.first, claim.last)
        return chord_without(words, claim, scope, self.spans, self.music, is_alone=len(self.claims) == 1)

    def is_said_of_false(self, claim: Claim) -> bool:
        """Whether a degree is said of a note that is not there itself: "that D is the sixth"."""
        before = self.claims_before(claim)[-1:]
        between = self.sentence.text[before[0].last : claim.first] if before else ""
        gone = before and before[0].kind == "note" and not self.options[len(self.claims_before(claim)) - 1]
        return bool(gone and PREDICATE.search(between))

    def outside_of(self, claim: Claim, scope: Scope) -> Decided:
        """A degree that may stand in another bar than was named: the only one, or what the note before goes to."""
        notes = self.notes_for(claim, replace(scope, spans=()))
        if pattern_of(LANDS).search(self.sentence.text[: claim.first].rstrip()):
            return NOTHING  # where it lands is told by the bar
        if MOVED_TO.search(self.sentence.text[: claim.first]) and self.claims_before(claim):
            near = reached_from(self.chosen[-1], self.music) if self.chosen else []
            notes = [note for note in notes if note in near]
        return self.light(claim, notes) if len({note.onset for note in notes}) == 1 else NOTHING

    def is_elsewhere(self, claim: Claim, scope: Scope) -> bool:
        """Whether the bar that was named before a degree may not be its own: one that is guessed, or left."""
        bars = [place for place in scope.used if place.level == "bar" and place.last <= claim.first]
        guessed = any(place.pointed for place in scope.used if place.level == "bar")
        moved = MOVED_TO.search(self.sentence.text[: claim.first]) is not None
        goes = LINE_REACHES.search(self.sentence.text[: claim.first]) is not None
        of_it = ("resolves", "line") if goes else ("resolves",)  # no notes of their own
        others = [other for other in self.claims_before(claim) if other.kind not in of_it]
        named = any(bars[-1].last <= other.first for other in others) if bars else False
        return guessed or (moved and named and not scope.followed)

    def is_held_into(self, claim: Claim, span: Span) -> bool:
        """Whether a note that is held into a chord is there what is claimed: "over that chord a suspended fourth"."""
        for change in self.music.changes_in(span):
            held = self.music.sounding_at(change.onset)
            if held is not None and change.chord is not None:
                degree = degree_of(held.sounding.midi % OCTAVE, change.chord)
                if degree in claim.names:
                    return True
        return False

    def is_plainly_said(self, claim: Claim, scope: Scope) -> bool:
        """Whether a bare ordinal is sure to be a degree: "in bar fifteen the fifth rings on", "rests on the third"."""
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        high = claim.names[0] in ("9", "11", "13") and (scope.followed or IN_IT.match(after))
        if high or (self.has_own_chord(claim, scope) and not MOVED_TO.search(before)):
            return True
        if LINE_REACHES.search(before) and len(scope.spans) == 1 and not scope.tests:
            return not self.is_next_in(scope.spans[0], claim)
        bars = [place for place in scope.used if place.level == "bar" and place.last <= claim.first]
        if claim.names[0] in ("9", "11", "13") and bars and PLAIN_ARTICLE.search(before):
            since = self.sentence.text[bars[0].last : claim.first]
            others = any(bars[0].last <= other.first < claim.first for other in self.claims)
            return not others and len(scope.spans) == 1 and pattern_of(r"[,;:]").search(since) is None
        apart = not bars or any(bars[0].last <= other.first < claim.first for other in self.claims)
        beats = [place for place in scope.used if place.level == "beat"]
        if (
            beats and not scope.borrowed and len(scope.spans) == 1
        ):  # there may be one, but not where it is said to be
            between = [
                self.sentence.text[place.last : claim.first] for place in beats if not self.is_in_front(place)
            ]
            apart = any(MOVES_ON.search(text) or pattern_of(r"[,;:]").search(text) for text in between)
            named = PLAIN_ARTICLE.search(before) or (not before.strip() and OF_A_BEAT.match(after))
            return bool(named) and len(self.claims) == 1 and not apart
        if (apart and not scope.followed) or scope.tests or len(scope.spans) != 1:
            return False
        rests = pattern_of(LANDS).search(before.rstrip()) or pattern_of(LEANS).search(before.rstrip())
        reached = bool(bars) and self.is_reached_in(bars[0], claim)
        return bool(rests or reached or (PLAIN_ARTICLE.search(before) and ACTS.match(after)))

    def is_in_front(self, place: Place) -> bool:
        """Whether a place opens a sentence, be it after other places."""
        return IN_FRONT.fullmatch(without_places(self.sentence, 0, place.first, self.places)) is not None

    def is_reached_in(self, bar: Place, claim: Claim) -> bool:
        """Whether a bar itself is said to rise or fall to a degree, which the note after it is not."""
        between = self.sentence.text[bar.last : claim.first].rstrip()
        if PART_OF.search(self.sentence.text[: bar.first]) or not REACHES.fullmatch(between):
            return False
        return not self.is_next_in(bar.spans[0], claim)

    def is_next_in(self, span: Span, claim: Claim) -> bool:
        """Whether the first note after a span is the degree that the line there is said to reach."""
        later = [note for note in self.music.struck if note.onset >= span.end]
        return bool(later) and self.music.finding(later[0]).degree in claim.names
