"""The words of a sentence that name degrees: one by one, counted, in rows and sets; notes by name; resolutions.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.adjectives import ADJECTIVES, OF_A_NOTE
from lessonmaker.script.plain.claim import Claim, counted, number_said, words_like
from lessonmaker.script.plain.degree_terms import (
    FAR,
    MOVES,
    NOT_A_NOTE,
    NOTE_DOES,
    ROW_WORDS,
    SIGN,
    SPOKEN,
    step_number,
)
from lessonmaker.script.plain.note_names import note_words
from lessonmaker.script.plain.note_times import times_of_note
from lessonmaker.script.plain.set_words import RUN_ORDINAL, run_claims, set_claims
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import AROUND, ENDING, LANDING, LEANING, SOUNDING, STARTING
from lessonmaker.script.plain.vocabulary import (
    CARDINALS,
    NUMBER,
    ORDINAL,
    ORDINALS,
    degree_names,
    number_of,
)

__all__ = ["COUNTS_SOME", "DEGREE_FINDERS", "LEADING_NOTE", "NUMERAL", "TONIC"]

# A chord by its numeral: "a flat six major seven", "the flat two chord".
NUMERAL = (
    r"(?:(?:flat|sharp) )?(?:one|two|three|four|five|six|seven)"
    r"(?: (?:major|minor|dominant|half[- ]diminished|diminished) (?:seven(?:th)?|six|nine|chord)| chord)"
    r"|(?:major|minor) (?:one|two|four|five)(?! of\b)(?![ -](?:five|5)\b)"
    r"|(?:flat|sharp) (?:two|three|five|six|seven) (?:dominant|minor|major|diminished)(?= chord|\b(?! \w))"
)


# Degrees -------------------------------------------------------------------------------------------------

SIGNED = (
    rf"(?:(double[ -])?({SIGN})[ -]({SPOKEN}|\d{{1,2}}(?:th|rd|nd)?)(s)?|([b#])(\d{{1,2}})(?:th|rd|nd)?(s)?)"
)


# A chord's name before what sounds like a degree: "B flat seven", "F major seven", "C seven flat nine".
NAMED_CHORD = pattern_of(
    r"\b(?:[b-g](?:[ -](?:flat|sharp))?|a[ -](?:flat|sharp)(?= (?:major|minor))|[a-g][b#]?\d+)"
    r"(?: (?:major |minor )?(?:six|seven|nine|thirteen))?[ -]$"
    r"|\b(?:diminished|minor|major|two)(?:,| and| to| into)?(?: then)?(?: an?| the)? (?:dominant )?seven(?:th)? $"
)


def _signed(sentence: Sentence) -> Iterator[Claim]:
    text = sentence.text
    for match in words_like(SIGNED).finditer(text):
        sign, number = match[2] or match[5], match[3] or match[6]
        names = degree_names(sign, number_said(number))
        if match[1] and names == ("b7",):
            names = ("bb7",)
        if NAMED_CHORD.search(text[: match.start()]) or OF_THE_KEY.match(text, match.end()):
            continue
        if sign == "diminished" and text[: match.start()].endswith(("half-", "half ")):
            continue
        if not names or _is_interval(text, match.start(), match.end(), sign) or _is_chord(text, match):
            continue
        which, _ = counted(text, match.start(), "")
        count = _many(text, match.start(), bool(match[4] or match[7])) or times_of_note(text, *match.span())
        count = 0 if which else count  # "the first of the two flat ninths"
        yield Claim("degree", match.start(), match.end(), "", names, "", which, count)


OF_KINDS = pattern_of(
    r"\b(?P<count>both|two|three)(?: the)? (?:kinds|sorts|types|versions|varieties|flavou?rs|shades) of "
    r"(?P<word>nine|third|fifth|ninth|eleventh|thirteenth)s?\b"
)


def _of_kinds(sentence: Sentence) -> Iterator[Claim]:
    """A number that comes altered and not: "both kinds of ninth"."""
    for match in OF_KINDS.finditer(sentence.text):
        count = PAIRS.get(match["count"]) or number_of(match["count"])
        yield Claim(
            "degree", *match.span(), "", degree_names("", number_said(match["word"])), count=count, sure=False
        )


PAIRS = {"both": 2, "a pair of": 2, "a couple of": 2}


def _many(text: str, first: int, plural: bool) -> int:
    if not plural:
        return 0
    number = pattern_of(
        r"\b(two|three|four|five|both|a pair of|a couple of)(?: of (?:them|these|the)| \w+)?$"
    ).search(text[:first].rstrip())
    return -1 if number is None else PAIRS.get(number[1]) or number_of(number[1])


# Plain numbers that go on from a degree: "sharp nine to three", "flat seven, then five".
NEXT_NUMBER = pattern_of(
    r"(?:,? (?:and )?then|,|,? and|(?:,? (?:falling|going|moving|dropping|rising|climbing))?"
    r"(?: down| up| home| back)? to|-)"
    r"(?: (?:down|up) to)?(?: the| a)? ?(?P<word>root|one|three|five|six|seven|nine|eleven|thirteen|1[13]|[135679])"
    r"(?![\w'-])"
)


def _chained(sentence: Sentence) -> Iterator[Claim]:
    text = sentence.text
    for signed in _signed(sentence):
        at = signed.last
        while (match := NEXT_NUMBER.match(text, at)) is not None:
            first, at = match.span("word")
            counts = pattern_of(NOT_A_NOTE).match(text[at:]) or COUNTS_SOME.match(text, at)
            if counts or (match["word"] in ("one", "1") and " to " not in match[0]):
                break
            names = degree_names("", step_number(match["word"]))
            yield Claim("degree", first, at, "", names, sure=False)


# What a number before it counts: "the three of them", "four even strokes".
COUNTS_SOME = pattern_of(
    r" (?:of (?:them|us|those|these|you|which)\b"
    rf"|(?!(?:{NOTE_DOES}|{ROW_WORDS}|always|perhaps|is|was)\b)[a-z]+s(?=[,.;:!?]|$| (?:in|of|on|for|to|here|all)\b))"
)
NOTE_IS = pattern_of(r"\bnote(?: here| there)? (?:is|was)(?: just| only)?$")
THERE_IS = r"\b(?:there(?:'s| is| was)|here(?:'s| is)|has|have|gets?|hears?|finds?|sees?|gives us)$"


def _is_interval(text: str, first: int, last: int, sign: str) -> bool:
    """A distance: "falls a minor third", "a major sixth up"; flats and sharps are never one."""
    if sign not in ("minor", "major", "perfect", "augmented", "diminished"):
        return False
    before = text[:first].rstrip()
    if text[first:last].endswith("s") and not ARE_NOTES.search(before):
        return True
    leading = before.rsplit(" ", 1)[0]
    sounding = _lands(leading) or pattern_of(THERE_IS).search(leading) or NOTE_IS.search(leading)
    moving = pattern_of(r"\b(?:an?|another)$").search(before) and not sounding
    after = pattern_of(
        r"[- ](?:apart|(?:leap|jump)(?!s? (?:up |down )?to\b)|away|interval|chord|triad|pentatonic)"
        r"|[- ](?:up|down|higher|lower|above|below)(?! [a-g]\b)"
    ).match(text[last:])
    if pattern_of(r"(?:ninth|eleventh|thirteenth|9th|11th|13th)$").search(text[first:last]) or SOUNDS.match(
        text, last
    ):
        moving = None
    return bool(moving or after or pattern_of(r"\b(?:in|of|by)$").search(before))


# Before several of a degree; else they are distances: "minor thirds, all of them".
ARE_NOTES = pattern_of(
    r"\b(?:the|these|those|all|both|two|three|four|its|their|our|of|flat|sharp|and|or|no|only|on)$"
)
SOUNDS = pattern_of(rf" (?:that |which |just |simply |\w+ly )?(?:{SOUNDING}|{LEANING})\b")


A_CHORD = pattern_of(
    r"\b(?:is|it's|that's|was|just|here's|of) an? (?:\w+ )?(?:minor|major) (?:seven|7|six|6|nine)(?! (?:of|on"
    r"|over)\b)"
    r"|\b(?:up|down|through|outlin\w+|spell\w*|arpeggiat\w+) (?:the|an?|this|that) (?:\w+ )?(?:minor|major) "
    r"(?:seven|six|nine|7|6|9)(?:th)?(?=[:,]| from)"
    r"|\b(?:minor|major) (?:seven(?:th)?|six(?:th)?|nin(?:e|th)) (?:arpeggios?|shape|grip|voicing|sound|colou?r"
    r"|quality)"
)


def _is_chord(text: str, match: re.Match[str]) -> bool:
    """A chord's name: "the minor seven chord", "the dominant seventh flat nine chord", "it's a plain minor seven"."""
    if any(each.start() <= match.start() < each.end() for each in A_CHORD.finditer(text)):
        return True
    return bool(
        pattern_of(
            r"(?: flat five| sharp five)?[- ](?:chords?|dominants?|flat five|triads?|tonality|key)\b"
        ).match(text[match.end() :])
    )


