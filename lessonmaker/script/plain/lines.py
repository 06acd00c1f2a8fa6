"""What a sentence says of a passage of the line as it stands: its note values, rests, rises and falls, its places.

Common practice, no source. What is said of bars that are named, or of the one bar that is in sight, is false where it
is not so; what is said of no bars is looked for in all that are shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, format_span, hull, overlap
from lessonmaker.script.model import Mention
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.contour import CONTOURS
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.density import DENSITY
from lessonmaker.script.plain.departures import DEPARTURES
from lessonmaker.script.plain.directions import DIRECTIONS
from lessonmaker.script.plain.enclosed import is_called
from lessonmaker.script.plain.extremes import EXTREMES, NAME
from lessonmaker.script.plain.leaps_told import LEAPS_TOLD
from lessonmaker.script.plain.lengths import LENGTHS, LONG
from lessonmaker.script.plain.offbeats import OFFBEATS
from lessonmaker.script.plain.one_way_runs import COUNTED, RUNS
from lessonmaker.script.plain.passage import EACH, UNKNOWN, Passage, Saying, Verdict
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.phrase_edges import PHRASE_EDGES
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.rests import RESTS
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stance_words import WISHES
from lessonmaker.script.plain.stretches import MASK, Stretch, masked, named_last, subjects_in
from lessonmaker.script.plain.tallies import TALLIES
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.value_rows import VALUE_ROWS
from lessonmaker.script.plain.verbs import FALLING, RISING

__all__ = ["Lines", "is_aside", "line_claims"]

# What is said of what is left, or of notes that are counted, and what the player is told to do first.
THEN = pattern_of(r"\b(?:then|otherwise|after that|afterwards|elsewhere|the rest|everything else)\b[^;:]*$")
ELSEWHERE = pattern_of(
    r",? (?:until|till|except|in between|between them|around (?:it|them)|otherwise|elsewhere|after that|for the rest"
    r"|the rest)\b"
)
APPOSED = pattern_of(r"(?:,|:|;)(?: one| and)? $|(?:,|:|;) [^,;:]*(?:,| and) $")
TOLD = pattern_of(r"\s*(?:and |so |now |just )*(?:breathe|hold|rest|wait)\b")
TOLD_TO = pattern_of(rf"{TOLD.pattern}.*(?:[,;:]| and\b| then\b| before\b)")
SAYINGS: tuple[Saying, ...] = (
    *RUNS,
    *OFFBEATS,
    *RESTS,
    *LEAPS_TOLD,
    *CONTOURS,
    *TALLIES,
    *VALUE_ROWS,
    *LENGTHS,
    *DENSITY,
    *DEPARTURES,
    *DIRECTIONS,
    *PHRASE_EDGES,
)
# What is told of a note's length before the note: "that's how long the fifth is held".
HOW_LONG = pattern_of(
    r",? (?:that's|that is|is|it's) (?:how long|all|the length of|all the time)(?: that)? (?:the|that|our|its|your) "
)
HOLDS_IT = pattern_of(r"(?:hold|holds|keep|keeps|sustain|sustains|stretch|stretches) it\b")
AND_SO = pattern_of(r",? (?:and|then|and then|so) (?:we |you |i |it )?(?:just |simply )?")
# What does not stand between a note that is named and what is said of it.
OTHER_THING = (
    r"and(?! (?:it|that|is|has|lasts|gets))|but|or|to|into|onto|before|after|until|till|while|whereas"
    r"|because|so|when|where|if"
    rf"|another|other|followed|plus|{FALLING}|{RISING}|resolves|leads|moves|goes|next|starts?|begins?|ends?|not|once|twice|times|octaves?|again|\w+n't"
)
OF_IT = pattern_of(rf"(?:'[a-z]+)?(?:,? (?!(?:{OTHER_THING})(?![\w']))[a-z']+){{0,9}}[, ]*")
TO_A_DEGREE = pattern_of(r" (?:on|at|with)(?: (?:the|its|an?))? ")
# Of what a claim may be made other than of bars, by the nouns of `stretches`.
SUBJECTS = ("phrase", "unit", "arpeggio", "triplet", "sixteenth", "sequence", "motif", "piece", "chord")
AHEAD = pattern_of(
    r"\b(?:before|ahead of) (?:we (?:get to|reach|hit) )?$"
)  # before a bar, of what comes in that before it
TOWARDS = pattern_of(
    r"\b(?:into|to|past|through|across|over|beyond|before) $"
)  # before a bar in which nothing is
# What is not said of the music as it stands.
NOT_NOW = pattern_of(
    r"^\s*if\b(?! (?:you|we|i) (?:count|look|listen|add)\b[\w ]{0,20},)|\b(?:next (?:term|week|month|year"
    r"|time|lesson)|tomorrow|when you're|once you're|you'd better|please"
    r"|(?:we|you|i|he|she|they)'ll(?! (?:find|see|hear|notice|have noticed)\b)|will|let's|used to)\b"
)
# A distance, and no verb: "a half step up".
A_STEP = pattern_of(r"\b(?:half|whole)[ -]steps? (?:up|down)$")
# "The long one is just the G".
THE_LONG = pattern_of(r"\blong (?:one|note|tone)$")
IS_CALLED = pattern_of(
    r"(?: here| there)?(?:,| is| was|'s)(?: (?:also|just|only|really|simply|of course|\w+ly))*"
    r"(?: (?:the|an?|our|that|its))? ?"
)
IS_A_LETTER = pattern_of(rf"{IS_CALLED.pattern}(?P<note>{NAME})(?=[,.;:!?]|$)")
ANOTHER_PART = pattern_of(r"[;:]|, (?:so|and|but|please)\b")


def line_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of a passage of the line, none of it twice."""
    taken: list[tuple[int, int]] = []
    for index, saying in enumerate(SAYINGS):
        for match in saying.pattern.finditer(sentence.text):
            first, last = match.span()
            unread = saying.after is not None and not saying.after.search(sentence.text[:first])
            unread = unread or A_STEP.search(sentence.text[:first] + match[0]) is not None
            if not unread and not any(first < end and start < last for start, end in taken):
                taken.append((first, last))
                yield Claim("line", first, last, str(index), sure=saying.denial)


