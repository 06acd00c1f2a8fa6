"""One thing said to be higher or lower than another: bars, their first or last notes, their peaks, named notes.

"Nine begins a third below the note where eight left off", "bar 4 never rises above the top note of bar 3". False only
where no notes that may be meant lie so. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bar_ends import (
    PREVIOUS,
    WHOLE,
    end_at,
    end_near,
    ends_of_all,
    notes_at_end,
    previous_notes,
    windows,
)
from lessonmaker.script.plain.crosscheck.bars_told import MODEL, Pair, bars_told, model_and_copy, pair_told
from lessonmaker.script.plain.crosscheck.bearers import NAMES, bears
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.ways import OTHER_SUBJECT
from lessonmaker.script.plain.intervals import INTERVAL, is_as_far, size_said
from lessonmaker.script.plain.verbs import ENDING, STARTING, inflected

__all__ = ["heights_compared"]

FAR = rf"(?:half[- ]step|whole[- ]step|half a step|semitone|whole[- ]tone|step|(?:minor |major )?second|{INTERVAL})"
CREEPING = inflected("creep, move, go, shift, step, inch, climb, rise, drop, sink, fall, slide, slip, come")
A_LITTLE = (
    r"(?:even|still|much|far|a (?:bit|little|touch|good deal|lot)|slightly|way|well|any|no|all|entirely"
    r"|once more"
    r"|again)"
)
# How one thing lies beside another: with how far, or the way alone.
LIES = pattern_of(
    rf"\b(?:(?:by )?(?:an?|one|another|exactly an?|just an?|only an?)(?: (?:whole(?! step| tone)|full|good"
    rf"|perfect(?! {FAR})))? (?P<far>{FAR})"
    rf"(?: (?:further|too))? )?(?:{A_LITTLE} )*(?P<way>higher|lower|deeper|above|below|beneath"
    rf"|under(?:neath)?)\b"
    rf"(?: by (?:an?|one) (?P<far2>{FAR}))?"
    rf"|\b(?:{CREEPING})(?: \w+ly)? (?P<moved>up|down)(?:wards?)? (?:by )?(?:an?|one) (?P<far3>{FAR})"
)
DOWN = ("down", "lower", "deeper", "below", "beneath", "under", "underneath")
COMPARATIVE = ("higher", "lower", "deeper")
# What only sounds like a comparison: "the lower neighbour", "higher up", "each one lower".
NO_COMPARISON = pattern_of(
    r" (?:neighbou?rs?|octaves?|voices?|parts?|strings?|registers?|structures?|extensions?|chords?|tones?"
    r"|positions?|end|half|halves"
    r"|third|fourth|fifth|sixth|seventh|ninth|reaches|regions?|lines?|notes? of (?:the|this|that|each)|two"
    r"|three|of the two|one of"
    r"|case|gear|volume|tempo|dynamic)\b"
)
EACH = pattern_of(r"\b(?:each|every|always|one by one|successively|steadily|gradually|progressively|both)\b")
DENIED = pattern_of(r"\b(?:no|not|never|nothing|neither|hardly|nowhere|without)\b|n't\b")
TOP_OF = pattern_of(
    r"\b(?:peaks?|tops? out|climbs?|reach\w*(?: up)?|rises?|soars?|gets?|goes|shoots?|stretch\w*)(?: \w+)? ?$"
)
LOW_OF = pattern_of(
    r"\b(?:dips?|sinks?|bottoms? out|digs?|reach\w* down|falls?|gets?|goes|drops?|plung\w+)(?: \w+)? ?$"
)
THAN = pattern_of(r" (?:than|as)\b|,? compared (?:to|with)\b")
ANY_NOTE = pattern_of(r"\b(?:anything|everything|any|all|every note)\b")
GOES_BACK = pattern_of(
    r"^\W*(?:and |but |so |then |just |only |which is |that's |it's |that is |it is |it |which |this time "
    r"|now |lies |sits |is )*$"
)
# Where something is come from: "approached from a step above".
APPROACH = pattern_of(
    r"\b(?:approach\w*|enclos\w+|surround\w*)\b[^;:]{0,40}$|\bfrom (?:an? |one |both |half |a whole )?$"
)
# What moves from one bar to the other, and not within one: "the peak creeps up by a step".
AN_END = pattern_of(
    r"\b(?:peaks?|ceiling|summit|high point|low point|floor|climax|(?:top|bottom|highest|lowest|first|last|starting"
    r"|opening|closing|final) (?:note|pitch|tone|point))(?: \w+)? ?$"
)
# Not beside another bar: "three ends higher than it began".
THAN_ITSELF = pattern_of(
    rf" than (?:it|we|you|the (?:bar|line|phrase))(?: had| first)? (?P<end>{STARTING}|{ENDING})\b(?! (?:in|bar)\b)"
)
CLAUSE = pattern_of(r"[^,;:]*")
THAN_BEFORE = pattern_of(r" than (?:it (?:did|was) )?(?:(?:the )?(?:first|last) time|before|earlier)\b")
MORE_THAN = pattern_of(r" (?:\w+ ){0,3}than\b")
OTHERS = pattern_of(rf"\b{OTHER_SUBJECT.pattern}\b")
# A note that is named is gone to: "drops a third lower, to E".
LEADS_TO = pattern_of(r",? (?:to|onto|into|on) (?:the |an? )?(?:(?:high|low) )?[a-g](?![\w'])")
# What something lies beside: "above the note", "below where".
SOMETHING = pattern_of(r" (?:the|that|where|what|its?|them|a|an|any|this|bar)\b")
NEAR = 12  # characters between a way and what it is counted from
SAY = "say how they lie"


@dataclass(frozen=True)
class Lying:
    """What is said of how things lie: `way` is 1 or -1, `far` an interval or nothing."""

    way: int
    far: str
    denied: bool

    def fits(self, one: Note, other: Note) -> bool:
        """Whether the one note lies so beside the other."""
        apart = (one.sounding.midi - other.sounding.midi) * self.way
        if self.denied:
            return apart <= 0
        return apart > 0 and (not self.far or is_as_far(one, other, self.far))


def heights_compared(told: Told) -> Iterator[Untrue]:
    """What is said to lie higher or lower than something, and does not."""
    for match in LIES.finditer(told.text):
        begin, end = told.part_of(match.start())
        if _is_something_else(told, match, begin):
            continue
        denial = DENIED.search(told.text, begin, match.end())
        far = (match["far"] or match["far2"] or match["far3"] or "").replace("-", " ")
        way = match["way"] or match["moved"]
        lying = Lying(-1 if way in DOWN else 1, far.replace("half a", "half"), denial is not None)
        pairs = _pairs(told, match, lying, (begin, end))
        if pairs and not any(lying.fits(*pair) for pair in pairs):
            first = min(match.start(), denial.start()) if denial else match.start()
            yield _untrue(told, first, match.end(), pairs[0])


def _is_something_else(told: Told, match: re.Match[str], begin: int) -> bool:
    """Whether no two things of the line are compared in height."""
    before, after = told.text[begin : match.start()], told.text[match.end() :]
    if match["moved"] and AN_END.search(before) is None:
        return True
    way_alone = match["way"] not in COMPARATIVE and not (match["far"] or match["far2"])
    if way_alone and not match["moved"] and not DENIED.search(before):
        return True
    if APPROACH.search(told.text[: match.start()]):
        return True
    return bool(
        NO_COMPARISON.match(after) or EACH.search(before) or OTHERS.search(before) or LEADS_TO.match(after)
    )


def _untrue(told: Told, first: int, last: int, pair: tuple[Note, Note]) -> Untrue:
    one, other = pair
    apart = one.sounding.midi - other.sounding.midi
    at, beside = (told.music.position(note) for note in pair)
    lies = f"lies {size_said(abs(apart))} {'above' if apart > 0 else 'below'}" if apart else "is as high as"
    what = f"the {one.written.name} at {at} {lies} the {other.written.name} at {beside}"
    return Untrue(first, last, what, SAY, target=at)


def _pairs(told: Told, match: re.Match[str], lying: Lying, part: tuple[int, int]) -> list[tuple[Note, Note]]:
    """The notes that may be compared: the one that lies so, and what it lies beside."""
    begin = part[0]
    own = _named_before(told, begin, match.start())
    before = PREVIOUS.search(told.text, match.end())
    if before is not None and before.start() - match.end() < NEAR:
        own = own or _of_a_bar(told, match.start())
        return [(note, one) for note in own for one in previous_notes(told, [note])]
    itself = THAN_ITSELF.match(told.text, match.end())
    if itself is not None:
        return _within(told, match, begin, itself)
    bars = _bars(told, match, begin)
    if bars is None:
        return []
    return _of_bars(told, match, lying, bars, own, part)


def _named_before(told: Told, begin: int, at: int) -> list[Note]:
    """The notes that are named right before: in the same part, or in the one before where that goes on."""
    claims = [claim for claim in told.named if claim.kind in NAMES and claim.last <= at]
    inside = [claim for claim in claims if claim.first >= begin]
    if not inside and begin and GOES_BACK.match(told.text[begin:at].lstrip(",;: ")):
        inside = claims[-1:]
    if not inside:
        return []
    claim = inside[-1]
    notes = told.notes_in(told.spans_at(claim.first))
    return [note for note in notes if bears(note, claim, told)]


def _of_a_bar(told: Told, at: int) -> list[Note]:
    """The first or last note of the bar that is spoken of last before a character."""
    found = [each for each in windows(told) if each[0].first < at]
    if not found:
        return []
    named, first, last = found[-1]
    end = end_near(told, first, min(last, at), named.first)
    return notes_at_end(told, named.bars[0], end) if end is not None else []


def _within(told: Told, match: re.Match[str], begin: int, itself: re.Match[str]) -> list[tuple[Note, Note]]:
    """The ends of one bar: "three ends higher than it began"."""
    named = [each for each in bars_told(told) if len(each.bars) == 1 and begin <= each.first < match.start()]
    ends = end_near(told, begin, match.start(), match.start()), end_at(itself["end"])
    if len(named) != 1 or ends[0] is None or ends[1] is None:
        return []
    bar = named[0].bars[0]
    return list(product(notes_at_end(told, bar, ends[0]), notes_at_end(told, bar, ends[1])))


def _bars(told: Told, match: re.Match[str], begin: int) -> Pair | None:
    """The bar that lies so, and the other one."""
    than = THAN.match(told.text, match.end())
    if than is None and match["way"] in COMPARATIVE:
        than = MORE_THAN.match(told.text, match.end())
    named = [each for each in bars_told(told) if len(each.bars) == 1]
    beside = match["way"] and match["way"] not in COMPARATIVE and SOMETHING.match(told.text, match.end())
    if than is not None or beside:
        clause = CLAUSE.match(told.text, match.end())
        after = any(match.end() <= each.first < (clause.end() if clause else 0) for each in named)
        before = THAN_BEFORE.match(told.text, match.end()) is not None
        return pair_told(told, match.start(), -1 if before else match.end()) if after or before else None
    inside = [each for each in named if begin <= each.first < match.start()]
    if len(inside) == 1 and not MODEL.search(told.text[: inside[0].first]):
        return pair_told(told, match.start(), -1)
    return model_and_copy(told) if len(named) > 1 or inside else None


def _of_bars(
    told: Told,
    match: re.Match[str],
    lying: Lying,
    bars: Pair,
    own: Sequence[Note],
    part: tuple[int, int],
) -> list[tuple[Note, Note]]:
    """The notes of two bars that may be compared: their ends that are named, or each of one with its like."""
    end = part[1]
    inside = [note for note in own if bars.one.start <= note.onset < bars.one.end]
    one, other = _ends(told, match, lying, bars, part)
    if inside:
        others = notes_at_end(told, bars.other, other or ("top" if lying.way > 0 else "low"))
        named = [claim for claim in told.named if claim.kind in NAMES and match.end() <= claim.first < end]
        if named:
            others = [note for note in told.notes_in([bars.other]) if bears(note, named[0], told)]
        elif other is None and not ANY_NOTE.search(told.text, match.end(), end):
            others = [*others, *(note for side in WHOLE for note in notes_at_end(told, bars.other, side))]
        return list(product(inside, others))
    here = [note for note in own if bars.other.start <= note.onset < bars.other.end]
    if here and match["way"] in COMPARATIVE and one != other:
        return list(product(_alike(told, bars.one, one, here), here))
    if one is not None:
        return list(product(notes_at_end(told, bars.one, one), notes_at_end(told, bars.other, other or one)))
    found: list[tuple[Note, Note]] = []
    for side in WHOLE:
        found += product(notes_at_end(told, bars.one, side), notes_at_end(told, bars.other, side))
    if lying.far:
        found += zip(told.music.line_in(bars.one), told.music.line_in(bars.other), strict=False)
    return found


def _alike(told: Told, bar: Span, end: str | None, others: Sequence[Note]) -> list[Note]:
    """The notes of a bar that may be set beside some of another: at an end that is said, or any."""
    if end is not None:
        return notes_at_end(told, bar, end)
    return told.notes_in([bar]) if others else []


def _ends(
    told: Told, match: re.Match[str], lying: Lying, bars: Pair, part: tuple[int, int]
) -> tuple[str | None, str | None]:
    """The ends of two bars that are compared, where they are said."""
    begin, end = part
    top = "top" if lying.way > 0 else "low"
    one = end_at(told.text[match.end() :].lstrip()) or end_near(told, begin, match.start(), match.start())
    other = None
    for named, first, last in windows(told):
        if named.bars[0] == bars.other:
            other = end_near(
                told, max(first, match.end()) if named.first > match.end() else first, last, named.first
            )
        elif named.bars[0] == bars.one and one is None and named.first < match.start():
            one = end_near(told, first, min(last, match.start()), named.first)
    both = ends_of_all(told.text)
    one, other = one or both, other or both
    before = told.text[begin : match.start()]
    if one is None and (lying.denied or (TOP_OF if lying.way > 0 else LOW_OF).search(before)):
        one = top
    if ANY_NOTE.search(told.text, match.end(), end):
        other, one = top, one or top
    return one, other