BESIDE = (
    "only|brighter|darker|gentler|lighter|louder|quieter|softer|sweeter|warmer"
    "|chord's|own|very own|closing|final|opening|long|high|low|held|bright|lovely|beautiful|little|repeated"
    "|lone|single"
)
COMPARED = pattern_of(r"\b(?:brighter|darker|gentler|lighter|louder|quieter|softer|sweeter|warmer) $")
DENIED = pattern_of(
    r"\b(?:(?:do|does|did|wo|have|has|had|ca|could)(?:n't| not)|never|nobody|nothing|except|everything but"
    r"|neither|nor"
    r"|(?:hint|sign|trace|whiff) of)\b[^,;:]*$"
)
BARE = (
    rf"(?P<article>(?:no|not an?|not one|neither an?|nor an?|without(?: an?| any)?)(?: single)?|the|its|a|an"
    rf"|that|this|your|our|my|their|chord's|another|from|to|one|on|,|:|and|then|or|up|out"
    rf"|through) (?P<skip>(?:{BESIDE}) )?(?P<word>root|{'|'.join(ORDINALS)}|(?:[1-9]|1[0-3])(?:st|nd"
    rf"|rd|th))"
)
DESCRIBED = (
    rf"(?P<article>the|its|an?|that|this|your|our|my|their|another) (?P<skip>{ADJECTIVES})"
    rf"(?P<word>root|{'|'.join(ORDINALS)}|nine|eleven|thirteen|(?:[3-7]|9|1[13])(?:rd|th))"
)
OPENING = (
    r"^\s*(?P<article>)(?:(?:long|high|low|just|plain) )?(?P<word>root|third|fourth|fifth|sixth|seventh|ninth"
    r"|eleventh|thirteenth)"
    r"(?=,(?! and last)|'s (?:in|on|just|up|down|there|here|right|at|the)\b"
    r"| (?:on|in|over|of|up|down|at|to|right|then|into|against) (?!all\b))"
)
NUMBERED = (
    rf"(?P<article>the|its|an?|that|this|your|his|my|our|one) (?:(?:{BESIDE}) )?(?P<word>nine|eleven|thirteen|9|11"
    rf"|13)"
)
# A low number is a degree where no chord and no beat can be meant: "slips up to the five", "hangs on the four".
LANDED = (
    rf"(?P<article>the|its|an?|that|your|his|my|(?:back|up|down) to|home to) (?:(?:{BESIDE}) )?(?P<word>three|four"
    rf"|five|six|seven|[3-7])"
    r"(?=\s*(?:[,.;:!?]|$|(?:of (?!us|them|these|those)|and|in|on|for|with|before|then|up|down|again|to|at|but|as"
    rf"|is|was|over|while|{SOUNDING}"
    r"|a|like|right|here|there|so|goes|falls|rings|until|next|first|once|twice|followed|that|through)\b))"
)
ON_A_CHORD = pattern_of(
    r"\b(?:over|against|under|above|below|around|across|five of|dominant of|on|in|for|than|all|by)$"
)
GOES_ROUND = pattern_of(rf"\b{AROUND}$")
CHORD_ROOT = r"(?:[b-g](?:[ -](?:flat|sharp)|b|#)?|a(?:[ -](?:flat|sharp|minor|major|seven)|b|#|m?7))"
OF_A_CHORD = (
    r" degree\b| of (?:the|this|that|its|each) (?:[\w-]+ ){0,2}chord\b"
    r"| of the (?:one|two|four|five|six)(?=\s*(?:[,.;:!?]|$)| and\b)"
    rf"| of (?:the |that |our )?{CHORD_ROOT}(?![\w'])"
)
OF_ITS_CHORD = (
    rf"(?P<article>)(?P<word>root|{'|'.join(ORDINALS)})(?= of (?:the |that |our )?{CHORD_ROOT}(?![\w']))"
)
NUMBER_OF_ITS_CHORD = (
    r"(?P<article>)(?P<word>three|seven|nine|eleven|thirteen)"
    rf"(?= of (?:the |that |our )?{CHORD_ROOT}(?![\w']))"
)
OF_A_BAR = rf"(?:bar|measure) {NUMBER}(?P<article>'s) (?P<word>root|{'|'.join(ORDINALS)})"
NAMED_DEGREE = r"(?P<word>root|third|fifth|seventh|ninth|eleventh|thirteenth)"
AFTER_A_BAR = rf"^\s*(?:bar|measure) {NUMBER},(?P<article>) {NAMED_DEGREE}(?=[,.;!])"
# At an end, by the way: "walks down the scale, root first", "an arpeggio with the fifth on top".
AT_AN_END = (
    rf"(?:,|:|with)(?P<article>) {NAMED_DEGREE}"
    r"(?= (?:first(?!,? (?:and |but )?then\b)|on top|at the (?:top|bottom)|to (?:start|begin|open|finish|end|close))"
    r"(?: with)?(?:[,.;!?]|$| and\b))"
)
IS_ONE = rf"notes? (?:here |there )?is (?P<article>a|an) (?P<word>{'|'.join(ORDINALS)})"


