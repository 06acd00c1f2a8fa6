"""What bars are said to do each, both, or the one and not the other: "both fall silent on four", "it is 11 that rests".

Common practice, no source. What is said of one bar may be denied of another that it is set beside: "unlike bar 5".
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bar_does import Doing, doings_in
from lessonmaker.script.plain.crosscheck.bars_told import Named, bars_told, pair_told, shown_bars
from lessonmaker.script.plain.crosscheck.bearers import NAMES, bears
from lessonmaker.script.plain.crosscheck.told import Told, Untrue

__all__ = ["bars_set_apart"]

ALL = pattern_of(r"\b(?:both|each|either|all|every)\b")
NEITHER = pattern_of(r"\b(?:neither|none)\b")
IN_EACH = pattern_of(r",? in (?:both|each|either)\b|,? (?:both|each|every) times?\b")
NOT = pattern_of(r"\b(?:no|not|never|neither|nor|hardly|without|isn't|doesn't|don't)\b|n't\b")
UNLIKE = pattern_of(
    r"\bunlike(?: in)? $|\bas opposed to(?: in)? $|\bin contrast to(?: in)? $|\bwhere $(?<=unlike where )"
)
LIKE = pattern_of(
    r"(?<!un)\b(?:just |exactly |much )?like(?: in)? $|\b(?:same as|as in|so does|so do|so is|so did"
    r"|and so has|the way|just as|exactly as)(?: in)? $"
)
TOO = pattern_of(
    r"(?:'s| does| did| is| has| do)?,? (?:too|as well|likewise)\b| (?:did|does)(?= ?[.,;!]?\W*$)"
)
# What is said next of the same bar: "nine, which fills every beat".
GOES_ON = pattern_of(r",?(?: (?:which|that|who|and|it|then|just|also|in turn|\w+ly))*,? ?")
# What may be many, or do something, in place of the bars.
OTHER_THINGS = pattern_of(
    r"\b(?:phrases?|lines|runs|figures|groups|statements|halves|voices|hands|players|chords|melodies"
    r"|arpeggios|shapes|licks)\b"
)
MOSTLY = pattern_of(
    r"\b(?:except|almost|nearly|mostly|but for|until|till|after|before|if|unless|would|could|might|half"
    r"|chords?|bass|left hand|pedal"
    r"|harmony|piano|drums)\b"
)
TODO = "say it of the bar that does"


def bars_set_apart(told: Told) -> Iterator[Untrue]:
    """What is false of one of the bars that it is said of, or true of one that is said to do otherwise."""
    named = bars_told(told)
    for doing in doings_in(told.text) if named or len(shown_bars(told)) > 1 else ():
        begin, end = told.part_of(doing.first)
        if MOSTLY.search(told.text, begin, max(end, doing.last)):
            continue
        for bar, does in _said_of(told, doing, named):
            if doing.is_so(told, bar) is (not does):
                own = f"{told.music.said(bar)} {doing.said}"
                yield Untrue(doing.first, doing.last, f"it is not so that {own}" if does else own, TODO)
                break
    yield from _without_it(told, named)
    yield from _new_ones(told)


def _said_of(told: Told, doing: Doing, named: list[Named]) -> Iterator[tuple[Span, bool]]:
    """The bars of which something is said, each with whether it does so."""
    begin = told.part_of(doing.first)[0]
    before = told.text[begin : doing.first]
    does = not NOT.search(before)
    if OTHER_THINGS.search(told.text):
        return
    if NEITHER.search(before) or ALL.search(before) or IN_EACH.match(told.text, doing.last):
        bars = list(dict.fromkeys(bar for each in named for bar in each.bars))
        bars = bars if len(bars) > 1 else list(shown_bars(told))
        if len(bars) == 2 or len(bars) == len(shown_bars(told)):
            yield from ((bar, does) for bar in bars)
        return
    own = _subjects(told, begin, doing.first, named)
    if len(own) != 1:
        return
    yield from ((bar, does) for bar in own[0].bars)
    for each in named:
        if len(each.bars) == 1 and each not in own:
            if UNLIKE.search(told.text[: each.first]):
                yield each.bars[0], not does
            elif LIKE.search(told.text[: each.first]) and (
                TOO.match(told.text, each.last) or _closes(told, each)
            ):
                yield each.bars[0], does


def _subjects(told: Told, begin: int, at: int, named: list[Named]) -> list[Named]:
    """The bars that words at a character of a part are said of: the only ones, or what goes on is said of."""
    before = [each for each in named if each.first < at and not _is_beside(told, each)]
    inside = [each for each in before if each.first >= begin]
    if not inside and before and GOES_ON.fullmatch(told.text, before[-1].last, at):
        inside = before[-1:]
    single = [each for each in inside if len(each.bars) == 1]
    return single or inside


def _is_beside(told: Told, each: Named) -> bool:
    """Whether a bar is only what another is like, or unlike."""
    before = told.text[: each.first]
    return UNLIKE.search(before) is not None or LIKE.search(before) is not None


def _closes(told: Told, each: Named) -> bool:
    return (
        pattern_of(r"\W|$").match(told.text[each.last :]) is not None
        and told.text[each.last : each.last + 1] != " "
    )


# A note that only one of them has -------------------------------------------------------------------------

LACKS_IT = pattern_of(
    r"\b(?:avoids?|lacks?|skips?|omits?|drops|loses|leaves out|does without|hasn't got|doesn't have"
    r"|doesn't touch|never (?:touches|plays|has)"
    r"|goes without|is without) (?:it|that(?: note)?|them|one)\b"
    r"|\b(?:it|that(?: note)?)(?:'s| is| has)(?: (?:completely|suddenly|already|now))? (?:vanished|gone"
    r"|disappeared|missing|absent|nowhere|left out)\b"
)


def _without_it(told: Told, named: list[Named]) -> Iterator[Untrue]:
    """A note that a bar is said to lack, and that it has."""
    for match in LACKS_IT.finditer(told.text):
        begin, end = told.part_of(match.start())
        claims = [claim for claim in told.named if claim.kind in NAMES and claim.last <= match.start()]
        own = [
            each
            for each in named
            if each.first < match.start() and told.part_of(each.first)[0] >= _since(told, begin)
        ]
        own += [each for each in named if match.end() <= each.first < end]
        if not claims or not own or len(own[-1].bars) != 1:
            continue
        there = [
            note
            for note in told.music.struck_between(own[-1].bars[0].start, own[-1].bars[0].end)
            if bears(note, claims[-1], told)
        ]
        if there and claims[-1].last <= own[-1].first:
            at = told.music.position(there[0])
            yield Untrue(*match.span(), f"it is there, at {at}", "say which bar has it", at, meant=True)


def _since(told: Told, begin: int) -> int:
    """Where the clause begins of which a part is the end, after an aside between commas."""
    before = pattern_of(r"[;:][^;:]*$|\b(?:but|while|whereas)\b[^;:]*$").search(told.text[:begin])
    return before.start() if before is not None else begin


NEW_ONES = pattern_of(
    r"\b(?:adds?|brings?(?: in)?|introduces?|throws? in|gets?|has|gains?)(?: (?:in|us))? (?:an?|one|some"
    r"|another|the first) (?:brand[- ])?"
    r"(?:new|extra|additional|further|other) (?:pitch|note|tone)(?:es|s)?\b"
)


def _new_ones(told: Told) -> Iterator[Untrue]:
    """A pitch that a bar is said to have besides those of the bar before, and has not."""
    for match in NEW_ONES.finditer(told.text):
        pair = pair_told(told, match.start(), -1)
        if pair is None:
            continue
        own, others = (
            {note.sounding.midi for note in told.notes_in([bar])} for bar in (pair.one, pair.other)
        )
        if own and own <= others:
            what = f"{told.music.said(pair.one)} has no note that {told.music.said(pair.other)} has not"
            yield Untrue(*match.span(), what, "say what they share")
