"""Where a line is said to come in or to stop: "we come in on two", "bar six opens right on the downbeat".

Common practice, no source. A bar begins with its first note, a phrase with its own; a note that is held into a bar
leaves it open where that begins.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Common, Decided
from lessonmaker.script.plain.passage import EACH
from lessonmaker.script.plain.place import Test
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of

__all__ = ["Entries", "entry_claims"]

COMES_IN = inflected(
    "come in, come back in, sneak in, slip in, creep in, barge in, re-enter, reenter, turn up, show up, "
    "pick up, pick up again, "
    "kick in, get going, start up, arrive, make an entrance, jump in, join in, step in, return, resume, "
    "breathe in again, "
    "get under way, take off, drop in, pop up, wake up"
)
LEAVES_OFF = inflected(
    "leave off, break off, run out, cut off, come to rest, trail off, let go, die away, fall silent"
)
OF_A_BAR = rf"{inflected('attack, enter, hit, strike')}(?= (?:bar|measure) {NUMBER})"
ENTERING, LEAVING = rf"(?:{STARTING}|{COMES_IN}|{OF_A_BAR})", rf"(?:{ENDING}|{LEAVES_OFF})"
WAY = (
    r"(?:,? (?:right|squarely|square|straight|again|just|only|off(?! the)|out|it|late|early|exactly"
    r"|plainly|up"
    r"|each time|here|there|with (?:everybody|everyone|all of us|both feet)"
    rf"|(?:in )?(?:bar|measure) {NUMBER}"
    r"|bang|smack|dead|and only|back|quietly|a little late|a beat late|half a beat late|only just|promptly))*"
)
ON = r"(?: in (?:bar|measure) [\w-]+(?: [\w-]+)?)?(?:,? (?:on|at|with|until|till|not until|not before|from))?"
BEAT = (
    r"(?:the )?(?:(?:['\"]?(?:and|&)['\"]?|second half|off-?beat|upbeat|second eighth) (?:of"
    rf"|after) (?:beat )?{NUMBER}"
    rf"|beat {NUMBER}|(?:very )?(?:{ORDINAL}|last|final) beat|down-?beat|beat|off-?beat)|{NUMBER}"
)
LATE = (
    r"(?:half a beat|an eighth(?: note)?) (?:late|(?:after|behind) the (?:bar ?-?line|down-?beat|beat"
    r"|bar))|(?:just )?(?:after|behind) the (?:down-?beat|bar ?-?line)"
)
SAID = pattern_of(
    r"\b(?:(?:(?:do|does|did|wo)(?:n't| not) |never )(?=[^.;:]* (?:until|till"
    rf"|before)\b))?(?:(?P<first>{ENTERING})|(?P<last>{LEAVING})){WAY}(?:{ON} (?P<beat>{BEAT})"
    rf"|,? (?P<late>{LATE})|(?P<off> off the beat))(?![\w'-])"
    r"(?! (?:bars?|notes?|times|flat|sharp|beats|different|of (?:the|them)|to|more|thirds?|eighths?"
    r"|quarters?)\b)"
)
EXACTLY = pattern_of(r"\b(?:right|squarely|square|bang|smack|dead|exactly|promptly)\b")
THE_BEAT = pattern_of(r"\bthe (?:off-?)?beat$")
BOTH = pattern_of(r"\b(?:both|each|the two|all two)\b")
# What comes in or stops, so that it is false where it does so elsewhere.
COMES = pattern_of(
    r"(?:\b(?:we|you|i|he|she|it|they|line|melody|tune|solo|phrase|music|voice|horn|idea|bar|measure|one"
    r"|statement|lick|answer)"
    rf"|\b(?:bar|measure) {NUMBER}|{NUMBER}|^)(?:,? (?:all|both|only|just|then|doesn't|don't|never|really"
    r"|again|and|here|always))*"
    r"(?: in (?:bar|measure) [\w-]+(?: [\w-]+)?)?,? ?$"
)
A_PHRASE = pattern_of(r"\b(?:phrase|idea|answer|line|lick|one|statement|thought)\b")


def entry_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of where something begins or ends."""
    for match in SAID.finditer(sentence.text):
        side = "first" if match["first"] else "last"
        yield Claim("entry", match.start(), match.end(), side, sure=False)


def _beat_of(note: Note, music: Music) -> Fraction:
    bar = music.score.bars[note.bar]
    return position_in_bar(note.onset, bar) / bar.metre.unit_quarters + 1


def _is_in_beat(beat: int, note: Note, music: Music) -> bool:
    return beat <= _beat_of(note, music) < beat + 1


def _is_on(beat: int, note: Note, music: Music) -> bool:
    return _beat_of(note, music) == beat


def _is_on_a_beat(note: Note, music: Music) -> bool:
    return _beat_of(note, music).denominator == 1


def _is_off_the_beat(note: Note, music: Music) -> bool:
    return not _is_on_a_beat(note, music)


def _is_late(note: Note, music: Music) -> bool:
    """Whether a note is struck half a beat after the bar line."""
    return _beat_of(note, music) == Fraction(3, 2)


