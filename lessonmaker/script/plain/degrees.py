"""Deciding which notes the degrees of a sentence are."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, bars_in, format_position, format_span
from lessonmaker.script.candidates import degree_candidates, lit_note
from lessonmaker.script.model import Lit, Mention
from lessonmaker.script.plain.choosing import ARRIVES, LANDS, LEANS, MOTION, REACHES, TARGETS, Choosing
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import APPROACHES, MOST_CHOICES, NOTHING, Decided
from lessonmaker.script.plain.degree_words import LEADING_NOTE
from lessonmaker.script.plain.ends import End, end_said, notes_at
from lessonmaker.script.plain.motion import (
    OCTAVE,
    goes_against,
    is_named,
    motion_between,
    reached_from,
    without_places,
)
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.places import Place
from lessonmaker.script.plain.scope import MOVES_ON, Scope, lists_in
from lessonmaker.script.plain.stretches import Stretch
from lessonmaker.script.plain.verbs import (
    ENDING,
    FALLING,
    LEANING,
    RISING,
    SOUNDING,
    STARTING,
)
from lessonmaker.script.plain.vocabulary import NUMBER, number_of
from lessonmaker.script.targets import Claim as OrderedClaim
from lessonmaker.script.targets import only_order
from lessonmaker.theory.degree import degree_of, is_chord_tone

__all__ = ["Degrees"]

AGAIN = re.compile(r"\b(?:that|this|(?:the|that) (?:very )?same) $")
BETWEEN = ("degree", "note", "set", "device")  # of these nothing stands between "begins on" and what begins
PLAIN_ARTICLE = re.compile(r"\b(?:the|its) $")
# What a note does, after the word that names it.
ACTS = re.compile(
    r" (?:(?:that |which )?(?:is|was|gets) (?:\w+ )?(?:held|sustained|leaned|hidden|struck|played|there|on|hit"
    r"|heard|sounded|sung|repeated|approached|placed|stressed|accented|touched|tied)\b"
    rf"|(?:in|on) (?:bar|measure|beat)\b|{SOUNDING}|{LEANING}|{FALLING}|{RISING}|resolves?|comes\b(?! from))(?!\w)"
)
PART_OF = re.compile(r"\b(?:of|in|at|from|after|before)(?: the)? $")
HEADS = re.compile(rf"(?:{FALLING}|{RISING}|resolv\w+)|\b(?:down|up)\b")
DEFINITE = re.compile(r"\b(?:that|this|the) $")
IS = re.compile(r"^[^,;:]*\b(?:is|was)\b[^,;:]*$")
OF_A_CHORD = re.compile(r" of [a-g](?: [\w ]+|[\w#]*)?")
POINTED_NOTE = re.compile(
    r"\b(?:the|that|this|our|your|an?|another|one|hits?|plays?)(?: (?:high|low|long|little|nice|big|lone))?"
    r" $"
)
MOVED_TO = re.compile(r"\b(?:to|into|onto)(?: the| its| a)? $")
IN_IT = re.compile(r" in (?:it|there)\b")
POINTED_AT = re.compile(r" (?:in (?:this|these) |right (?:here|there)\b)")
SAID_AGAIN = re.compile(
    r"(?: (?:up|down|over|right)? ?(?:there|here))?(?:,[^,;:]{3,25},)?,?"
    r"(?: (?:that's|which is|is|was|it's|and that's|being|and (?:it|that|this) is|as|i mean|i call it|we call it|simply"
    r"|just|really|actually|of course|in fact))*(?: (?:the|your|our|an?|its))? "
)
APPOSED = re.compile(
    r", (?:(?:that's|which is|namely|i mean) )?(?:the |an? |our |your )?"
)  # "on the five, the A"
BEGINS_SO = re.compile(rf"\b{STARTING}(?: off| out| up)?(?: with| on)? $")
ENDS_SO = re.compile(rf"\b{ENDING}(?: off| out| up)?(?: with| on)? $")
AIMED = re.compile(
    r"(?: (?:that|which))?(?: (?:is|are|was|here|it|just))*(?: (?:aim(?:s|ed|ing)? at|target(?:s|ed|ing)?|around|round"
    r"|surround\w*|circl\w*|of|leads? to|lands? on|closes? in on))?(?: (?:the|its|a))? "
)
GOALS = re.compile(
    r"\b(?:around|round|of|into|onto|to|on|aim\w*(?: at)?|target\w*|squeez\w*|pinch\w*|hug\w*|surround\w*|enclos\w*)"
    r"(?: the| an?| its| that)? $"
)
BECOMES = re.compile(
    r"\b(?:becomes?|(?:has|have) become|turns? into|(?:has|have) turned into|changes? into|is heard as|is now)"
    r"(?: (?:the|an?|its|our))? $"
)
MOVED = re.compile(rf"\b(?:{FALLING}|{RISING}|moves?|goes|resolv\w+|steps?)\b")
TIMES = re.compile(r"\b(?:all |each of the |every one of the )?(both|two|three|four|five) times\b")
TIED_INTO = re.compile(r"\b(?:tied|held|hung|carried|hangs|rings|sustained)(?: over)?(?: right)?(?: in)?to $")
# What says that degrees come in the order in which they are named.
IN_ORDER = re.compile(
    r"\b(?:runs?|goes|go|moves?|plays?|walks?|climbs?|comes?|comes? down|descends?|ascends?|reads?|spells?|order"
    r"|notes are)\b[^,;:.]*$"
)
OVER_AND_OVER = re.compile(
    rf"\b(?:each|every|all|both (?:times|bars|chords)|(?:through|over|across) (?:{NUMBER}|both) (?:chords|changes)"
    rf"|{NUMBER} times|over and over|again and again)\b"
)
BOTH_SIDES = re.compile(r" (?:on|at|to) (?:either|each|both)(?: of its)? (?:sides?|hands?|ends?)\b")
IN_EACH = re.compile(r"\b(?:in|of) (?:each|both)\b|\b(?:each|both) times?\b")
OF_EACH_BAR = re.compile(
    r"\b(?:each|every one|both)(?: of (?:the|these|those|our))?(?: (?:two|three|four|little|single))* "
    r"(?:bars?|measures?)\b[^,;:]* $"
)
OF_THE_CHORD = ("3", "5", "b7")  # degrees whose plain number names the one that the chord has
IN_FRONT = 4  # where a place that opens a sentence stands at the latest: "on beat one, the third ..."
FEW = 3  # the most notes of a name among which "that A" may be one
VOICE = 3  # the fewest notes of a line between those of another


class Degrees(Choosing):
    """Decides claims of degrees, one by one and in a row."""

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

    def held_into_bar(self, claim: Claim, scope: Scope) -> Note | None:
        """The note held into the bar that is said to be tied into: "the A flat that is tied into measure eighteen"."""
        bars = [place for place in scope.used if place.level == "bar" and place.first >= claim.last]
        tied = bars and TIED_INTO.search(self.sentence.text[claim.last : bars[0].first])
        return self.music.sounding_at(scope.spans[0].start) if tied and len(scope.spans) == 1 else None

    def is_called(self, claim: Claim, note: Note) -> bool:
        """Whether a note is what a claim names."""
        if claim.kind == "note":
            return note.written.name == named_note(claim.name)
        return self.music.finding(note).degree in claim.names

    def named(self, claim: Claim, span: Span, scope: Scope) -> list[Note]:
        """The notes of a span with one of a claim's degrees, where the scope has them."""
        if claim.kind == "note":
            wanted = named_note(claim.name)
            struck = self.music.struck_between(span.start, span.end)
            return [note for note in struck if note.written.name == wanted and scope.passes(note, self.music)]
        if claim.name == LEADING_NOTE:
            leading = self.leading_notes(span)
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
            own = [note for note in found.values() if self.music.finding(note).degree in claim.names]
            tones = [note for note in own if self.is_tone(note)]
            return tones if tones and claim.names[0] in OF_THE_CHORD else own
        return list(found.values())

    def leading_notes(self, span: Span) -> list[Note]:
        """The notes a half step below the tonic of the key that is heard, or the major seventh of their chord."""
        tonics = [
            (note, key.tonic.pitch_class)
            for note in self.music.struck_between(span.start, span.end)
            for key in self.music.analysis.keys
            if key.span.start <= note.onset < key.span.end
        ]
        return [
            note
            for note, tonic in tonics
            if (note.sounding.midi + 1) % OCTAVE == tonic or self.music.finding(note).degree == "7"
        ]

    def is_tone(self, note: Note) -> bool:
        """Whether a note is one of its chord's own."""
        finding = self.music.finding(note)
        return bool(finding.chord and finding.degree and is_chord_tone(finding.degree, finding.chord))

    def order_lists(self) -> None:
        """Narrow the options of degrees in a list where they can follow each other in one way only."""
        for run in lists_in(self.sentence, self.claims):
            options = [self.options[index] for index in run]
            said_again = (self.is_the_same(index) for index in run[1:])
            if any(said_again):
                continue
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
        for stride in (1, 2):  # side by side, or in a voice of its own, every other note
            for first in range(len(line) - (len(run) - 1) * stride):
                here = line[first : first + (len(run) - 1) * stride + 1 : stride]
                if all(note in self.options[index] for note, index in zip(here, run, strict=True)):
                    ways.append(here)
            if ways or len(run) < VOICE:
                break
        return ways[0] if len(ways) == 1 else []

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
            return APPOSED.fullmatch(between) is not None
        if before.kind != "note" or claim.kind != "degree":
            return False
        return SAID_AGAIN.fullmatch(between) is not None

    def degree(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """One degree."""
        sided = self.on_both_sides(claim)
        if claim.at and sided is None:
            return self.light(claim, self.options[index])
        if claim.name == LEADING_NOTE and self.is_said_of_before(claim):
            return NOTHING
        return sided or self.single(index, claim, scope)

    def single(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A degree that was not found with others."""
        said = (
            self.named_again(index, claim)
            or self.misses_goal(index, claim)
            or self.become(index, claim)
            or self.at_an_end(claim)
            or self.moved_to(index, claim, scope)
        )
        if said is not None:
            return said
        notes = self.arrived(claim, scope) or self.options[index]
        if self.is_of_all(claim, scope, notes):
            return NOTHING
        if scope.next_chord and self.chosen:
            notes = self.of_next_chord(notes)
        if not notes:
            return self.no_degree(claim, scope)
        return self.one_of(index, claim, scope, notes)

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
        times = TIMES.search(self.sentence.text)
        if times is not None and len(onsets) == (2 if times[1] == "both" else number_of(times[1])):
            return self.several(replace(claim, count=len(onsets)), notes)
        if len(onsets) > 1:
            notes = self.likeliest(index, claim, notes)
        if len({note.onset for note in notes}) == 1:
            return self.light(claim, notes)
        placed = claim.sure or scope.explicit or scope.tests or self.is_pointed_at(claim)
        return self.ask(claim, notes) if placed or self.is_one_of_few(claim, notes) else NOTHING

    def on_both_sides(self, claim: Claim) -> Decided | None:
        """The degree on either side of the note chosen last: "a sharp eleven, with the fifth on both sides"."""
        line = [heard.note for heard in self.music.etude.melody]
        if (
            not BOTH_SIDES.match(self.sentence.text[claim.last :])
            or not self.chosen
            or self.chosen[-1] not in line
        ):
            return None
        at = line.index(self.chosen[-1])
        sides = [*line[max(at - 1, 0) : at], *line[at + 1 : at + 2]]
        named = [note for note in sides if self.music.finding(note).degree in claim.names]
        return self.several(replace(claim, count=-1), named) if len(named) > 1 else None

    def is_of_all(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> bool:
        """Whether what is asked of the player is asked of all such notes: "make the third sing", of a whole page."""
        many = len({note.onset for note in notes}) > MOST_CHOICES
        return many and claim.stance == "handled" and not scope.explicit

    def is_resolution(self, index: int) -> bool:
        """Whether a degree is what the one before is said to resolve to."""
        before = self.claims[index - 1] if index else None
        resolves = before is not None and before.kind == "resolves"
        return resolves and MOVED_TO.search(self.sentence.text[: self.claims[index].first]) is not None

    def is_one_of_few(self, claim: Claim, notes: Sequence[Note]) -> bool:
        """Whether a name that a sentence speaks of as known to the hearer may be only two or three notes."""
        alone = sum(other.kind in BETWEEN for other in self.claims) == 1
        known = DEFINITE.search(self.sentence.text[: claim.first]) and alone
        most = MOST_CHOICES if claim.stance == "handled" else FEW
        return bool(known) and 0 < len({note.onset for note in notes}) <= most

    def is_pointed_at(self, claim: Claim) -> bool:
        """Whether a degree is shown with the finger: "that ninth", "the third in this phrase"."""
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        return bool(re.search(r"\b(?:that|this) $", before) or POINTED_AT.match(after))

    def named_again(self, index: int, claim: Claim) -> Decided | None:
        """The degree of a note that was just named: "D flat, the flat nine"."""
        if (
            not index
            or not self.chosen
            or self.claims[index - 1].kind != "note"
            or not self.says_again(index)
        ):
            return None
        note = self.chosen[-1]
        degree = self.music.finding(note).degree
        if degree in claim.names:
            return self.light(claim, [note])
        between = self.sentence.text[self.claims[index - 1].last : claim.first]
        doubtful = not IS.search(between) or self.sentence.is_question or self.outlasts_its_chord(note)
        far = claim.names[0] in ("9", "11", "13") and _number(degree or "") != _number(claim.names[0])
        known = claim.sure or far or self.has_own_chord(claim, self.scopes[index])
        if degree is None or not known or doubtful:
            return None
        place, words = (
            format_position(self.music.score, note.onset),
            self.sentence.words(claim.first, claim.last),
        )
        what = f"“{words}”: {self.claims[index - 1].name} at {place} is the {degree}"
        return Decided(None, f"{degree}@{place}", (), what, f"write [{words}]({degree}@{place})")

    def misses_goal(self, index: int, claim: Claim) -> Decided | None:
        """A fault where the enclosure that was just named leads to another degree than is said."""
        before = self.claims[index - 1] if index else None
        named = before is not None and before.kind == "device" and before.name == "enclosure"
        if before is None or not named or not self.chosen or claim.name == LEADING_NOTE:
            return None
        if not AIMED.fullmatch(self.sentence.text[before.last : claim.first]):
            return None
        goal = self.chosen[-1]
        devices = self.music.analysis.devices
        if not any(device.kind == "enclosure" and device.notes[-1] == goal.id for device in devices):
            return None
        degree, at = self.music.finding(goal).degree, format_position(self.music.score, goal.onset)
        if degree is None or _number(degree) == _number(claim.names[0]):
            return None
        what = (
            f"“{self.sentence.words(claim.first, claim.last)}”: the enclosure leads to the {degree} at {at}"
        )
        return Decided(None, f"{degree}@{at}", (), what, f"write {degree}@{at}")

    def become(self, index: int, claim: Claim) -> Decided | None:
        """What a note is said to become over the next chord, while it is held or struck once more."""
        before = self.claims[index - 1] if index else None
        if before is None or before.kind not in ("degree", "note") or not self.chosen:
            return None
        between = self.sentence.text[before.last : claim.first]
        if not BECOMES.search(between) or MOVED.search(between):
            return None
        last = self.chosen[-1]
        held = self.music.changes_in(Span(last.onset, last.onset + last.held + INSTANT))
        over = {degree_of(last.sounding.midi % OCTAVE, change.chord) for change in held if change.chord}
        if set(claim.names) & (over | {self.music.finding(last).degree}):
            return self.light(claim, [last])
        following = [note for note in reached_from(last, self.music) if note.sounding == last.sounding]
        named = [note for note in following if self.music.finding(note).degree in claim.names]
        if named:
            return self.light(claim, named[:1])
        return self.no_becoming(claim, last, sorted(each for each in over if each))

    def no_becoming(self, claim: Claim, last: Note, over: Sequence[str]) -> Decided | None:
        """A note that becomes something else than is said."""
        if not claim.sure and not self.has_own_chord(claim, self.scopes[self.claims.index(claim)]):
            return None
        if self.sentence.is_question or not over:
            return NOTHING
        at, words = (
            format_position(self.music.score, last.onset),
            self.sentence.words(claim.first, claim.last),
        )
        what = f"“{words}”: the {last.written.name} at {at} becomes the {over[-1]}"
        return Decided(None, f"{over[-1]}@{at}", (), what, "say what it becomes")

    def note(self, index: int, claim: Claim, _: Scope) -> Decided:
        """A note by its name: lit where only one can be meant."""
        notes = self.options[index]
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
        if claim.count and claim.count == len(notes):
            return self.several(claim, notes)
        if self.chosen and re.search(rf"\b{ARRIVES}", self.sentence.text[: claim.first].rstrip()):
            wanted = named_note(claim.name)
            notes = [
                note for note in reached_from(self.chosen[-1], self.music) if note.written.name == wanted
            ][:1]
        elif len({note.onset for note in notes}) > 1:
            notes = self.likeliest(index, claim, notes)
        if len({note.onset for note in notes}) == 1:
            return self.light(claim, notes) if self.music.finding(notes[0]).degree else NOTHING
        if not notes:
            return self.no_note(claim, self.scopes[index])
        return self.ask(claim, notes) if self.is_one_of_few(claim, notes) else NOTHING

    def is_named_goal(self, index: int, claim: Claim) -> bool:
        """Whether a note is what the enclosure or approach that was just named leads to: "squeezing the G"."""
        before = self.claims[index - 1]
        named = before.kind == "device" and before.name in APPROACHES and bool(self.chosen)
        goes_to = GOALS.search(self.sentence.text[before.last : claim.first]) if named else None
        return goes_to is not None and self.chosen[-1].written.name == named_note(claim.name)

    def no_note(self, claim: Claim, scope: Scope) -> Decided:
        """A note by its name that is not there: a fault, where nothing of that name can be meant."""
        before = self.sentence.text[: claim.first]
        pointed = POINTED_NOTE.search(before) and not MOVED_TO.search(before)
        if not pointed or len(scope.spans) != 1 or not scope.explicit or scope.unknown or scope.tests:
            return NOTHING
        if self.sentence.is_question or not self.may_be_false(claim, scope):
            return NOTHING
        span, wanted = scope.spans[0], named_note(claim.name).pitch_class
        near = self.music.struck_between(span.start, span.end + INSTANT)
        there = {note.written.name.pitch_class for note in near}
        roots = {change.written.root.pitch_class for change in self.music.changes_in(span) if change.written}
        held = self.music.sounding_at(span.start)
        if wanted in there | roots or (held is not None and held.written.name.pitch_class == wanted):
            return NOTHING
        words = self.sentence.words(claim.first, claim.last)
        target, where = format_span(self.music.score, span), self.music.said(span)
        return Decided(
            None, target, (), f"“{words}”: there is no {claim.name} in {where}", "name a note that is there"
        )

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

    def at_an_end(self, claim: Claim) -> Decided | None:
        """The note that something is said to begin or end with, or to reach at most; a fault where it is another."""
        end = end_said(self.sentence, claim, self.places, self.spans, self.music)
        between = end is not None and [
            other
            for other in self.claims_before(claim)
            if other.kind in BETWEEN and other.first > end.first and other.name != "register peak"
        ]
        if end is None or between or claim.count > 1:
            return None
        if not end.subjects:
            return NOTHING
        for subject in end.subjects:
            each = [self.named_at(claim, end, stretch) for stretch in subject.stretches]
            fitting = [notes for notes in each if notes]
            if subject.every and len(fitting) == len(each):
                return self.several(replace(claim, count=-1), [notes[0] for notes in fitting])
            if not subject.every and fitting and all(notes == fitting[0] for notes in fitting):
                return self.light(claim, fitting[0])
            if fitting and not subject.every:
                return None
        return self.ends_otherwise(claim, end)

    def named_at(self, claim: Claim, end: End, stretch: Stretch) -> list[Note]:
        """The notes at an end of a stretch that a claim names."""
        there = notes_at(end.side, stretch, self.music)
        placed = [note for note in there if all(test(note, self.music) for test in end.own)]
        if claim.name == LEADING_NOTE:
            leading = self.leading_notes(stretch.span)
            return [note for note in placed if note in leading]
        return [note for note in placed if self.is_called(claim, note)]

    def ends_otherwise(self, claim: Claim, end: End) -> Decided | None:
        """A fault where what is spoken of plainly begins or ends with another note; None where it may not."""
        subject = end.subjects[0]
        known = end.certain and len(end.subjects) == 1 and not claim.count
        known = known and (subject.every or len(subject.stretches) == 1 or subject.edges)
        known = known and (subject.edges or all(stretch.sure for stretch in subject.stretches))
        others = [stretch for stretch in subject.stretches if not self.named_at(claim, end, stretch)]
        notes = notes_at(end.side, others[0], self.music) if others else ()
        if not known or not notes or self.music.finding(notes[-1]).degree is None:
            return NOTHING if end.certain else None
        if self.sentence.is_question:
            return NOTHING
        degree, place = (
            self.music.finding(notes[-1]).degree,
            format_position(self.music.score, notes[-1].onset),
        )
        words = self.sentence.words(claim.first, claim.last)
        what = (
            f"“{words}”: the {end.side} note of {self.music.said(others[0].span)} is the {degree} at {place}"
        )
        return Decided(None, f"{degree}@{place}", (), what, f"write [{words}]({degree}@{place})")

    def comes_in_each(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> bool:
        """Whether each of the spans named together, or of the bars if it is said of each, has one of some notes."""
        spans: Sequence[Span] = scope.spans or self.spans
        if not scope.each:
            bars = [self.music.score.bars[bar] for span in spans for bar in bars_in(self.music.score, span)]
            spans = [Span(bar.start, bar.end) for bar in bars]
            before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
            if len(spans) < 2 or not (IN_EACH.search(after) or OF_EACH_BAR.search(before)):
                return False
        inside = [[note for note in notes if span.start <= note.onset < span.end] for span in spans]
        return all(len({note.onset for note in here}) == 1 for here in inside)

    def moved_to(self, index: int, claim: Claim, scope: Scope) -> Decided | None:
        """What the degree named before is said to move to; a question or a fault where it moves elsewhere."""
        earlier = [other for other in self.claims[:index] if other.kind != "resolves"]
        before = earlier[-1] if earlier else None
        if before is None or before.kind not in ("degree", "note") or not self.chosen or scope.followed:
            return None
        motion = motion_between(self.sentence, before, claim, self.places)
        reached = reached_from(self.chosen[-1], self.music) if motion else []
        named = [note for note in reached if is_named(claim, note, self.chosen[-1], self.music)]
        if named:
            against = goes_against(motion, self.chosen[-1], named[0])
            return self.moves_elsewhere(claim, motion, named[0], ()) if against else self.light(claim, named)
        goal = self.music.finding(self.chosen[-1]).resolves_to
        later = [note for note in self.options[index] if note.onset > self.chosen[-1].onset]
        if goal is None and not later and self.chosen[-1] not in self.options[index] and HEADS.search(motion):
            goal = next((note.id for note in reached), None)
        if not motion or goal is None or claim.count or claim.which:
            return None
        if claim.kind == "note" and not HEADS.search(motion):
            return None
        return self.moves_elsewhere(claim, motion, self.music.struck_by_id[goal], later)

    def moves_elsewhere(self, claim: Claim, motion: str, goal: Note, others: Sequence[Note]) -> Decided:
        """A note that is said to move where it does not: asked where there is such a note later, else a fault."""
        if self.sentence.is_question:
            return NOTHING
        last = self.chosen[-1]
        places = [format_position(self.music.score, note.onset) for note in (last, goal)]
        first, second = (self.music.finding(note).degree for note in (last, goal))
        way = "rises" if goal.sounding.midi > last.sounding.midi else "falls"
        if claim.kind == "note":
            first, second = (f"{note.written.name}" for note in (last, goal))
        words, the = self.sentence.words(claim.first, claim.last), "" if claim.kind == "note" else "the "
        what = f"“{motion} … {words}”: {the}{first} at {places[0]} {way} to {the}{second} at {places[1]}"
        if others and claim.kind != "note":
            return replace(self.ask(claim, [goal, *others]), what=what)
        return Decided(None, f"{second}@{places[1]}", (), what, f"write [{words}]({second}@{places[1]})")

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

    def no_degree(self, claim: Claim, scope: Scope) -> Decided:
        """Nothing fits a degree: a fault, where it is clear that one is claimed and where."""
        if self.is_elsewhere(claim, scope):
            return self.outside_of(claim, scope)
        if scope.borrowed and (notes := self.notes_for(claim, replace(scope, tests=()))):
            notes = self.likeliest(self.claims.index(claim), claim, notes)
            return self.light(claim, notes) if len({note.onset for note in notes}) == 1 else NOTHING
        if scope.unknown or self.sentence.is_question or (not claim.sure and not scope.explicit):
            return NOTHING
        if not self.may_be_false(claim, scope) or (not claim.sure and not self.is_plainly_said(claim, scope)):
            return NOTHING
        span = scope.spans[0] if scope.spans else self.spans[0]
        if self.is_held_into(claim, span):
            return NOTHING
        return self.fault(f"{claim.names[0]}@{format_span(self.music.score, span)}", claim)

    def outside_of(self, claim: Claim, scope: Scope) -> Decided:
        """A degree that may stand in another bar than was named: the only one, or what the note before goes to."""
        notes = self.notes_for(claim, replace(scope, spans=()))
        if self.chosen and MOVED_TO.search(self.sentence.text[: claim.first]):
            notes = [note for note in notes if note in reached_from(self.chosen[-1], self.music)]
        return self.light(claim, notes) if len({note.onset for note in notes}) == 1 else NOTHING

    def is_elsewhere(self, claim: Claim, scope: Scope) -> bool:
        """Whether the bar that was named before a degree may not be its own: one that is guessed, or left."""
        bars = [place for place in scope.used if place.level == "bar" and place.last <= claim.first]
        guessed = any(place.pointed for place in bars)
        moved = MOVED_TO.search(self.sentence.text[: claim.first]) is not None
        named = any(bars[-1].last <= other.first for other in self.claims_before(claim)) if bars else False
        return guessed or (moved and named and not scope.followed)

    def outlasts_its_chord(self, note: Note) -> bool:
        """Whether a note sounds on into another chord, where it has another name."""
        changes = self.music.changes_in(Span(note.onset, note.onset + note.held))
        return any(change.onset > note.onset for change in changes)

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
        if claim.names[0] in ("9", "11", "13") and (
            scope.followed or IN_IT.match(self.sentence.text[claim.last :])
        ):
            return True
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        if self.has_own_chord(claim, scope) and not MOVED_TO.search(before):
            return True
        bars = [place for place in scope.used if place.level == "bar" and place.last <= claim.first]
        if claim.names[0] in ("9", "11", "13") and bars and PLAIN_ARTICLE.search(before):
            since = self.sentence.text[bars[0].last : claim.first]
            others = any(bars[0].last <= other.first < claim.first for other in self.claims)
            return not others and len(scope.spans) == 1 and re.search(r"[,;:]", since) is None
        apart = not bars or any(bars[0].last <= other.first < claim.first for other in self.claims)
        beats = [place for place in scope.used if place.level == "beat"]
        if (
            beats and not scope.borrowed and len(scope.spans) == 1
        ):  # there may be one, but not where it is said to be
            between = [
                self.sentence.text[place.last : claim.first] for place in beats if place.first > IN_FRONT
            ]
            apart = any(MOVES_ON.search(text) or re.search(r"[,;:]", text) for text in between)
            return bool(PLAIN_ARTICLE.search(before)) and len(self.claims) == 1 and not apart
        if (apart and not scope.followed) or scope.tests or len(scope.spans) != 1:
            return False
        rests = re.search(LANDS, before.rstrip()) or re.search(LEANS, before.rstrip())
        reached = bool(bars) and self.is_reached_in(bars[0], claim)
        return bool(rests or reached or (PLAIN_ARTICLE.search(before) and ACTS.match(after)))

    def has_own_chord(self, claim: Claim, scope: Scope) -> bool:
        """Whether the chord of a degree is named right after it: "the third of C"."""
        after = [place for place in scope.used if place.level == "chord" and place.first >= claim.last]
        return any(OF_A_CHORD.fullmatch(self.sentence.text[claim.last : place.last]) for place in after)

    def is_reached_in(self, bar: Place, claim: Claim) -> bool:
        """Whether a bar itself is said to rise or fall to a degree, which the note after it is not."""
        between = self.sentence.text[bar.last : claim.first].rstrip()
        if PART_OF.search(self.sentence.text[: bar.first]) or not REACHES.fullmatch(between):
            return False
        later = [note for note in self.music.struck if note.onset >= bar.spans[0].end]
        return not later or self.music.finding(later[0]).degree not in claim.names

    # Sets -----------------------------------------------------------------------------------------------

    def taken_apart(
        self, claims: Sequence[Claim], scopes: Sequence[Scope]
    ) -> tuple[list[Claim], list[Scope]]:
        """The claims with their scopes, rows that stand nowhere in the line as degrees one by one."""
        found: list[tuple[Claim, Scope]] = []
        for claim, scope in zip(claims, scopes, strict=True):
            apart = bool(claim.parts) and not self.ways_of(claim, scope)
            if apart and scope.explicit and not all(self.notes_for(part, scope) for part in claim.parts):
                found.append((replace(claim, sure=True), scope))  # one of them is not there: false as a whole
            else:
                found += [(part, scope) for part in (claim.parts if apart else (claim,))]
        return [claim for claim, _ in found], [scope for _, scope in found]

    def set_of_degrees(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """Degrees in a row, next to each other in the line."""
        ways = (
            [self.notes_for(claim, scope)]
            if claim.at
            else self.ways_of(claim, scope) or self.ways_of(_coloured(claim), scope)
        )
        if not scope.tests and self.chords_before:
            ways = [way for way in ways if self.is_over_chord_before(way[0])] or ways
        later = [way for way in ways if not self.chosen or way[0].onset > self.chosen[-1].onset]
        if not ways:
            return self.no_set(claim, scope)
        if len(ways) > 1 and OVER_AND_OVER.search(self.sentence.text):
            return self.every_way(ways)
        same = [other for other in self.claims if other.kind == "set" and self.is_alike(other, claim)]
        again = any(other.first < claim.first and not other.at for other in same)
        if again and len(ways) == 1 and ways[0][0] in self.begun_sets:
            ways = self.other_ways(claim, ways[0])
        if len(ways) == len(same) > 1:  # said as often as it comes
            later = ways[same.index(claim) :]
            ways = later[:1]
        before = self.sentence.text[: claim.first]
        if len(ways) > 1 and (BEGINS_SO.search(before) or ENDS_SO.search(before)):
            later = ways = ways[:1] if BEGINS_SO.search(before) else ways[-1:]
        if len(ways) > 1 and len(later) != 1 and not self.has_device("sequence"):
            return self.question(
                self.sentence.words(claim.first, claim.last), [self.set_target(way) for way in ways]
            )
        way = (later or ways)[0]
        self.chosen.append(way[-1])
        self.begun_sets.append(way[0])
        target = self.set_target(way)
        lit = tuple(lit_note(note, self.music) for note in way)
        return Decided(
            Mention("notes", Span(way[0].onset, way[-1].onset + way[-1].held), lit, target=target), target
        )

    def is_alike(self, one: Claim, other: Claim) -> bool:
        """Whether two rows may be of the same degrees: "third, fifth and flat seven", "third, fifth, seven"."""
        pairs = zip(one.names, other.names, strict=False)
        same = len(one.names) == len(other.names)
        return same and all(set(a.split("|")) & set(b.split("|")) for a, b in pairs)

    def other_ways(self, claim: Claim, lit: Sequence[Note]) -> list[list[Note]]:
        """Where else in the cue a row comes that is said once more; where it was lit, if nowhere else."""
        ways = [way for way in self.ways_of(claim, Scope()) if way[0] not in self.begun_sets]
        return ways if len(ways) == 1 else [list(lit)]

    def ways_of(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The places where some degrees come in a row: side by side in the line, else in order in a bar."""
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
        return ways or self.in_order(claim, scope)

    def in_order(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """Degrees that follow each other in one way only, with notes between, in the bars that are named."""
        if claim.sure or not scope.spans:
            return []
        notes = [
            note
            for note in self.music.struck_between(scope.spans[0].start, scope.spans[0].end)
            if scope.passes(note, self.music)
        ]
        named = [
            OrderedClaim(names, tuple(note for note in notes if self.is_number(note, names)))
            for names in claim.names
        ]
        ordered = only_order(named) if all(each.notes for each in named) else []
        return [[each.notes[0] for each in ordered]] if ordered else []

    def first_in_order(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The first notes of a bar that come in the order of a row, others between them."""
        notes = list(self.music.struck_between(scope.spans[0].start, scope.spans[0].end))
        found: list[Note] = []
        for names in claim.names:
            later = [
                n for n in notes if (not found or n.onset > found[-1].onset) and self.is_number(n, names)
            ]
            if not later:
                return []
            found.append(later[0])
        return [found]

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
        if not scope.explicit or self.sentence.is_question or not claim.sure:
            return NOTHING
        apart = self.in_order(replace(claim, sure=False), scope) or self.first_in_order(claim, scope)
        if apart and not IN_ORDER.search(self.sentence.text[: claim.first]):
            return self.several(replace(claim, count=-1), apart[0])
        each = self.fault(f"{','.join(names)}@{format_span(self.music.score, scope.spans[0])}", claim)
        if each.mention is None or not IN_ORDER.search(self.sentence.text[: claim.first]):
            return each
        notes = self.music.struck_by_id
        there = sorted((notes[lit.note] for lit in each.mention.notes), key=lambda note: note.onset)
        labels = [self.music.finding(note).degree or "" for note in there]
        if all(label in names.split("|") for label, names in zip(labels, claim.names, strict=False)):
            return each
        words, where = self.sentence.words(claim.first, claim.last), self.music.said(scope.spans[0])
        what = f"“{words}”: {where} has them in the order {' '.join(labels)}"
        return Decided(None, each.target, (), what, f"write {' '.join(labels)}")

    def is_number(self, note: Note, names: str) -> bool:
        """Whether a note's degree is one of some, parted by |."""
        return self.music.finding(note).degree in names.split("|")

    def set_target(self, way: Sequence[Note]) -> str:
        """How a link names degrees in a row."""
        labels = ",".join(self.music.finding(note).degree or "" for note in way)
        ends = [format_position(self.music.score, note.onset) for note in (way[0], way[-1])]
        return f"{labels}@{'-'.join(dict.fromkeys(ends))}"


def _number(degree: str) -> str:
    """A degree's number in its first octave: "b13" is 6."""
    number = degree.strip("b#")
    return {"9": "2", "11": "4", "13": "6"}.get(number, number)


# What a plain number in a figure may be as well: "nine, seven, five, three" of a chord with a flat nine.
COLOURS = {"9": "9|b9|#9", "11": "11|#11|4", "13": "13|b13|6", "5": "5|b5|#5"}


def _coloured(claim: Claim) -> Claim:
    """A row of degrees of which the numbers without a sign may be altered."""
    return replace(claim, names=tuple(COLOURS.get(name.split("|")[0], name) for name in claim.names))
