"""How many notes a bar is said to have, and how long: "bar seven holds five notes", "ten is four quarter notes".

Common practice, no source. Only what is said of a whole bar is read: a few notes in it may be any.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.score.position import format_span
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import CARDINALS, NUMBER, ORDINAL

__all__ = ["Lengths", "length_claims"]

# (words, quarters; None: of any length)
LENGTHS: tuple[tuple[str, Fraction | None], ...] = (
    (r"dotted (?:quarter(?: note)?|crotchet)s", Fraction(3, 2)),
    (r"dotted (?:half(?: note)?|minim)s", Fraction(3)),
    (r"(?:quarter notes|quarters|crotchets)", Fraction(1)),
    (r"(?:eighth notes|eighths|quavers)", Fraction(1, 2)),
    (r"(?:half notes|halves|minims)", Fraction(2)),
    (r"(?:different |single |separate )?notes", None),
)
HAS = (
    r"(?:has|have|holds|contains|is|'s|gets|got|'s got|consists of|is made (?:up )?of|gives us|brings|plays|uses|just)"
    r"(?: (?:just|only|exactly|simply|got|really))*"
)
A_BAR = rf"(?:(?:bar|measure) )?{NUMBER}|the {ORDINAL} (?:bar|measure)"
OF_A_LENGTH = "|".join(f"(?P<length{index}>{words})" for index, (words, _) in enumerate(LENGTHS))
COUNT = rf"{'|'.join(sorted(CARDINALS, key=len, reverse=True))}|\d|all|nothing but|only"
SAID = re.compile(
    rf"(?:^\s*|[,;:] |\b(?:and|so|now|but|then) )(?:so |and |now )*(?:{A_BAR})(?: \w+ly)? ?{HAS} "
    rf"(?P<claim>(?P<count>{COUNT}) (?:{OF_A_LENGTH}))"
    r"(?! (?:\w+ing|from|of|in common|a|apart|below|above|higher|lower)\b)(?![\w'])"
)
WHOLE = ("all", "nothing but", "only")


def length_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of the number and the length of a bar's notes."""
    for match in SAID.finditer(sentence.text):
        index = next(index for index in range(len(LENGTHS)) if match[f"length{index}"])
        count = -1 if match["count"] in WHOLE else number_said(match["count"])
        yield Claim("length", *match.span("claim"), str(index), count=count, sure=False)


class Lengths(Patterns):
    """Decides how many notes, and how long ones, a bar has."""

    def length(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The notes of a bar, if they are as many and as long as is said; else a fault."""
        if not scope.explicit or len(scope.spans) != 1 or self.sentence.is_question:
            return NOTHING
        span = scope.spans[0]
        struck = self.music.struck_between(span.start, span.end)
        wanted = LENGTHS[int(claim.name)][1]
        notes = [note for note in struck if wanted is None or note.held == wanted]
        count = len(struck) if claim.count < 0 else claim.count
        if notes and len(notes) == count:
            return self.lit_row(notes)
        held = self.music.sounding_at(span.start) not in (None, *struck[:1])
        if not struck or HEDGED.search(self.sentence.text) or (held and count == len(notes) + 1):
            return NOTHING
        return self.other_length(claim, scope, struck if claim.count < 0 else notes)

    def other_length(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided:
        """Another number of such notes than is said."""
        words, where = self.sentence.words(claim.first, claim.last), self.music.said(scope.spans[0])
        found = "others too" if claim.count < 0 else number_words(len(notes)) if notes else "none"
        target = format_span(self.music.score, scope.spans[0])
        return Decided(None, target, (), f"“{words}”: {where} has {found}", "say how many there are")
