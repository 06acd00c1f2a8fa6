"""What a sentence says of a stretch of the line as it stands: its note values, rests, rises and falls, its places.

Common practice, no source. What is said of bars that are named, or of the one bar that is in sight, is false where it
is not so; what is said of no bars is looked for in all that are shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, format_span, overlap
from lessonmaker.script.model import Mention
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.contour import CONTOURS
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.lengths import LENGTHS
from lessonmaker.script.plain.offbeats import OFFBEATS
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.places import Place, Test
from lessonmaker.script.plain.rests import RESTS
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stance_words import WISHES
from lessonmaker.script.plain.stretch import Saying, Stretch, Verdict
from lessonmaker.script.plain.text import Sentence

__all__ = ["Lines", "is_aside", "line_claims"]

SAYINGS: tuple[Saying, ...] = (*OFFBEATS, *RESTS, *LENGTHS, *CONTOURS)
# Between a note that is named and what is said of it.
OF_IT = re.compile(
    r"(?:,| |in|of|on|at|from|the|which|that|is|'s|was|are|gets?|got|takes?|has|lasts?|here|there|then|just|only|simply"
    r"|really|bar|measure|beat|being|it|gets|held|as|for|a|full|with|by|through|stays?|rings?|sits?|holds?|given|right|also"
    r"|last|first|of|tied|high|low|whole|closing|final)*"
)
# What is not said of the music as it stands.
NOT_NOW = re.compile(
    r"\b(?:next (?:term|week|month|year|time|lesson)|tomorrow|when you're|once you're|you'd better|please"
    r"|(?:we|you|i|he|she|they)'ll|will|let's|used to)\b"
)


def line_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of a stretch of the line, none of it twice."""
    taken: list[tuple[int, int]] = []
    for index, saying in enumerate(SAYINGS):
        for match in saying.pattern.finditer(sentence.text):
            first, last = match.span()
            if not any(first < end and start < last for start, end in taken):
                taken.append((first, last))
                yield Claim("line", first, last, str(index), sure=saying.denial)


def is_aside(claim: Claim) -> bool:
    """Whether a claim is made by the way, beside others."""
    return claim.kind == "line" and SAYINGS[int(claim.name)].aside


