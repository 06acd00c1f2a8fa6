"""Notes by their names in a sentence: "that E flat", "G, A flat, A". Common practice, no source.

A name is a note only where nothing makes it a chord or a key; which note of that name is meant is told by its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.adjectives import ADJECTIVES
from lessonmaker.script.plain.chord_names import SIGNS
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import AROUND, ENDING, LANDING, LEANING, MOVING, SOUNDING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER, number_of
from lessonmaker.theory.pitch import NoteName

__all__ = ["OF_A_KEY", "OF_OTHERS", "NoteWord", "named_note", "note_words"]

NAME = (
    r"(?<![\w'#])(?<![A-Z]\.)[A-G](?:b|#|[ -](?:flat|sharp|natural))?"
    r"(?![\w#]|[ -](?:flat|sharp|natural)\b|'(?!s\b)|\.[A-Z]\.)"  # no "D.C."
)
PARTS = pattern_of(r"([A-Ga-g])(b|#|[ -](?:flat|sharp|natural))?")
# Before a note that need not be played: "the key we're in has a D flat".
OF_A_KEY = pattern_of(
    r"\b(?:key|scale|mode|signature)\b[^,;:]* (?:has|have|contains?|holds?|wants?|takes?)(?: an?| the)? $"
)
# What follows a name that is a chord's, a key's, an edition's, or no name at all ("A flat nine").
OF_OTHERS = pattern_of(
    r"(?! \w+ times\b)(?:[ -](?:double|one|two|three|four|five|six|seven(?:th)?|nine|ninth|eleven|eleventh|thirteen"
    r"|thirteenth|second|third|fourth|fifth|sixth|\d|major|minor|dominant|dim|aug|half|sus|alt|triad|chord|blues"
    r"|scale|edition|instruments?"
    r"|trumpet|clarinet|horn|version|part|section|theme|strain|harmonic|melodic|natural minor|whole|altered"
    r"|diminished|bebop|aeolian|ionian|lydian|dorian|mixolydian|phrygian|pentatonic"
    r"|over(?! (?:an?|the|that|this|our|into|and|to|until)\b)|is"
    r" (?:the|our|a) (?:key|tonic|home|chord)))"
)
# A part of the player's instrument, or an instrument.
OF_AN_INSTRUMENT = pattern_of(
    r" (?:clarinets?|flutes?|harmonicas?|harps?|horns?|keys?(?! (?:of|change|sig))|recorders?|sax\w*|strings?"
    r"|trumpets?|valves?|whistles?)\b"
)
# What stands before a chord or a key.
BEFORE_OTHERS = pattern_of(
    r"\b(?:(?<!-)over|(?:relative|compared|in relation|related) to|above|beneath|of|in|against|across"
    r"|for|under|key|letter|section|back to|via|around|round"
    r"|towards?)(?: the| an?| that| this| our)? $"
    r"|\b(?:half|half (?:of )?(?:the|this) bar|the (?:whole|rest of the) bar)"
    r" (?:is|belongs to|goes to)(?: all| still)? $"
    r"|(?<!lands )(?<!ends )(?<!starts )(?<!rests )(?<!sits )(?<!stays )(?<!settles )"
    r"\bon(?: the| that)? $",
    re.IGNORECASE,
)
# What a letter without a sign needs before it to be a note.
POINTED = pattern_of(
    r"\b(?:the|that|this|your|high|low|top|bottom|long|held|note|pitch|first|last|little|repeated|persistent|constant|insistent"
    r"|reiterated|lands on|stays on|falls to|drops to"
    r"|down to|up to|as (?:low|high|far) as|rises to"
    r"|(?:goes|leads|moves|pulls|resolves)(?: right| straight| back)? home to|then) $",
    re.IGNORECASE,
)
DESCRIBED = pattern_of(
    r"\b(?:a|an|the) (?:plain|simple|ordinary|humble|mere|innocent|normal|lone|single|big|nice) $"
    rf"|\b(?:[Tt]he|[Tt]hat|[Tt]his|[Aa]n?|our|your|its|another|one) {ADJECTIVES}$"
)
# What is denied: "there's no A in this bar".
NOT_ANY = pattern_of(
    r"(?:\b(?:no|nor|any)|(?:\bnot|n't|\bnever|\bwithout)(?: \w+){0,3} an?) $", re.IGNORECASE
)
# What sounds over a chord, and is no chord over its bass: "the F over E7", "D over G minor is the fifth".
OVER_IS = pattern_of(r" over (?:the |that )?[A-G][\w# -]{0,24}? (?:is|was) (?:the|an?)\b")
# "On the tonic, E, and then": the note after its degree.
COMES_AFTER = pattern_of(r"\b[Aa]fter (?:the|that|our|its) [^,;:.]{3,24}(?:,| comes)(?: just| an?)? $")
APPOSED = pattern_of(
    r"\b(?:root|tonic|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen|note|tone)"
    r"(?:, $|(?: (?:of|in|over) [^,;:.]{1,30})?, (?:namely|that's|which is) $)"
)
STRESSED = pattern_of(
    r"\b(?:accent|fingering|fingers|articulation|attack|stress|weight|emphasis|vibrato|tuning|intonation|air|breath|pressure|time|eye|ear|finger|careful|easy|bang|boom|care)"
    r" on (?:the|that|this) $"
    r"|\b(?:listen\w*|watch\w*|look\w*|reach\w*|long\w*|wait\w*|ready|aim\w*|go(?:es|ing)?|prepar\w+|air)"
    r" (?:out )?for (?:the|that|this) $"
)
LANDED_ON = pattern_of(
    rf"\b(?:{LANDING}|{LEANING}|{STARTING}|{ENDING})(?: \w+){{0,3}} on (?:the |that |an? )?$",
    re.IGNORECASE,
)
AN_A = pattern_of(r"\bto an? $")  # "back to an A"
# "The G on two is headed for F", no chord on its way to another.
ON_ITS_WAY = pattern_of(
    rf"\b(?:[Tt]he|[Tt]hat|[Tt]his) {NAME}(?!{OF_OTHERS.pattern})[^.;:]*"
    r"(?:\bon (?:its|the) way to|\b(?:headed|heading|bound) for) $"
)
ENCLOSED = pattern_of(rf"\b(?:{AROUND}|enclosure of|approach (?:to|into)) (?:the |that |an? )?$")
OF_CHORDS = pattern_of(
    r"\b(?:two[- ]fives?(?:[- ]ones?)?|turn-?arounds?|cadences?|modulat\w+|dominants|changes|chords|roots"
    r"|left hand|bass)\b[^.;:]*\b(?:in|into|to|of|towards?|for|goes)(?: the)? $",
    re.IGNORECASE,
)
IN_THE_BASS = pattern_of(
    r" (?:(?:is|sits|stays) )?(?:(?:again|still|now) )?(?:in the|as a|for a) bass\b"
    r"| (?:turns? into|becomes|changes (?:in)?to|is) (?:an?|the) (?:\w+ ){0,2}"
    r"(?:chord|dominant|(?:minor|major)(?= (?:chord|one|now|instead)|[,.;]))\b"
)
BESIDE_CHORDS = pattern_of(
    rf"(?:,? and |, (?:and )?){NAME} (?:major|minor|dominant|diminished|half|seven|six|sus|altered)"
)
# "Only the low note changes: E in bar seventeen, E flat in the next one".
ON_ITS_PLACE = pattern_of(
    rf" (?:in|on) (?:(?:bar|measure|beat) {NUMBER}\b|the (?:first|next|second) (?:bar|measure|beat)\b)"
)
BEFORE_IT = pattern_of(r"[:;,] $")
# What there is, or what something is: "it's a D", "you hear an E", "and then an A".
AFTER_AN_ARTICLE = pattern_of(r"\b[Aa]n? $")
# "F against F minor seven", "F on beat two".
AGAINST = pattern_of(r" (?:against|on top of) (?:the |that |this )?(?:[A-G]|chord)(?! (?:string|side))")
ON_A_BEAT = pattern_of(r" on (?:beat|the and of|the down-?beat)\b")
# "G is held over the bar line", with which a sentence begins.
IS_HELD = pattern_of(
    r"(?: here)?(?: is|'s| gets| stays)? (?:held|tied|sustained|carried|hangs|holds|rings|sustains|lingers|lasts)"
    r"(?: (?:on|out|over|across|through|for|in|all)\b|[,.;])"
)
# "Beat two: F."
ANSWERED = pattern_of(
    r"\b(?:beat|down-?beat|the and of) (?:one|two|three|four)(?: of bar [\w-]+)?[:,] $", re.IGNORECASE
)
# What no section of a tune does: "the last A goes up by a half step".
GOES = pattern_of(
    rf" (?:{MOVING}|{LEANING}) (?:up|down|into|by|over|across|on|for"
    r"|to(?! (?:the (?:top|bridge|coda|end)|a close)\b))\b"
)
SECTION = pattern_of(r"\b(?:first|second|last|final|next) $", re.IGNORECASE)
SAID_OFTEN = pattern_of(r" (?:twice|(?:three|four|five|six) times)\b(?! (?:as|more)\b)")
OWN_ONE = pattern_of(r" (?:that )?i (?:always|never|usually|often|still|keep)\b")
UP_OR_DOWN = (
    r" (?:(?:straight|right|back|all the way) )?(?:(?:up|down) )?(?:to|until (?:you|we|it) (?:hit|reach)s?) "
)
LIST = pattern_of(rf"{NAME}(?:(?:, |{UP_OR_DOWN}|,? then |, and | and | ){NAME})+")
AN_ARTICLE = pattern_of(rf"A {NAME}")
# As it is typed in talk: "that e flat", "the a natural".
IN_TALK = pattern_of(
    r"(?<![\w'#])(?:[b-g]|(?:(?<=the )|(?<=that )|(?<=this )|(?<=an ))a)[ -](?:flat|sharp|natural)(?![\w'#])"
)
# What follows an A that begins a sentence where it is the note and no article.
BESIDE_IT = pattern_of(
    r" (?:(?:just|right) )?(?:above|below|underneath|on top)(?=[,.;:!?]|$| (?:and|then)\b)"
)
# What only a note can be: "B is the ninth", "F, the third".
IS_A_DEGREE = pattern_of(
    r"(?:(?: here| there)? (?:is|was)|'s|, that's|,)(?: (?:just|really|simply|only|actually))? (?:the|an?|our|its)"
    r" (?:(?:top|highest|lowest|bottom|first|last|opening|closing) (?:note|pitch|tone)|flat|sharp|natural"
    r"|raised|lowered|major|minor|root|third|fourth|fifth|sixth|seventh|ninth|eleventh"
    r"|thirteenth|nine|eleven|thirteen)\b(?! (?:chord|key|scale|triad)s?\b)"
)
IS_THE_NOTE = pattern_of(rf" (?:{SOUNDING}|{LEANING}|{MOVING}|is|on|in|at|over|then|to)\b|,")
COUNTED = pattern_of(
    r"\b(?:(?i:all|these|those) )?(?P<count>(?i:two|three|four|five|six|seven|eight|both|all|how many|the|[2-8]))"
    r"(?: of)?(?: the| those| these)?(?: [a-z]+)? (?P<name>[A-G](?:[ -](?:flat|sharp|natural))?)(?:'?s)\b"
    r"(?! (?:out of|are for)\b)"
)
# "Every D in bar nine", "each F sharp".
EVERY = pattern_of(
    r"\b(?i:every|each)(?: (?:single|last|other|one of the))?(?: (?:high|low|long|little))? "
    r"(?P<name>[A-G](?:[ -](?:flat|sharp|natural))?)(?![\w#'-]| (?:chord|bar|section|major|minor|seven|dominant)\b)"
)
UNCOUNTED = ("all", "how many", "the")


@dataclass(frozen=True)
class NoteWord:
    """The name of a note at [first, last) of a sentence, as on the score's page; `count` as in a `Claim`."""

    first: int
    last: int
    name: str
    count: int = 0