BARE_PATTERNS = (
    BARE, DESCRIBED, OPENING, NUMBERED, LANDED, OF_A_BAR, AFTER_A_BAR, AT_AN_END, IS_ONE, OF_ITS_CHORD,
    NUMBER_OF_ITS_CHORD,
)  # fmt: skip
# "The sixth passes between five and one": numbers, where a degree is named before them.
A_DEGREE = pattern_of(rf"\b(?:root|{'|'.join(list(ORDINALS)[2:13])}|nine|eleven|thirteen)\b")
BETWEEN_NUMBERS = pattern_of(
    r"\bbetween (?:the )?(?P<one>root|one|three|four|five|six|seven|nine|eleven|thirteen)"
    r" and (?:the )?(?P<other>root|one|three|four|five|six|seven|nine|eleven|thirteen)(?=[,.;:!?]|$| (?:in|on|over)\b)"
)


def _between(sentence: Sentence) -> Iterator[Claim]:
    for match in BETWEEN_NUMBERS.finditer(sentence.text):
        if A_DEGREE.search(sentence.text, 0, match.start()):
            for word in ("one", "other"):
                yield Claim(
                    "degree", *match.span(word), "", degree_names("", step_number(match[word])), sure=False
                )


# What counts a noun that is none of music's: "the third song", "my fifth attempt"; a verb or a small word is no noun.
COUNTING_TOO = ("third", "fourth", "fifth", "sixth", "seventh", "ninth", "eleventh", "thirteenth")
SMALL = (
    "a|above|across|after|again|against|all|almost|alone|also|although|altogether|always|among|an|and|another"
    "|any|anywhere|are|around|as|at|away|back|be|because|been|before|behind|being|below|beneath|beside"
    "|besides|between|beyond|both|bumps?|but|by|came|can|can't|come|could|did|didn't|do|does|doesn't|done"
    "|don't|degree|down|downward|downwards|due|during|each|early|either|else|en route|enough|even|ever|every"
    "|exactly|except|fell|felt|first|flat|for|forward|found|from|gave|go|gone|got|had|half|has|hasn't|have"
    "|haven't|he|hears?|heard|held|her|here|high|higher|him|his|home|how|i|if|in|inside|instead|into|is|isn't"
    "|it|its|itself|just|kept|last|late|later|led|left|let|like|long|longer|lots?|low|lower|made|major|may|me"
    "|met|might|minor|more|most|much|must|my|natural|near|never|next|no|nor|not|now|of|off|often|on|once|one"
    "|onto|only|or|our|out|outside|over|past|per|perhaps|please|plus|quite|rang|rather|really|right|rose"
    "|round|said|same|sat|she|should|shouldn't|since|so|some|somewhere|soon|sorry|sort|still|straight|such"
    "|sure|than|that|the|their|them|then|there|these|they|this|those|though|through|thrown|till|to|together"
    "|too|took|toward|towards|twice|under|underneath|until|up|upon|upward|upwards|us|very|was|wasn't|we|well"
    "|went|were|what|whatever|when|where|which|while|who|whose|why|will|with|within|without|won't|would"
    "|wouldn't|yet|you|your|[a-g]"
)
OF_A_NOUN = pattern_of(
    rf" (?!(?:{SMALL}|{SPOKEN}|{NOTE_DOES}|root|sharp|{SIGN})\b)(?![\w']*(?:s|(?<!re)ed|ing|ly|'\w+)\b)[a-z][a-z'-]*"
)

