"""What teachers call things: the words for degrees, numbers, devices, roles, scales and chords.

Common practice, no source. Everything is matched against a sentence in lower case with its signs as b and #.
"""

from __future__ import annotations

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.verbs import GOING_ROUND, inflected
from lessonmaker.theory.counting import TENS, UNITS

__all__ = [
    "ACCIDENTALS",
    "ALTERATIONS",
    "CARDINAL",
    "CARDINALS",
    "CHORD_WORDS",
    "DEVICE_WORDS",
    "FIGURE_KINDS",
    "NUMBER",
    "ORDINAL",
    "ORDINALS",
    "ROLE_WORDS",
    "SCALE_WORDS",
    "TENSIONS",
    "degree_names",
    "number_of",
    "ordinal_of",
]

CARDINALS = {word: number for number, word in enumerate(UNITS) if number}
CARDINALS |= {word: 10 * number for number, word in enumerate(TENS) if word}
CARDINAL = "|".join(sorted(CARDINALS, key=len, reverse=True))
ORDINAL_UNITS = [
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
]
ORDINALS = {word: number for number, word in enumerate(ORDINAL_UNITS, 1)}
ORDINALS |= {"twentieth": 20, "thirtieth": 30, "fortieth": 40}
_UNIT = "|".join(sorted(UNITS[1:], key=len, reverse=True))
_DIGIT = "|".join(UNITS[1:10])
_TEN = "|".join(filter(None, TENS))
NUMBER = (
    rf"(?:(?:{_TEN})(?:[ -](?:{_DIGIT})\b)?|(?:{_UNIT})\b"
    rf"|\d{{1,3}}(?![\d\w]))"
)
_ORDINAL_UNIT = "|".join(sorted(ORDINALS, key=len, reverse=True))
ORDINAL = rf"(?:(?:{_TEN})[ -](?:{_ORDINAL_UNIT})|(?:{_ORDINAL_UNIT})|\d{{1,2}}(?:st|nd|rd|th))\b"


def number_of(text: str) -> int:
    """The number that words or figures say: "twenty-seven", "27"."""
    if text.isdecimal():
        return int(text)
    return sum(CARDINALS[word] for word in pattern_of(r"[ -]").split(text))


def ordinal_of(text: str) -> int:
    """The number of an ordinal: "third", "3rd", "twenty-first"."""
    if text[0].isdecimal():
        return int(pattern_of(r"\D").sub("", text))
    *ten, last = pattern_of(r"[ -]").split(text)
    return sum(CARDINALS[word] for word in ten) + ORDINALS[last]


# Degrees -------------------------------------------------------------------------------------------------

# What an accidental's word does to the degree it stands before: a semitone down, up, or as it is in major.
ACCIDENTALS = {
    **dict.fromkeys(("flat", "flatted", "flattened", "lowered", "b", "minor", "diminished", "blue"), "b"),
    **dict.fromkeys(("sharp", "sharped", "sharpened", "raised", "#", "augmented"), "#"),
    **dict.fromkeys(("natural", "major", "perfect", "plain", "unaltered", "suspended", "sus"), "="),
}
ACCIDENTALS |= {
    "lydian": "#",
    "phrygian": "b",
    "dorian": "=",
    "mixolydian": "b",
    "locrian": "b",
    "aeolian": "b",
}
DEGREES: dict[tuple[str, int], tuple[str, ...]] = {
    ("b", 2): ("b9",),
    ("b", 3): ("b3", "#9"),
    ("b", 5): ("b5", "#11"),
    ("b", 6): ("b13",),
    ("b", 7): ("b7",),
    ("b", 9): ("b9",),
    ("b", 10): ("#9",),
    ("b", 13): ("b13",),
    ("#", 2): ("#9",),
    ("#", 4): ("#11",),
    ("#", 5): ("#5", "b13"),
    ("#", 6): ("b7",),
    ("#", 7): ("7",),
    ("#", 9): ("#9",),
    ("#", 11): ("#11",),
    ("=", 2): ("9",),
    ("=", 3): ("3",),
    ("=", 4): ("4", "11"),
    ("=", 5): ("5",),
    ("=", 6): ("6", "13"),
    ("=", 7): ("7",),
    ("=", 9): ("9",),
    ("=", 11): ("11", "4"),
    ("=", 13): ("13", "6"),
}
BARE_DEGREES: dict[int, tuple[str, ...]] = {
    1: ("1",),
    2: ("9",),
    3: ("3", "b3"),
    4: ("4", "11"),
    5: ("5", "b5", "#5"),
    6: ("6", "13"),
    7: ("b7", "7", "bb7"),
    9: ("9",),
    10: ("3", "b3"),
    11: ("11", "4"),
    13: ("13", "6"),
}