def note_words(sentence: Sentence) -> Iterator[NoteWord]:
    """The names of notes in a sentence, in its order."""
    listed = [match.span() for match in LIST.finditer(sentence.written) if not AN_ARTICLE.fullmatch(match[0])]
    for match in COUNTED.finditer(sentence.written):
        said = match["count"].lower()
        count = -1 if said in UNCOUNTED else 2 if said == "both" else number_of(said)
        yield NoteWord(match.start(), match.end(), match["name"], count)
    for match in EVERY.finditer(sentence.written):
        if " other " not in match[0]:
            yield NoteWord(*match.span("name"), match["name"], -1)
    for match in (*pattern_of(NAME).finditer(sentence.written), *IN_TALK.finditer(sentence.written)):
        first, last = match.span()
        in_list = any(start <= first < end for start, end in listed)
        if any(each.span("name") == (first, last) for each in EVERY.finditer(sentence.written)):
            continue
        if _is_note(sentence.written, first, last, in_list):
            yield NoteWord(first, last, match[0])


def _is_note(text: str, first: int, last: int, in_list: bool) -> bool:
    before, after = text[:first], text[last:]
    is_over = after.startswith(" over") and (in_list or _is_over_a_chord(before, text[first:last], after))
    if (OF_OTHERS.match(after) and not is_over) or (
        BEFORE_OTHERS.search(before)
        and not STRESSED.search(before)
        and not LANDED_ON.search(before)
        and not ENCLOSED.search(before)
        and not AN_A.search(before)
        and not ON_ITS_WAY.search(before)
    ):
        return False
    if (
        OF_AN_INSTRUMENT.match(after)
        or OF_CHORDS.search(before)
        or IN_THE_BASS.match(after)
        or BESIDE_CHORDS.match(after)
    ):
        return False
    if text[first] == "A" and not before.strip() and not IS_A_DEGREE.match(after):
        return last - first > 1 and IS_THE_NOTE.match(after) is not None
    if (
        text[first:last] in ("A", "B")
        and SECTION.search(before)
        and not (GOES.match(after) or IS_A_DEGREE.match(after))
    ):
        return False
    pointed = (
        POINTED.search(before)
        or DESCRIBED.search(before)
        or LANDED_ON.search(before)
        or BESIDE_IT.match(after)
        or IS_A_DEGREE.match(after)
        or SAID_OFTEN.match(after)
        or COMES_AFTER.search(before)
        or OWN_ONE.match(after)
        or NOT_ANY.search(before)
        or (BEFORE_IT.search(before) and ON_ITS_PLACE.match(after))
        or is_over
        or AFTER_AN_ARTICLE.search(before)
        or ON_ITS_WAY.search(before)
        or AGAINST.match(after)
        or (not before.strip() and (ON_A_BEAT.match(after) or IS_HELD.match(after)))
        or ((APPOSED.search(before) or ANSWERED.search(before)) and after[:1] in (",", ".", ";", "!"))
    )
    return last - first > 1 or in_list or pointed is not None


def _is_over_a_chord(before: str, name: str, after: str) -> bool:
    """Whether a name before "over" is a note's, and not that of a chord over its bass."""
    pointed = pattern_of(r"\b(?:[Tt]he|[Tt]hat|[Tt]his) $").search(before)
    return bool(pointed or name.endswith("natural") or OVER_IS.match(after))


def named_note(text: str) -> NoteName:
    """The note name that words say: "A flat", "F#", "d"."""
    match = PARTS.match(text)
    if match is None:
        raise ValueError(f"{text!r} is no note name")
    sign = (match[2] or "").strip(" -")
    return NoteName(match[1].upper(), SIGNS.get(sign, 0))