# Before several notes that do something, and before one that is made to: "the third and the fifth ask".
MADE_TO = pattern_of(
    r"\b(?:and|have|hear|help|hold|keep|leave|let|lets|make|makes|play|sing|treat|watch)(?: [\w'-]+){0,2} $"
)


def _bare(sentence: Sentence) -> Iterator[Claim]:
    text = sentence.text
    for pattern in BARE_PATTERNS:
        for match in pattern_of(rf"(?:(?<!\w)|(?=[,:]))(?={pattern}(?!\w|-|'(?!s\b)))").finditer(text):
            claim = _bare_claim(text, match)
            if claim is not None:
                yield claim


def _bare_claim(text: str, match: re.Match[str]) -> Claim | None:
    word, (first, last) = match["word"], match.span("word")
    number = 1 if word == "root" else number_said(word)
    names = degree_names("", number)
    is_count = pattern_of(NOT_A_NOTE).match(text[last:]) and not pattern_of(OF_A_CHORD).match(text[last:])
    is_count = is_count or (
        pattern_of(FAR).match(text[last:]) and match["article"] not in ("the", "its", "your", "our")
    )
    is_count = is_count or _counts_a_noun(text, first, last)
    if not names or is_count or (number in (1, 2) and word != "root"):
        return None
    of_its_chord = word in ("three", "seven") and pattern_of(OF_A_CHORD).match(text[last:])
    if word in LOW and not of_its_chord and _is_chord_or_beat(text[: match.start("article")].rstrip()):
        return None
    if OF_THE_KEY.match(text, last) or (word in LOW and DEGREE_OF.search(text[: match.start("article")])):
        return None
    if not _is_one_note(text, match, number):
        return None
    said = SIGNED_AFTER.match(text, last)
    if said is not None:
        altered = degree_names(said["sign"], number)
        return Claim("degree", first, last if said["of"] else said.end(), "", altered) if altered else None
    which, _ = counted(text, first, "")
    count = times_of_note(text, first, last)
    return Claim(
        "degree", first, last, "", names, "", which if which not in (number,) else 0, count, sure=False
    )


