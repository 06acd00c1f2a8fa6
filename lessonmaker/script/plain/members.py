"""What every note of a stretch is said to be: a chord tone, or none. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence

__all__ = ["Members", "member_claims"]

TONES = (
    r"(?:chord(?:al)? (?:tones?|notes?)|notes? of (?:the|its|their) (?:\w+ )?chord"
    r"|(?:in|from|part of) (?:the|its) chord)"
)
TENSIONS = r"(?:tensions?|colou?r (?:tones?|notes?)|extensions?)"
EVERY = (
    r"(?:every(?: single)?(?: one| note)|each(?: one| note)|all(?: of (?:them|it|these|the notes))?(?: the)?"
    r"(?: \w+)?(?: notes?)?|everything|the (?:whole|entire) (?:thing|bar|line))(?: (?:of|in|here|there|from)"
    r"[\w -]{0,30}?)?"
)
ADVERB = r"(?: (?:just|simply|only|pure|plain|an?|the|its|made of))*"
IS = rf"(?:'s| is| are| belongs? to| stays? (?:in|inside|within)| sits? in){ADVERB}"
# What comes before words that say nothing of all notes of a bar: "not every note", "play only chord tones".
OTHERWISE = "not, n't, not just, not only, never, nearly, almost, hardly, mostly, virtually, play, use, try, sing, with"
NOT = "".join(rf"(?<!{word} )" for word in OTHERWISE.split(", "))
STAYS = "".join(
    rf"|(?<={verb} )" for verb in ("belong to", "stays in", "stays inside", "stays within", "sits in")
)
ALL = re.compile(
    rf"\b{NOT}(?:{EVERY}{IS}|(?:nothing|no notes?|not a note)(?: here| in it)? (?:but|except|other than|besides)"
    r"|(?:only|just|purely|all|strictly)|(?:consists?|made(?: up)?|built|full) (?:only |entirely |purely )?(?:of|from)"
    r"(?: only| nothing but)?) (?:(?:pure|plain|simple|good|honest) )*"
    rf"(?P<what>(?P<tones>{TONES}|(?:(?<=belongs to ){STAYS})(?:the|its) chord)|{TENSIONS})"
    r"(?! (?:plus|except|apart|and|but|with)\b)(?![\w'])"
)


def member_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of every note of a stretch; `name` says what they are."""
    for match in ALL.finditer(sentence.text):
        name = "chord tone" if match["tones"] else "tension"
        yield Claim("member", *match.span("what"), name, sure=False)


class Members(Patterns):
    """Decides what all notes of a stretch are."""

    def member(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The notes of the bars that are named, if all of them are what is said; else a fault."""
        if not scope.explicit or len(scope.spans) != 1 or self.sentence.is_question:
            return NOTHING
        notes = [note for note in self.struck_there(scope) if scope.passes(note, self.music)]
        known = [note for note in notes if self.music.finding(note).chord is not None]
        if not notes or len(known) < len(notes):
            return NOTHING
        others = [note for note in notes if self.is_tone(note) != (claim.name == "chord tone")]
        if not others:
            return self.lit_row(notes)
        degree, at = self.music.finding(others[0]).degree, format_position(self.music.score, others[0].onset)
        return self.is_false(claim, scope.spans[0], f"has the {degree} at {at}")

    def struck_there(self, scope: Scope) -> tuple[Note, ...]:
        """The notes struck in the bars of a claim."""
        return self.music.struck_between(scope.spans[0].start, scope.spans[0].end)