@dataclass
class Lines(Patterns):
    """Decides what is said of a stretch of the line; `told_until` is when the note ends that was told of last."""

    told_until: Fraction | None = None

    def line(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The notes or bars of which something is true; a fault where it is plainly not so."""
        saying = SAYINGS[int(claim.name)]
        match = saying.pattern.match(self.sentence.text, claim.first)
        degrees = any(other.kind in ("degree", "set") for other in self.claims)
        if match is None or self.sentence.is_question or (saying.alone and degrees):
            return NOTHING
        if NOT_NOW.search(self.sentence.text) or (saying.denial and re.search(WISHES, self.sentence.text)):
            return NOTHING
        if not scope.spans and self.is_of_those_before(saying, match):
            return NOTHING
        verdicts = [saying.judge(match, stretch) for stretch in self.stretches(claim, scope)]
        if scope.tests and not any(each.holds or each.choices for each in verdicts):
            wider = self.stretches(claim, replace(scope, tests=()))
            if any(saying.judge(match, stretch).holds for stretch in wider):
                return NOTHING  # true, but for the beat or chord, which may be another claim's
        if not scope.spans and saying.by_bar and not any(each.holds or each.choices for each in verdicts):
            verdicts = self.in_one_bar(saying, match, claim, scope) or verdicts
        return self.decided(claim, scope, verdicts)

    def stretches(self, claim: Claim, scope: Scope) -> list[Stretch]:
        """The stretches that a claim may be about: the bars, or the phrase, that are named; else those shown."""
        subject, after = self.subject_of(claim), self.told_until or self.lit_until
        phrase = () if scope.followed else self.phrase_before(claim)
        spans = [span for span in phrase or scope.spans if self.is_seen(span)] or list(
            scope.spans or self.spans
        )
        named = bool(scope.spans) or self.is_one_bar_shown
        tests = scope.tests or self.tests_of_row(claim)
        return [Stretch(self.music, span, tests, subject, after, named) for span in spans]

    def phrase_before(self, claim: Claim) -> tuple[Span, ...]:
        """The phrase of which a claim is said, where the sentence speaks of one by its number."""
        phrases = [
            p
            for p in self.places
            if p.level == "bar" and p.last <= claim.first and "phrase" in self.said_at(p)
        ]
        return phrases[0].spans if len(phrases) == 1 else ()

    def said_at(self, place: Place) -> str:
        """The words that name a place."""
        return self.sentence.words(place.first, place.last)

    def tests_of_row(self, claim: Claim) -> tuple[Test, ...]:
        """Where the row of degrees stands of which a claim is said: "third, fifth, seventh, even eighths"."""
        before = self.claims_before(claim)[-1:]
        if not before or before[0].kind != "set":
            return ()
        said = self.sentence.text[before[0].last : claim.first]
        return self.scopes[self.claims.index(before[0])].tests if said.strip(" ,") == "" else ()

    def is_of_those_before(self, saying: Saying, match: re.Match[str]) -> bool:
        """Whether something is said of all the notes that the sentence before lit, which need not be lit again."""
        notes = [self.music.struck_by_id[name] for name in self.notes_before]
        if len(notes) < 2:
            return False
        names = set(self.notes_before)
        span = Span(notes[0].onset, notes[-1].onset + notes[-1].held)
        stretch = Stretch(self.music, span, (lambda note, _: note.id in names,))
        return {note.id for note in saying.judge(match, stretch).notes} == names

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
        before = [other for other in self.claims_before(claim) if other.kind in ("note", "degree")]
        if not before or not self.chosen:
            return None
        between = self.sentence.text[before[-1].last : claim.first]
        options = self.options[self.claims.index(before[-1])]
        return self.chosen[-1] if OF_IT.fullmatch(between) and self.chosen[-1] in options else None

    def in_one_bar(self, saying: Saying, match: re.Match[str], claim: Claim, scope: Scope) -> list[Verdict]:
        """What holds in one of the bars that are shown and in no other."""
        bars = [bar for stretch in self.stretches(claim, scope) for bar in stretch.each_bar]
        found = [each for bar in bars if (each := saying.judge(match, bar)).holds]
        return found if len(found) == 1 else []

    def decided(self, claim: Claim, scope: Scope, verdicts: Sequence[Verdict]) -> Decided:
        """What some verdicts on the stretches of one claim come to."""
        holding = [each for each in verdicts if each.holds]
        if holding and (len(holding) == len(verdicts) or not scope.each):
            return self.lit_verdict(holding if scope.each else holding[:1])
        choices = [row for each in verdicts for row in each.choices]
        if choices:
            words = self.sentence.words(claim.first, claim.last)
            return self.question(words, [self.row_target(row) for row in choices])
        there = next((each.is_there for each in verdicts if each.is_there), "")
        if not there or HEDGED.search(self.sentence.text) or claim.stance == "touched":
            return NOTHING
        if self.is_plain(claim, scope):
            return self.is_false(claim, scope.spans[0], there)
        if not scope.spans and self.is_one_bar_shown and not scope.unknown:
            return self.is_false(claim, self.spans[0], there)
        return NOTHING

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
        span = self.seen_of(Span(spans[0].start, spans[-1].end))
        target = format_span(self.music.score, span)
        return Decided(Mention("span", span, (), target=target), target)

    def seen_of(self, span: Span) -> Span:
        """The part of a stretch that the cue shows, if it shows any."""
        shown = next((each for each in self.spans if overlap(each, span) > 0), span)
        return Span(max(span.start, shown.start), min(span.end, shown.end))