def is_aside(claim: Claim) -> bool:
    """Whether a claim is made by the way, beside others."""
    return claim.kind == "line" and SAYINGS[int(claim.name)].aside


# "G and G flat, slip by a half step".
LISTED = pattern_of(r"(?:,|,? and|,? then)(?: the)? ")
ALONE = pattern_of(r",?(?: (?:just|both|only|simply|then))* ")


@dataclass
class Lines(Patterns):
    """Decides what is said of a passage of the line; `told_until` is when the note ends that was told of last."""

    told_until: Fraction | None = None

    def line(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The notes or bars of which something is true; a fault where it is plainly not so."""
        saying = SAYINGS[int(claim.name)]
        match = saying.pattern.match(self.sentence.text, claim.first)
        scope = self.with_own_bars(claim, scope)
        if (
            match is None
            or not self.is_said_now(saying, claim)
            or self.is_where(claim)
            or self.is_counted_of_a_run(claim)
            or self.is_of_a_degree(claim)
        ):
            return NOTHING
        scope = self.with_own_bars(claim, scope)
        if (long := self.long_note_called_so(claim, scope)) is not None:
            return self.lit_verdict([Verdict((long,))])
        if not scope.spans and self.is_of_those_before(saying, match):
            return NOTHING
        scope = self.without_others_bars(claim, scope) if saying in VALUE_ROWS else scope
        plain = self.plain_passage(claim, scope)
        of_subjects = [
            saying.judge(match, self.passage_of(each, plain)) for each in self.subjects_of(claim, scope)
        ]
        if of_subjects and all(each.holds for each in of_subjects):
            return self.lit_verdict(of_subjects)
        verdicts = self.verdicts(saying, match, claim, scope)
        if saying in VALUE_ROWS and not any(each.holds for each in verdicts):
            verdicts = self.beyond_a_part(saying, match, claim, scope) or verdicts
        of_bars = any(each.holds for each in verdicts) or not of_subjects
        return self.decided(claim, scope, verdicts if of_bars else of_subjects)

    def long_note_called_so(self, claim: Claim, scope: Scope) -> Note | None:
        """Of several long notes the one that is what the long one is said to be: "the long one is A"."""
        text = self.sentence.text
        if not THE_LONG.search(text[: claim.last]):
            return None
        letter = IS_A_LETTER.match(text, claim.last)
        letters = [Claim("note", *letter.span("note"), letter["note"])] if letter is not None else []
        names = (other for other in (*letters, *self.claims) if other.kind in ("degree", "note"))
        called = (other for other in names if IS_CALLED.fullmatch(text, claim.last, other.first))
        name = next(called, None)
        if name is None:
            return None
        notes = (note for span in scope.spans or self.spans for note in self.music.line_in(span))
        found = [note for note in notes if note.held >= LONG and is_called(name, note, self.music)]
        return found[0] if len(found) == 1 else None

    def is_where(self, claim: Claim) -> bool:
        """Whether the words of a claim only say on which beat something stands: "E flat on the last eighth"."""
        return any(
            place.level == "beat" and place.first <= claim.first and claim.last <= place.last
            for place in self.places
        )

    def is_counted_of_a_run(self, claim: Claim) -> bool:
        """Whether notes that are only pointed at are told of as a run, which says which they are."""
        text = self.sentence.text
        after = next((other for other in self.claims if other.first >= claim.last), None)
        if after is None or after.kind != "line" or SAYINGS[int(after.name)] not in RUNS:
            return False
        counted = COUNTED.search(text[: after.first])
        return counted is not None and counted.start() <= claim.first < counted.end()

    def is_of_a_degree(self, claim: Claim) -> bool:
        """Whether a highest or lowest note is told by the degree right after it, which is another claim."""
        after = next((other for other in self.claims if other.first >= claim.last), None)
        if after is None or after.kind != "degree" or SAYINGS[int(claim.name)] not in EXTREMES:
            return False
        return TO_A_DEGREE.fullmatch(self.sentence.text[claim.last : after.first]) is not None

    def is_said_now(self, saying: Saying, claim: Claim) -> bool:
        """Whether something is said of the music as it stands, in a sentence in which it means the line."""
        text = self.sentence.text
        if saying.alone and any(other.kind in ("degree", "set") for other in self.claims):
            return False
        own = ANOTHER_PART.search(text, claim.last)
        unreal = NOT_NOW.search(text[: own.start()] if own is not None else text) or (
            saying.denial and pattern_of(WISHES).search(text)
        )
        return not unreal and not self.sentence.is_question

    def verdicts(self, saying: Saying, match: re.Match[str], claim: Claim, scope: Scope) -> list[Verdict]:
        """What the bars that are named, or those shown, have of what is said; false of none of them in doubt."""
        found = [saying.judge(match, passage) for passage in self.passages(claim, scope)]
        if any(each.holds or each.choices for each in found):
            return found
        wider = self.passages(claim, replace(scope, tests=())) if scope.tests else []
        if any(saying.judge(match, passage).holds for passage in wider):
            return [UNKNOWN]  # true, but for the beat or chord, which may be another claim's
        if scope.spans or not saying.by_bar:
            return found
        return self.in_one_bar(saying, match, claim, scope) or found

    def beyond_a_part(
        self, saying: Saying, match: re.Match[str], claim: Claim, scope: Scope
    ) -> list[Verdict]:
        """What begins in the part of a bar that is named and goes on: "quarter, eighth, at the top of bar two"."""
        whole = replace(scope, spans=tuple(self.bars_of(span) for span in scope.spans), tests=(), used=())
        found = [each for each in self.verdicts(saying, match, claim, whole) if each.holds]
        begun = [each for each in found if each.notes and self.is_struck_there(each.notes[0], claim, scope)]
        return begun or ([UNKNOWN] if found else [])

    def is_struck_there(self, note: Note, claim: Claim, scope: Scope) -> bool:
        """Whether a note is struck in the part of a bar that a claim is of."""
        inside = any(span.start <= note.onset < span.end for span in scope.spans)
        return (inside or not scope.spans) and all(
            test(note, self.music) for test in self.own_tests(claim, scope)
        )

    def with_own_bars(self, claim: Claim, scope: Scope) -> Scope:
        """A claim's scope with the bars that its own words name: "everything in bar forty is eighths"."""
        words = self.sentence.text
        inside = [place for place in self.places if claim.first <= place.first < claim.last]
        named = [place for place in inside if pattern_of(r"(?:bar|measure)").match(words[place.first :])]
        own = [place for place in named if not TOWARDS.search(words[: place.first])]
        if scope.spans or len(own) != 1 or len(own[0].spans) != 1:
            return scope
        return replace(scope, spans=own[0].spans, explicit=True, used=(*scope.used, own[0]))

    def without_others_bars(self, claim: Claim, scope: Scope) -> Scope:
        """A claim's scope without bars that are named after another claim: "quarter, eighth, and a half to finish"."""
        bars = [place for place in scope.used if place.level == "bar"]
        others = [other for other in self.claims if other.first >= claim.last]
        if bars and all(any(other.last <= place.first for other in others) for place in bars):
            return replace(scope, spans=(), explicit=False)
        return scope

    def passages(self, claim: Claim, scope: Scope) -> list[Passage]:
        """The passages that a claim may be about: the bars that are named, or shown; each by itself if it says so."""
        plain, spans = self.plain_passage(claim, scope), scope.spans
        spans = tuple(span for span in spans if self.is_seen(span)) or spans or tuple(self.spans)
        bars = [place for place in scope.used if place.level == "bar"]
        if any(AHEAD.search(self.sentence.text[: place.first]) for place in bars):
            spans = tuple(self.bar_before(span) for span in spans)
        tests = self.own_tests(claim, scope) or self.tests_of_row(claim)
        passages = [replace(plain, span=span, tests=tests) for span in spans]
        return [bar for each in passages for bar in each.each_bar] if self.is_of_each(claim) else passages

    def plain_passage(self, claim: Claim, scope: Scope) -> Passage:
        """A passage as it is without its bounds: what was said before the claim."""
        named = bool(scope.spans) or self.is_one_bar_shown or self.is_of_each(claim)
        before = self.claims_before(claim)
        after = self.told_until or (self.lit_until if before else None)  # what is named later bounds nothing
        return Passage(self.music, self.spans[0], (), self.subject_of(claim), after, named)

    def bar_before(self, span: Span) -> Span:
        """The bar before a stretch, if there is one."""
        before = [bar for bar in self.music.score.bars if bar.end <= span.start]
        return Span(before[-1].start, before[-1].end) if before else span

    def subjects_of(self, claim: Claim, scope: Scope) -> list[Stretch]:
        """The phrase, the figure or the groups that the words before a claim speak of."""
        start = max((other.last for other in self.claims_before(claim)), default=0)
        clause = masked(self.sentence, self.places)[start : claim.first]
        figure = self.claims_before(claim)[-1:]
        if figure and figure[0].name in SUBJECTS and OF_IT.fullmatch(clause):  # "the triplet goes down"
            clause = self.sentence.text[: figure[0].last]
        own = [place for place in scope.used if not self.is_in_a_claim(place, claim)]
        numbered = self.phrase_before(claim)
        if numbered and not scope.followed:
            notes = self.music.struck_between(numbered[0].start, numbered[0].end)
            return [Stretch(numbered[0], notes)]
        said = named_last(clause)
        if said is None or said.noun not in SUBJECTS:
            return []
        found = subjects_in(clause, own, self.spans, self.music, None)
        stretches = [each for subject in found[:1] for each in subject.stretches]
        return stretches if len(stretches) == 1 or said.every else []

    def is_in_a_claim(self, place: Place, claim: Claim) -> bool:
        """Whether a place is named in the words of another claim."""
        others = [other for other in self.claims if other is not claim]
        return any(other.first <= place.first < other.last for other in others)

    def passage_of(self, stretch: Stretch, plain: Passage) -> Passage:
        """The notes of a subject as a passage."""
        names = {note.id for note in stretch.notes}
        return replace(
            plain,
            span=stretch.span,
            tests=(lambda note, _: note.id in names,),
            after=None,
            named=plain.named and stretch.sure,
        )

    def is_of_each(self, claim: Claim) -> bool:
        """Whether a claim is made of each of some bars: "both bars end on an eighth"."""
        return EACH.search(self.sentence.text[: claim.first]) is not None

    def own_tests(self, claim: Claim, scope: Scope) -> tuple[Test, ...]:
        """The tests of a claim's beats and chords, without those in the words of another claim."""
        return tuple(
            place.test
            for place in scope.used
            if place.test is not None and not self.is_in_a_claim(place, claim)
        )

    def tests_of_row(self, claim: Claim) -> tuple[Test, ...]:
        """Where the row of degrees stands of which a claim is said: "third, fifth, seventh, even eighths"."""
        before = self.claims_before(claim)[-1:]
        if not before or before[0].kind != "set":
            return ()
        if self.sentence.text[before[0].last : claim.first].strip(" ,:"):
            return ()
        own = frozenset(before[0].at)
        return (lambda note, _: note.id in own,) if own else self.scopes[self.claims.index(before[0])].tests

    def is_of_those_before(self, saying: Saying, match: re.Match[str]) -> bool:
        """Whether something is said of all the notes that the sentence before lit, which need not be lit again."""
        notes = [self.music.struck_by_id[name] for name in self.notes_before]
        if len(notes) < 2:
            return False
        names = set(self.notes_before)
        span = Span(notes[0].onset, notes[-1].onset + notes[-1].held)
        passage = Passage(self.music, span, (lambda note, _: note.id in names,))
        return {note.id for note in saying.judge(match, passage).notes} == names

    @property
    def is_one_bar_shown(self) -> bool:
        """Whether the cue shows a single bar."""
        return sum(len(bars_in(self.music.score, span)) for span in self.spans) == 1

    @property
    def lit_until(self) -> Fraction | None:
        """When the note ends that the sentence lit last."""
        return self.chosen[-1].onset + self.chosen[-1].held if self.chosen else None

    def subject_of(self, claim: Claim) -> Note | None:
        """The note of which a claim is said: the one that is named right before it."""
        before = [
            other for other in self.claims_before(claim) if other.kind in ("note", "degree", "standout")
        ]
        if (told := self.told_how_long(claim)) is not None:
            return told
        if not before or not self.chosen:
            return None
        between = masked(self.sentence, self.places)[before[-1].last : claim.first].replace(MASK, "")
        options = self.options[self.claims.index(before[-1])]
        chosen = self.chosen[-1] in options or before[-1].kind == "standout"
        holds_it = HOLDS_IT.match(self.sentence.text, claim.first) and AND_SO.fullmatch(between)
        later = any(other.first >= claim.last and other.kind != "line" for other in self.claims)
        own = [note for note in self.chosen if later and note in options]  # the last may be of a later claim
        return [*own, self.chosen[-1]][0] if (OF_IT.fullmatch(between) or holds_it) and chosen else None

    def told_how_long(self, claim: Claim) -> Note | None:
        """The note of which a length is told first: "half a beat, that's how long the third lasts"."""
        after = [at for at, other in enumerate(self.claims) if other.first >= claim.last][:1]
        notes = self.options[after[0]] if after else []
        told = after and HOW_LONG.fullmatch(self.sentence.text[claim.last : self.claims[after[0]].first])
        return notes[0] if told and len(notes) == 1 else None

    def in_one_bar(self, saying: Saying, match: re.Match[str], claim: Claim, scope: Scope) -> list[Verdict]:
        """What holds in one of the bars that are shown and in no other."""
        bars = [bar for passage in self.passages(claim, scope) for bar in passage.each_bar]
        found = [each for bar in bars if (each := saying.judge(match, bar)).holds]
        return found if len(found) == 1 else []

    def decided(self, claim: Claim, scope: Scope, verdicts: Sequence[Verdict]) -> Decided:
        """What some verdicts on the passages of one claim come to."""
        holding = [each for each in verdicts if each.holds]
        of_each = scope.each or self.is_of_each(claim)
        if holding and (len(holding) == len(verdicts) or not of_each):
            return self.lit_verdict(holding if of_each else holding[:1])
        choices = [row for each in verdicts for row in each.choices]
        if choices:
            words = self.sentence.words(claim.first, claim.last)
            return self.question(words, [self.row_target(row) for row in choices])
        false = next((each for each in verdicts if each.is_there), UNKNOWN)
        there = false.is_there
        if not there or HEDGED.search(self.sentence.text) or claim.stance == "touched":
            return NOTHING
        if self.is_of_the_rest(claim) or self.is_of_named_notes(claim):
            return NOTHING
        span = (scope.spans or self.spans)[0]
        whole = self.is_one_bar_shown or false.is_sure or self.is_of_each(claim)
        of_cue = not scope.spans and not scope.unknown and whole
        of_phrase = any("phrase" in self.sentence.words(each.first, each.last) for each in scope.used)
        of_note = false.is_sure and (of_phrase or self.subject_of(claim) is not None)
        plain = of_cue or of_note or self.is_plain(claim, scope)
        return self.false_of(claim, span, there) if plain else NOTHING

    def is_of_the_rest(self, claim: Claim) -> bool:
        """Whether a claim is made of what another leaves, or of its notes: "a triplet on one, then all quarters"."""
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        earlier = [other for other in self.claims_before(claim) if other.count or other.kind != "line"]
        since = before[earlier[-1].last :] if earlier else ""
        told = THEN.search(since) if earlier else self.is_told_first(claim)
        rest = told or ELSEWHERE.match(after)
        counted = any(other.count for other in earlier)
        return bool(rest or (counted and APPOSED.search(since)))

    def is_of_named_notes(self, claim: Claim) -> bool:
        """Whether a claim is made of notes that are named right before it: "G and G flat slip by a half step"."""
        named = self.claims_before(claim)[-2:]
        if len(named) < 2 or any(each.kind not in ("note", "degree") for each in named):
            return False
        between = self.sentence.text[named[0].last : named[1].first]
        after = self.sentence.text[named[1].last : claim.first]
        return bool(LISTED.fullmatch(between) and ALONE.fullmatch(after))

    def is_told_first(self, claim: Claim) -> bool:
        """Whether the player is told to do something before, or the claim itself is what is told."""
        text = self.sentence.text
        before = text[: claim.first]
        return (TOLD_TO.match(before) if before.strip() else TOLD.match(text, claim.first)) is not None

    def false_of(self, claim: Claim, span: Span, there: str) -> Decided:
        """A fault: what there is in some bars instead."""
        what = f"“{self.sentence.words(claim.first, claim.last)}”: in {self.music.said(span)} {there}"
        return Decided(None, format_span(self.music.score, span), (), what, "say what is there")

    def lit_verdict(self, verdicts: Sequence[Verdict]) -> Decided:
        """Light what some verdicts found."""
        notes = [note for each in verdicts for note in each.notes]
        if notes:
            spoken = len(self.chosen)
            row = self.lit_row(notes)
            del self.chosen[spoken:]  # what is said of the line leaves open which note is spoken of
            self.told_until = notes[-1].onset + notes[-1].held
            return NOTHING if {note.id for note in notes} <= set(self.notes_before) else row
        spans = [each.span for each in verdicts if each.span is not None]
        span = self.seen_of(hull(spans))
        target = format_span(self.music.score, span)
        return Decided(Mention("span", span, (), target=target), target)

    def seen_of(self, span: Span) -> Span:
        """The part of a passage that the cue shows, if it shows any."""
        shown = next((each for each in self.spans if overlap(each, span) > 0), span)
        return Span(max(span.start, shown.start), min(span.end, shown.end))
