"""How many of a thing there are: "neither bar has a rest", "just one chord in bar twelve", "two octave leaps".

Common practice, no source. No number is false where as many may be counted in any stretch that may be meant; one that
is not said to be all there are ("only", "a lone") is false only where there are fewer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.position import Span, format_position, hull, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.countable import Found, Thing, things_in
from lessonmaker.script.plain.crosscheck.stretch_told import bars_meant
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.durations import FEW, count_said, few_of

__all__ = ["tallied"]

SAY_HOW_MANY = "say how many there are"
FEWEST = 3  # notes that are lit as one figure

# What is said --------------------------------------------------------------------------------------------

ADJECTIVES = (
    r"(?: (?:single|real|actual|lone|little|tiny|short|long|proper|different|distinct|big|wide|full|quick|clear|whole"
    r"|more|other|such|plain|falling|rising|descending|ascending|downward|upward))*"
)
ANY = r"(?: (?:an?|any|one|so much as an?|even an?|even one))"
GAP = r"(?: (?!(?:and|but|or|if|because|so|until|till|that|which|only|just)\b)[\w']+){0,5}?"
# "no", "not a single", "we don't get a", "neither bar has any", "none of these bars contains a", "you won't find any".
NONE = pattern_of(
    rf"\b(?:(?:no|zero|without(?:{ANY})?|free of(?:{ANY})?|not(?:{ANY})){ADJECTIVES} "
    rf"|(?:neither|none of (?:the|these|those|our|its)|nowhere|never|not|cannot|\w+n't){GAP}{ANY}{ADJECTIVES} "
    rf"|(?:neither|none of (?:the|these|those|our|its)){GAP} |nothing(?: here| in it)?(?: ever)? (?:\w+ )??)$"
)
STRICT = (
    r"(?:just|only|exactly|precisely|no more than|not more than|a mere|merely|but|all of|nothing but)"
    r"(?: the| those| these)?"
)
NUMBER = pattern_of(
    rf"(?<![\w-])(?:(?P<strict>{STRICT}) )?(?P<count>(?:an?|one) (?:lone|single|solitary)|{FEW})"
    rf"{ADJECTIVES} $"
)
LONE = pattern_of(r"lone|single|solitary")
ENDS_THERE = pattern_of(
    r"\b(?:and|but) (?:no more|not one more|none more|nothing (?:more|else)|no others?|that(?:'s| is) (?:it|all)"
    r"|never again|not again)\b|\band no(?: \w+)? more\b"
)
# It is said of other things, or not for sure.
ELSE = (
    r"until|till|except|apart from|other than|save|at first|by itself|no longer|really|quite|as an?|if|instead|would"
    r"|could|should|wait|sorry|miss|bass|piano|left hand|left|band|need\w*|want\w*|fear|matter|mind|every|each|per"
    r"|another|more|time to|chance|drum\w*|comping|compare\w*|than(?! an?\b)|hear it as|feels? like|sounds? like|like"
    r" an?|think of|worth of|kinds? of|sorts? of|common|share\w*|both"
    r"|of (?:the|this|that|these|those) (?:chord|harmon)\w*"
)
OF_OTHERS = pattern_of(rf"\b(?:{ELSE})\b")
# It is said of less than the bars.
OF_LESS = pattern_of(
    r"\b(?:yet|before|after|because of|any ?more|enough|further|far|between(?! (?:these|those|the|both) (?:two )?bars)"
    r"|inside|within|once|from|over|under|against|on|first|last|half|start|beginning|top|bottom|middle|high|low|higher|lower|strong|weak|downbeats?|offbeats?"
    r"|beats?|at once|held|long|tied)\b"
)
BARS = pattern_of(rf"(?<![\w-])(?P<count>{FEW})[ -](?:bars|measures)\b")
JOINING = 6  # characters of the word that begins the next part: "until"
PLURAL = pattern_of(r"s\b")
AWAY = pattern_of(r" (?:up|down|above|below|higher|lower|away|apart|from|to|wide|under|over|later|early)\b")


# What is no count of them: "five As out of five", "bar eleven rests".
OUT_OF = pattern_of(r" out of ")
# What something is not, and not what is not there: "A seven is no chord of the key".
IS_NONE = pattern_of(
    r"(?:\b(?:is|are|was)|'s|\b(?:is|are|was)n't) (?:(?:no|not|really|not really) )*(?:an? )?$"
)
BAR_NUMBER = pattern_of(rf"\b(?:bar|measure)s? (?:{NUMBER.pattern})$", re.IGNORECASE)


def tallied(told: Told) -> Iterator[Untrue]:
    """Things that are said to be there so often, or not at all, and are there more often or less."""
    for thing in things_in(told):
        begin, end = told.part_of(thing.first)
        before, after = told.text[begin : thing.first], told.text[thing.last : max(end + JOINING, thing.last)]
        of_the_key = thing.noun == "chord" and IS_NONE.search(before)
        if OUT_OF.match(after) or BAR_NUMBER.search(before) or of_the_key:
            continue
        none = NONE.search(before)
        number = NUMBER.search(before)
        if none is not None and thing.said != "counted":
            yield from _none(
                told, thing, begin + none.start(), (told.text[begin : begin + none.start()], after)
            )
        elif number is not None and thing.said != "denied" and not _is_of_other_bars(told):
            yield from _number(told, thing, begin + number.start(), number, (before[: number.start()], after))


def _is_of_other_bars(told: Told) -> bool:
    """Whether a sentence counts more or fewer bars than are shown: "twelve bars, three chords"."""
    counts = {few_of(match["count"]) for match in BARS.finditer(told.text)}
    return bool(counts - {len(told.music.bars_in(told.spans))})


def _none(told: Told, thing: Thing, first: int, around: tuple[str, str]) -> Iterator[Untrue]:
    """A thing that is said not to be there, and is in each stretch that may be meant."""
    if any(OF_OTHERS.search(words) or OF_LESS.search(words) for words in around):
        return
    found = [thing.count(told, stretch) for stretch in _stretches(told, first, thing.last)]
    if found and all(each.fewest > 0 for each in found):
        yield _there(told, first, thing, found[0])


def _there(told: Told, first: int, thing: Thing, found: Found) -> Untrue:
    at = format_position(told.music.score, found.onset) if found.onset is not None else ""
    what = f"there is a {thing.noun} at {at}" if thing.noun != "one" else f"there is one at {at}"
    return Untrue(first, thing.last, what, "say it without, or of bars that have none", target=at)


def _number(
    told: Told, thing: Thing, first: int, number: re.Match[str], around: tuple[str, str]
) -> Iterator[Untrue]:
    """A number of things that is not what there is in any stretch that may be meant."""
    said = 1 if LONE.search(number["count"]) else few_of(number["count"])
    strict = bool(
        number["strict"] or LONE.search(number["count"]) or ENDS_THERE.search(told.text, thing.last)
    )
    is_name = said > 1 and not PLURAL.search(told.text[thing.first : thing.last])  # "the five chord"
    if is_name or AWAY.match(told.text, thing.last) or any(map(OF_OTHERS.search, around)):
        return
    wide = [tuple(told.spans_at(first)), tuple(told.spans)]
    most = [thing.count(told, stretch) for stretch in wide if stretch]
    if most and all(each.most < said for each in most):
        yield Untrue(first, thing.last, count_said(most[0].most), SAY_HOW_MANY)
        return
    if not strict or any(map(OF_LESS.search, around)):
        return
    found = [thing.count(told, stretch) for stretch in _stretches(told, first, thing.last)]
    if found and all(each.fewest > said for each in found):
        yield Untrue(first, thing.last, count_said(found[0].fewest), SAY_HOW_MANY)


def _stretches(told: Told, first: int, last: int) -> list[tuple[Span, ...]]:
    """The stretches that words may be said of, each as its spans; none where that is not sure."""
    spans = bars_meant(told, first, last)
    if not spans or any(place.level == "beat" for place in told.places):
        return []
    found = [tuple(spans)]
    for place in told.places:
        if place.level == "chord" and place.test is not None:
            over = [note for note in told.notes_in(spans) if place.test(note, told.music)]
            found += [(Span(over[0].onset, over[-1].onset + over[-1].held),)] if over else []
    for shown in told.shown:
        if len(shown.notes) >= FEWEST and any(overlap(shown.span, span) > 0 for span in spans):
            found.append((hull([shown.span]),))
    return found