class Entries(Common):
    """Decides where a line begins and ends."""

    def entry(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The note that begins or ends a bar or a phrase on a beat; false where a bar's own is elsewhere."""
        test = self.test_said(claim)
        if test is None or self.sentence.is_question:
            return NOTHING
        phrase, spans = self.phrase_before(claim), scope.spans or tuple(self.spans)
        if phrase:
            return self.of_phrase(claim, scope, phrase[0], test)
        before = self.sentence.text[: claim.first]
        if EACH.search(before):
            return self.of_each_bar(claim, spans, test)
        if THE_BEAT.search(self.sentence.words(claim.first, claim.last)) and not COMES.search(before):
            return NOTHING
        ends = [note for span in spans for note in self.ends_in(span, claim.name, scope)]
        there = list({note.id: note for note in ends if test(note, self.music)}.values())
        return self.decided_entry(claim, scope, there)

    def decided_entry(self, claim: Claim, scope: Scope, there: Sequence[Note]) -> Decided:
        """The one note that begins or ends something where it is said, or each of two."""
        if len(there) == 1:
            return self.light_entry(claim, there[0])
        if len(there) == 2 and BOTH.search(self.sentence.text[: claim.first]):
            return self.several(replace(claim, count=2), list(there))
        return NOTHING if there else self.no_entry(claim, scope)

    def of_each_bar(self, claim: Claim, spans: Sequence[Span], test: Test) -> Decided:
        """The first or last notes of several bars, if all are where it is said; false where one is not."""
        bars = self.music.bars_in(spans)
        struck = [self.music.struck_between(bar.start, bar.end) for bar in bars]
        notes = [each[0 if claim.name == "first" else -1] for each in struck if each]
        other = next((note for note in notes if not test(note, self.music)), None)
        if other is not None:
            bar = self.music.score.bars[other.bar]
            return self.elsewhere(claim, other, self.music.said(Span(bar.start, bar.end)))
        return self.several(replace(claim, count=len(notes)), notes) if len(notes) == len(bars) else NOTHING

    def of_phrase(self, claim: Claim, scope: Scope, span: Span, test: Test) -> Decided:
        """The first or last note of a phrase that is named; false where it stands elsewhere."""
        struck = self.music.struck_between(span.start, span.end)
        if not struck:
            return NOTHING
        note = struck[0 if claim.name == "first" else -1]
        bars = scope.spans if scope.explicit else ()
        inside = not bars or any(bar.start <= note.onset < bar.end for bar in bars)
        if inside and test(note, self.music):
            return self.light_entry(claim, note)
        return self.elsewhere(claim, note, "the phrase") if scope.explicit else NOTHING

    def test_said(self, claim: Claim) -> Test | None:
        """The beat that a claim names, as a test of notes."""
        match = SAID.match(self.sentence.text, claim.first)
        if match is None:
            return None
        if match["late"] or match["off"]:
            return _is_late if match["late"] else _is_off_the_beat
        if match["beat"] in ("the beat", "the off-beat", "the offbeat"):
            return _is_on_a_beat if match["beat"] == "the beat" else _is_off_the_beat
        number = pattern_of(rf"(?:beat )?({NUMBER})").fullmatch(match["beat"])
        if number is not None:
            exact = EXACTLY.search(match[0]) is not None
            return partial(_is_on if exact else _is_in_beat, number_of(number[1]))
        near = [p for p in self.places if p.level == "beat" and claim.first <= p.first < claim.last]
        return near[-1].test if near else None

    def ends_in(self, span: Span, side: str, scope: Scope) -> list[Note]:
        """The notes with which a span, if it is a bar that is named, or the phrases in it begin or end."""
        struck = self.music.struck_between(span.start, span.end)
        at = 0 if side == "first" else -1
        own = {phrase.notes[at] for phrase in self.music.analysis.phrases}
        plain = scope.explicit or (self.is_whole_bar(span) and not A_PHRASE.search(self.sentence.text))
        edge = struck[at].id if struck and plain else None
        return [note for note in struck if note.id == edge or note.id in own]

    def light_entry(self, claim: Claim, note: Note) -> Decided:
        """Light the note, where it has a degree."""
        return self.light(claim, [note]) if self.music.finding(note).degree else NOTHING

    def no_entry(self, claim: Claim, scope: Scope) -> Decided:
        """A bar that begins or ends elsewhere."""
        before = self.sentence.text[: claim.first]
        spans = scope.spans if scope.explicit else tuple(self.spans)
        if len(spans) != 1 or not COMES.search(before):
            return NOTHING
        span = spans[0]
        if A_PHRASE.search(before):
            own = self.ends_in(span, claim.name, replace(scope, explicit=False)) if scope.explicit else []
            return self.elsewhere(claim, own[0], "the phrase") if len(own) == 1 else NOTHING
        struck = self.music.struck_between(span.start, span.end)
        held = claim.name == "first" and self.music.sounding_at(span.start) not in (None, *struck)
        if not struck or held or not self.is_whole_bar(span):
            return NOTHING
        note = struck[0 if claim.name == "first" else -1]
        return self.elsewhere(claim, note, self.music.said(span))

    def elsewhere(self, claim: Claim, note: Note, whose: str) -> Decided:
        """A fault: where something begins or ends instead."""
        place = format_position(self.music.score, note.onset)
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: the {claim.name} note of {whose} is at {place}"
        return Decided(None, place, (), what, "say where it is")

    def is_whole_bar(self, span: Span) -> bool:
        """Whether a span is one bar."""
        return any((bar.start, bar.end) == (span.start, span.end) for bar in self.music.score.bars)
