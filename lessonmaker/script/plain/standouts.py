"""A note that is spoken of by what sets it apart: "the high note", "the last note of the phrase", "that long note".

Common practice, no source. It is read where the sentence names no other thing, which would say itself which note it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import MOST_CHOICES, NOTHING, Common, Decided
from lessonmaker.script.plain.ends import EDGES, Side, notes_at
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretches import MASK, Stretch, masked, subjects_in
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import GAP, MOVING

__all__ = ["Standouts", "moving_standouts", "standout_claims"]

WORDS: dict[Side, str] = {
    "first": r"first|opening|starting",
    "last": r"last|final|closing",
    "highest": r"high|highest|top|topmost|uppermost",
    "lowest": r"low|lowest|bottom|deep|deepest",
}
LONG = r"long|longest|held|sustained|tied"
SAID = pattern_of(
    r"(?:\b(?:the|that|this|your|our|its|one)|(?<=\w)'s) (?:(?:big|little|lone|lovely|one|poor|single|very) )?"
    rf"(?:{'|'.join(f'(?P<{side}>{words})' for side, words in WORDS.items())}|(?P<longest>{LONG}))"
    r"(?: (?:big|lone|lonely|single))? (?:note|pitch|tone)\b"
)
# From a note to the beat on which it is said to be.
COMES_ON = pattern_of(
    rf"(?: (?:of|in)(?: the| this| that)? {MASK}+)?(?: (?:(?:is |was )?(?:struck|hit|placed)|is|was|comes|falls"
    r"|lands|arrives|starts|begins|enters|occurs|happens))(?: (?:right|just|squarely|only))* (?:on |at )?(?:the )?"
)
# "The last note of bar eight slips down to the third".
GOES_TO = pattern_of(
    rf"(?: (?:of|in|at|from) [\w -]{{3,30}}?)?,? {MOVING}{GAP} (?:in)?to (?:the |its |an? )?"
)
OF_IT = pattern_of(r",? (?:of|in) (?!the bar\b)(?:all|each|every|its|our|that|the|this|your)\b[^,;:]*")


def standout_claims(sentence: Sentence) -> Iterator[Claim]:
    """The notes that a sentence speaks of by what sets them apart."""
    for match in SAID.finditer(sentence.text):
        name = next(name for name, words in match.groupdict().items() if words)
        yield Claim("standout", match.start(name), match.end(), name, sure=False)


def moving_standouts(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """The notes spoken of so that are said to go to a note that is named, or to a degree."""
    named = [claim.first for claim in found if claim.kind in ("degree", "note")]
    for claim in standout_claims(sentence):
        after = [first for first in named if first >= claim.last]
        if after == named != [] and GOES_TO.fullmatch(sentence.text, claim.last, min(after)):
            yield claim


class Standouts(Common):
    """Decides which note stands out."""

    def standout(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The one note that is the highest, the longest, the last of what is spoken of; a question where two are."""
        stretches = self.stretches_of(claim, scope)
        found = {note.id: note for stretch in stretches for note in self.standing_out(claim.name, stretch)}
        notes = [note for note in found.values() if self.music.finding(note).degree is not None]
        if len(notes) == 1:
            return self.light(claim, notes)
        return self.ask(claim, notes) if 1 < len(notes) <= MOST_CHOICES else NOTHING

    def standing_on(self, claim: Claim, scope: Scope) -> Decided | None:
        """The note that stands out and is said to be struck on a beat; a fault where it is struck on another."""
        beat = self.beat_said_of(claim)
        if beat is None or beat.test is None or self.sentence.is_question:
            return None
        elsewhere = replace(scope, used=tuple(place for place in scope.used if place is not beat))
        stretches = self.stretches_of(claim, elsewhere)
        name = claim.name if claim.kind == "standout" else "highest"
        found = {note.id: note for stretch in stretches for note in self.standing_out(name, stretch)}
        known = len(found) == 1 and all(stretch.sure for stretch in stretches)
        note = next(iter(found.values())) if known else None
        if note is None or self.music.finding(note).degree is None:
            return None
        if beat.test(note, self.music):
            return self.light(replace(claim, sure=False), [note])
        at, words = format_position(self.music.score, note.onset), self.sentence.words(claim.first, beat.last)
        return Decided(None, at, (), f"“{words}”: it is at {at}", "say where it is", until=beat.last)

    def beat_said_of(self, claim: Claim) -> Place | None:
        """The beat on which a note that stands out is said to be."""
        if claim.kind != "standout" and claim.name != "register peak":
            return None
        beats = [place for place in self.places if place.level == "beat" and place.first >= claim.last]
        said = masked(self.sentence, self.places)[claim.last : beats[0].first] if beats else ""
        return beats[0] if beats and COMES_ON.fullmatch(said) else None

    def stretches_of(self, claim: Claim, scope: Scope) -> Sequence[Stretch]:
        """What a note may stand out of: a phrase or a figure that is named, else the bars; nothing of each of many."""
        of = OF_IT.match(masked(self.sentence, self.places), claim.last)
        edge = {str(side): at for side, at in EDGES.items()}.get(claim.name)
        subjects = subjects_in(of[0] if of else "", scope.used, self.spans, self.music, edge)
        return subjects[0].stretches if subjects and not subjects[0].every else ()

    def standing_out(self, name: str, stretch: Stretch) -> list[Note]:
        """The notes of a stretch that are the first, last, highest, lowest or longest."""
        if name == "last":
            return list(stretch.notes[-1:])
        for side in WORDS:
            if side == name:
                return list(notes_at(side, stretch, self.music))
        longest = max((note.held for note in stretch.notes), default=None)
        return [note for note in stretch.notes if note.held == longest]
