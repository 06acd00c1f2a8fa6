"""What every note of a stretch is said to be: a chord tone, or none. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import ALTERATIONS, TENSIONS
from lessonmaker.theory.chord import family

__all__ = ["Members", "member_claims"]

TONES = (
    r"(?:chord(?:al)? (?:tones?|notes?)|notes? of (?:the|its|their) (?:\w+ )?chord"
    r"|(?:in|from|part of) (?:the|its) chord)"
)
EVERY = (
    r"(?:every(?: single)?(?: one| note)|each(?: one| note)|all(?: of (?:them|it|these|the notes))?(?: the)?"
    r"(?: \w+)?(?: notes?)?"
    r"|(?:all|every(?:thing|(?: single)? note)|whatever|each note)(?: that)?"
    r" (?:i|you|we|he|she|they|one|the (?:line|horn|melody|player)) \w+(?: here| there)?"
    r"|everything|the (?:whole|entire) (?:thing|bar|line))(?: (?:of|in|on|over|here|there|from)"
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
ALL = pattern_of(
    rf"\b{NOT}(?:{EVERY}{IS}|(?:nothing|no notes?|not a note)(?: here| in it)? (?:but|except|other than|besides)"
    r"|(?:only|just|purely|all|strictly)|(?:consists?|made(?: up)?|built|full) (?:only |entirely |purely )?(?:of|from)"
    r"(?: only| nothing but)?) (?:(?:pure|plain|simple|good|honest) )*"
    rf"(?P<what>(?P<tones>{TONES}|(?:(?<=belongs to ){STAYS})(?:the|its) (?:plain |simple |very )?chord)|{TENSIONS})"
    r"(?! (?:plus|except|apart|and|but|with)\b)(?![\w'])"
)

# What is said not to be there at all.
NONE = (
    r"(?:(?:not|(?:is|are|was)n't|nary) (?:an?|one|a single)|no|never an?|zero|without (?:an?|any)"
    r"|(?:has|have|had|does|do|did)n't (?:got |have |contain |use |need )?(?:an?|any|one))"
    r"(?: single| real)?"
)
OUTSIDE = rf"(?:{TENSIONS}|(?:outside|foreign|non-chord(?:al)?) (?:tones?|notes?))"
ALTERED = r"(?:altered (?:notes?|tones?|tensions?|degrees?|extensions?|colou?rs?)|alterations?|chromatic alterations?)"
NOTHING_IS = (
    r"(?:nothing|none of (?:it|this|that|them|these|those|(?:the|these|those) (?:\w+ )?notes))"
    r"(?: (?:here|there|(?:in|on|over) (?:the|this|that|bar|measure|[a-g])(?: [\w#'-]+){0,4}?))?"
)
DENIED = pattern_of(
    rf"\b(?:{NONE} (?:(?P<altered>{ALTERED})|{OUTSIDE})"
    rf"|{NOTHING_IS} (?:(?:(?:is|are|gets?|has been) )?(?P<is_altered>altered)|(?:is|are|gets?) outside the chord))"
    r"(?! (?:but|except|apart|until|yet|before|on beat|longer|other|more)\b)(?![\w'])"
)
# Nor are all notes tensions where one is of the chord: "not one chord tone in the whole measure".
NO_TONES = pattern_of(
    rf"\b{NONE} {TONES}(?! (?:but|except|apart|until|yet|before|on beat|longer|other|more)\b)(?![\w'])"
)
LEFT_PLAIN = pattern_of(
    r"\b(?:is|are|'s|left|stays?|remains?|kept)(?: (?:all|quite|left|just|\w+ly))* (?P<what>unaltered)"
    r"(?=[,.;:!?]|$| (?:in|here|for)\b)"
)
UNALTERED, NO_TENSIONS, SOME_ALTERED = "unaltered", "no tensions", "some altered"
# "The G seven is full of altered notes".
FULL_OF = pattern_of(
    r"\b(?:(?:full|made) of|(?:loaded|packed|crammed|stuffed) with|(?:has|have|got|gets|with|uses|there are)"
    r" (?:a few|all (?:the|these|those)|lots of|many|plenty of|several|some))"
    rf" (?P<what>{ALTERED})(?![\w'])"
)
# What a line keeps to, however that is said: "I stick to chord tones", "chord tones only", "it stays inside the chord".
TONES_SAID = pattern_of(
    r"\b(?:chord(?:al)? (?:tones|notes)|(?:the |its )?notes (?:of|from|in) (?:the|its|that|this) (?:[\w-]+ )?chord"
    r"|(?:in|inside|within) the chord(?= (?:the whole|all the|from start|throughout)\b|[,.;:!?]|$))(?![\w'])"
)
KEEPING = "stay, stick, keep, remain, restrict, confine, limit, be made, be built, consist, belong"
ONLY = pattern_of(
    rf"\b(?:only|just|nothing but|purely|strictly|entirely|exclusively|solely|pure|{inflected(KEEPING)}"
    r"|(?:nothing|none) (?:else |other |more |here )?(?:than|but)|it's|it is|this is|that's)\b"
    r"(?: (?!all\b|every\b|each\b|one\b|not\b|and\b)[\w']+){0,3} $"
)
ONLY_AFTER = pattern_of(
    r"(?:,? (?:only|alone|exclusively|throughout|all (?:the )?way\b.*|and nothing (?:else|more)|nothing else"
    r"|from (?:start|beginning|the start|the first|top|one end) to \w+.*|the whole (?:time|way|bar)|everywhere))"
    r"(?: (?:here|there|in|on|over|through|for)\b.*)?(?=[,.;:!?]|$)"
)
IS_ONLY = pattern_of(r"\b(?:it's|it is|this is|that's) $")
UNSAID = pattern_of(
    r"\b(?:not|never|n't|nearly|almost|hardly|mostly|most|mainly|half|largely|try|use|could|would|should|might|can"
    r"|may|if|when|until|till|before|practi[sc]e|sing|play|want|let's|were|was|won't|don't|isn't|will|around|about)\b"
)
EXCEPT = pattern_of(
    r"\b(?:except|apart from|aside from|but for|save for|besides|other than|excepting|with the exception|but one"
    r"|bar one|plus|(?:and|but|with) (?:one|an?|the) (?:[\w-]+ ){0,2}?(?:root|third|fourth|fifth|sixth|seventh|ninth"
    r"|nine|eleventh|eleven|thirteenth|thirteen|tension|passing|approach|neighbou?r|one|note)s?)\b"
)


def member_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of every note of a stretch; `name` says what they are."""
    excepted = EXCEPT.search(sentence.text) is not None
    taken: set[int] = set()
    for match in ALL.finditer(sentence.text):
        name = "chord tone" if match["tones"] else "tension"
        taken |= set(range(*match.span("what")))
        if not excepted:
            yield Claim("member", *match.span("what"), name, sure=False)
    for match in TONES_SAID.finditer(sentence.text):
        if not excepted and match.start() not in taken and _is_all(sentence.text, match):
            yield Claim("member", *match.span(), "chord tone", sure=False)
    for match in LEFT_PLAIN.finditer(sentence.text):
        yield Claim("member", *match.span("what"), UNALTERED, sure=False)
    for match in NO_TONES.finditer(sentence.text):
        yield Claim("member", *match.span(), "tension", sure=False)
    for match in FULL_OF.finditer(sentence.text):
        yield Claim("member", *match.span("what"), SOME_ALTERED, sure=False)
    for match in DENIED.finditer(sentence.text):
        name = UNALTERED if match["altered"] or match["is_altered"] else NO_TENSIONS
        yield Claim("member", *match.span(), name, sure=False)


