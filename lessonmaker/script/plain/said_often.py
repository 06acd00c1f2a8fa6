"""Whether a sentence says that what it spells out comes each time: "on every chord", "three times", "and again".

Common practice, no source. What is counted is meant only where it comes as often as is said.
"""

from __future__ import annotations

import re

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.vocabulary import NUMBER, number_of

__all__ = ["AGAIN", "SEVERAL", "each_beside", "is_counted", "is_said_of_all"]

# Over and over, however often that is.
OF_EACH = pattern_of(
    r"\b(?:(?<!, one on )(?<!, one to )(?<!, one for )each"
    r"|every(?! (?:note|eighth|quaver|other note))|(?<!after )(?<!above )(?<!at )(?<!that's )(?<!that is )"
    r"all(?! (?:right|in all|along"
    r"|the way|eighths|quavers|of a sudden|the same)\b)|whatever the (?:chord|harmony|root)"
    r"|no matter (?:what|which) chord"
    r"|(?P<unit>bar|measure|chord|time|beat|change|cell|group) after (?P=unit)|one after (?:another|the other)"
    r"|over and over|again and again|round and round|time and (?:time )?again|time after time|on (?:a )?(?:loop|repeat)"
    r"|repeatedly|throughout|(?:through|over|across|on) the changes|in turn"
    r"|keeps? (?:on )?(?:\w+ )?(?:coming|going|returning|turning|repeating|recurring|running))\b"
)
COUNTED = pattern_of(
    rf"\b(?=(?P<both>both|(?P<count>{NUMBER}))"
    r"(?: of (?:the|these|those|our))?(?: (?!times|bars|chords)[\w-]+){0,2}? "
    r"(?:times|chords|changes|dominants|harmonies|minors|majors|sevenths|bars|measures|places|occasions|rounds"
    r"|repetitions|statements|groups|cells|shapes|figures|phrases|keys|roots|halves|outings|goes"
    r"|in a row|running)\b)"
)
TWICE = pattern_of(
    r"\btwice(?! (?:as|the)\b)|\bonce\b[^.;:!?]{1,40}\b(?:and|then) once\b"
    r"|\bfirst (?:on|over|in) [^.;:!?]{1,30}?\b(?:then|and)(?: again)? (?:on|over|in)\b"
)
REPEATED = pattern_of(r"\b(?:is|are|gets?|was|were|and) repeated\b|\brepeats\b(?! (?:the|its|an?)\b)")
AGAIN = pattern_of(
    r"(?<=\w)[,;.:!?]* (?:and )?(?:then )?(?:the (?:very |exact )?same(?: (?:thing|notes|degrees|shape|figure))? )?"
    r"(?:again|once (?:more|again)|(?:one|a second|another) time|ditto|the same(?: (?:thing|again|shape|notes)))\b"
)


def is_said_of_all(text: str, ways: int) -> bool:
    """Whether words say that something comes as often as it does.

    Args:
        text: what is said, in lower case.
        ways: how often it comes.
    """
    return bool(OF_EACH.search(text) or REPEATED.search(text) or is_counted(text, ways))


def is_counted(text: str, ways: int) -> bool:
    """Whether words say how often something comes, and it does: "four times round", "twice", "and again".

    Args:
        text: what is said, in lower case.
        ways: how often it comes.
    """
    counts = {2 if match["both"] == "both" else number_of(match["count"]) for match in COUNTED.finditer(text)}
    if TWICE.search(text):
        counts.add(2)
    again = len(AGAIN.findall(text))
    return ways in counts or (again > 0 and ways == again + 1)


# Each of several ----------------------------------------------------------------------------------------

COUNT = r"(?:two|three|four|five|six)"
EACH = rf"(?:each|every|both|all(?: {COUNT})?)(?: single)?(?: of)?(?: (?:the|these|those|our))?(?: {COUNT})?"
BEATS = r"down-?beats?|ones|off-?beats?|ands|up-?beats?|beats?"
UNITS = (
    r"bars?|measures?|chords?|changes?|harmon(?:y|ies)|dominants?|phrases?|groups?|cells?|shapes?|figures?|units?"
    r"|fragments?|patterns?|statements?|arpeggios?|triplets?|half|halves"
)
# Each of several that no noun names: "every one of them", "each of the three", "they all".
SEVERAL = (
    rf"(?:(?:(?:each|every)(?: single)? one|each|all(?: {COUNT})?) of (?:them|these|those|the {COUNT})"
    rf"|(?:each|every)(?: single)? one(?! of (?:us|you|my|our|your)\b)|all {COUNT}(?! times\b)"
    r"|(?:they|these|those)(?: (?:do|can|will))? (?:all|each))"
)
IN_EACH = pattern_of(
    rf"\b(?:{EACH} (?:(?!of\b)[a-z-]+ ){{0,3}}?(?:(?P<beats>{BEATS})|(?P<units>{UNITS}))"
    rf"|the (?P<all>down-?beats|off-?beats|ones|ands|up-?beats)|{SEVERAL}"
    r"|(?:on|over|in|against) the (?P<kind>dominant|minor|major|altered|half-diminished)(?:s| chords))(?![\w'-])"
)
PART = pattern_of(r"[;.!?]")


def each_beside(text: str, first: int, last: int) -> re.Match[str] | None:
    """The words that name each of several nearest before those at [first, last), else after them.

    Args:
        text: the sentence in lower case.
        first: where what is said of each begins.
        last: where it ends.
    """
    found = [
        match
        for match in IN_EACH.finditer(text)
        if not PART.search(text, min(match.end(), last), max(match.start(), first))
    ]
    before = [match for match in found if match.end() <= first]
    after = [match for match in found if match.start() >= last]
    return before[-1] if before else after[0] if after else None
