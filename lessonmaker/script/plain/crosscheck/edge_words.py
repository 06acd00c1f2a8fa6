"""The words that make a note the first, the last, the highest or the lowest of something, before it or after.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.ends import Side, words_round
from lessonmaker.script.plain.stretches import masked
from lessonmaker.script.plain.verbs import ENDING, MOVING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import CARDINAL, NUMBER

__all__ = ["Edge", "EdgeWords", "Level", "edge_words"]

Edge = Side | Literal["rest"]
Level = Literal["bar", "piece", "tune", "phrase", "line", "any"]


@dataclass(frozen=True)
class EdgeWords:
    """Words at [first, last) that put a note at an end of a bar, the piece, a phrase, the line, or anything.

    They are `positive` if they deny nothing.
    """

    side: Edge
    first: int
    last: int
    level: Level
    positive: bool = True


LEAVING = inflected("leave off, sign off, bow out")
RESTING_ON = inflected("come to rest, cadence, come to a stop, come to a halt, come home")
SETTLING = inflected("settle")
PEAKING = inflected("peak, top out, crest, culminate, climax, max out")
SINKING = inflected("bottom out, touch bottom, hit bottom")
RESTING = inflected("rest, stop, end, finish, settle, sit, stay, hang, linger, close")
REACHING = inflected("stretch, reach, extend")
NO_NOUN = r"(?<!\bthe )(?<!\ba )(?<!\ban )(?<!\bvery )(?<!\bits )"  # "the end of bar nine"
OTHER_PART = (
    r"(?:and|but|or|then|before|until|after|while|so|because|not|without|if|when|where|which|that|both|either"
    r"|leaps?|jumps?|drops?|falls?|rises?|skips?|up|down|below|above|between|around)\b"
)
SOME = rf"(?:,? (?!{OTHER_PART})[a-z0-9'-]+){{0,6}}?"
FEW = rf"(?: (?!{OTHER_PART})[a-z0-9'-]+){{0,4}}?"
WORD = r"(?!(?:the|an?|and|or|of|to|from|in|on|at|with|third|fifth|half|note|notes)\b)[a-z]{3,}(?:-[a-z]+)*"
A_NOTE = (
    r"(?: (?:just|right|only|simply|squarely|straight|again))?(?: (?:the|an?|its|that|your|our|this|their|plain))?"
    rf"(?: (?:chord's|very same))?(?: {WORD}){{0,2}}(?: (?:quarter|eighth|half|whole)[- ]note)? ?"
)
NOTE = (
    r"(?:notes?|pitch(?:es)?|tones?|ones?|eighths?(?: notes?)?|quarters?(?: notes?)?|points?|things?|spots?)"
)
IS = r"(?:is|'s|was|being)"
FALLS_ON = r"(?:(?:comes|falls|sits|lands|arrives|is reached) (?:on|with|at)|is|'s|being)"
EDGE_WORDS: dict[Side, str] = {
    "first": rf"(?:first|opening) {NOTE}",
    "last": rf"(?:last|final|closing) {NOTE}",
    "highest": rf"(?:highest(?: {NOTE})?|topmost(?: {NOTE})?|top {NOTE}|high point|summit|ceiling|peak)",
    "lowest": rf"(?:lowest(?: {NOTE})?|bottom {NOTE}|low point|floor)",
    "longest": rf"(?:longest(?: {NOTE})?|long note)",
    "shortest": rf"shortest(?: {NOTE})?",
}
# From the words for an end to a note that is named after them.
BEFORE: tuple[tuple[Edge, str], ...] = (
    ("first", rf"{NO_NOUN}{STARTING}{SOME},? (?:on|upon|with|from|at){A_NOTE}"),
    ("last", rf"{NO_NOUN}(?:{ENDING}|{LEAVING})(?! in\b){SOME},? (?:on|upon|with|at){A_NOTE}"),
    ("rest", rf"{RESTING_ON}{SOME},? (?:on|upon|with|at){A_NOTE}"),
    (
        "rest",
        rf"(?:line|phrase|melody|run|we|you)(?: then| finally| [a-z]+ly)? {SETTLING}{SOME} (?:on|at){A_NOTE}",
    ),
    ("last", rf"{EDGE_WORDS['last']}{SOME} (?:on|at|as far as){A_NOTE}"),
    ("last", rf"as far as{A_NOTE}"),
    ("last", rf"(?:leaves?|leaving|left) (?:us|you|me|things)(?: [a-z]+ing)? (?:on|with|at){A_NOTE}"),
    ("last", rf"(?:goal|destination|last stop|end point|finishing (?:note|point)) {IS}{A_NOTE}"),
    ("first", rf"(?:starting (?:note|point)|point of departure|launch pad) {IS}{A_NOTE}"),
    ("highest", rf"{PEAKING}{SOME},? (?:on|at|with){A_NOTE}"),
    ("highest", rf"as high as{FEW} {IS}{A_NOTE}"),
    ("highest", rf"(?:as high as|up as far as|a high of){A_NOTE}"),
    (
        "highest",
        rf"(?<!at )(?<!from )(?:the|a|its|our) (?:very )?(?:peak|summit|top|crest|high point){FEW},?"
        rf" {FALLS_ON}{A_NOTE}",
    ),
    ("highest", rf"{REACHING}{FEW} up to{A_NOTE}"),
    ("lowest", rf"{SINKING}{SOME},? (?:on|at|with){A_NOTE}"),
    ("lowest", rf"as low as{FEW} {IS}{A_NOTE}"),
    ("lowest", rf"(?:as low as|down as far as|a low of){A_NOTE}"),
    ("lowest", rf"(?:the|a|its|our) (?:very )?(?:low point|lowest point|bottom){FEW},? {FALLS_ON}{A_NOTE}"),
    *((side, rf"{words}{SOME},? {IS}{A_NOTE}") for side, words in EDGE_WORDS.items()),
)
DENYING: tuple[tuple[Edge, str], ...] = (
    ("highest", rf"(?:nothing|never|not|n't|no){FEW} (?:beyond|above|past|higher than|farther than){A_NOTE}"),
    ("lowest", rf"(?:nothing|never|not|n't|no){FEW} (?:below|beneath|under|lower than){A_NOTE}"),
)
# From a note to words for an end that come after it.
ASIDE = r"(?:, [^,;:]{3,40},| (?:on|in|at|of) [^,;:]{3,32}?)?"
AFTER: tuple[tuple[Edge, str], ...] = (
    *(
        (side, rf"{ASIDE} {IS}(?: \w+)?(?: (?:the|our|its))?(?: (?:very|single))? {words}\b")
        for side, words in EDGE_WORDS.items()
    ),
    ("highest", rf"{ASIDE} {IS} as high as\b"),
    ("lowest", rf"{ASIDE} {IS} as low as\b"),
    ("rest", rf",? where (?:we|you|it|i|he|she|the \w+) (?:\w+ )?{RESTING}\b"),
    ("rest", rf",? and (?:just |then |simply )*{RESTING} (?:right )?there\b"),
)
UP_AND_BACK = (
    pattern_of(rf"\bup to{A_NOTE}$"),
    pattern_of(r",? and (?:then |right |straight |all the way )*(?:back|down)\b"),
)
AND = r"(?:,|,? and|,? then|,? and then| to|,? or)(?: (?:the|an?|its))?"
AND_A_LETTER = pattern_of(rf"{AND} [a-g](?:[ -](?:flat|sharp|natural))?(?<! a)\b")
AND_A_DEGREE = pattern_of(
    rf"{AND} (?:(?:flat|sharp|natural|minor|major) )?(?:root|tonic|[a-z]+th|third|[b#]?\d+|{CARDINAL})\b"
)
MOVES_ON = pattern_of(
    r" (?:(?:that |which )?[a-z]+(?:ing|s) (?:(?:right|back|down|up) )*)?(?:in)?to (?:the|its|an?)\b"
    rf"|,? (?:and|then|before|but|only to)(?: (?:then|so|it|we|you))* (?:\w+ly )?{MOVING}\b(?! your\b)"
)
PATTERNS_BEFORE = [(side, pattern_of(rf"(?<![\w-]){words}$")) for side, words in BEFORE]
PATTERNS_DENYING = [(side, pattern_of(rf"\b{words}$")) for side, words in DENYING]
PATTERNS_AFTER = [(side, pattern_of(words)) for side, words in AFTER]
APPOSED = pattern_of(r"[,;:] (?:the |an? )?$")
FAR = 120  # characters before a note in which words for an end may begin
# What begins or ends, before its verb and after its noun: "this bar finishes on", "the last note of the bar".
THIS = r"(?:this|the|that|our|my|your|his|her|its|whole|entire|very|each|every|last|first|final|opening|second|next)"
A_BAR = rf"(?:bar|measure)s?(?: {NUMBER})?"
NOUNS: dict[Level, str] = {
    "bar": A_BAR,
    "piece": r"(?:piece|etude|study|performance)",
    "tune": r"(?:tune|solo|song)",
    "phrase": r"(?:phrase|sentence|statement)",
    "line": r"(?:line|melody|we|you|he|she|i|everything)",
}
ADVERBS = r"(?: (?:itself|then|now|here|simply|just|also|finally|actually|really|both|all|\w+ly))*"
DOES = {level: pattern_of(rf"\b{noun}{ADVERBS} $") for level, noun in NOUNS.items()}
WITHIN = pattern_of(rf"\b(?:of|in|at|over|for|from|to|into) (?:{THIS} )*$")
OF_IT = {
    level: pattern_of(rf"[^,;:]*?\b(?:of|in|as) (?:{THIS} )*{noun}(?![ -](?:line|before|after))\b")
    for level, noun in NOUNS.items()
}


def edge_words(told: Told, claim: Claim) -> Iterator[EdgeWords]:
    """The words that put a note at an end of something, the likeliest first."""
    before, after = told.text[: claim.first], told.text[claim.last :]
    part = told.part_of(claim.first)
    for patterns, positive in ((PATTERNS_BEFORE, True), (PATTERNS_DENYING, False)):
        for side, pattern in patterns:
            match = _last(pattern, before)
            if match is not None and not (side in ("last", "rest") and _goes_on(told, claim)):
                rest = told.text[match.start() : part[1]]
                yield EdgeWords(side, *match.span(), _level(before[: match.start()], rest), positive)
    for side, pattern in PATTERNS_AFTER:
        if match := pattern.match(after):
            last = claim.last + match.end()
            level = _level("", told.text[last - len(match[0].split()[-1]) : told.part_of(last)[1]])
            yield EdgeWords(side, claim.last, last, level)
    if UP_AND_BACK[1].match(after) and (match := _last(UP_AND_BACK[0], before)):
        yield EdgeWords("highest", *match.span(), "any")
    others = [place for place in told.places if place.last <= claim.first or place.first >= claim.last]
    apposed = APPOSED.search(before) or _goes_on(told, claim)
    for words in words_round(masked(told.sentence, others), claim) if not apposed else ():
        yield EdgeWords(words.side, min(words.first, claim.first), max(words.last, claim.last), "any")


def _goes_on(told: Told, claim: Claim) -> bool:
    """Whether a note is only the first of several that are named, or moves on."""
    row = AND_A_LETTER if claim.kind == "note" else AND_A_DEGREE
    return bool(row.match(told.text, claim.last) or MOVES_ON.match(told.text, claim.last))


def _last(pattern: re.Pattern[str], text: str) -> re.Match[str] | None:
    """The last match that ends where a text does."""
    found, at = None, max(len(text) - FAR, 0)
    while (match := pattern.search(text, at)) is not None:
        found, at = match, match.start() + 1
    return found


def _level(before: str, rest: str) -> Level:
    """What it is that begins or ends, by its noun before the words or after them."""
    for level in NOUNS:
        does = DOES[level].search(before)
        if (does and not WITHIN.search(before[: does.start()])) or OF_IT[level].match(rest):
            return level
    return "any"
