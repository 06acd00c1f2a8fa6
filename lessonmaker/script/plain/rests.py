"""Where a line is said to rest, and for how long: "two beats of silence", "a half rest", "bar ten is empty".

Common practice, no source. A rest that goes on over a bar line may be counted as a whole, or as far as a bar has it.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.position import Span, format_position, hull, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.durations import FEW, QUANTITY, count_said, few_of, length_said, quantity_of
from lessonmaker.script.plain.lengths import ENDS_ON, STARTS_ON
from lessonmaker.script.plain.passage import (
    A_BEAT,
    NUMBERS,
    UNKNOWN,
    Passage,
    Saying,
    Verdict,
    beat_named,
    said,
)
from lessonmaker.script.plain.verbs import STARTING, inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = ["RESTS"]

SILENCE = (
    r"(?:rests?|silence|nothing(?:ness)?(?: at all)?|air|space|breathing (?:space|room)|breath|quiet|pause"
    r"|gap|hole|break"
    r"|breather|emptiness|daylight|time off|stillness|room)"
)
EMPTY = (
    r"(?:complete |total |pure |empty |sheer |utter |absolute |plain |clear |just |blessed |dead |fresh )*"
)
RESTING = inflected(
    "rest, wait, sit out, sit it out, lay out, pause, break off, drop out, keep quiet, stay quiet, be "
    "quiet, keep silent, "
    "fall silent, be silent, stay silent, stop, stop playing, breathe, play nothing, say nothing, take a "
    "break, take time off, "
    "hold back, leave a gap"
)
FOR = r"(?:,? (?:for|out|a good|about|just|only|another|exactly|all of|off|it|out for))*"
LAST = (
    r"(?:of|for|lasting|that lasts|that's|that is|which is|which lasts|is|lasts"
    r"|takes(?: up)?|gets|worth)(?: (?:just|only|a good|exactly|about))*"
)
AFTERWARDS = (
    r"(?:off|out(?! of)|to breathe|to (?:get|catch|take) (?:\w+ )?(?:breath|air)|to (?:rest|recover|spare)"
    r"|with the horn down"
    r"|with no notes?|without (?:a note|playing|a sound|notes|anything)|where nobody plays"
    r"|where nothing (?:happens|sounds)"
    r"|(?:are|is|stay|go|goes|pass|passes) (?:empty|silent|by(?! without a (?:break|gap|rest))|free|blank)"
    r"|empty|silent|go by(?! without a (?:break|gap|rest))|wide"
    r"|clear of notes|of not playing)"
)
RESTS_OF_A_VALUE = (
    (r"whole", Fraction(4)),
    (r"half|minim", Fraction(2)),
    (r"quarter|crotchet", Fraction(1)),
    (r"eighth|quaver", Fraction(1, 2)),
)
NAMED = "|".join(name for name, _ in RESTS_OF_A_VALUE)
EIGHTH = Fraction(1, 2)  # quarters of the shortest rest that counts as one


def _parts(rest: Span, passage: Passage) -> list[Fraction]:
    """How long a rest may be said to be: as a whole, and as far as the passage, or a bar of it, has it."""
    whole = rest.end - rest.start
    if not passage.named:
        bars = [
            bar.end - bar.start for bar in passage.bars if rest.start <= bar.start and bar.end <= rest.end
        ]
        return [whole, *bars]
    return [whole, overlap(rest, passage.span), *_in_bars(rest, passage)]


def _in_bars(rest: Span, passage: Passage) -> list[Fraction]:
    """How much of a rest each bar has."""
    return [overlap(rest, Span(bar.start, bar.end)) for bar in passage.bars]


def _part_of(rest: Span, length: Fraction, passage: Passage) -> Span:
    """The part of a rest that is so long: the whole of it, or what of it a bar has."""
    bars = [Span(max(rest.start, bar.start), min(rest.end, bar.end)) for bar in passage.bars]
    return next((each for each in (rest, *bars) if each.end - each.start == length), rest)


def _near(passage: Passage) -> list[Span]:
    """The rests of a passage, and of a phrase the one that follows it."""
    every = [rest for rest in _all(passage) if rest.start == passage.span.end]
    return passage.rests or every


def _all(passage: Passage) -> list[Span]:
    from_start = Passage(
        passage.music, Span(passage.music.score.bars[0].start, passage.music.score.bars[-1].end)
    )
    return from_start.rests


def _at_an_edge(length: Fraction, passage: Passage, side: int) -> Verdict:
    """The rest of a length with which a passage is said to begin or end; false where none does."""
    rests = [rest for rest in passage.rests if overlap(rest, passage.span) >= EIGHTH]
    edges, whole = (passage.span.start, passage.span.end), passage.named and not passage.tests
    there = [rest for rest in rests if (rest.start <= edges[0] if side == 0 else rest.end >= edges[1])]
    if any(
        length == overlap(rest, passage.span) or (not whole and length in _parts(rest, passage))
        for rest in there
    ):
        return Verdict(span=_part_of(there[0], length, passage))
    of_piece = side == 0 and edges[0] <= passage.music.score.bars[0].start
    if passage.tests or not (passage.named or of_piece):
        return UNKNOWN
    if there:
        return Verdict(is_there=_is_long(there[0], passage), is_sure=True)
    does = "begins" if side == 0 else "ends"
    return Verdict(is_there=f"it {does} with no rest", is_sure=True)


def _is_long(rest: Span, passage: Passage) -> str:
    """How long a rest is, in words."""
    return f"there is a rest of {length_said(rest.end - rest.start, passage.bars[0].metre)}"


def _where_said(length: Fraction, passage: Passage, before: str) -> Verdict:
    """The rest of a length, at the beginning or the end where the words before it say so."""
    if STARTS_ON.search(before) or ENDS_ON.search(before):
        return _at_an_edge(length, passage, 0 if STARTS_ON.search(before) else 1)
    return _of_length(length, passage)


def _of_length(length: Fraction, passage: Passage) -> Verdict:
    """The rest of a length; false where those that are there have others."""
    if not passage.bars:
        return UNKNOWN
    rests = _near(passage)
    fitting = [rest for rest in rests if length in _parts(rest, passage)]
    fitting = [rest for rest in fitting if rest.end - rest.start == length] or fitting
    if passage.after is not None:
        fitting = [rest for rest in fitting if rest.start >= passage.after] or fitting
    if len(fitting) == 1 or (fitting and passage.after is not None):
        return Verdict(span=_part_of(fitting[0], length, passage))
    if fitting:
        return UNKNOWN
    whole = [rest for rest in rests if rest.end - rest.start >= EIGHTH]
    if not whole:
        known = passage.named and not passage.tests  # a rest is over no chord
        return Verdict(is_there="there is no rest") if known else UNKNOWN
    if passage.named or (len(whole) == 1 and len(passage.bars) <= 2):
        return Verdict(is_there=_is_long(whole[0], passage), is_sure=True)
    return UNKNOWN


def _so_long(match: re.Match[str], passage: Passage) -> Verdict:
    quantity = next(
        match[name] for name in ("quantity", "quantity2", "quantity3", "quantity4") if _has(match, name)
    )
    length = quantity_of(quantity.replace("-", " "), passage.bars[0].metre)
    return _where_said(length, passage, match.string[: match.start()])


def _has(match: re.Match[str], name: str) -> bool:
    return bool(match.groupdict().get(name))


def _of_value(match: re.Match[str], passage: Passage) -> Verdict:
    """A rest named as it is printed: "a half rest", "a dotted quarter rest"."""
    length = next(length for name, length in RESTS_OF_A_VALUE if pattern_of(name).fullmatch(match["value"]))
    length *= Fraction(3, 2) if match["dotted"] else 1
    printed = any(length in _in_bars(rest, passage) for rest in passage.rests)
    before = match.string[: match.start()]
    if printed or not passage.named or STARTS_ON.search(before) or ENDS_ON.search(before):
        return _where_said(length, passage, before)
    return Verdict(is_there="there is no such rest")


def _a_rest(match: re.Match[str], passage: Passage) -> Verdict:
    """A rest that is there, whatever its length."""
    behind = match["breathes"] and "after" in match["breathes"]
    rests = [
        rest
        for rest in (replace(passage, tests=()) if behind else passage).rests
        if rest.end - rest.start >= EIGHTH
    ]
    if match["opens"]:
        rests = [rest for rest in rests if rest.start <= passage.span.start]
    if len(rests) == 1:
        return Verdict(span=rests[0])
    if rests or not passage.named:
        return UNKNOWN
    if passage.tests and match["breathes"]:
        return UNKNOWN
    none = "there is none there" if passage.tests else "there is none"
    return Verdict(is_there=none if not match["opens"] else "there is a note at the beginning")


def _silent(match: re.Match[str], passage: Passage) -> Verdict:
    """A passage in which nothing is struck or held."""
    notes, rests = passage.notes, passage.rests
    if not notes and rests:
        return Verdict(
            span=Span(max(rests[0].start, passage.span.start), min(rests[-1].end, passage.span.end))
        )
    mostly = [rest for rest in rests if 2 * (rest.end - rest.start) >= passage.span.end - passage.span.start]
    if MOST_OF.search(match.string[: match.start()]) and mostly:
        return Verdict(span=mostly[0])
    partly = not passage.tests and IN_PART.search(A_REST_ALONE.sub("", match.string))
    if partly or not notes or not passage.named:
        return UNKNOWN
    return Verdict(is_there=count_said(len(notes), "note"))


A_REST_ALONE = pattern_of(
    r"\ban? (?:long |whole )?rest(?=[,.;:!?]|$)|\bfrom (?:start|beginning|end|beat one) to (?:finish|end)\b"
)
MOST_OF = pattern_of(r"\b(?:most|much|half|the better part) of (?:\w+ ){1,3}$|\b(?:mostly|largely) $")
IN_PART = pattern_of(
    r"\b(?:most|much|mostly|largely|rest|remainder|half|after|from|beats?|until|till|then|last|first|except|apart"
    r"|but for|almost|nearly)\b"
)


def _left_out(match: re.Match[str], passage: Passage) -> Verdict:
    """A beat of a bar on which nothing is struck."""
    beat = beat_named(match["beat"], passage)
    if beat is None or len(passage.bars) != 1 or not passage.named:
        return UNKNOWN
    bar = passage.bars[0]
    start = bar.start + beat * bar.metre.unit_quarters
    struck = passage.music.struck_at(start)
    if struck:
        return Verdict(is_there=f"there is a note at {format_position(passage.music.score, start)}")
    rests = [rest for rest in passage.rests if rest.start <= start < rest.end]
    return Verdict(span=rests[0]) if rests else UNKNOWN


BEATS_SAID = ("beat", "second", "nth", "on", "at", "out")


def _beats_rest(match: re.Match[str], passage: Passage) -> Verdict:
    """Beats of a bar that are said to be rests."""
    beats = [beat_named(match[name], passage) for name in BEATS_SAID if match[name]]
    if len(passage.bars) != 1 or None in beats:
        return UNKNOWN
    bar, unit = passage.bars[0], passage.bars[0].metre.unit_quarters
    spans = [Span(bar.start + at * unit, bar.start + (at + 1) * unit) for at in beats if at is not None]
    for each in spans:
        sounding = [
            note
            for note in passage.music.struck
            if note.onset < each.end and note.onset + note.held > each.start
        ]
        on_it = [note for note in sounding if note.onset <= each.start]
        if sounding and not on_it:
            return UNKNOWN  # a rest on the beat itself
        if on_it:
            at = format_position(passage.music.score, each.start)
            does = "there is a note" if on_it[-1].onset == each.start else "a note is held"
            return Verdict(is_there=f"{does} at {at}") if passage.named else UNKNOWN
    return Verdict(span=hull(spans))


def _then_silence(_: re.Match[str], passage: Passage) -> Verdict:
    """The rest of a bar, after its last note."""
    last = passage.notes[-1] if passage.notes else None
    if last is None:
        return UNKNOWN
    rests = [
        rest
        for rest in passage.rests
        if rest.start == last.onset + last.held and rest.end >= passage.bars[-1].end
    ]
    if rests:
        return Verdict(span=Span(rests[0].start, min(rests[0].end, passage.span.end)))
    return Verdict(is_there="the line goes on to the end") if passage.named else UNKNOWN


def _no_rest(_: re.Match[str], passage: Passage) -> Verdict:
    """No rest at all: there is nothing to light."""
    rests = [rest for rest in passage.rests if rest.end - rest.start >= EIGHTH]
    return (
        Verdict(is_there=f"there is a rest at {format_position(passage.music.score, rests[0].start)}")
        if rests and passage.named
        else UNKNOWN
    )


def _no_breath(match: re.Match[str], passage: Passage) -> Verdict:
    """No place to breathe: all that is played without one."""
    denied = _no_rest(match, passage)
    return denied if denied.is_there or passage.rests else Verdict(passage.notes)


def _bars_without(match: re.Match[str], passage: Passage) -> Verdict:
    """So many bars between the first note and the last of which nothing rests."""
    count = few_of(match["count"] or match["count2"])
    notes, bars = passage.notes, passage.bars
    ends = (notes[0].bar, notes[-1].bar) if notes else ()
    if count != len(bars) or passage.tests or ends != (bars[0].index, bars[-1].index):
        return UNKNOWN
    first, last = passage.notes[0].onset, passage.notes[-1].onset
    inside = [rest for rest in passage.rests if first < rest.start < last and rest.end - rest.start >= EIGHTH]
    if inside:
        at = format_position(passage.music.score, inside[0].start)
        return Verdict(is_there=f"there is a rest at {at}", is_sure=True)
    return Verdict(span=passage.span)


def _longest(_: re.Match[str], passage: Passage) -> Verdict:
    """The longest rest of the piece, where it is in sight."""
    every = _all(passage)
    longest = [
        rest for rest in every if rest.end - rest.start == max(each.end - each.start for each in every)
    ]
    seen = [rest for rest in longest if overlap(rest, passage.span) > 0]
    if len(seen) == 1:
        return Verdict(span=seen[0])
    if not passage.named or not longest or seen:
        return UNKNOWN
    return Verdict(
        is_there=f"there is none as long as that at {format_position(passage.music.score, longest[0].start)}"
    )


def _rests(match: re.Match[str], passage: Passage) -> Verdict:
    """So many rests: false where there are fewer places, or not as many beats or parts of one to print them on."""
    if not passage.named or passage.tests:
        return UNKNOWN
    parts = [part for rest in passage.rests for part in _in_bars(rest, passage) if part >= EIGHTH]
    count, most = few_of(match["count"]), sum(int(part / EIGHTH) for part in parts)
    if len(parts) <= count <= most:
        return UNKNOWN
    return Verdict(is_there=count_said(len(parts), "rest"))


MINDING = inflected(
    "note, mind, observe, respect, count, use, see, hear, watch, enjoy, mark, keep, honour, honor, savour, savor, "
    "miss, skip, forget, ignore, trust, love, like, feel, cut, shorten, give, rush"
)
# "The rest" by itself is what is left.
OF_A_REST = (
    r"(?:(?:there(?:'s| is)|has|have|get|got|comes|leaves|brings|gives us|holds|with|,|here(?:'s| is| comes))"
    r" (?:an?|that|your|our)"
    r"(?: (?:little|short|small|long|quick|tiny|proper|real|nice|written|good|single|brief))*"
    r"|(?:an?|the|that|this|its) (?:(?:little|short|small|long|quick|tiny|written|brief|first|last|opening) )*"
    r"(?:little|short|small|long|quick|tiny|written|brief|first|last|opening)"
    rf"|(?:{MINDING}|during|in|through) (?:the|that|this|its)) "
)
A_REST = rf"(?:{OF_A_REST})(?:rest|pause|silence)"
BEAT = (
    rf"{A_BEAT}"
    rf"|(?:{'|'.join(NUMBERS)})(?= (?:empty|silent|out|free|open|alone)\b)"
)
NO_REST = (
    r"(?:(?:is|are|was|were|has|have)(?:n't| not)(?: got)? (?:an?(?: single)? |any |one |much )?(?:rests?"
    r"|gaps?|pauses?|breaks?|silence)"
    r"|(?:no|not a|not one|never a|nary a|zero)(?: single)? (?:rests?|gaps?|pauses?|holes?|breaks?)"
    r"|without (?:an? |any |one |a single )?(?:rests?|break|pause|gap|interruption|a break)"
    r"|never (?:stops|pauses|rests|breaks off|stops for breath))"
)
NO_BREATH = (
    r"(?:no|little|not much|nowhere|never a|without a|hardly a|hardly any|no real) (?:chance|place|time"
    r"|room|opportunity|spot|moment|space)? ?(?:to (?:breathe|take a breath|catch (?:your|our|a) breath"
    r"|rest)|for (?:a breath|breath|air|breathing))"
    r"|(?:nobody|no one|nothing|it never|the line never|he never|she never) (?:ever )?lets? (?:you|us"
    r"|me) (?:breathe|rest|stop|come up for air)"
    r"|(?:never|doesn't|don't|does not) (?:stops?|pauses?|comes?|get) (?:up )?(?:for|to take|to draw"
    r"|a) (?:breath|air|a breath)"
)
# "Six bars without a breath", "not one rest in six bars".
BREATH = r"(?:rests?|breaths?|breathers?|breaks?|pauses?|gaps?|silence|(?:chance|place|room|time) to (?:breathe|rest))"
BARS_WITHOUT = (
    rf"(?P<count>{FEW}) (?:full |solid |straight |whole )?(?:bars|measures)(?: here| straight| in a row| on end)?,?"
    rf" (?:without|with no|and (?:no|not|never))(?: so much as| even)?(?: an?| one| any)?(?: single)? {BREATH}"
    rf"|(?:no|not an?|not one|never an?|without an?)(?: single)? {BREATH} (?:for|in|over|through)(?: all| the| these)?"
    rf" (?P<count2>{FEW}) (?:full |solid |straight |whole )?(?:bars|measures)"
)
A_WHOLE_BAR = rf"(?:(?:bar|measure) {NUMBER}|(?:this|that|the) (?:whole )?(?:bar|measure|one))"
SIT_OUT = inflected("sit out, lay out for, lay out in, rest through, rest all through, sit through, wait out")
RESTS: tuple[Saying, ...] = (
    Saying(said(BARS_WITHOUT), _bars_without, by_bar=False),
    Saying(
        said(
            r"(?:(?<!the )(?<!these )(?<!those )|(?=\w+ rests in (?:bar|measure|this)\b))"
            rf"(?<!first )(?<!last )(?<!bar )(?<!measure )(?P<count>{FEW}) "
            r"(?:(?:little|short|small|separate|tiny|different|long|written) )*rests"
            r"(?! (?:of|from|later)\b)"
        ),
        _rests,
        denial=True,
        by_bar=False,
    ),
    Saying(said(rf"{NO_REST}(?! (?:is|until|till|before|can|will)\b)"), _no_rest, denial=True, by_bar=False),
    Saying(said(rf"{NO_BREATH}(?! (?:until|till|before)\b)"), _no_breath, denial=True, by_bar=False),
    Saying(
        said(
            rf"(?P<quantity>{QUANTITY})(?:'s?|s')?(?: long"
            rf"| wide)?(?: worth)?(?:,? of)? {EMPTY}{SILENCE}(?! (?:in|for) the (?:bass|piano|band)\b)"
            rf"|(?P<quantity2>{QUANTITY}) {AFTERWARDS}"
            rf"|(?:a |the |that |this |our |your )?(?:\w+ )?{SILENCE}(?:,? (?:here"
            rf"|there)| in (?:(?:this|that|the) (?:bar|measure)|(?:bar|measure) {NUMBER}))?,? {LAST}"
            rf" (?P<quantity3>{QUANTITY})"
            rf"|(?<!n't )(?<!never )(?<!not ){RESTING}{FOR} (?P<quantity4>{QUANTITY})"
        ),
        _so_long,
        aside=True,
    ),
    Saying(
        said(rf"(?:an? )?(?P<dotted>dotted[ -])?(?P<value>{NAMED})(?:[ -]note)?(?:'s)?[ -]rest"),
        _of_value,
        aside=True,
    ),
    Saying(
        said(
            rf"(?:the |our |your )?(?:longest|biggest|widest|largest|greatest) (?:{SILENCE})(?: (?:in"
            r"|of) (?:the|this) (?:\w+ )?(?:piece|etude|tune|chorus|solo|thing|song|page))?"
        ),
        _longest,
    ),
    Saying(
        said(
            rf"(?P<opens>{STARTING} (?:with|on|after) )(?:an?|its|the) (?:\w+ )?(?:rest|silence|pause"
            r"|breath)|(?P<breathes>(?:we|you|i|they|it|everybody|everyone|phrase|line) (?:all )?(?:breathes?"
            r"|takes? (?:a|our|your|my) breath) (?:on|after|between)(?! bars?))"
            rf"|{A_REST}(?!.*\b(?:beats?|bars?|measures?|eighths?|quarters?) (?:of )?{SILENCE})(?! (?:of"
            rf"|for|from|stop|is|are|was|has|goes|comes|will|follows?|stays?|later|like|as|home|if)\b)"
            r"|(?:we|you|i|they|it|the line) (?:all )?(?:rests?|pauses?)(?= (?:on|at|for|in) (?:the |beat "
            r"|bar |measure ))(?! on (?:the |a |its )?(?:\w+ )?(?:root|third|fifth|seventh|ninth|eleventh"
            r"|thirteenth|fourth|sixth|note))"
        ),
        _a_rest,
        aside=True,
    ),
    Saying(
        said(
            r"(?:(?:nothing|no notes?|not a note)(?: happens| sounds| is played| lands| falls)? on"
            r"|leav(?:es?|ing)(?: out)?|skips?|misses(?: out)?|passes over|stays? off|keeps? off"
            r"|avoids?|ducks|dodges|waits? (?:through|out|for)|sits? out|lets?"
            rf"|steers clear of) (?:the )?(?P<beat>{BEAT})(?: (?:empty|out|free|open|silent|alone"
            r"|go(?: by)?|pass))*"
        ),
        _left_out,
        aside=True,
    ),
    Saying(
        said(
            rf"(?:(?:the )?beats? (?P<beat>{'|'.join(NUMBERS)})(?:(?:,? and|, |-| through| to) (?P<second>"
            rf"{'|'.join(NUMBERS)}))?|the (?P<nth>(?:{ORDINAL}|last|final) beat|down-?beat))(?:'s| is| are)"
            r"(?: (?:just|only|simply|a plain|nothing but|all))* (?:an? )?(?:\w+ )?(?:rests?|silence|silent"
            r"|empty|blank"
            r"|tacet)(?=[,.;:!?]|$| (?:in|and|so|here|for|of|again)\b)"
            rf"|(?:the |{OF_A_REST})(?:rest|pause|silence) (?:on|at) (?:the )?(?P<on>{BEAT}|{'|'.join(NUMBERS)})"
            rf"|(?:on|at) (?:the )?(?P<at>{BEAT})(?:,? (?:of|in) (?:bar|measure) [\w-]+)?,? (?:you|we|i)"
            rf" (?:do not|don't) "
            rf"(?:play|sound|do anything)|(?:don't|do not|never) (?:come in|play|enter|start) (?:on|at)"
            rf" (?:the )?(?P<out>{BEAT})"
            r"(?=[,;:]? (?:that's|it's|because|since|which is|as it's))"
        ),
        _beats_rest,
        aside=True,
    ),
    Saying(
        said(
            r"(?:and |then )?(?:the (?:rest|remainder)(?: of (?:it|the bar|the measure|that bar"
            r"|this bar))? (?:is|are|stays?)(?: (?:just|all|only|pure|complete|nothing but))* (?:silence"
            r"|silent|rests?|empty|air|quiet|nothing)|then (?:nothing|silence)|after (?:that"
            r"|which),? (?:nothing|silence|quiet)|nothing (?:after that|more)(?=[,.;:!?]|$)|half (?:a"
            r"|the) (?:bar|measure) of (?:nothing|silence|rest))"
        ),
        _then_silence,
    ),
    Saying(
        said(
            r"(?:is|are|'s|stays?|remains?|goes|falls|left)(?: (?:completely|totally|all|quite|just"
            r"|entirely|perfectly|utterly|absolutely|simply|then|left|fully))* (?:empty|silent|tacet|blank"
            r"|a blank|silence|nothing but (?:rests?|silence|air)|only (?:rests?|silence)"
            r"|(?:(?<=just )|(?<=only )|(?<=simply ))an? (?:long |whole )?rest"
            r"|one long rest"
            r"|rests? from (?:start|end) to (?:finish|end)|all rests?)"
            r"(?: (?:throughout|all through|all the way(?: through)?|the whole (?:time|way|bar|measure)"
            r"|from (?:start|beginning|beat one) to (?:finish|end)))?"
            r"(?=[,.;:!?]|$| (?:and|here|for|so|in th\w+ bar)\b)"
            r"|(?:is|are|'s) (?:an? )?(?:\w+ )?rests? from (?:start|end|beginning) to (?:finish|end)"
            rf"|(?:no notes?|not a (?:single )?note)(?: at all)?(?= in (?:(?:bar|measure) {NUMBER}|this"
            rf" bar)(?:[,.;:!?]|$))"
            r"|(?:has|have|contains?|holds?) (?:nothing|no notes?)(?: (?:in (?:it|them)|at all|whatsoever"
            r"|written))?(?=[,.;:!?]|$)"
            r"|(?:nothing|not a (?:single )?note|no notes?)(?: at all)? (?:happens|sounds|is played|(?:is )?written"
            r"|gets played|to play)"
            rf"|(?:(?:we|you|i|everybody|everyone|it) (?:all )?)?{SIT_OUT} {A_WHOLE_BAR}"
            r"(?: (?:out|off|altogether|entirely|completely|empty|silent|free))*"
            rf"|(?:have|get|take|gives? (?:you|us)) {A_WHOLE_BAR} (?:off|free)"
            r"|(?<!thing )(?<!one )(?<!note )nobody plays(?=[,.;:!?]|$|"
            rf" (?:here|a note|in (?:bar|measure|this|the) )\b)"
        ),
        _silent,
    ),
)
