"""The words for moves: which way, how it goes on from what was spoken of last, from where and to what.

Common practice, no source. Words that only sound like a way ("ends up", "falls on beat two") are no moves.
"""

from __future__ import annotations

import re

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.verbs import GOING, inflected

__all__ = [
    "ANY_DOWN",
    "ANY_UP",
    "AN_A",
    "A_NOUN",
    "BEFORE_IT",
    "COMPARED",
    "DEGREE",
    "DOES_GO",
    "DOWN",
    "FROM",
    "GOES_ON",
    "GONE_TO",
    "IS_A_DEGREE",
    "ONE_MOVE",
    "TO",
    "UNDER_IT",
    "UNSURE",
    "UP",
    "VIA",
]

# What follows a verb that says no way: "falls on beat two", "drops the root", "sinks in".
NO_MOVE = (
    r"(?! (?:(?:\w+ ){0,2}on\b(?! (?:to|up|down)\b)"
    r"|in\b(?! (?:half|whole|steps?|thirds|fourths|fifths|semitones|triplets|eighths|one))"
    r"|under|over|at|out|apart|short|flat\b|silent|between|within|outside|inside|back\b(?! (?:down|to))"
    r"|into (?:place|line|step|two|three|four|groups?|the (?:groove|pocket|category|trap))"
    r"|right (?:on|in)|exactly|squarely|just|early|late|where|there|here|off|behind|for\b"
    r"|the|that|this|its|your|our|it|them|every|each|all|any|some|no|nothing|everything|everyone|everybody"
    r"|quiet|asleep|together|nicely|naturally|easily|perfectly|upon|beneath|what|plain|either|as|like|with"
    r"|away\b(?! (?:from|to))|hard|inevitably|(?:and|or) (?:rise|fall))\b)"
)
LEADS_ON = (
    r"(?: (?:right|straight|back|all the way|on|then|further|again|along|just|\w+ly|it|(?:its|their|our|your) way"
    r"|the whole way))*"
)
GOERS = inflected(
    "go, walk, glide, hop, climb, stack, roll, arpeggiate, work, rattle, rip, tumble, drift, soar, rush, tiptoe, "
    "march, bounce, drop, fall, carry"
)
WALKS = (
    r"(?!(?:turn|com)\w* up|came up|heads up(?! (?:the|an?|to|by)\b)|(?:moved|shifted|carried|brought|taken)\b)"
    r"(?<!half )(?<!whole )(?<!half-)(?<!whole-)(?<! a )(?<! one )"
    rf"(?:{GOING}|{GOERS}|arpeggio|scale)"
)
A_NOTE = (
    r"(?:(?:[b-g]|a(?=[,.;:!?]|$| (?:flat|sharp|natural|in|on|at)\b))(?: flat| sharp| natural)?"
    r"(?![\w']| (?:minor|major|seven|dim|half|alt))"
    r"|root|third|fifth|sixth|seventh|ninth|eleventh|thirteenth|(?:flat|sharp) (?:five|nine|eleven|thirteen))"
)
TO_A_NOTE = (
    r"(?: (?:all the way|right|straight|back|again|from there))*,? (?:in)?to (?:(?:the|an?|that|its|our|this) )?"
    rf"(?:(?:high|low|top|bottom|long|tied) )?{A_NOTE}"
)


def _ways(verbs: str, adverb: str, always: str) -> re.Pattern[str]:
    """What says that something goes one way."""
    return pattern_of(
        rf"(?<![\w'-])(?:(?:{inflected(verbs)})(?![\w'-]){NO_MOVE}(?:{LEADS_ON} {adverb}\b)?"
        rf"|{WALKS}{LEADS_ON} {adverb}(?![\w'-])|(?:{always})(?![\w'-])"
        rf"|{adverb}(?={TO_A_NOTE}\b))"
    )