def _is_all(text: str, match: re.Match[str]) -> bool:
    """Whether chord tones are said to be all that there is."""
    before = pattern_of(r"[;.!?]").split(text[: match.start()])[-1]
    after = ONLY_AFTER.match(text, match.end())
    only = ONLY.search(before) and not IS_ONLY.search(before)
    return bool(only or after) and not UNSAID.search(before)


class Members(Patterns):
    """Decides what all notes of a stretch are."""

    def member(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The notes of the bars that are named, if all of them are what is said; else a fault."""
        over = any(place.level == "chord" for place in scope.used) and not scope.spans and not scope.unknown
        if over and len(self.spans) == 1:
            scope = replace(scope, spans=tuple(self.spans), explicit=True)
        if not scope.explicit or len(scope.spans) != 1 or self.sentence.is_question:
            return NOTHING
        if self.is_said_before(claim, scope):
            return NOTHING
        notes = [note for note in self.struck_there(scope) if scope.passes(note, self.music)]
        known = [note for note in notes if self.music.finding(note).chord is not None]
        if not notes or len(known) < len(notes):
            return NOTHING
        if claim.name == SOME_ALTERED:
            altered = [note for note in notes if not self.is_member(note, UNALTERED)]
            return self.lit_row(altered) if altered else self.is_false(claim, scope.spans[0], "has none")
        others = [note for note in notes if not self.is_member(note, claim.name)]
        denial = claim.name in (UNALTERED, NO_TENSIONS)
        if not others:
            return NOTHING if denial else self.lit_row(notes)
        degree, at = self.music.finding(others[0]).degree, format_position(self.music.score, others[0].onset)
        return self.is_false(claim, scope.spans[0], f"has the {degree} at {at}")

    def is_said_before(self, claim: Claim, scope: Scope) -> bool:
        """Whether the like was said of the same bars before: "all chord tones, not a tension to be seen"."""
        said = [other for other in self.claims_before(claim) if other.kind == claim.kind]
        return any(self.scopes[self.claims.index(other)].spans == scope.spans for other in said)

    def is_member(self, note: Note, name: str) -> bool:
        """Whether a note is what all notes are said to be."""
        if name == UNALTERED:
            chord = self.music.finding(note).chord
            dominant = chord is not None and family(chord) in ("dominant", "altered")
            return not dominant or self.music.finding(note).degree not in ALTERATIONS
        return self.music.is_tone(note) != (name == "tension")

    def struck_there(self, scope: Scope) -> tuple[Note, ...]:
        """The notes struck in the bars of a claim."""
        return self.music.struck_between(scope.spans[0].start, scope.spans[0].end)