def degree_names(accidental: str, number: int) -> tuple[str, ...]:
    """The degrees that an accidental's word (or none) before a number may mean, the likeliest first."""
    if (accidental, number) == ("diminished", 7):
        return ("bb7",)
    sign = ACCIDENTALS.get(accidental, "")
    return DEGREES.get((sign, number), ()) if sign else BARE_DEGREES.get(number, ())


# Devices, roles, scales, chords --------------------------------------------------------------------------

FROM_A_SIDE = (
    r"(?:(?:(?:an?|one|the) )?(?:fret|half[- ]step|whole[- ]step|step|note|semitone|tone) |one )?"
    r"(?:comes |is )?(?:from )?(?:an? (?:half[- ]step|whole[- ]step|step|semitone) )?"
)
ONE_FROM = r"(?:\w+ ){0,2}(?:one|note|step|side) from"
AND_THE_OTHER = r"(?:(?:and|then|the other|next) )*"

# (what to look for, the kind of device, "loose" where it often means something else). Earlier rows go first.
CROSSING = (
    r"(?:against|over|across) (?:the |a |our )?(?:(?:three|four|two) (?:beats|in the bar)|three|four|beat|bar|meter"
    r"|metre|(?:three|four)[- /](?:four|eight))"
)
A_TARGET = (
    r"(?= (?:the|that|its|this|our) (?:(?:high|low|flat|minor|major|chord'?s) )?"
    r"(?:[a-g](?: flat| sharp)?\b(?! (?:minor|major|seven|section))"
    r"|(?:root|tonic|third|fifth|seventh|ninth|eleventh|thirteenth|sixth)\b))"
)
ENCLOSING = "wrap, orbit, bracket, frame, flank, straddle, sandwich, box in, hem in, encircle"
# Between two notes that are named, nothing need be enclosed: "flanked by the root and the fifth".
NO_DEGREES = (
    r"(?![\w ]* (?:between|by) (?:the|an?|its) [\w ]*(?:root|third|fourth|fifth|sixth|seventh|\w*nine|ninth|\w+teen"
    r"|\w*eleventh) and )"
)
BETWEEN_ITS = (
    r"between (?:its|their|the|two)(?: (?:two|own|upper|lower|near|nearest|close|closest|chromatic|diatonic"
    r"|and|its))*"
    r" neighbou?rs?"
)
AND_NEXT = r",? (?:and |then |the |an? |its )*"
WALKING = inflected(
    "walk, creep, move, step, climb, descend, fall, go, sink, slide, rise, crawl, sneak, wander, slip, drop"
)
TRIPLET_VALUE = r"(?:(?:half|quarter|eighth)(?:[ -]note)?|minim|crotchet|quaver)"
DEVICE_WORDS: tuple[tuple[str, str, str], ...] = (
    (r"minor (?:two|2|ii)[ -]?(?:five|5|v)[ -](?:one|1|i)s?\b", "minor two five one", ""),
    (r"minor (?:two|2|ii)[ -]?(?:five|5|v)s?\b", "minor two five", ""),
    (
        r"(?:two|2)(?:[ -]|,? (?:and |then )?(?:an? |the )?)?(?:five|5)"
        r"(?:(?:[ -]|,? (?:and |then |and then )?(?:an? |the )?)?(?:one|1)s?|,? (?:and |then |and then )?home)\b"
        r"|\bii[ -]v[ -]i\b",
        "two five one",
        "",
    ),
    (
        r"(?<!backdoor )(?<!back[ -]door )"
        r"(?:two|2|ii)(?:, |[ -])(?:five|5|v)s?(?! (?:plus|notes?|bars?|one)\b)(?![, -]+(?:one|1|i)\b)",
        "two five",
        "",
    ),
    (r"turn-?arounds?", "turnaround", ""),
    (
        r"side[- ]?slip(?:s|ped|ping)?|(?:a )?(?:half step|semitone) (?:off the road|outside|to the side)"
        r"|(?:slips?|steps?|goes|moves?|shifts?) (?:out|outside|sideways)(?: (?:by )?a half step)?",
        "side-slip",
        "",
    ),
    (
        r"(?:(?<!in )|(?<=moves in )|(?<=goes in )|(?<=runs in )|(?<=is in ))(?:triplet (?:figure|run|group)s?"
        rf"|(?:{TRIPLET_VALUE}[ -])?triplets?(?! (?:eighth|quaver|note)\b))",
        "triplet",
        "",
    ),
    (r"(?<!in )(?:sixteenth notes?|sixteenths?(?! (?:bar|measure)\b)|semiquavers?)", "sixteenth", ""),
    (
        r"(?:(?:chromatic|inner|moving|lower|upper|second|descending|little) )*(?:line|voice|tones|descent|thread)"
        r"(?: that(?:'s)?| is|'s)? (?:sneak|creep|mov|walk|com|go|sink|descend|slid|crawl|fall|climb|ris|run"
        r"|wander)(?:ing|s|es|e)"
        r"(?: (?:down|up|stepwise|chromatically|(?:in|by) half[- ]steps?|(?:in|by) semitones?))*"
        r" (?:underneath|below|beneath|under|on top|above)(?: it| that| this)?"
        r"|(?:underneath|beneath|below)(?: it| that| this)?,? (?:there's |we hear |comes |is |runs )?(?:an?|this"
        r"|the|that)"
        r" (?:\w+ )?(?:line|voice|descent)(?: (?:sneaking|creeping|coming|going|walking|moving|sliding"
        r"|crawling))?(?: down)?"
        r"|(?:line|voice) (?:underneath|below|beneath)(?: it)?(?: (?:coming|going|walking|moving|sneaking"
        r"|creeping))?(?: down)?"
        r"|(?:top|upper|bottom|lower|other|inner|moving|second) (?:voice|line|part|notes?)"
        rf"(?: (?:slowly|gently|simply|just))? {WALKING}"
        r"(?: (?:down|up|stepwise|chromatically|(?:in|by) (?:half[- ])?steps?))*",
        "moving voice",
        "",
    ),
    (
        r"back[- ]?door (?:dominant|seven(?:th)?|chord|five)(?: chord)?|back-?door(?= (?:in|of) bar)",
        "backdoor dominant",
        "",
    ),
    (
        r"back[- ]?door(?: cadence| progression| approach| move| two[- ]five| resolution| route)?",
        "backdoor cadence",
        "",
    ),
    (
        r"(?:cycle|chain|string|row) of (?:dominants|fifths|fourths|sevenths)|dominant (?:cycle|chain)",
        "cycle of dominants",
        "",
    ),
    (
        r"(?:(?:twelve|12)[- ](?:bar|measure) )(?:minor )?blues(?: form)?|(?:minor )?blues form",
        "blues form",
        "loose",
    ),
    (r"modal (?:stretch|passage|vamp|section|part)(?:e?s)?", "modal stretch", ""),
    (r"(?:secondary|applied) dominants?", "secondary dominant", ""),
    (
        r"(?:plagal|amen) (?:cadence|close|ending|motion|move|progression|resolution|way)s?"
        r"|cadence (?:here |there )?(?:is|turns out|proves)(?: \w+)?? plagal|plagally",
        "plagal cadence",
        "",
    ),
    (
        r"(?:deceptive|interrupted) (?:cadence|close|ending|motion|move|progression|resolution)s?"
        r"|(?:cadence|resolution)(?: (?:here|there|in bar [\w-]+))? (?:is|turns out|proves)(?: \w+)?? deceptive"
        r"|(?:resolves?|goes|moves?|lands?) deceptively",
        "deceptive cadence",
        "",
    ),
    (r"minor cadences?", "minor cadence", ""),
    (
        r"(?<!deceptive )(?<!plagal )(?<!half )(?<!half-)(?<!interrupted )(?<!imperfect )(?<!phrygian )(?<!amen )"
        r"(?:perfect |full |authentic )?cadences?",
        "cadence",
        "",
    ),
    (
        r"tritone[- ]sub(?:stitut\w+|s)?(?:'s)? triads?|triads? (?:from )?(?:a )?tritone away|tritone triads?"
        r"|(?:major )?triad (?:that is )?(?:from )?a tritone (?:away|up|above|higher|off"
        r"|from)(?: (?:from )?the root)?"
        r"|triad[^.;:]{0,30} a tritone away",
        "tritone-substitute triad",
        "",
    ),
    (
        r"tritone[- ](?:sub(?:stitut\w+|s)?|swap|business|thing|trick|move)|substitute dominants?|sub five"
        r"|flat[- ]five sub(?:stitut\w+)?"
        r"|(?:chord|dominant(?: chord| seventh)?|seventh)(?: (?:that is|that's|which is|from))? a tritone away"
        r"|(?:is|'s|stands|lies|sits) a tritone (?:away|off)(?: from)?"
        r"(?<!from)(?! from [a-g](?:b|#|[ -]flat|[ -]sharp)?(?:[,.;:!?]|$| (?:and|so|but|in|at|on)))",
        "substitute dominant",
        "",
    ),
    (
        r"upper[- ]structures?(?: triads?)?|superimposed triads?"
        r"|triads?(?= (?:[\w-]+,? ){0,8}?(?:float|hover|ride|riding|perch|glid|hang)\w*"
        r" (?:on top of|over|above|upon) (?:the|that|this|our|a) (?:[\w-]+ ){0,2}?"
        r"(?:chord|dominant|seventh|seven|harmony|changes)\b)"
        r"|triads? (?:(?:sitting|stacked|laid|placed|played|superimposed|up|right|straight|just|high) )*"
        r"(?:on top of|over|above|upon|on) (?:the|that|this|our|a) (?:[\w-]+ ){0,2}?"
        r"(?:chord|dominant|seventh|seven|harmony|changes)\b",
        "upper-structure triad",
        "",
    ),
    (r"cross[- ]?rhythms?|hemiolas?|poly-?rhythms?|cross[- ]accents?", "cross rhythm", ""),
    (
        r"dotted (?:quarters?(?: notes?)?|crotchets?)(?:[\w ,'-]{0,30})? (?:against|across|over) (?:the |a )?(?:pulse"
        r"|bar(?: ?-?lines?)?|beats?|four|metre|meter|time)"
        r"|(?:two|three|four|[2-4])(?: notes?)? (?:against|over)(?: the)? (?:three|four|3|4)(?: beats?)?",
        "cross rhythm",
        "",
    ),
    (
        r"groups? of (?:three|five|seven|3|5|7)(?: (?:eighths|eighth notes|quavers|notes))?"
        r"|groups? of (?:four|4)(?: (?:eighths|eighth notes|quavers|notes))?"
        r"(?= (?:\w+ )?(?:against|over|across) the (?:three|3))"
        r"|(?:three|five|seven|3|5|7)-(?:note|eighth|quaver) group(?:ing)?s?"
        r"|(?:three|3) (?:eighths|quavers)(?:,? (?:and |then |plus )?(?:three|3) (?:eighths|quavers))+"
        r"|(?:every|each) (?:three|five|3|5) (?:eighths|quavers|eighth notes)"
        r"|(?:three|five|3|5) (?:eighths|quavers|eighth notes) at a time|every dotted (?:quarter|crotchet)(?: note)?",
        "cross rhythm",
        "",
    ),
    (
        rf"dotted (?:eighths?|quavers?|quarters?|crotchets?)(?: notes?)? {CROSSING}"
        r"|(?:two|three|four|five)-(?:beat|eighth|quaver|note) (?:groups?|cells?|figures?|shapes?|patterns?|units?)"
        rf" (?:\w+ing (?:round |around |over |along )?)?{CROSSING}"
        rf"|groups? of (?:two|four|2|4)(?: (?:beats|eighths?|eighth notes|quavers|notes))? (?:\w+ing )?{CROSSING}"
        r"|(?:the )?accents? (?:keeps? )?(?:wander|shift|drift|mov|travel|slid|walk)(?:s|es|e|ing)?"
        r" (?:across|over|through|against) the (?:beat|bar|bar ?lines?|meter|metre|four|three)",
        "cross rhythm",
        "",
    ),
    (
        r"(?:threes|fives) (?:[a-z]+ )?(?:right )?(?:against|over|across) (?:our |the |a )?(?:four|bar)"
        r"|(?:three|five|3|5)s (?:against|over"
        r"|across)",
        "cross rhythm",
        "",
    ),
    (
        r"(?<!plus )(?:(?:two|2) plus (?:three|3)|(?:three|3) plus (?:two|2))(?! plus)"
        r"|(?:three|3)[ -]against[ -](?:four|two|4|2)",
        "cross rhythm",
        "",
    ),
    (
        r"sequenc(?:es?|ed|ing)(?! of (?:events|things|chords|keys))|sequential(?:ly)?(?: pattern| figure| idea)?",
        "sequence",
        "",
    ),
    (r"double (?:chromatic )?approach(?:es)?", "double approach", ""),
    (r"chromatic approach(?: notes?| tones?|es)?", "chromatic approach", ""),
    (
        r"enclos(?:ures?|es?|ed|ing)|surround(?:s|ed|ing)?|encircl(?:es?|ed|ing|ement)"
        r"|circl(?:es|ing|ed)(?: (?:in on|in|around|round))?(?= (?:the|its|that|our|a)\b)"
        rf"|(?:(?<=we )|(?<=\bi )|(?<=you )|(?<=they )|(?<= [a-g] )|(?<=flat )|(?<=sharp ))"
        rf"circle(?: (?:in on|in|around|round))?{A_TARGET}",
        "enclosure",
        "",
    ),
    (
        rf"{FROM_A_SIDE}above,? {AND_THE_OTHER}{FROM_A_SIDE}(?:below|beneath|underneath)"
        rf"|{FROM_A_SIDE}(?:below|beneath|underneath),? {AND_THE_OTHER}{FROM_A_SIDE}above"
        rf"|{ONE_FROM} above,? (?:and )?(?:then )?{ONE_FROM} below"
        rf"|{ONE_FROM} below,? (?:and )?(?:then )?{ONE_FROM} above"
        r"|(?:wrap(?:s|ped|ping)?|curl(?:s|ed|ing)?|gather(?:s|ed|ing)?)(?: themselves| itself)?"
        r" (?:around|round)"
        r"|(?:wrapped|framed|flanked|embraced|surrounded|hugged) by its (?:two )?neighbou?rs"
        rf"|(?:clos|hom|squeez)(?:es?|ed|ing) in on|sandwich(?:es|ed|ing)?{NO_DEGREES}"
        rf"|one over,? {AND_THE_OTHER}one under|one under,? {AND_THE_OTHER}one over"
        rf"|(?:over|above) it,? {AND_THE_OTHER}(?:under|below|beneath) it"
        rf"|(?:under|below) it,? {AND_THE_OTHER}(?:over|above) it"
        rf"|{GOING_ROUND} a?round{A_TARGET}|(?:{inflected(ENCLOSING)}){A_TARGET}|{BETWEEN_ITS}"
        rf"|(?:circled|framed|flanked|hemmed in|boxed in|bracketed){NO_DEGREES}\b"
        r"|(?<!one )(?:on|from) (?:either|each|both) sides? of(?! the (?:line|bar))|from (?:both|either) sides?"
        rf"|upper(?: neighbou?rs?)?{AND_NEXT}lower neighbou?rs?|lower(?: neighbou?rs?)?{AND_NEXT}upper neighbou?rs?",
        "enclosure",
        "loose",
    ),
    (
        r"(?:trac(?:es?|ing)|spell(?:s|ing)?(?: out)?|outlin(?:es?|ing)|climb(?:s|ing)?|up|down|descends) (?:the"
        r"|a|an)"
        r" (?:half[- ])?(?:diminished|augmented|minor|major|dominant)(?: seven(?:th)?| six(?:th)?)? (?:chord|shape)",
        "arpeggio",
        "loose",
    ),
    (r"arpeggi(?:os?|ates?|ated|ating|ation)|broken chords?", "arpeggio", ""),
    (r"guide[- ]tones?(?: lines?)?", "guide-tone line", ""),
    (
        r"oblique(?: motion)?|(?:top|upper|bottom|lower|one) (?:note|voice|line) (?:stays|stands|holds|sits)"
        r" (?:still|put|there|on top|on [a-g](?: flat| sharp)?\b)"
        r"|(?:top|upper|bottom|lower) (?:note|voice|line) (?:stays|holds|is held|repeats|is repeated|doesn't move)"
        r" (?:while|and|as) the (?:other )?(?:line|voice|notes?|rest)(?: (?:below|under|beneath|underneath|above|over)"
        r"(?: it)?)? (?:creep|crawl|mov|walk|go|sink|fall|com|climb|ris|slid|step)(?:e?s|e)?(?: (?:down|up))?"
        r"|(?:line|voice) (?:sneaking|creeping|moving|walking) (?:(?:down|up) )?(?:underneath|below|under it|on top)",
        "oblique motion",
        "",
    ),
    (
        r"(?:angular|wide|big|large) (?:leaps|jumps|intervals|skips)|leaps(?= (?:get|are|grow) (?:wide|big|large))",
        "angular leaps",
        "",
    ),
    (
        r"chromatic (?:runs?|lines?|scales?|passages?|descents?|ascents?|crawls?|slide|slither|walk|climb)"
        r"|chromatically",
        "chromatic run",
        "",
    ),
    (
        r"diatonic(?: (?:passage|line|bars?|run))?|(?:nothing|no notes?) (?:at all )?outside the key"
        r"|(?:stays?|staying|all) (?:in|inside) the key",
        "diatonic passage",
        "",
    ),
    (
        r"delay\w* (?:the |its |in )?resol\w+|resol\w+ (?:is |comes )?(?:delayed|late)|late resolution",
        "delayed resolution",
        "",
    ),
    (
        r"(?<!tied )(?<!held )(?<!suspension )(?<!suspended )(?:over|across) the bar[- ]?line",
        "over-the-barline phrase",
        "",
    ),
    (r"displac(?:es?|ed|ing|ements?)", "displacement", ""),
    (r"moti(?:f|ve)s?", "motif", ""),
    (r"landing (?:notes?|spots?)", "landing note", ""),
    (
        r"(?:highest|top) (?:note|point)(?= of (?:the|this) (?:etude|piece|whole|solo|line"
        r"|phrase))|highest note(?! (?:of|in) (?:(?:this|the|that) )?(?:bar|measure)\b)|high point|climax"
        r"|peak note|(?<!we )(?<!you )(?<!it )(?<!line )peak",
        "register peak",
        "",
    ),
    (
        r"most dissonan\w+(?: (?:spot|moment|note|place))?|most tense (?:spot|moment)",
        "most dissonant spot",
        "",
    ),
    (r"busiest (?:passage|spot|bar)", "density", ""),
    (
        r"running (?:eighths|quavers)|eighth[- ]note lines?",
        "eighth-note line",
        "",
    ),
    # Described, not named: what the analysis has there is meant, and nothing is false where it has none.
    (
        r"(?:play|plays|playing|just|only|simply|all|nothing but|through) (?:the )?(?:notes|tones) of the chord"
        r"|(?:just|simply|only|nothing but) the chord,? (?:broken(?: up)?|spelled out|spelt out|up and down)"
        r"|chord(?:,? | is )broken up|(?:break|breaks|breaking|broke) (?:up )?(?:the|that|this) chord(?: up)?"
        r"|(?:skip|jump|leap|hop|run|climb|go|move|walk)(?:s|es|ing)? (?:up |down )?through"
        r" the chord(?: tones)?|outlin(?:es?|ing) the (?:chord|harmony|changes)",
        "arpeggio",
        "loose",
    ),
    (
        r"(?:purely|entirely|completely|wholly|all) chromatic",
        "chromatic run",
        "loose",
    ),
    (
        r"(?:slid|slip|sneak|com|eas|creep)(?:p?es?|e|s|ing|ping)? in (?:from |by )?(?:an? )?(?:half[- ]step"
        r"|semitone)"
        r"(?: (?:below|above|away))?|approach(?:es|ed|ing)?(?: it| the target)? (?:by|from) (?:an? )?"
        r"(?:half[- ]step|semitone)(?: (?:below|above|away))?",
        "chromatic approach",
        "loose",
    ),
    (
        r"top of the (?:line|phrase|solo|etude|curve|climb)|as high as (?:we|i|it|this|the line) (?:go|get)(?:es|s)?",
        "register peak",
        "loose",
    ),
    (
        r"superimpos(?:e|es|ed|ing) an? (?:\w+ )?triad|(?:make|form|spell|give us)s?(?: out| up)? an? (?:\w+ )?triad"
        r"|(?:just|simply|only) an? (?:\w+ )?triad",
        "upper-structure triad",
        "loose",
    ),
    (
        r"two (?:chromatic|half[- ]step) (?:\w+ )?(?:notes|approaches|steps|tones)",
        "double approach",
        "loose",
    ),
    (
        r"(?<!he )(?<!who )resolves? (?:later|late)\b|(?:hangs?|holds?|waits?|lingers?)(?: on| over| around)? before "
        r"(?:it|they|the tension) resolves?|takes? its time (?:to resolve|resolving|before resolving)"
        r"|makes? (?:us|you) wait (?:for the resolution|before (?:it|they|the tension) resolves?)",
        "delayed resolution",
        "loose",
    ),
    (r"(?:all|just|only) (?:one|a single|the same) scale", "single-scale passage", "loose"),
    (
        r"accents? (?:cut|go|fall|run|work|pull)(?:s|es)? (?:across|against|over) the (?:beat|bar|time|metre|meter)"
        r"|grouping (?:goes|cuts|runs|works|pulls) (?:across|against|over) the (?:beat|bar|time|metre|meter)"
        r"|(?:eighths|quavers|notes) in (?:threes|fives)",
        "cross rhythm",
        "loose",
    ),
)
# Devices the analysis misses rarely enough for a claim about one that is not there to be a fault.
RELIABLE = {
    "sequence",
    "enclosure",
    "arpeggio",
    "two five one",
    "chromatic run",
    "cross rhythm",
    "angular leaps",
    "upper-structure triad",
}
# Devices made of a figure that comes again.
FIGURE_KINDS = ("sequence", "cross rhythm", "motif")
# "A four-three suspension", by its figures; "the suspended note", "the suspended D".
SUSPENDED_FIGURE = (
    r"(?:two|three|four|five|six|seven|eight|nine|one|second|third|fourth|ninth|seventh|sixth|[1-9])"
)
SUSPENSION_FIGURES = (
    rf"(?P<held>{SUSPENDED_FIGURE})(?:-|,? (?:to |down to )?|-to-)(?P<goal>{SUSPENDED_FIGURE})[ -]"
)
SUSPENDED_NOTE = r"(?<!the note )suspended"
# "We get to the next chord early"; "a B popped in before the one".
GETTING_THERE = inflected(
    "get, come, arrive, land, reach, hit, enter, step, jump, go, move, slip, cross, switch, change, spell, play, touch"
)
STRUCK = inflected(
    "pop, slip, strike, play, sound, attack, hit, place, push, put, sneak, tuck, squeeze, drop, come, enter, "
    "land, arrive"
)
TOO_SOON = r"(?:too )?(?:early|soon|ahead of time|ahead|in advance)"
ROLE_WORDS: tuple[tuple[str, str], ...] = (
    (r"anticipat(?:ions?|es?|ed|ing)", "anticipation"),
    (
        r"(?:(?:an?|half an?) (?:eighth(?: note)?|quaver|half[- ]beat|beat)|half a beat)"
        r" (?:early|too soon|(?:ahead of|before) (?:the|its|their|that) (?:chord|harmony|change))"
        r"|(?:an eighth(?: note)?|half a beat|a half[- ]beat|a quaver) before (?:the )?(?:bar ?line|downbeat"
        r"|next bar)"
        r"|(?:is|comes?(?: in)?|arrives?|lands?|gets there|sounds|enters|sneaks in|slips in)"
        r" (?:a (?:little|bit|touch|hair) |just |slightly )?(?:too )?early"
        r"|(?<!colour )(?<!color )(?<!sound )(?<!tension )(?:ahead of|before) (?:the|its) (?:chord"
        r"|harmony)(?= does|[,.;]|$)"
        rf"|{GETTING_THERE} (?:(?:in)?to |on(?:to)? |at |over to )?the (?:next|new|following|coming) "
        rf"(?:chord|harmony|change|bar|measure) (?:just |a (?:little|bit|touch|hair|beat) |an \w+ )?{TOO_SOON}"
        rf"|{STRUCK} (?:the|an?|that|this|it) (?:[a-g](?: flat| sharp)? )?(?:ahead of|before) the (?:bar ?-?line|bar)"
        rf"|{STRUCK}(?: in)?(?: just| right| an eighth| half a beat)* (?:before|ahead of) the (?:bar"
        rf" ?-?line|down-?beat"
        r"|one|next bar|first beat)"
        r"|jump(?:s|ed|ing)? the (?:gun|bar ?-?line|down-?beat)",
        "anticipation",
    ),
    (
        rf"(?:{SUSPENSION_FIGURES})?suspensions?|{SUSPENDED_NOTE}"
        r"(?: notes?| tones?| [a-g](?: flat| sharp| natural|b|#)?(?! (?:chord|dominant|seven|nine|four|triad"
        r"|sound)))",
        "suspension",
    ),
    (r"passing (?:notes?|tones?)", "passing"),
    (r"neighbou?r(?:ing)? (?:notes?|tones?)|upper neighbou?rs?|lower neighbou?rs?", "neighbour"),
    (r"approach (?:notes?|tones?)", "approach"),
)
SCALE_WORDS = (
    r"(?:(?:lydian dominant|lydian flat seven|lydian augmented|mixolydian flat six"
    r"|locrian (?:natural|sharp) (?:two|nine|2|9)|phrygian "
    r"dominant|super[- ]?locrian"
    r"|half[- ]whole(?: diminished)?|whole[- ]half(?: diminished)?|dominant diminished"
    r"|diminished|octatonic|whole[- ]tone"
    r"|melodic minor|harmonic minor|natural minor|(?:major |minor )?blues|(?:major |minor "
    r")?pentatonic|bebop(?: dominant| major| minor)?"
    r"|altered|(?:major|minor)(?= scale)|dorian|mixolydian|phrygian|lydian|aeolian|locrian) (?:scale|mode)"
    r"|locrian (?:natural|sharp) (?:two|nine|2|9)"
    r"|lydian dominant|phrygian dominant|lydian augmented|mixolydian flat (?:six|thirteen)"
    r"|half[- ]whole diminished|whole[- ]half diminished|whole[- ]tone|melodic minor|harmonic minor"
    r"|super[- ]?locrian|(?:major |minor )?pentatonic|dorian|mixolydian|phrygian|lydian|locrian|octatonic)"
)
# A chord by what it is: its family, or its step in the key.
CHORD_WORDS: tuple[tuple[str, str, str], ...] = (
    (r"half[- ]diminished(?: chord)?", "family", "half-diminished"),
    (r"(?:minor (?:seven|seventh|7) flat five)(?: chord)?", "family", "half-diminished"),
    (r"altered(?: dominant)?(?: chord)?(?! scale)", "family", "altered"),
    (r"dominant(?: chord| seventh chord| seven chord| seven| seventh)?", "family", "dominant"),
    (r"diminished chord", "family", "diminished"),
    (r"augmented chord", "family", "augmented"),
    (r"(?:suspended|sus)(?: chord| dominant)?", "family", "suspended"),
    (r"minor(?: seven| seventh)? chord|minor tonic", "family", "minor"),
    (r"major(?: seven| seventh)? chord", "family", "major"),
    (r"tonic(?: chord)?|one chord|home chord", "step", "I"),
    (r"(?:two|2|ii) chord|subdominant", "step", "II"),
    (r"(?:four|4|iv) chord", "step", "IV"),
    (r"(?:five|5|v)(?: chord)?", "step", "V"),
    (r"(?:two|2|ii)(?= (?:and|to|chord))", "step", "II"),
    (r"(?:six|6|vi) chord", "step", "VI"),
    (r"(?:three|3|iii) chord", "step", "III"),
)

# Degrees that a dominant is altered by; what a note above the chord is called.
ALTERATIONS = frozenset(("b9", "#9", "#11", "b13", "#5", "b5"))
TENSIONS = r"(?:tensions?|colou?r (?:tones?|notes?)|extensions?)"
