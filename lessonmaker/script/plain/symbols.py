"""Chord symbols that a sentence claims a bar to have: "bar nineteen is E half-diminished".

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.model import Change
from lessonmaker.score.position import format_span
from lessonmaker.script.plain.chord_names import ChordName, chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Common, Decided
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL
from lessonmaker.theory.chord import family, readings
from lessonmaker.theory.chord_print import chord_text

__all__ = ["Symbols", "symbol_claims"]

A_BAR = rf"(?:(?:bar|measure) {NUMBER}|(?:{ORDINAL}|last|final) (?:bar|measure))"
HAS_IT = re.compile(
    rf"(?:{A_BAR}(?:'s| is| was| has| sits on| stays on| is still| is just| is again| is really)"
    rf"|\bchord (?:in|of|for|at) (?:the )?{A_BAR} is) (?:an? |the |just |still |again )?$"
)
GOES_ON = re.compile(r"(?: chord)?(?: again| still| now| too| as well| here| once more)?\s*(?:[,.;:!?]|$)")
KINDS = ("major", "minor", "dominant", "half-diminished", "diminished", "augmented")
# By its kind alone: "bar nine is a major chord".
BY_KIND = re.compile(
    rf"(?:{A_BAR}(?: now| here)?(?:'s| is)(?: now| just| still)?"
    rf"|\bchord (?:in|of|for|at) (?:the )?{A_BAR} is(?: just)?)(?: now)? "
    rf"an? (?P<chord>(?P<kind>{'|'.join(KINDS)})(?: (?:seventh|seven|sixth|six))?(?: chord)?)"
    r"(?=(?: chord)?\s*(?:[,.;:!?]|$))"
)
# Kinds of chord that a common name takes in.
TAKEN_IN = {"dominant": ("dominant", "altered", "suspended"), "diminished": ("diminished", "half-diminished")}


def symbol_claims(sentence: Sentence) -> Iterator[Claim]:
    """The chords that a sentence says a bar has."""
    for name in chord_names(sentence):
        if HAS_IT.search(sentence.text[: name.first]) and GOES_ON.match(sentence.text, name.last):
            yield _claim_of(name)
    for match in BY_KIND.finditer(sentence.text):
        kinds = TAKEN_IN.get(match["kind"], (match["kind"],))
        yield Claim("symbol", *match.span("chord"), names=kinds, sure=False)


def _claim_of(name: ChordName) -> Claim:
    root = name.root.step + "#" * name.root.alter + "b" * -name.root.alter
    return Claim("symbol", name.first, name.last, root, name.families, sure=False)


class Symbols(Common):
    """Decides which chords a bar is said to have."""

    def symbol(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """A chord of a bar: false where the bar has none of that name."""
        if not scope.explicit or len(scope.spans) != 1 or self.sentence.is_question:
            return NOTHING
        changes = [change for change in self.music.changes_in(scope.spans[0]) if change.written is not None]
        if not changes or any(self.is_called(claim, change) for change in changes):
            return NOTHING
        printed = " and ".join(chord_text(change.written) for change in changes)
        words, where = self.sentence.words(claim.first, claim.last), self.music.said(scope.spans[0])
        target = format_span(self.music.score, scope.spans[0])
        return Decided(
            None, target, (), f"“{words}”: {where} has {printed}", "name the chord that is printed"
        )

    def is_called(self, claim: Claim, change: Change) -> bool:
        """Whether a chord symbol is of the name, or of the kind, that is claimed."""
        if change.written is None:
            return False
        ways = (change.written, *readings(change.written))
        roots = {way.root.pitch_class for way in ways}
        kinds = {family(way) for way in ways[1:]}
        at_root = not claim.name or named_note(claim.name).pitch_class in roots
        return at_root and (not claim.names or bool(kinds & set(claim.names)))
