"""How long a phrase is said to be, and how many there are: "the first phrase is two bars long", "two long phrases".

Common practice, no source. Where phrases part is a matter of hearing: the length of one is false only where rests part
it from the others. A bar that has no more of it than a pickup, or the note on its downbeat, may count or not.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.analysis.model import Phrase
from lessonmaker.analysis.words import number_words
from lessonmaker.score.position import (
    INSTANT,
    PositionError,
    Span,
    bars_in,
    format_span,
    parse_span,
    whole_bars,
)
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.durations import FEW, few_of
from lessonmaker.script.plain.likeness import mostly_in
from lessonmaker.script.plain.passage import rests_of
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, LANDING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["EDGE", "Extents", "extent_claims", "takes_its_words"]

NTH = "first|opening|second|third|fourth|fifth|sixth|next|last|closing|final"
PHRASE = (
    r"(?:phrases?|statement|sentence|idea|thought|question|answer|call|response|reply|paragraph|breath|line)"
)
LICKS = r"(?<=short )(?:licks|statements|ideas|bits|remarks|calls|questions|riffs|fragments|sentences)"
SHAPED = r"(?:(?:long|short|little|big|single|whole|brief|compact|entire|new|complete) )*"
A_PHRASE = (
    rf"(?:(?P<nth>{NTH}) {SHAPED}{PHRASE}|(?:the|this|that|our|a|one) {SHAPED}{PHRASE}"
    rf"|(?:the|a) (?P<nth_one>{NTH})(?: one)?(?! (?:bar|beat|note|eighth|measure)\b)"
    r"|(?P<after>the one after(?: it| that| this)?|the other one))"
)
ONLY = r"(?: (?:only|just|exactly|all|no more than|a mere|a full|a whole|precisely|really))*"
LASTS = inflected(
    "be, last, span, cover, take, take up, fill, run for, run to, run, go on for, stretch over, extend "
    "over, come to, occupy, "
    "stretch to, have, last for, measure, need, use, go over, spread over, go for"
)
BARS = (
    r"(?:full |whole |entire )?(?:bars?|measures?)"
    r"(?! and (?:a half|a bit|some|(?:an?|one|two|three) (?:half|quarter|beats?)))"
)
A_BAR = rf"(?:bar|measure) (?:{NUMBER})|the (?:{ORDINAL}) (?:bar|measure)"
UNTIL_A_BAR = (
    rf"(?:{A_BAR}|the (?:{ORDINAL})(?! (?:beat|note|step|degree)\b)|(?:{NUMBER})(?=[,.;:!?]|$| and\b))"
)
SOMETHING_IN = r"(?:the [\w ]{1,20} (?:in|of) )?"
GOES = inflected(
    "run, go, stretch, last, extend, be, reach, continue, keep going, carry on, keep on, go on, get, hold "
    "out, spin on, move"
)
LONG = pattern_of(
    rf"\b{A_PHRASE},?(?: which| that)?{ONLY} {LASTS}{ONLY} (?P<count>{FEW}|an?) {BARS}(?: long| in length)?\b"
)
OF_BARS = pattern_of(
    rf"\b(?:(?P<nth>{NTH}) )?{SHAPED}(?:(?P<count>{FEW}|one)-(?:bar|measure) {SHAPED}{PHRASE}"
    rf"|{PHRASE} of (?P<count2>{FEW}) {BARS})(?! structure)\b"
    rf"|\b(?P<count3>{FEW}) {BARS} in (?:a single|one"
    rf"|the one) breath(?:[^.;:]{{0,20}} (?P<nth2>{NTH}) {PHRASE})?"
    rf"|\b(?:(?:a|one) (?:short|long|little|brief) one|(?:one|a) {SHAPED}{PHRASE}),? (?P<count4>{FEW}) {BARS}\b"
)
COUNTED = pattern_of(
    rf"(?<!bar )(?<!measure )\b(?P<phrases>{FEW}) (?:of the )?{SHAPED}(?:(?P<each>{FEW})-(?:bar"
    rf"|measure) )?(?:\w+ )?(?:{LICKS}|{PHRASE}\b)(?: of (?P<each2>{FEW}) {BARS}(?: each)?"
    rf"|(?: here|, \w+)?,? (?P<each3>{FEW}) {BARS} (?:each|apiece))?(?: in (?P<bars>{FEW}) {BARS})?"
)
# Without a verb: "first phrase, five bars", "phrase one is three bars".
NAMED_LONG = pattern_of(
    rf"\b(?:(?P<nth>{NTH}) {SHAPED}{PHRASE}|phrase (?P<number>one|two|three|four))(?:,| is| runs| lasts)"
    rf" (?P<count>{FEW}) {BARS}\b"
)
IN_LENGTH = r"(?:long|in length|in extent|in all|in total|from end to end)"
# "This phrase, three measures in length"; "there are five bars in this opening statement".
MEASURED = pattern_of(
    rf"\b{A_PHRASE},? (?:at |of |with |all |only |just |a full )*(?P<count>{FEW}) {BARS} {IN_LENGTH}\b"
)
FILLED = pattern_of(
    rf"\b(?P<count>{FEW}) {BARS} (?:(?:in|to|for|make(?:s)?(?: up)?|go into) (?:the|this|that|our)(?: whole)?"
    r"|(?:are|form|make(?: up)?)(?: (?:all|just|really|simply))* (?:a|one)) "
    rf"(?:(?P<nth>{NTH}) )?{SHAPED}{PHRASE}\b(?! of)"
)
# "Four bars, then two beats of rest".
UNTIL_A_REST = pattern_of(
    rf"(?:^\W*|, |\b(?:of|for|here|so) )(?P<count>{FEW}) {BARS}(?: of (?:music|playing|notes|line))?"
    r"(?=(?:,| and|, and)? (?:then|followed by|before|with)\b[^.;:!?]{0,30}\b(?:rests?|silence|nothing|breathe"
    r"|breath|pause|air|quiet)\b)"
)
# "One long phrase from bar three": its end is not said. "It starts on the and of four in seven and runs up to twelve".
FROM_A_BAR = pattern_of(
    rf"\b(?:a|one|the|this|that|our) {SHAPED}{PHRASE},?(?: which| that)?(?: (?:{STARTING}) (?:from|in|at)| from) "
    rf"(?P<from>{A_BAR})(?: on(?:wards?)?)?(?:(?: right| all the way)?(?: up)? (?:to|through|till|until)"
    rf" (?P<to>{A_BAR}|{NUMBER}))?(?=[,.;:!?]|$| and\b)"
)
STOPS = (
    rf"{ENDING}|{LANDING}|{inflected('breathe out, run out, come to rest, come to an end, die away, settle')}"
)
SPANS = inflected("stretch, last, extend, span, reach")
FROM_TO_NUMBERS = pattern_of(
    rf"\b{A_PHRASE},?(?: which| that)?{ONLY} {SPANS} (?:all the way )?from (?P<from>{NUMBER})(?: right| all"
    rf" the way)? "
    rf"(?:to|through|until|till) (?P<to>{NUMBER})(?=[,.;:!?]|$| (?:and|so|with|without|in one)\b)"
)
COVERS = pattern_of(
    rf"\b{A_PHRASE},?(?: which| that)?{ONLY} (?:{LASTS}) (?:bars|measures) (?P<from>{NUMBER})"
    rf"(?: to| through|-|,? and) (?P<to>{NUMBER})(?![\w-])"
)
OF_SO_MANY = pattern_of(
    rf"\b{A_PHRASE} (?:is|makes|forms|becomes) (?:an?|just an?|only an?) (?P<count>{FEW})-(?:bar|measure) \w+\b"
)
FROM_AND_TO = pattern_of(
    rf"\b{A_PHRASE},?(?: which| that)? (?:{STARTING})\b[^.;:!?]{{0,40}}?\b(?:in|with|from|at) "
    rf"(?P<from>{A_BAR}|{NUMBER})(?:,? and|,)(?: (?:it|then|only))* "
    rf"(?:(?:{GOES})(?: on)?(?: right| all the way| straight)?"
    r"(?: up| through)? (?:to|through|until|till|as far as|into)"
    rf"|(?:{STOPS})(?: \w+)? (?:in|at|on|with)) (?:the (?:end|start|downbeat) of )?(?P<to>{UNTIL_A_BAR})"
)
# Where it begins or ends: "the phrase closes in measure twelve".
EDGE, ON_A_BEAT = (
    "phrase edge",
    r"(?!,? (?:on|at) (?:the )?(?:beat|and|\w+ beat|down-?beat|one|two|three|four)\b)",
)
EDGED = pattern_of(
    rf"\b(?:the|this|that|our|its) (?:(?P<nth>{NTH}) )?{SHAPED}(?P<phrase>phrase|statement|sentence|idea|thought)"
    rf"(?: (?:only|finally|then|just))* (?:(?P<begins>{STARTING})|{ENDING}"
    rf"|{inflected('come to rest, come to an end')})"
    rf"(?: up| off)? (?:in|at the end of|at the start of|at the beginning of) (?P<bar>{A_BAR})\b{ON_A_BEAT}"
)
ONE = pattern_of(
    r"\b(?:all )?(?:a|one) (?:single |long |big |unbroken |whole )+(?:phrase|statement)\b(?! (?:of|from"
    r"|that|which)\b)"
)
MAKES_UP = pattern_of(
    r"\b(?:consists? of|divides? (?:up )?into|falls? into|splits? into|breaks? (?:down )?into"
    r"|is made (?:up )?of|has|have|contains?|comprises?|there are|there're|make up|makes up|fall into"
    r"|come in|we (?:have|get)|you (?:have|get)|are|is|in|,|^)"
    r"(?: (?:just|only|exactly|all))* ?$"
)
FROM_TO = pattern_of(
    rf"\b{A_PHRASE},?(?: which| that)?{ONLY} {GOES} (?:all the way "
    rf"|right )?(?:from (?P<from>{A_BAR}) (?:right |all the way )?)?(?:through )?(?:to|through|until|till|into"
    r"|as far as|up to) (?:the end of |as late as )?"
    rf"(?P<note>{SOMETHING_IN})(?P<to>{UNTIL_A_BAR})"
)
# "The second phrase doesn't stop there, it spills over the bar line into bar nine".
SPILLS = inflected(
    "spill, spill over, run over, run on, flow, flow over, flow on, leak, push on, press on, roll on, bleed, overflow, "
    "carry over, carry on, keep going, go on, go over, continue, stretch, reach over, reach, run, hang over, lap over, "
    "drift on, trail, sail on"
)
UNSTOPPED = (
    r"(?:,? (?:doesn't|does not|won't|will not|refuses to|never|is not|isn't)\b[^.;:]{2,60}?[,;]? (?:but|and|it|so"
    r"|instead)(?: (?:just|simply|it))*)?"
)
OVER_AN_END = (
    r"(?: (?:right|straight|just|clean))*(?: (?:over|past|across|beyond|through) (?:the|its|that) "
    r"(?:bar-? ?lines?|double bar|end of [\w ]{3,20}|(?:\w+ )?section|form|seam|eight bars|break))?(?: and(?: on)?)?"
)
SPILLING = pattern_of(
    rf"\b(?:(?P<nth>{NTH})|the|this|that|our|a|one) {SHAPED}{PHRASE}{UNSTOPPED},?"
    rf"(?: (?:which|that|just|simply|then))*(?P<from>) {SPILLS}{OVER_AN_END}"
    rf" (?:(?:right |straight )?(?:into|to|in|until|till|as far as)|(?:(?:it|only|finally) )*(?:{STOPS}) (?:in|on|at))"
    rf" (?:the (?:start|downbeat|first beat|top) of )?(?P<to>{A_BAR}|(?:{NUMBER})(?=[,.;:!?]|$))"
)
# "The first phrase is short, it's done by the middle of bar two".
DONE_BY = pattern_of(
    rf"\b{A_PHRASE}(?P<from>)(?:,? (?:which|that|it's|it|is|and|short|brief|very|quite|all|already)|'s){{1,6}}"
    rf" (?:done|finished|gone|over)(?: already)? (?:by|in|with|at) (?:the (?:end|middle) of )?(?P<to>{A_BAR})\b"
)
SO_IS = pattern_of(
    rf"\b(?:and )?so (?:is|does|are|has) (?:the|our) (?P<nth>{NTH})(?: one| phrase)?(?=[,.;:!?]|$)"
)
HERE_IS = pattern_of(
    r"\b(?:there(?:'s| is)|(?:then )?(?:here )?(?:comes?|follows?)|here(?:'s| is)|that(?:'s| is)) (?:an?"
    rf"|the|our|your) (?P<nth>{NTH}) {SHAPED}phrase\b(?! (?:of|{LASTS}) )"
)
# "Two phrases, a short one and a long one"; "two short licks, then he talks longer".
SHORT_AND_LONG = pattern_of(
    r"\b(?:a|one|the first) (?:short|long|little|brief)(?:er)?\b.*\b(?:short|long)(?:er)?\b"
)
SHORT_THEN_LONG = pattern_of(
    r"\b(?:short|little|brief) \w+,? (?:and )?(?:then|before|followed by)\b.*\blong(?:er)?\b"
)
# What each of some phrases is that are counted: "two phrases, one up to bar three and a longer one of four bars".
OF_TWO = pattern_of(
    r"\b(?:(?:the|and|then|,) )*(?:(?:an?|one|another|the (?:first|second|other|next))(?: (?:much|nice"
    r"|rather|little))*)?"
    rf" ?\b(?:(?P<size>short|brief|long|big)(?:er)? )?(?:one|phrase)(?: first)?"
    rf"(?:(?: of|,| that is| that's|,? which is|,? lasting)(?: just| only| all)? (?P<count>{FEW})(?:"
    rf" {BARS})?(?: long)?"
    rf"(?! (?:phrases?|ones?)\b)|,?(?: which| that)?(?: {GOES})?(?: all the way)? (?:from (?:the (?:end"
    rf"|start|middle) of )?"
    rf"(?P<from>{A_BAR}) )?(?:up )?(?:to|till|until|through to|into) (?:the (?:end|start) of )?(?P<to>{A_BAR}))?"
    r"(?=[,.;:!?]|$| (?:and|then|before)\b)"
)
JOINED = "joined"
"""Bars that are counted as one phrase, which may be heard as several."""
NUMBERS = {"opening": 1, "next": 0, "last": -1, "closing": -1, "final": -1}


@lru_cache(maxsize=1)  # of one sentence they are asked for twice
def extent_claims(sentence: Sentence) -> tuple[Claim, ...]:
    """What a sentence says of the length of a phrase, in bars or from bar to bar, or of how many phrases there are."""
    found: list[Claim] = []
    for pattern, claim in (
        (FROM_TO, _from_to),
        (FROM_AND_TO, _from_to),
        (DONE_BY, _from_to),
        (SPILLING, _from_to),
        (FROM_TO_NUMBERS, _from_to),
        (COVERS, _from_to),
        (OF_SO_MANY, _long),
        (FROM_A_BAR, _from_to),
        (EDGED, _edge),
        (LONG, _long),
        (MEASURED, _long),
        (FILLED, _joined),
        (UNTIL_A_REST, _joined),
        (NAMED_LONG, _named_long),
        (SO_IS, _alike),
        (HERE_IS, _there),
        (COUNTED, _counted),
        (OF_BARS, _long),
        (ONE, _one),
    ):
        for match in pattern.finditer(sentence.text):
            each = claim(match, found)
            if each is not None and not any(
                each.first < other.last and other.first < each.last for other in found
            ):
                found.append(each)
    return (*found, *_parts_told(sentence, found))


def takes_its_words(sentence: Sentence, claim: Claim) -> bool:
    """Whether a phrase is said to go to "the sixth", which is a bar, or over a bar line into a bar."""
    if SPILLING.match(sentence.text, claim.first) is not None:
        return True
    return (
        len(claim.names) > 1
        and bool(claim.names[0])
        and pattern_of(rf"the (?:{ORDINAL})").fullmatch(claim.names[1]) is not None
    )


def _parts_told(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """What each of two phrases is, where they are counted first or it opens with a short or a long one."""
    counted = next((claim for claim in found if claim.name == "phrases" and claim.count == FEWEST), None)
    start = counted.last if counted is not None else 0
    parts = [match for match in OF_TWO.finditer(sentence.text, start) if any(match.groupdict().values())]
    if len(parts) != FEWEST or (counted is None and not (parts[0]["size"] and parts[1]["size"])):
        return
    for which, match in enumerate(parts, 1):
        first = (
            match.start()
            + len(match[0])
            - len(pattern_of(r"^(?:(?:and|then|,) ?)+").sub("", match[0].lstrip()))
        )
        names = (match["from"] or "", match["to"]) if match["to"] else ()
        count, size = few_of(match["count"]) if match["count"] else 0, match["size"] or ""
        name = "" if names or count else "there"
        each = Claim(
            "extent", first, match.end(), name, names=names, detail=size, which=which, count=count, sure=False
        )
        if not any(each.first < other.last and other.first < each.last for other in found):
            yield each


def _claim(match: re.Match[str], **said: object) -> Claim:
    which = _which(_said(match, "nth", "nth2", "nth_one"))
    return Claim("extent", match.start(), match.end(), which=which, sure=False, **said)  # type: ignore[arg-type]


def _said(match: re.Match[str], *names: str) -> str:
    """The first of some groups that a match has."""
    groups = match.groupdict()
    return next((text for name in names if (text := groups.get(name))), "")


def _from_to(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    name = "after" if _said(match, "after") else ""
    claim = _claim(match, name=name, names=(match["from"] or "", match["to"] or ""))
    # what it goes to may be read by itself: "to the F in bar five"
    return replace(claim, last=match.start("note") - 1) if _said(match, "note") else claim


def _edge(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    side = "first" if match["begins"] else "last"
    return _claim(match, name=EDGE, detail=side, names=(match["bar"],))


def _long(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    name = "after" if _said(match, "after") else ""
    return _claim(match, name=name, count=few_of(_said(match, "count", "count2", "count3", "count4")))


def _joined(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    counted = match.groupdict().get("nth") not in (None, *NUMBERS)
    return _claim(match, name="" if counted else JOINED, count=few_of(match["count"]))


def _named_long(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    which = _which(match["nth"] or "") or number_of(match["number"] or "one")
    said = (match.start(), match.end())
    return Claim("extent", *said, which=which, count=few_of(match["count"]), sure=False)


def _one(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    return _claim(match, name="phrases", count=1, names=("", ""))


def _alike(match: re.Match[str], found: Sequence[Claim]) -> Claim | None:
    """Another phrase as long as the one before."""
    return _claim(match, count=found[-1].count) if found and found[-1].count else None


def _there(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    return _claim(match, name="there")


def _counted(match: re.Match[str], _: Sequence[Claim]) -> Claim | None:
    """So many phrases, each as long, or in so many bars; where something has many, they may be one more or less."""
    count, each = few_of(match["phrases"]), _said(match, "each", "each2", "each3")
    if count < 2 or pattern_of(r" (?:back|ago|later|earlier|away)\b").match(match.string[match.end() :]):
        return None
    about = "about" if MAKES_UP.search(match.string[: match.start()]) else ""
    return _claim(match, name="phrases", count=count, detail=each or "", names=(match["bars"] or "", about))


def _which(nth: str) -> int:
    return 0 if not nth else NUMBERS[nth] if nth in NUMBERS else ordinal_of(nth)


def _number(text: str) -> int:
    """The number of a bar as it is said: "bar six", "the sixth bar", "the sixth", "six"."""
    number = pattern_of(r"\b(?:bar|measure|the)\b ?").sub("", text).strip()
    return number_of(number) if pattern_of(NUMBER).fullmatch(number) else ordinal_of(number)


@dataclass
class Extents(Patterns):
    """Decides which phrases are as long as is said; `phrase_told` is the one that was told of last."""

    phrase_told: Phrase | None = None

    def extent(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The bars of the one phrase that is as long, or lies where, a sentence says."""
        if claim.name == "phrases":
            return self.all_phrases(claim, scope)
        if claim.name == EDGE:
            return self.phrase_edge(claim)
        said = self.phrases_said(claim)
        found = [phrase for phrase in said if self.fits(claim, phrase)]
        if self.phrase_told is not None and not claim.which:
            found = [each for each in found if each.span.start > self.phrase_told.span.start]
        if len({phrase.span for phrase in found}) == 1 or (found and claim.which):
            self.phrase_told = found[0]
            return self.lit_span(self.bars_of_phrase(found[0]))
        joined = None if found else self.joined_phrase(claim, said)
        if joined is not None:
            return self.lit_span(joined)
        return self.other_extent(claim, said) if said and not found else NOTHING

    def joined_phrase(self, claim: Claim, phrases: Sequence[Phrase]) -> Span | None:
        """Some bars in sight that are called one phrase, where one begins or ends that the analysis parts otherwise."""
        every = self.music.analysis.phrases
        begins = {self.number_of_bar(each.notes[0]) for each in every}
        ends = {self.number_of_bar(each.notes[-1]) for each in every}
        if all(claim.names) and claim.names and claim.name == "":
            first, last = (str(_number(text)) for text in claim.names)
            span = self.bars_numbered(f"{first}-{last}") if first in begins or last in ends else None
            return span if span is not None and all(map(self.is_seen, self.outer_bars_of(span))) else None
        if claim.name != JOINED or not phrases:
            return None
        start = self.bars_of_phrase(phrases[0])
        bars = [bar for bar in self.music.score.bars if bar.start >= start.start][: claim.count]
        return Span(bars[0].start, bars[-1].end) if bars[-1].number in ends else None

    def bars_numbered(self, text: str) -> Span | None:
        """Bars by their numbers, if there are such."""
        try:
            return parse_span(self.music.score, text)
        except PositionError:
            return None

    def number_of_bar(self, note: str) -> str:
        """The number of the bar in which a note is struck."""
        return self.music.score.bars[self.music.struck_by_id[note].bar].number

    def outer_bars_of(self, span: Span) -> list[Span]:
        """The first and the last bar of a stretch."""
        bars = self.music.bars_in([span])
        return [Span(bar.start, bar.end) for bar in (bars[0], bars[-1])]

    def all_phrases(self, claim: Claim, scope: Scope) -> Decided:
        """So many phrases: the bars that they fill, of those that are named, else of all that are shown."""
        found = self.phrases_in(claim, scope.spans or tuple(self.spans))
        return found if found.says or not scope.spans else self.phrases_in(claim, tuple(self.spans))

    def phrases_in(self, claim: Claim, spans: Sequence[Span]) -> Decided:
        """So many phrases in some spans, give or take one where there are many or it is told how long each is."""
        found = [
            each for each in self.music.analysis.phrases if any(mostly_in(each.span, span) for span in spans)
        ]
        if claim.detail and len(spans) == 1 and self.are_parted(claim, spans[0]):
            return self.lit_span(spans[0])
        if claim.detail:
            found = [each for each in found if few_of(claim.detail) in self.counts_of(each)]
        found = self.short_ones(claim, found)
        told = (claim.names[-1] and claim.count > MANY) or SHORT_AND_LONG.search(self.sentence.text)
        many = 1 if told and not claim.detail else 0
        if not found or abs(len(found) - claim.count) > many:
            return NOTHING
        first, last = (self.bars_of_phrase(each) for each in (found[0], found[-1]))
        span = Span(first.start, last.end)
        bars = few_of(claim.names[0]) if claim.names[0] else 0
        counts = {len(bars_in(self.music.score, each)) for each in (span, *spans)}
        notes = [self.music.struck_by_id[name] for each in found for name in each.notes]
        seen = [note for note in notes if self.is_seen(Span(note.onset, note.onset + INSTANT))]
        return self.lit_row(seen) if seen and (not bars or bars in counts) else NOTHING

    def short_ones(self, claim: Claim, found: list[Phrase]) -> list[Phrase]:
        """Of some phrases the short ones that are said to come before a longer one, if that is so."""
        if len(found) != claim.count + 1 or not SHORT_THEN_LONG.search(self.sentence.text):
            return found
        lengths = [each.span.end - each.span.start for each in found]
        return found[:-1] if max(lengths[:-1]) < lengths[-1] else found

    def are_parted(self, claim: Claim, span: Span) -> bool:
        """Whether some bars fall into so many parts of the length that is said, a phrase beginning with each."""
        bars = self.music.bars_in([span])
        size = few_of(claim.detail)
        if size * claim.count != len(bars):
            return False
        begins = {self.music.struck_by_id[phrase.notes[0]].onset for phrase in self.music.analysis.phrases}
        parts = [bars[at] for at in range(0, len(bars), size)]
        return all(
            any(bar.start - bar.metre.unit_quarters <= onset < bar.end for onset in begins) for bar in parts
        )

    def phrase_edge(self, claim: Claim) -> Decided:
        """The first or last note of a phrase, in the bar where it is said to be; false where it can be no other's."""
        at = 0 if claim.detail == "first" else -1
        notes = [self.music.struck_by_id[each.notes[at]] for each in self.music.analysis.phrases]
        number = str(_number(claim.names[0]))
        if claim.which:
            mine = [self.music.struck_by_id[each.notes[at]] for each in self.phrases_said(claim)]
            notes = mine or notes
        found = [note for note in notes if self.music.score.bars[note.bar].number == number]
        if found and not self.sentence.is_question:
            return self.lit_row(found[at:][:1])
        shown = self.phrases_said(claim)
        parted = len(shown) == 1 and self.is_parted(shown[0])
        if not parted or self.sentence.is_question or HEDGED.search(self.sentence.text):
            return NOTHING
        edge = self.music.struck_by_id[shown[0].notes[at]]
        does = "begins" if at == 0 else "ends"
        where = self.bars_of_phrase(shown[0])
        return self.is_false(claim, where, f"{does} in bar {self.music.score.bars[edge.bar].number}")

    def phrases_said(self, claim: Claim) -> list[Phrase]:
        """The phrases that begin in what the cue shows; those with the number that is said, from there or of all."""
        every, notes = self.music.analysis.phrases, self.music.struck_by_id
        shown = [
            each
            for each in every
            if self.is_seen(Span(each.span.start, notes[each.notes[0]].onset + INSTANT))
        ]
        if claim.name == "after":
            told = self.phrase_told
            return [each for each in every if told is not None and each.span.start > told.span.start][:1]
        if not claim.which:
            return shown
        at = claim.which if claim.which < 0 else claim.which - 1
        return [some[at] for some in (shown, list(every)) if -len(some) <= at < len(some)]

    def bars_of_phrase(self, phrase: Phrase) -> Span:
        """The bars from a phrase's first note to its last."""
        notes = self.music.struck_by_id
        first, last = notes[phrase.notes[0]], notes[phrase.notes[-1]]
        return whole_bars(self.music.score, range(first.bar, last.bar + 1))

    def counts_of(self, phrase: Phrase) -> set[int]:
        """How many bars a phrase may be said to have."""
        score, notes = self.music.score, [self.music.struck_by_id[name] for name in phrase.notes]
        bars = [score.bars[index] for index in bars_in(score, self.bars_of_phrase(phrase))]
        pickup = 2 * (bars[0].end - notes[0].onset) <= bars[0].metre.bar_quarters
        lands = position_in_bar(notes[-1].onset, bars[-1]) == 0
        count = len(bars)
        return {count, count - pickup, count - lands, count - pickup - lands} - {0}

    def fits(self, claim: Claim, phrase: Phrase) -> bool:
        """Whether a phrase has as many bars, or those, that a claim says."""
        if claim.name == "there":
            return not claim.detail or self.is_as_long(claim, phrase)
        if not claim.names:
            return claim.count in self.counts_of(phrase)
        score = self.music.score
        bars = [score.bars[bar].number for bar in bars_in(score, self.bars_of_phrase(phrase))]
        first, last = (str(_number(text)) if text else "" for text in claim.names)
        return last in ("", bars[-1]) and first in ("", bars[0], *(bars[1:2] if bars[0] == "0" else ()))

    def is_as_long(self, claim: Claim, phrase: Phrase) -> bool:
        """Whether a phrase is the shorter, or the longer, of two."""
        other = self.phrases_said(replace(claim, which=FEWEST + 1 - claim.which))
        begun = [each for each in self.music.analysis.phrases if self.is_seen(self.bars_of_phrase(each))]
        if len(begun) != FEWEST:
            return False
        lengths = [len(bars_in(self.music.score, self.bars_of_phrase(each))) for each in (phrase, *other[:1])]
        short = claim.detail in ("short", "brief")
        return lengths[0] <= lengths[-1] if short else lengths[0] >= lengths[-1]

    def other_extent(self, claim: Claim, phrases: Sequence[Phrase]) -> Decided:
        """A phrase that is longer or shorter than is said: false where rests part it from the others."""
        told = claim.count or (any(claim.names) and not self.may_end_in(claim.names[1]))
        plain = claim.which and told and claim.name != JOINED and not HEDGED.search(self.sentence.text)
        if not plain or self.sentence.is_question or not all(self.is_parted(each) for each in phrases):
            return NOTHING
        span = self.bars_of_phrase(phrases[0])
        count = number_words(len(bars_in(self.music.score, span)))
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: it goes through {self.music.said(span)}, which is {count}"
        return Decided(None, format_span(self.music.score, span), (), what, "say how long it is")

    def may_end_in(self, text: str) -> bool:
        """Whether a phrase may be heard to end in a bar: where one is found to, or a rest or a long note is."""
        number = str(_number(text)) if text else ""
        bar = next((bar for bar in self.music.score.bars if bar.number == number), None)
        if bar is None:
            return True
        struck = self.music.struck_between(bar.start, bar.end)
        ends = {self.number_of_bar(phrase.notes[-1]) for phrase in self.music.analysis.phrases}
        rests = any(bar.start < rest.start <= bar.end for rest in rests_of(self.music))
        return number in ends or rests or any(note.held >= LONG_NOTE for note in struck)

    def is_parted(self, phrase: Phrase) -> bool:
        """Whether a phrase stands between rests, or at an end of the piece."""
        notes = [self.music.struck_by_id[name] for name in phrase.notes]
        rests, struck = rests_of(self.music), self.music.struck
        before = notes[0] is struck[0] or any(rest.end == notes[0].onset for rest in rests)
        after = notes[-1] is struck[-1] or any(
            rest.start == notes[-1].onset + notes[-1].held for rest in rests
        )
        return before and after


LONG_NOTE = Fraction(3, 2)  # quarters, at which a phrase may come to rest
FEWEST = 2  # phrases that are told of one by one
MANY = 4  # phrases, more than which may be counted one more or less