UP = _ways(
    "rise, climb, ascend",
    r"up(?:wards?)?(?! front| close| there| here| high\b| in the)",
    r"upwards?|uphill|ascending|rising|on (?:the|its|our) way up|from (?:the )?bottom (?:to (?:the )?top|up)",
)
DOWN = _ways(
    "fall, drop, sink, descend, plunge, plummet, tumble, cascade",
    r"down(?:wards?)?(?! there| here| low\b)",
    r"downwards?|downhill|descending|falling|on (?:the|its|our) way down|from (?:the )?top (?:to (?:the )?bottom|down)",
)
# What says a way at all: a part that has both is left alone.
ANY_UP = pattern_of(r"\b(?:up|upwards?|uphill|ris\w+|rose|climb\w*|ascen\w+|soar\w*|higher)\b")
ANY_DOWN = pattern_of(
    r"\b(?:down|downwards?|downhill|f[ae]ll\w*|drop\w*|descen\w+|sink\w*|sank|tumbl\w+|plung\w+|lower|dip\w*)\b"
)
# A verb that is the name of a stretch: "the top of the climb".
A_NOUN = pattern_of(r"\b(?:the|a|an|this|that|its|our|of|long|big|slow|first|whole|entire|one) $")
DEGREE = pattern_of(
    r"\b(?:(?:flat|sharp|minor|major|natural|raised|lowered) )?"
    r"(?:root|tonic|thirteenth|eleventh|ninth|seventh|sixth|fifth|fourth|third"
    r"|(?:(?<=flat )|(?<=sharp ))(?:five|nine|eleven|thirteen))\b"
)
IS_A_DEGREE = pattern_of(
    r"\b(?:the|its|our|that|this|chord's|to|into|(?:flat|sharp|major|minor|natural|raised|lowered))(?: \w+)? $"
)
# The note A where it does something: "A moves up".
AN_A = pattern_of(
    r"(?:^|[,;:] |\band |\bthen )(A)(?= (?:\w+ly )?(?:moves?|goes|rises?|falls?|drops?|steps?|leaps?|jumps?|slides?"
    r"|resolves?|climbs?|slips?|hops?|is tied|is held|hangs?)\b)"
)
# A letter that goes somewhere, or to which something goes so far: it is a note's.
GO = rf"(?:{GOING}|{inflected('rise, fall, drop, step, leap, jump, slide, slip, hop, climb, go')})"
DOES_GO = pattern_of(
    rf" (?:then |just |simply |\w+ly )?{GO} (?:(?:right|straight|back) )?(?:up|down|an?|by)\b"
)
GONE_TO = pattern_of(
    r"\b(?:half[- ]step|whole[- ](?:step|tone)|semitone|second|third|fourth|fifth|sixth|seventh|octave|tritone)"
    r"(?: (?:up|down))? (?:in)?to (?:the |an? |our |that )?$"
)
BEFORE_IT = pattern_of(
    r"\b(?P<prep>from|off|leaving|through|via|past|after|until|reaching|reach|hits?|towards?|onto|into|to|on|at|for"
    r"|of|around|against|over|as (?:low|high|far) as)"
    r"(?: (?:the|that|this|its|a|an|our|your|my))?"
    r"(?: (?:high|low|top|bottom|long|tied|held|first|last|final|opening|plain|natural|chord's|open|little|same|bright"
    r"|warm|new|next|old|good|sweet))*$"
)
FROM = ("from", "off", "leaving")
TO = (
    *("towards", "toward", "onto", "into", "to", "until", "reaching", "reach", "hit", "hits", "for"),
    *("as low as", "as high as", "as far as"),
)
VIA = ("through", "via", "past")
# What goes on is what was spoken of last: ", and then it climbs".
GOES_ON = pattern_of(
    r"(?:[,;:\s]|\b(?:and|but|then|so|before|until|which|that|it|we|you|i|he|she|they|'s|'ll|just|after|from there|now"
    r"|next|where|gets?|\w+ly|tied over|has|is|are|was|will|wants?|needs?|always|again|all|one|long|a|the|whole|way"
    r"|right|straight|back|this time|of course|don't|does|do|in turn|lets?|to)\b)*"
)
# A chord that is where something sounds, and not what goes on: "F sharp against a C seven".
UNDER_IT = pattern_of(
    r"\b(?:over|against|on|in|of|with|above|across|under|for|from)(?: (?:the|that|this|an?|our))? $"
)
# What might be: "it could just as well sink to the A".
UNSURE = pattern_of(
    r"\b(?:could|would|might|should|may|if|instead|another|other|does|do|did|next time|expect\w*|rather than"
    r"|mostly|mainly|largely|chiefly)\b"
)
# What one thing is beside another is no move: "the same shape, down a step".
COMPARED = pattern_of(
    r"\b(?:again|same|moved|cop(?:y|ies)|transposed|sequence\w*|statements?|shape|pattern|repeat\w*|shift\w*|like"
    r"|each time|every time|below|above|(?:high|low|long|fast|furth)er than)\b"
)
# One move of many: "drops an octave", "falls to".
ONE_MOVE = pattern_of(r"(?: by)?,? (?:an?|one|to|into|onto|towards?|through)\b")