def _counts_a_noun(text: str, first: int, last: int) -> bool:
    """Whether an ordinal counts what is no music: "the third song"."""
    counts = text[first:last] in COUNTING_TOO and OF_A_NOUN.match(text, last) is not None
    return counts and MADE_TO.search(text[:first]) is None


def _plural(sentence: Sentence) -> Iterator[Claim]:
    """Several of a degree without an accidental: "two thirds", "both fifths", "all the roots"."""
    for match in PLURALS.finditer(sentence.text):
        number = step_number(match["word"][:-1])
        said = match["number"] or match["count"]
        count = PAIRS.get(said) or (number_of(said) if said in CARDINALS else -1)
        first, last = match.span("word")
        yield Claim("degree", first, last, "", degree_names("", number), "", 0, count, sure=False)


PLURALS = pattern_of(
    r"\b(?P<count>(?:(?:all|the|those|these|all the|all of the) )?(?P<number>two|three|four|five)|both|a pair of|all|no"
    r"|the(?! (?:\w+ )?roots)|those|these|several|without(?: any)?)"
    r"(?: the| of the| of its)?(?: \w+)? "
    r"(?P<word>(?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth"
    r"|nine|eleven|thirteen)s)\b(?! of\b)"
)


# "The flat two of the key"; "the third of the five": no note of the chord.
OF_THE_KEY = pattern_of(r" of (?:the|our|its|this) (?:home |new |old |main |whole )?(?:key|tonality)\b")
DEGREE_OF = pattern_of(rf"\b(?:root|{'|'.join(list(ORDINALS)[2:13])}|nine|eleven|thirteen) of $")
LOW = ("three", "four", "five", "six", "seven", "3", "4", "5", "6", "7")


