"""Where a line is said to come in or to stop: "we come in on two", "bar six opens right on the downbeat".

Common practice, no source. A bar begins with its first note, a phrase with its own; a note that is held into a bar
leaves it open where that begins.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Common, Decided
from lessonmaker.script.plain.places import Place
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = ["Entries", "entry_claims"]

ENTERING = rf"(?:{STARTING}|(?:come|comes|came|coming)(?: back)? in|jumps? in|breathes? in again)"
WAY = r"(?: (?:right|squarely|straight|again|just|only|off|out|it|late|early|exactly|plainly|up|each time))*"
BEAT = (
    rf"(?:the )?(?:(?:['\"]?(?:and|&)['\"]?|second half|off-?beat|upbeat) (?:of|after) (?:beat )?{NUMBER}|beat {NUMBER}"
    rf"|{ORDINAL} beat|last beat|down-?beat)|{NUMBER}"
)
SAID = re.compile(rf"\b(?:(?P<first>{ENTERING})|(?P<last>{ENDING})){WAY} (?:on|at) (?P<beat>{BEAT})(?![\w'])")
A_PHRASE = re.compile(r"\b(?:phrase|idea|answer|line|lick|one|statement|thought)\b")


def entry_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of where something begins or ends."""
    for match in SAID.finditer(sentence.text):
        side = "first" if match["first"] else "last"
        yield Claim("entry", match.start(), match.end(), side, sure=False)


class Entries(Common):
    """Decides where a line begins and ends."""

    def entry(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The note that begins or ends a bar or a phrase on a beat; false where a bar's own is elsewhere."""
        beat = self.beat_said(claim)
        if beat is None or beat.test is None:
            return NOTHING
        spans = scope.spans or tuple(self.spans)
        ends = [note for span in spans for note in self.ends_in(span, claim.name, scope)]
        there = {note.id: note for note in ends if beat.test(note, self.music)}
        if len(there) == 1:
            return self.light_entry(claim, next(iter(there.values())))
        return NOTHING if there or self.sentence.is_question else self.no_entry(claim, scope)

    def beat_said(self, claim: Claim) -> Place | None:
        """The beat that a claim names."""
        near = [p for p in self.places if p.level == "beat" and claim.first <= p.first < claim.last]
        return near[0] if near else None

    def ends_in(self, span: Span, side: str, scope: Scope) -> list[Note]:
        """The notes with which a span, if it is a bar that is named, or the phrases in it begin or end."""
        struck = self.music.struck_between(span.start, span.end)
        at = 0 if side == "first" else -1
        own = {phrase.notes[at] for phrase in self.music.analysis.phrases}
        edge = struck[at].id if struck and scope.explicit else None
        return [note for note in struck if note.id == edge or note.id in own]

    def light_entry(self, claim: Claim, note: Note) -> Decided:
        """Light the note, where it has a degree."""
        return self.light(claim, [note]) if self.music.finding(note).degree else NOTHING

    def no_entry(self, claim: Claim, scope: Scope) -> Decided:
        """A bar that begins or ends elsewhere."""
        before = self.sentence.text[: claim.first]
        if not scope.explicit or len(scope.spans) != 1 or A_PHRASE.search(before):
            return NOTHING
        span = scope.spans[0]
        struck = self.music.struck_between(span.start, span.end)
        held = claim.name == "first" and self.music.sounding_at(span.start) not in (None, *struck)
        if not struck or held or not self.is_whole_bar(span):
            return NOTHING
        note = struck[0 if claim.name == "first" else -1]
        place = format_position(self.music.score, note.onset)
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: the {claim.name} note of {self.music.said(span)} is at {place}"
        return Decided(None, place, (), what, "say where it is")

    def is_whole_bar(self, span: Span) -> bool:
        """Whether a span is one bar."""
        return any((bar.start, bar.end) == (span.start, span.end) for bar in self.music.score.bars)
