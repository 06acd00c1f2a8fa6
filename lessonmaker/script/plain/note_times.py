"""How often a note is said to come: "you get it twice", "it keeps coming back to the nine", "both times".

Common practice, no source. What comes as often as it does is counted as -1, as in a `Claim`.
"""

from __future__ import annotations

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.shape import times_said
from lessonmaker.script.plain.vocabulary import NUMBER, number_of

__all__ = ["comes_again", "is_only_once", "times_of_note"]

MANY = -1
THE = r"(?:the|that|this|its|an?|our|your)(?: (?:very )?same)?"
# Over and over, however often that is.
OFTEN = (
    r"(?:again and again|over and over|time and again|time after time|repeatedly"
    r"|(?:several|many|a few|a couple of) times|(?:more than|not just|not only) once|all the time)"
)
# One note over and over: "a reiterated fifth", "it keeps coming back to the ninth", "it won't leave the third alone".
REPEATED = pattern_of(
    r"\b(?:repeated|reiterated|persistent|insistent|hammered|constant|drone|droning|pedal|ostinato|stubborn"
    rf"|recurring|repeats {THE}|(?:obsessed with|stuck on) {THE}"
    r"|repeating (?:the|its)|keeps? (?:on )?(?:hitting|tapping|hammering|striking|playing|repeating|touching|sounding"
    rf"|(?:coming|going|getting|circling|drifting) back to|returning to|landing on|visiting) {THE}"
    rf"|hammers?(?: away)?(?: on| at)? (?:the|that|its)"
    rf"|(?:won't|can't|cannot|doesn't|never) (?:let go of|leave|get (?:enough of|away from)|stay away from) {THE}"
    rf"|{OFTEN},? (?:we|you|it|the line|he|she|i) (?:\w+ ){{1,3}}{THE}"
    r"|(?:accent|at|circle|count|hear|mark|mind|of|on|play|sing|treat|under|watch|with) (?:each|every(?: single)?)"
    r"|(?:each|every)(?: single)? time(?: (?:you|we|i) (?:get to|hear|hit|land on|meet|play|reach|see|strike))?"
    r" (?:the|that|this)) $"
)
AGAIN = pattern_of(
    r" (?:(?:every|each)(?: single)? time(?=[,.;!]|$| (?:it|that|you|we|he|she)\b)"
    r"|keeps? (?:on )?(?:coming|ringing|returning|repeating|sounding)|(?:is|gets) (?:repeated|reiterated"
    r"|hammered)(?! (?:once|twice|a|an|in|at|on|by|down|up|with|over))"
    rf"|(?:(?!and\b|then\b|to\b)\w+ ){{0,3}}?{OFTEN}"
    r"|(?:just |simply |always )?(?:stays? (?:put|still|in place|up there)"
    r"|holds? (?:still|its place)|(?:doesn't|does not|never|won't) (?:move|budge)s?"
    r"|sits? (?:still|tight)|stands? still))"
)
# "Twice in this bar we hear the third", "both times it's the ninth".
# (not the one that another note, which comes so often, goes to: "twice a flat nine that falls to the fifth").
WHERE_IT_GOES = r" (?:that|which) (?:go|fall|rise|resolve|move|land|lead|come|climb|drop|step|reach)\w* "
FIRST_SAID = pattern_of(
    rf"^\W*(?:and |but |so |now |here )*(?:(?P<twice>twice|both times)|(?P<number>{NUMBER}) times)\b"
    rf"(?! (?:as|more|over|out)\b)(?:(?!{WHERE_IT_GOES})[^,.;:]){{0,36}} {THE} $"
)
# "Both times", "in two places", "twice".
TIMES = pattern_of(
    rf"\b(?:(?P<both>both|{NUMBER}) (?:times|places|occasions|octaves)|(?P<twice>twice)(?! (?:the|an?)\b))\b"
    r"(?! (?:as|more|over|out)\b)"
)
# What is said of a note after it, by which there are two of it in what is shown: no mere "again".
ONCE_MORE = pattern_of(
    r"[^.;:!?]{0,40}?\b(?:(?:comes|is) (?:back |round |around )?"
    r"(?:once (?:more|again)|(?:a second|another|one more) time)"
    r"|there it is again|and (?:then )?(?:(?:once|later|soon) )?again"
    r"(?= (?:in|on(?! top)|over|at|later|an octave)\b|[,.;!]|$)"
    r"|on both sides|at both ends)"
)
ONCE = pattern_of(
    r"[^.,;:]{0,24}?\b(?:(?:only|just|exactly) once|once only|one single time|only (?:one|a single) time"
    r"|once and (?:only once|no more))\b(?! (?:more|again)\b)"
)
ONLY_ONE = pattern_of(r"\b(?:only (?:ever )?|just |(?:exactly|precisely) )(?:one|a single)(?: single)? $")
GET_ONCE = pattern_of(r"\bonly \w+ (?:the|that|an?) $")


def times_of_note(text: str, first: int, last: int) -> int:
    """How often the note whose name stands at [first, last) of a sentence is said to come; 0 where that is not said."""
    before, after = text[:first], text[last:]
    if REPEATED.search(before) or AGAIN.match(after):
        return MANY
    said = FIRST_SAID.match(before)
    if said is not None:
        return 2 if said["twice"] else number_of(said["number"])
    return times_said(after)


def comes_again(before: str, after: str, times: int) -> bool:
    """Whether a note that comes more than once is said to come as often, by what stands round its name.

    Args:
        before: what is said before its name, and after any other.
        after: what is said after its name, and before any other.
        times: how often it comes.
    """
    said = [
        2 if each["twice"] or each["both"] == "both" else number_of(each["both"])
        for each in TIMES.finditer(f"{before}|{after}")
    ]
    return times in said or (times == 2 and ONCE_MORE.match(after) is not None)


def is_only_once(before: str, after: str) -> bool:
    """Whether a note is said to come no more than once, by what stands round its name."""
    once = ONCE.match(after) or ONLY_ONE.search(before)
    return bool(once or (GET_ONCE.search(before) and pattern_of(r" once\b").match(after)))
