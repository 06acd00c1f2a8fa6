"""Where a sentence says that a note is the first, the last, the highest or the lowest of something.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.adjectives import ADJECTIVES
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.fair_ends import is_pointed_at
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.scope import is_next_subject
from lessonmaker.script.plain.stretches import MASK, Stretch, Subject, masked, named_last, subjects_in
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, FALLING, RISING, STARTING, inflected
from lessonmaker.theory.degree import is_chord_tone

__all__ = [
    "BETWEEN",
    "BOTH_ENDS",
    "EDGES",
    "EXCEPT",
    "OF_MORE",
    "SPELT_FROM",
    "End",
    "Side",
    "end_said",
    "notes_at",
    "words_round",
]

BETWEEN = ("degree", "note", "set", "device")  # of these nothing stands between "begins on" and what begins

Side = Literal["first", "last", "highest", "lowest", "longest", "shortest"]
EDGES: dict[Side, int] = {"first": 0, "last": -1}

NEVER = r"(?!)"
DETERMINER = r"(?:the|a|an|its|that|your|our|this|his|her|my|their)"
# The verbs, the words for a note, and the nouns, by side.
SETTLING = inflected(
    "come to rest, settle, cadence, come to a stop, come to a halt, leave the bar, leave the measure, leave off"
    ", sign off, bow out"
)
GOES_OUT = rf"{inflected('go out')}(?= on {DETERMINER} (?!\w+ (?:chord|sound)\b))"
PHRASE_LANDS = r"(?:(?<=phrase )lands|(?<=phrases )land)"  # a line may land on its way
VERBS: dict[Side, str] = {
    "first": (
        rf"(?:{STARTING}|{inflected('be entered, set out')}|(?:leads?|led|leading)(?= with)"
        rf"|{inflected('arrive')}(?= (?:in|at) {MASK}))"
    ),
    "last": (
        rf"(?:{GOES_OUT}|{PHRASE_LANDS}|{ENDING}(?! in\b(?! (?:the )?{MASK}))|{SETTLING}"
        rf"|(?:leaves?|left|leaving) {MASK}+)"
    ),
    "highest": inflected("peak, top out, crest, culminate, climax, max out, reach its peak, reach its top"),
    "lowest": inflected("bottom out, reach its lowest point, touch bottom, hit bottom"),
    "longest": NEVER,
    "shortest": NEVER,
}
WORDS: dict[Side, str] = {
    "first": r"first|opening|starting|initial",
    "last": r"last|final|closing|ending",
    "highest": r"highest|top|topmost|uppermost|peak",
    "lowest": r"lowest|bottom|bottommost",
    "longest": r"longest(?:-held)?|most sustained",
    "shortest": r"shortest|quickest",
}
NOUNS: dict[Side, str] = {
    "first": r"starting point|point of departure",
    "last": r"goal|destination|end point|last word"
    rf"|what (?:we|you|i|they|everyone|everybody)(?:'re|'s| are| is) left with(?: {MASK}+| in the end)?",
    "highest": r"peak|summit|apex|high point|highest point|crest|ceiling|roof|climax|on top(?<=(?:is|'s|ts) on top)"
    rf"|(?<!at the )top|top(?! of (?:{MASK}|the (?:bar|measure)\b))",  # at the top of a bar is its beginning
    "lowest": r"low point|lowest point|bottom|basement",
    "longest": NEVER,
    "shortest": NEVER,
}
# These alone tell a note: "the lowest of bar two is the root", "the ninth lasts longest".
SUPERLATIVES: dict[Side, str] = {
    "highest": "highest|topmost|uppermost", "lowest": "lowest", "longest": "longest(?:-held)?", "shortest": "shortest",
}  # fmt: skip
COMPARATIVES: dict[Side, str] = {
    "highest": "higher", "lowest": "lower", "longest": "longer|more (?:time|room"
    "|space)", "shortest": "shorter|less (?:time|room)",
}  # fmt: skip
STOP = r"(?=[,.;:!?]|$| (?:and|but|while|with|on|in)\b)"
WHO = r"(?:we|you|i|he|she|it|they|anyone|anybody|everyone|everybody|people|the (?:audience|listeners?|room|crowd))"
NOTE = (
    r"(?:notes?|pitch(?:es)?|tones?|sounds?|eighth(?: note)?|word|(?<=(?:first|.last) )one(?=(?: is| was|'s| the) )"
    rf"|things? (?:that )?{WHO} (?:hear|sing|play|get|meet|blow|touch|hit|strike|remember)s?(?: here)?)"
)
OTHER_PART = (
    r"(?:and|but|or|then|before|until|after|while|so|because|not|without|if|when|where|which|that|tonic)\b"
)
SOME = rf"(?: (?!{OTHER_PART})[{MASK}a-z'-]+,?){{0,6}}?"
ASIDE = r"(?:(?<=,) [^,;:]{3,60},)?"  # "ends, before the rest, on"
ON = r"(?:on|upon|with|from|at|in|(?<=entered )(?:by|through))"
ARTICLE = (
    r"(?: (?:just|right|only|simply|squarely|straight|again|none other than))?"
    r"(?: (?:\w+ ){1,2}(?:beats?|bars?|notes?|bit|couple|taste|touch|series|pair) of)?"
    rf"(?: {DETERMINER})?(?: (?:chord's|very same|same|(?:very )?own))?"
    rf"(?: {ADJECTIVES}| ?)"
)
# "The last note before the rest", "before the bar line".
A_REST, A_BAR_LINE = r"(?:rest|silence|breath|gap|break)", r"(?:bar ?line|double bar)"
BEFORE_IT = (
    r" (?:right |just )?before (?:the|that|this|our) (?:long |short |little )?"
    rf"(?:{A_REST}|{A_BAR_LINE})(?= (?:is|was)\b|'s)"
)
BEFORE_A_REST, BEFORE_A_BAR_LINE = (
    pattern_of(rf"\bbefore [a-z ]*?{what}\b") for what in (A_REST, A_BAR_LINE)
)
IS = (
    rf"(?:(?: (?:that )?{WHO} \w+| here| there|{BEFORE_IT})?,? ?(?:is|'s|was|are|were|being|happens to be"
    r"|turns out to be|belongs to|is taken by|has to be|must be)(?: (?:just|simply|only|of course"
    r"|again|once more|actually|still|always|now|also))*|,|:|;|(?<= last one)|(?<=first one))"
)
NO_NOUN = r"(?<!\bthe )(?<!\ban )(?<!\bvery )(?<!\ba )"  # "the end of bar nine ..."
# Before the claim, places being masked: "starts in bar two on the"; "the last note of the phrase is the".
STARTS_ON = {side: pattern_of(rf"\b{NO_NOUN}{VERBS[side]},?{ASIDE}{SOME},? {ON}{ARTICLE}$") for side in VERBS}
NOTE_IS = {
    side: pattern_of(
        rf"\b(?:very )?(?:(?:{WORDS[side]}) {NOTE}|(?:{SUPERLATIVES.get(side, NEVER)})|(?:{NOUNS[side]})(?! {NOTE}))"
        rf"(?P<of> (?:of|in|over|on|from){SOME})?(?:,{SOME},)?{IS}{ARTICLE}$"
    )
    for side in VERBS
}
# "Nothing in bar two is higher than the ninth".
COMPARED: dict[Side, re.Pattern[str]] = {
    side: pattern_of(rf"\b(?:nothing|no (?:other )?{NOTE}|none|nowhere)\b{SOME} (?:{words}) than{ARTICLE}$")
    for side, words in COMPARATIVES.items()
}
NOT_GO = r"(?:never|do(?:es)?n't|do(?:es)? not|won't|can't)(?: ever)? (?:\w+ )?"
NO_FURTHER: dict[Side, re.Pattern[str]] = {
    "highest": pattern_of(
        rf"\b(?:(?:{RISING}|goes?|gets?|reach\w*) no (?:further|higher|farther)"
        rf"|{NOT_GO}(?:any )?(?:higher|farther up)) than{ARTICLE}$"
    ),
    "lowest": pattern_of(
        rf"\b(?:(?:{FALLING}|goes?|gets?|reach\w*) no (?:further|lower|deeper)"
        rf"|{NOT_GO}(?:any )?(?:lower|deeper|farther down)) than{ARTICLE}$"
    ),
}
AND_NO_FURTHER: dict[Side, re.Pattern[str]] = {
    "highest": pattern_of(rf",? (?:and|but) (?:no|not|never) (?:any )?higher{STOP}"),
    "lowest": pattern_of(rf",? (?:and|but) (?:no|not|never) (?:any )?(?:lower|deeper){STOP}"),
}
# Where in time, apart from any verb: "right off the bat bar two gives you the ninth".
AT_AN_EDGE: dict[Side, re.Pattern[str]] = {
    "first": pattern_of(
        r"(?:\bright off the bat|\bfrom the (?:word go|off|outset|very first moment)|\bstraight off"
        r"|\bas soon as"
        rf" {MASK}+ (?:begins|starts|opens)|\bwhen {MASK}+ (?:begins|starts|opens)|\bto (?:start|begin"
        rf"|open|kick)(?: {MASK}+)?"
        rf"(?: off)?(?: with)?),?(?P<of>{SOME}){ARTICLE}$"
    ),
    "last": pattern_of(
        rf"(?:\bby the time|\bwhen|\bas|\bonce)(?P<of> {MASK}+) (?:is (?:over|done|up|out|through)|ends"
        r"|closes|runs out|finishes),?"
        rf"{SOME}{ARTICLE}$"
    ),
}
# "It ends with a leap up to the root".
GOES_TO: dict[Side, re.Pattern[str]] = {
    "last": pattern_of(
        rf"\b{VERBS['last']}{SOME} (?:with|on|by|in) {DETERMINER}(?: [a-z'-]+){{0,2}}?"
        rf" (?:climb|drop|fall|hop|jump|leap|plunge|skip|slide|step|swoop)(?: [a-z'-]+){{0,3}}? (?:in)?to{ARTICLE}$"
    )
}
BOTH_ENDS = pattern_of(rf"\b(?:{STARTING}) and (?:{ENDING})(?: \w+)? {ON}{ARTICLE}$")
AND_ANOTHER = pattern_of(
    rf"(?:\band|\bthen|,)(?: then)?(?: the)? {MASK}+,? {ON}{ARTICLE}$"
)  # without the verb
ANOTHER_PLACE = pattern_of(rf"(?:[,;:]|\b(?:and|but|then)\b)(?: (?:then|the))* {MASK}+")
# After it: "is the first note of the phrase"; "is where we end"; "opens the line".
IS_IT = (
    r"(?:,? (?:which|that)|[,:;]? (?:and )?(?:it|that|this|he|she)(?= is|'s| was))?(?:(?: |(?='))(?:is|'s"
    r"|was|being|as|are|sits|stands))?(?: (?:right )?at)?"
    rf"(?: {DETERMINER})?(?: very)?"
)
IS_THE_NOTE = {
    side: pattern_of(
        rf"(?: {NOTE})?{IS_IT} (?:(?:{WORDS[side]}) {NOTE}(?! (?:before|after|but)\b)|(?:{NOUNS[side]})(?! {NOTE}))"
        rf"(?P<of> (?:of|in|over|on|from){SOME}{STOP})?"
    )
    for side in VERBS
}
GOES_FURTHEST: dict[Side, re.Pattern[str]] = {
    side: pattern_of(
        rf"(?: {NOTE})?(?:,? (?:that|which|who)|[,:](?= (?:and )?(?:it|that|this)\b))?(?: (?!(?:not|never"
        r"|and|but|to|from|second|next"
        rf"|than)\b)[a-z']+){{1,3}}?"
        rf" (?:(?:the )?(?:{words})|(?:{COMPARATIVES[side]}) than (?:any|all|every|the (?:rest"
        r"|others))(?:thing|one)?(?: other)?"
        rf"(?: else)?(?: {NOTE})?)(?P<of> (?:of|in|over){SOME})?{STOP}"
    )
    for side, words in SUPERLATIVES.items()
}
WHERE_WE = {
    side: pattern_of(
        rf"(?: {NOTE})? (?:(?:is|'s|was) )?(?:that |what |where |which )?(?:we|you|i|it|they|the line|everything)"
        rf"(?: \w+)? {VERBS[side]}(?: (?:up|off|out))?(?: (?:on|with|from|at))?"
        rf"|(?: {NOTE})? (?:comes?|sounds?|arrives?|is (?:heard|played|struck)) (?:very )?{side}"
        r"(?=[.!?]|$|,(?! (?:and |but )?(?:then|next|the)\b)| (?:in (?:this|the) (?:bar|measure|phrase)|here)\b)"
    )
    for side in VERBS
}
INTO = r"(?:comes?|came|coming|jumps?|jumped|gets?) in\b"  # "the ninth comes in bar two"
OPENS = {
    side: pattern_of(
        rf"(?: {NOTE})? (?!{INTO}){VERBS[side]}(?: (?:off|out|up))?"
        rf"(?P<of> (?:the |this |our |that |its |each |every |both )?"
        rf"(?!(?:on|upon|with|from|at|in|by|to|the|and|between|before|after|around|over|against|through)\b)"
        rf"[{MASK}a-z'-]+(?: [{MASK}a-z'-]+){{0,3}}?){STOP}"
    )
    for side in VERBS
}
# By the way, at the end of a part of the sentence: "root first", "with the fifth on top".
BY_THE_WAY: dict[Side, str] = {
    "first": r"first|to (?:start|begin|open)",
    "last": r"to (?:finish|end|close)",
    "highest": r"on top|at the top",
    "lowest": r"at the bottom",
}
SAID_BY_THE_WAY = pattern_of(r"(?:[,;:]|\bwith)(?: the)? $")
AFTER_THE_WAY = (
    r"(?: with)?(?:[,.;!?]|$| and\b)(?! (?:and |but )?then\b)"
    r"(?![^.;:]* (?:after(?:wards?| (?:that|it))?|second|last)(?:[,.;!?]|$))"  # an order of their own
)
# "Spells out the chord from its root": where an arpeggio begins.
SPELLING = inflected(
    "spell, spell out, arpeggiate, outline, climb, run up, go up, go down, run down, start, begin, build, build up, "
    "lay out, stack, unfold"
)
SPELT_FROM = pattern_of(
    rf"\b(?:{SPELLING}|spelt(?: out)?|arpeggios?|broken chord"
    r"|(?:up|down|through) (?:the|its|this|that|our|an?) (?:\w+ )?(?:chord|triad|arpeggio))\b"
    r"(?![^,;:]* from\b[^,;:]* from)[^,;:]* from (?:the|its|their) $"
)
ARPEGGIO = pattern_of(r"\b(?:arpeggi\w+|chord|spel\w+|triad)\b")
UP_TO = pattern_of(r" (?:(?:all the way|right|straight|up|down) )*to ")  # "from its third up to its ninth"
REACHED = pattern_of(rf"\b(?:to|from|of|on|with|at|into|over|around|by|in|up|down)(?: {DETERMINER})? $")
AND_IT_IS = pattern_of(
    r"[,:;] (?:and )?(?:it|that|this)(?:'s| is| was)\b"
)  # "stay on the fifth, it's the longest"
LIST_GOES_ON = pattern_of(
    rf",? (?:and |but )?(?:then|only then|after which)\b(?!,? (?:the )?{MASK})|"
    r"(?:,|,? and|,? then| to) (?:the |a |an )?(?:flat|sharp|natural|[b#]\d|root|\w+th\b|third)"
)
BEGUN = pattern_of(rf"\b{VERBS['first']}\b[^;:]*\b(?:and|then) $")  # "opens on the ninth and settles on"
THESE_BARS = pattern_of(r"\b(?:these|those)(?: \w+)? (?:bars|measures)$")  # all of them, as one stretch
ONLY_PLACED = pattern_of(rf"\s*(?:(?:and|so|then|now),? )*{MASK}+ ")  # "bar nine comes to rest on the third"
IN_FRONT = pattern_of(rf"(?:[\s,]|{MASK}|\b(?:and|at|here|in|now|of|on|over|so|the)\b)*")
TO_THE_END = pattern_of(r",? (?:at the (?:very )?end|to (?:finish|end|close))(?=[,.;:!?]|$)")
EARLY = pattern_of(r"\b(?:early|ahead|before the beat)\b")
MOVES_ON = pattern_of(
    r" (?:\w+ing (?:down |up )?)?(?:in)?to (?:the|its|a)\b"
    r"|,? (?:that|which) (?:[a-z]+ ){1,3}(?:in)?to (?:the|its|an?|[a-g])\b"
)  # "with the sixth sighing into the fifth"
# What parts what is said of one thing from what is said of another.
CLAUSE = pattern_of(
    r"[;:.!?]|, (?:and|but|so|while|then|which|where|because)\b|\b(?:but|while|whereas|because|although)\b"
)
# "A pickup in bar two leads us to the top note", wherever that is.
LED_TO = pattern_of(
    r"\b(?:brings?|carr(?:y|ies)|leads?|leading|lifts?|pulls?|sends?|takes?)(?: (?:us|you|me|it|the line))?"
    r"(?: (?:right|straight|up|down|back|on))* (?:in)?to (?:(?:the|an?|its|our) )?$"
)
EACH_BAR = pattern_of(r"(?:both|all)\b[\w ]* (?:bars|measures)\b")  # several subjects, and not one place
OTHERS = r"before|after|next|previous|preceding|following|other|another|earlier|later"
OTHERWISE = pattern_of(
    rf"\b(?:{OTHERS}|could|might|would|may|should) (?!(?:we|you|i|he|she) )(?:\w+ )?$"
    rf"|\b(?:{OTHERS}) (?:\w+ )?(?:phrase|line|idea|time)\b"
    r"|\b(?:next|previous|preceding|following|other|another|earlier|later) one\b"
)  # "the phrase before ends on ...", "bar six could end on ..."
# "A half step under the last note": the one before what is spoken of.
BESIDE_IT = pattern_of(r"\b(?:under|above|below|than|beyond|past) (?:(?:the|its|that) )?(?:very )?$")
# Next to what another cue showed: "the next phrase begins on ...".
OPENS_WITH_NEXT = pattern_of(
    r"^\s*(?:(?:and|now|so|then),? )*(?:the|our) (?:next|following) (?=phrase|line|idea)"
)
# What is more than the bars that were spoken of just before.
OF_MORE = pattern_of(
    r"\b(?:phrase|line|piece|tune|chorus|etude|solo|melody|example|excerpt|whole|all|everything|both|each|every)\b"
)
AFTER_THIS = pattern_of(r"\b(?:after|past) [^,;:]*$")  # "after a rest on the downbeat, the first note is ..."
AFTER_IT = pattern_of(
    r"(?: (?:right|there|just|again|here))*(?: (?:that )?(?:you|we|i) (?:play|hear|get|meet|have|see|blow|touch))?,?"
    r"(?: (?:of|in|over|on|at|above|against|to))?(?: the)? ?"
)
# "Every one of them starts on its third except the last".
EXCEPT = pattern_of(
    r",? (?:(?:except|apart from|other than|save for|but for)\b|(?:bar|but|but not|save) (?:the|that|this|bar) )"
)
OTHER_SUBJECT = pattern_of(r"[;:]|\b(?:we|you|i|they)\b")


@dataclass(frozen=True)
class End:
    """That a claim is the first, last, highest or lowest note of one of some subjects, standing where `own` says.

    `first` is where the words that say so begin; what they say is not `certain` where something else may be meant.
    It has no subjects where it is said of what is not in sight, or only might be so. What is spoken of is `pointed` at
    where no word tells which thing of those in sight it is.
    """

    side: Side
    subjects: tuple[Subject, ...]
    own: tuple[Test, ...] = ()
    certain: bool = True
    first: int = 0
    pointed: bool = False


@dataclass(frozen=True)
class Words:
    """Which end is meant, and where the words for it begin and end; `of` names what of, if these words do.

    `noun` is what they must be said of; what is said `aside` may be said of the line, whatever was named before.
    """

    side: Side
    first: int
    last: int
    of: str = ""
    noun: str = ""
    aside: bool = False


# "We end the bar on the flat five".
ITS_OBJECT = pattern_of(
    rf"(?:{STARTING}|{ENDING}) (?:off |out |up )?(?P<noun>(?:the|this|that|our) (?:bar|measure|phrase)) {ON}\b"
)


def end_said(
    sentence: Sentence, claim: Claim, places: Sequence[Place], spans: Sequence[Span], music: Music
) -> End | None:
    """What a note is said to begin, end, top or bottom, if anything.

    Args:
        sentence: what is said.
        claim: the note or the degree.
        places: what the sentence names.
        spans: what the cue shows.
        music: the score as it is heard.
    """
    others = [place for place in places if place.last <= claim.first or place.first >= claim.last]
    text = masked(sentence, [place for place in others if not EACH_BAR.match(sentence.text, place.first)])
    words = next(words_round(text, claim), None)
    early = words is not None and EARLY.search(text, words.first, max(words.last, claim.first))
    goes_on = LIST_GOES_ON.match(text, claim.last) or MOVES_ON.match(text, claim.last)
    if words is None or early or (words.side == "last" and goes_on):
        return None
    own = _own(sentence, claim, others)
    near, attached = _near(
        text,
        claim,
        words,
        [each for each in others if each not in own and not _is_next(sentence, claim, each, others)],
    )
    clause = words.of or _clause_before(text[: min(words.first, claim.first)])
    ended = ITS_OBJECT.match(text, words.first, claim.first)
    clause = ended["noun"] if ended is not None else THESE_BARS.sub("passage", clause)
    if _is_of_another_chord(sentence, words, near):
        return End(words.side, ())
    subjects = subjects_in(words.noun or clause, near, spans, music, EDGES.get(words.side))
    if not subjects and words.aside:
        subjects = subjects_in("", near, spans, music, EDGES.get(words.side))
    if not subjects and words.noun:
        every = subjects_in("", near, spans, music, EDGES.get(words.side))
        subjects = tuple(subject for subject in every if _is_spelt(subject, music))
    if BESIDE_IT.search(text[: words.first]):
        return End(words.side, ())
    if OTHERWISE.search(OPENS_WITH_NEXT.sub("", clause)):
        return End(words.side, ())
    tests = tuple(place.test for place in own if place.test is not None)
    said = sentence.text[words.first : claim.first]
    if BEFORE_A_REST.search(said):
        subjects = tuple(subject for subject in subjects if _is_before_a_rest(subject, music))
    certain = (
        attached
        and not (BEFORE_A_BAR_LINE.search(said) and len(music.bars_in(spans)) > 1)
        and words.of not in ("it", "this", "that")
        and not (words.noun and UP_TO.match(text, claim.last))
        and not any(place.pointed and place.level == "bar" for place in near)
    )
    pointed = is_pointed_at(clause) and not any(place.level == "bar" for place in near)
    return End(words.side, subjects, tests, certain, words.first, pointed) if subjects else None


def _is_of_another_chord(sentence: Sentence, words: Words, near: Sequence[Place]) -> bool:
    """Whether the chord that is named right before some words is another than those that are places near them."""
    last = max((name.last for name in chord_names(sentence) if name.last <= words.first), default=-1)
    chords = [place for place in near if place.level == "chord"]
    aside = last < 0 or sentence.text[last : words.first].strip()
    return not aside and bool(chords) and all(place.last < last for place in chords)


def _is_before_a_rest(subject: Subject, music: Music) -> bool:
    """Whether a rest follows what a subject is."""
    ends = [stretch.notes[-1] for stretch in subject.stretches if stretch.notes]
    following = [(note, music.line_after(note)) for note in ends]
    return bool(ends) and all(
        after is None or after.onset > note.onset + note.held for note, after in following
    )


def _is_spelt(subject: Subject, music: Music) -> bool:
    """Whether all that is played there is of the chords that it sounds over, so that these are spelt out."""
    notes = [note for stretch in subject.stretches for note in stretch.notes]
    found = [(music.finding(note).degree, music.finding(note).chord) for note in notes]
    return bool(found) and all(degree and chord and is_chord_tone(degree, chord) for degree, chord in found)


def words_round(text: str, claim: Claim) -> Iterator[Words]:
    """The words before a claim, or after it, that make it an end of something."""
    before, after = text[: claim.first], text[claim.last :]
    another = AND_ANOTHER.search(before)
    if another is not None:
        verbs = [
            (match.start(), side)
            for side in EDGES
            for match in pattern_of(rf"\b{VERBS[side]}\b").finditer(before)
        ]
        yield from (Words(side, another.start(), another.end()) for _, side in sorted(verbs)[-1:])
    for side in VERBS:
        others = [patterns.get(side) for patterns in (AT_AN_EDGE, COMPARED, NO_FURTHER, GOES_TO)]
        for pattern in (STARTS_ON[side], NOTE_IS[side], *others):
            if pattern is not None and (match := _last_match(pattern, before)) is not None:
                settles = pattern_of(SETTLING).match(match[0]) and not BEGUN.search(before[: match.start()])
                if not settles or _is_of_the_end(before[: match.start()], after):
                    yield Words(side, match.start(), match.end(), _of(match))
    spelt = SPELT_FROM.search(before)
    if spelt is not None and ARPEGGIO.search(before, spelt.start()):
        yield Words("first", spelt.start(), spelt.end(), noun="arpeggio")
    yield from _words_after(text, claim)


def _last_match(pattern: re.Pattern[str], text: str) -> re.Match[str] | None:
    """The words before a claim that fit a pattern, not those of another place that is named before its own."""
    match = pattern.search(text)
    while match is not None and (part := ANOTHER_PLACE.search(text, match.start())) is not None:
        later = pattern.search(text, part.end())
        if later is None:
            break
        match = later
    return match


def _words_after(text: str, claim: Claim) -> Iterator[Words]:
    """The words after a claim that make it an end of something."""
    before, after = text[: claim.first], text[claim.last :]
    aside = claim.kind == "degree" and SAID_BY_THE_WAY.search(before)
    for side, words in BY_THE_WAY.items() if aside else ():
        if (match := pattern_of(rf" (?:{words}){AFTER_THE_WAY}").match(after)) is not None:
            yield Words(side, claim.last, claim.last + match.end(), aside=True)
    for side, further in AND_NO_FURTHER.items():
        if (match := further.match(after)) is not None:
            yield Words(side, claim.last, claim.last + match.end())
    if REACHED.search(before) and not AND_IT_IS.match(after):
        return
    for side in VERBS:
        for pattern in (IS_THE_NOTE[side], WHERE_WE[side], OPENS[side], GOES_FURTHEST.get(side)):
            if pattern is not None and (match := pattern.match(after)) is not None:
                yield Words(side, claim.last, claim.last + match.end(), _of(match))


def _is_of_the_end(before: str, after: str) -> bool:
    """Whether what comes to rest is what ends there: a piece or a phrase, or "at the end"."""
    said = named_last(_clause_before(before))
    of_whole = said is not None and said.noun in ("piece", "tune", "phrase", "several")
    of_whole = of_whole or ONLY_PLACED.fullmatch(_clause_before(before)) is not None
    return of_whole or TO_THE_END.match(after) is not None


def _of(match: re.Match[str]) -> str:
    return (match.groupdict().get("of") or "").strip()


def _own(sentence: Sentence, claim: Claim, places: Sequence[Place]) -> list[Place]:
    """The chord that stands right after a degree, whose degree it is: "the third of C"."""
    following = [
        place for place in places if place.level == "chord" and place.test and place.first >= claim.last
    ]
    return [
        place
        for place in following
        if not sentence.text[claim.last : place.first].strip()
        and sentence.text.startswith("of ", place.first)
    ]


def _is_next(sentence: Sentence, claim: Claim, place: Place, places: Sequence[Place]) -> bool:
    """Whether another part of the sentence, after the claim, begins with a place: "bar eleven starts on the fifth"."""
    return place.first >= claim.last and is_next_subject(sentence, place, places)


def _clause_before(text: str) -> str:
    return CLAUSE.split(text)[-1]


def _near(text: str, claim: Claim, words: Words, places: Sequence[Place]) -> tuple[list[Place], bool]:
    """The places that say of what a note is an end, and whether it can be no other.

    Those of its own part of the sentence; else what is named last before it, or right after it.
    """
    if LED_TO.search(text[: words.first]):
        places = [place for place in places if place.first >= words.first]
    first = words.first - len(_clause_before(text[: words.first]))
    last = max(words.last, claim.last)
    inside = [place for place in places if first <= place.first and place.last <= last]
    inside = [place for place in inside if place.level == "bar" or not AFTER_THIS.search(text[: place.first])]
    following = [place for place in places if place.first >= last]
    barred = any(place.level == "bar" for place in inside)
    after = [place for place in following[:1] if AFTER_IT.fullmatch(text[last : place.first])]
    after = [place for place in after if not (barred and place.level == "bar")]
    found = [*inside, *after]
    if any(place.level == "bar" for place in found):
        return _one_of_each(found), True
    before = [place for place in places if place.last <= first]
    opening = [p for p in before if p.level != "beat" or IN_FRONT.fullmatch(text, 0, p.first)]
    before = [place for place in opening if place.level == "bar" or not found]
    if before:
        between = text[before[-1].last : words.first]
        return _one_of_each([*before, *found]), OTHER_SUBJECT.search(between) is None
    later = [place for place in following if place.level == "bar"]
    return _one_of_each([*found, *(later if len(later) == 1 else ())]), not later


def _one_of_each(places: Sequence[Place]) -> list[Place]:
    """The nearest place of each level."""
    return list({place.level: place for place in places}.values())


def notes_at(side: Side, stretch: Stretch, music: Music) -> tuple[Note, ...]:
    """The notes that may be called an end of a stretch.

    One that is held into its beginning, or anticipates what follows it, leaves two to choose from.
    """
    notes = stretch.notes
    if not notes:
        return ()
    if side in ("longest", "shortest"):
        length = (max if side == "longest" else min)(note.held for note in notes)
        return tuple(note for note in notes if note.held == length)
    if side in ("highest", "lowest"):
        pitch = (max if side == "highest" else min)(note.sounding.midi for note in notes)
        return tuple(note for note in notes if note.sounding.midi == pitch)
    if side == "first":
        held = music.sounding_at(stretch.span.start)
        return (*([held] if held is not None else []), notes[0])
    early = music.finding(notes[-1]).role == "anticipation"
    return notes[-2:] if early else notes[-1:]