def _is_chord_or_beat(before: str) -> bool:
    """Whether a low number after these words is more likely a chord's or a beat's: "over the five", "on the four"."""
    lands = pattern_of(rf"\b(?:{LANDING}|{LEANING}|{STARTING})(?: \w+){{0,4}} on$").search(before)
    return bool(ON_A_CHORD.search(before)) and not lands and not GOES_ROUND.search(before)


# "The eleventh is raised", "the sixth here is the flat one": the accidental after its degree.
SIGNED_AFTER = pattern_of(
    rf"(?: degree)?(?P<of> (?:of|over|on|in) [\w' -]{{1,32}}?)?(?: here| there)? (?:is|was|gets|comes|becomes)"
    rf" (?:just |only |really |clearly |plainly |left )?(?P<a>(?:the|an?) )?(?P<sign>{SIGN})\b(?! (?:and|or|by)\b)"
    r"(?(a) (?:one|kind|sort|variety|version|form|type)\b)"
)
BARE_WORDS = ("from", "to", "on", ",", ":", "and", "then", "or", "up", "out", "through")


# "There's a seventh on beat two": a note, as no distance stands on a beat.
HAVING = pattern_of(
    r"\b(?:there's|there is|here's|have|has|'ve got|get|gets|got|hear|hears|play|plays|put|puts|find|see)$"
)
ON_A_BEAT = pattern_of(
    rf" (?:right |smack |square |squarely )?(?:on|at) (?:the )?(?:and of {NUMBER}|beat {NUMBER}|down-?beat|upbeat"
    rf"|(?:{ORDINAL}) beat|(?:very )?(?:start|beginning|top|end) of (?:the|this|that|bar|measure))\b"
)


IN_IT = pattern_of(r" (?:in (?:this|that|the|bar|measure|here)\b|here\b)")
BEAT_FIRST = pattern_of(r"\bon (?:beat|the and of|the down-?beat)\b[^,;:]*$")


def _is_one_note(text: str, match: re.Match[str], number: int) -> bool:
    """Whether the word before a bare ordinal, and those around it, make it a note and no distance or number."""
    article, (first, last) = match["article"], match.span("word")
    before = text[: match.start("article")].rstrip()
    single = (
        article in ("a", "an", "another", "one")
        and match["word"] != "root"
        and not pattern_of(
            r"\bnotes?(?: here| there)? is$|\b(?:against|over) (?:the |that )?[a-g]\b[^,;:]* (?:it's|it is"
            r"|makes|is|sounds like)$"
        ).search(before)
    )
    listed = pattern_of(r",(?: and)?$").search(before) and _among_degrees(text, first, last)
    spoken_of = listed or DENIED.search(text[: match.start("article")]) or COMPARED.search(text[:first])
    spoken_of = spoken_of or OF_A_NOTE.search(text[match.end("article") : first])
    placed = ON_A_BEAT.match(text, last) or BEAT_FIRST.search(before)
    placed = placed or (IN_IT.match(text, last) if article == "one" else None)
    spoken_of = spoken_of or (HAVING.search(before) and placed)
    if single and not _lands(before) and number not in (9, 11, 13) and not spoken_of:
        return False
    if article in ("a", "an") and pattern_of(rf"\b{MOVES}$").search(before):
        return False
    if (
        article in BARE_WORDS
        and not (match["skip"] and number in (9, 11, 13))
        and not _among_degrees(text, first, last)
        and not pattern_of(OF_A_CHORD).match(text[last:])
    ):
        return False
    of_the_matter = pattern_of(r" (?:of the (?:matter|problem|thing)|cause|position)").match(text[last:])
    return not (match["word"] == "root" and of_the_matter)


def _lands(before: str) -> bool:
    return bool(pattern_of(r"\b(?:on|to|onto|into|with|at|from)$").search(before))


AMONG = pattern_of(
    rf"\b(?:(?:{SIGN})[ -](?:{SPOKEN})|(?:root|third|fifth|seventh|ninth|eleventh|thirteenth)s?)\b"
)


