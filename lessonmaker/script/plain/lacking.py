"""Degrees that are not there: whether words are sure to name one, and whether the chord named with it has it not."""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.heard import Harmony, Heard
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.place import Test
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stance_words import DENIALS, WISHES
from lessonmaker.script.plain.text import Sentence
from lessonmaker.theory.degree import degree_of

__all__ = ["chord_without", "is_surely_a_degree"]

IN_FRONT = 4  # where a chord that opens a sentence stands at the latest: "now over G7"
NUMBER = pattern_of(r"\d+")
ALTERED = pattern_of(
    r"\b(?:flat\w*|sharp\w*|natural|raised|lowered|augmented|diminished|major|minor|[b#]\d+)\b"
)

CARDINAL = pattern_of(r"one|two|three|four|five|six|seven|\d+")
# An ordinal after these is a bar, a string, an interval, or one of several.
OF_OTHERS = pattern_of(
    r"\b(?:an?|between (?:[^,;:]+ and )?(?:the)?|by (?:the)?|(?:bars?|measures?)(?: and)? (?:the )?"
    r"|(?:away|apart|up|down|tritone|octave|step) from (?:the|its)) ?$"
)
HAVING_ONE = pattern_of(r"\b(?:there's|there is|here's|have|has|got|get|gets|hear) an? $")
# What a note is, by a number that no distance has: "what you hear on beat three is a thirteen".
IS_ONE = pattern_of(r"(?:\b(?:is|was)|\b(?:it|that)'s)(?: (?:just|only|really|simply|actually))? an? $")
FAR_ONE = pattern_of(r"(?:nine|eleven|thirteen)(?:th)?|ninth")
NO_DEGREE = pattern_of(
    r" (?:bars?|measures?|beats?|times?|strings?|fingers?|positions?|chords?|phrases?|keys?|and the|degrees?"
    r"|(?:is |gets |was )?(?:raised|lowered)|in (?:a|every|each)\b"
    r"|of (?:the )?(?:one|first|second|other|two|three|four|five|six|these|those|them|this|that|all|my|our"
    r"|next|following))"
)
OTHER_SENSE = pattern_of(
    r"\b(?:keys?|strings?|fingers?|fret|position|row|time|anticipat\w*|should|would|could|might|if|tied|held over"
    r"|sus|head|ears|mind)\b"
)


def is_surely_a_degree(sentence: Sentence, claim: Claim, claims: Sequence[Claim]) -> bool:
    """Whether a bare ordinal can be nothing else than a degree, and one that is said to be there."""
    words, before, after = (
        sentence.words(claim.first, claim.last),
        sentence.text[: claim.first],
        sentence.text[claim.last :],
    )
    if CARDINAL.fullmatch(words) or NO_DEGREE.match(after):
        return False
    is_one = IS_ONE.search(before) and FAR_ONE.fullmatch(words)
    if OF_OTHERS.search(before) and not HAVING_ONE.search(before) and not is_one:
        return False
    if (
        OTHER_SENSE.search(sentence.text)
        or pattern_of(DENIALS).search(sentence.text)
        or pattern_of(WISHES).search(sentence.text)
    ):
        return False
    number = NUMBER.search(claim.names[0])
    alike = (other for other in claims if other is not claim and other.kind == "degree")
    return number is None or not any(
        number[0] in {each[0] for name in other.names if (each := NUMBER.search(name))} for other in alike
    )


def chord_without(
    words: str, claim: Claim, scope: Scope, shown: Sequence[Span], music: Music, *, is_alone: bool
) -> Span | None:
    """Where the one chord in sight that is named with a degree has no such note; None where it may have.

    It is named right after the degree, or opens the sentence of the only one.

    Args:
        words: those that name the degree.
        claim: what they claim.
        scope: where.
        shown: what the cue shows.
        music: the score as it is heard.
        is_alone: whether the sentence claims nothing else.
    """
    chords = [place for place in scope.used if place.level == "chord"]
    own = [
        place for place in chords if place.first == claim.last + 1 or (is_alone and place.first <= IN_FRONT)
    ]
    test = own[0].test if len(own) == 1 and not own[0].pointed else None
    if test is None or scope.unknown:
        return None
    heard = _named(test, scope.spans or shown, music)
    if len(heard) != 1:
        return None
    near = [note for note in music.struck if _sounds_over(note, heard[0].span)]
    degrees = {degree_of(note.sounding.midi % OCTAVE, heard[0].chord) for note in near}
    return None if degrees & _meant(words, claim, degrees) else heard[0].span


def _named(test: Test, spans: Sequence[Span], music: Music) -> list[Heard]:
    """The chords in sight that a test of their notes tells, those without a note of their own by their like."""
    told = [note for note in music.struck if test(note, music)]
    like = {music.finding(note).chord for note in told}
    found: list[Heard] = []
    for heard in dict.fromkeys(each for span in spans for each in Harmony(music).within(span)):
        struck = music.struck_between(heard.span.start, heard.span.end)
        if any(note in told for note in struck) or (not struck and heard.chord in like):
            found.append(heard)
    return found


def _meant(words: str, claim: Claim, degrees: set[str]) -> set[str]:
    """The degrees that words may mean: "the eleventh" is a raised one too."""
    if ALTERED.search(words):
        return set(claim.names)
    numbers = {number[0] for name in claim.names if (number := NUMBER.search(name))}
    return {
        *claim.names,
        *(each for each in degrees if (number := NUMBER.search(each)) and number[0] in numbers),
    }


def _sounds_over(note: Note, span: Span) -> bool:
    """Whether a note sounds over a chord."""
    return note.onset < span.end and span.start < note.onset + note.held