def _among_degrees(text: str, first: int, last: int) -> bool:
    """Whether a bare ordinal without an article stands in a list of degrees ("from third to ninth")."""
    near = text[max(first - 40, 0) : first] + " " + text[last : last + 25]
    return AMONG.search(near) is not None


# Resolutions and notes ------------------------------------------------------------------------------------


RESOLVES = r"(?:resolv(?:es?|ed|ing)|lets? go|resolution)"


def _resolving(sentence: Sentence) -> Iterator[Claim]:
    for match in words_like(RESOLVES).finditer(sentence.text):
        yield Claim("resolves", match.start(), match.end(), sure=False)


def _notes(sentence: Sentence) -> Iterator[Claim]:
    for word in note_words(sentence):
        count = word.count or times_of_note(sentence.text, word.first, word.last)
        which, _ = counted(sentence.text, word.first, "")
        yield Claim(
            "note", word.first, word.last, word.name, which=0 if count else which, count=count, sure=False
        )


# Degrees that are called by what they do: "the leading note", "the tonic note".
CALLED = {
    "7": r"leading[- ](?:note|tone)",
    "1": r"tonic note",
    "#11": r"lydian (?:note|tone)",
    "13": r"dorian (?:note|tone)",
    "b9": r"phrygian (?:note|tone)",
    "b7": r"mixolydian (?:note|tone)",
}


LEADING_NOTE = "leading note"
"""The seventh of the key, whatever the chord."""


def _called(sentence: Sentence) -> Iterator[Claim]:
    for degree, words in CALLED.items():
        for match in pattern_of(rf"\b(?:an?|the|its|that|your|our) ({words})\b").finditer(sentence.text):
            name = LEADING_NOTE if degree == "7" else ""
            yield Claim("degree", *match.span(1), name, (degree,), sure=False)


# "Both ninths, the flat one and the sharp one".
SUCH_A_ONE = pattern_of(rf"\b(?:an?|the|both|first|then|its) (?P<one>(?P<sign>{SIGN}) one)\b(?! chord| of\b)")
NUMBER_BEFORE = pattern_of(rf"\b(?P<number>{RUN_ORDINAL}|nine|eleven|thirteen)s?\b(?! (?:bar|measure|beat))")


def _such_ones(sentence: Sentence) -> Iterator[Claim]:
    """Degrees by their accidentals alone, after the number: "two ninths here, a flat one and a sharp one"."""
    for match in SUCH_A_ONE.finditer(sentence.text):
        before = list(NUMBER_BEFORE.finditer(sentence.text[: match.start()]))
        names = degree_names(match["sign"], step_number(before[-1]["number"])) if before else ()
        if names:
            yield Claim("degree", *match.span("one"), "", names)


TONIC = "tonic"
"""The root of a chord by that name, which may be one of the key as well: never false."""
# The tonic as a note: neither a chord, nor what something is over or of.
THE_TONIC = pattern_of(
    rf"(?P<before>\b(?:{LANDING}|{STARTING}|{ENDING})(?: [\w']+){{0,2}} (?:on|upon|with|from) "
    rf"|(?:^|(?<!over )(?<!of )(?<!on )(?<!in )(?<!to )(?<!from )(?<!for )(?<!into )(?<!against )(?<!around ))\b)"
    rf"(?:the|our|its|that|a) (?:{ADJECTIVES})?(?P<word>tonic)(?! \w+(?: seventh)?(?: chord| triad| harmony| area)\b)"
    r"(?! (?:chord|triad|note|minor|major|harmony|key|pedal|area|function|arpeggio|scale|sound|seventh|six)\b)"
    r"(?! (?:comes?(?: back| in)?|is (?:back|here)|returns?|arrives?)(?:[,.;:!?]|$)| with\b)(?!'|-)"
)


def _tonics(sentence: Sentence) -> Iterator[Claim]:
    for match in THE_TONIC.finditer(sentence.text):
        yield Claim("degree", *match.span("word"), TONIC, ("1",), sure=False)


DEGREE_FINDERS = (
    _of_kinds,
    run_claims,
    set_claims,
    _signed,
    _chained,
    _plural,
    _bare,
    _called,
    _such_ones,
    _between,
    _tonics,
    _resolving,
    _notes,
)
"""What finds such words, in the order in which they go before each other."""
