"""What is said of one bar beside another: more notes, a higher top, moved so far, another rhythm, the same note.

Common practice, no source. Two bars are compared where a sentence names both, or one of the two that are shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.alike_facts import FALSE, moved_verdict
from lessonmaker.script.plain.beside import Beside
from lessonmaker.script.plain.crosscheck.bars_told import (
    Pair,
    bars_told,
    durations,
    model_and_copy,
    pair_told,
    shown_bars,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.durations import FEW, few_of
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.moved_words import Moved, moved_in
from lessonmaker.script.plain.verbs import ENDING, STARTING

__all__ = ["bars_compared"]

THAN = pattern_of(r"\b(?:than|against|compared (?:to|with))\b")
LEAST = 3  # notes of a bar that may be another one moved
SAY_OTHERWISE = "say it the other way round, or of other bars"


def bars_compared(told: Told) -> Iterator[Untrue]:
    """What is false of two bars, or of several that are said to be alike in something."""
    for check in (
        _counts,
        _same_count,
        _as_busy,
        _moved,
        _same_height,
        _other_rhythm,
        _same_rhythm,
        _taken_over,
    ):
        yield from check(told)


def _said(told: Told, bar: Span) -> str:
    return told.music.said(bar)


# How many notes -----------------------------------------------------------------------------------------

NOTES = r"(?:notes|pitches|tones|attacks|eighths|strokes)"
TO_DO = r"(?:going on|happening|to do|to say|activity|movement|in it)"
MORE_OR_FEWER = pattern_of(
    rf"\b(?P<more>(?:many |far |much |way |a lot |even |lots )?more (?:{NOTES}|{TO_DO}|active|busy|crowded"
    rf"|dense)"
    rf"|busier|denser|fuller|(?:moves|runs|goes|walks) (?:quicker|faster|more quickly)|twice as many {NOTES})\b"
    rf"|\b(?P<fewer>(?:many |far |much |way |even )?(?:fewer|less) (?:{NOTES}|{TO_DO}|active|busy|crowded"
    rf"|dense)"
    rf"|sparser|emptier|thinner|calmer|(?:moves|runs|goes|walks) (?:slower|more slowly)|half as many {NOTES})\b"
)


def _struck(told: Told, bar: Span) -> int:
    return len(told.music.line_in(bar))


def _sounding(told: Told, bar: Span) -> int:
    return _struck(told, bar) + (told.music.sounding_at(bar.start) is not None)


def _counts(told: Told) -> Iterator[Untrue]:
    """More notes, or fewer: false by any way to count them."""
    for match in MORE_OR_FEWER.finditer(told.text):
        pair = _compared(told, match)
        if pair is None:
            continue
        way = 1 if match["more"] else -1
        found = [(count(told, pair.one), count(told, pair.other)) for count in (_struck, _sounding)]
        least = 1 if NOTES_SAID.search(match[0]) else 0
        if all((one - other) * way < least for one, other in found):
            one, other = found[0]
            what = f"{_said(told, pair.one)} has {one} notes, {_said(told, pair.other)} {other}"
            yield Untrue(*match.span(), what, SAY_OTHERWISE)


NOTES_SAID = pattern_of(rf"{NOTES}$")
SAME_COUNT = pattern_of(
    rf"\b(?:the (?:very |exact )?same (?:number|amount|count) of {NOTES}|(?:just |exactly )?as many {NOTES}"
    rf"|equally many {NOTES}|an equal number of {NOTES})\b"
)


def _same_count(told: Told) -> Iterator[Untrue]:
    """As many notes in one bar as in another, or in each of several."""
    for match in SAME_COUNT.finditer(told.text):
        bars = _all_bars(told)
        counts = [{_struck(told, bar), _sounding(told, bar)} for bar in bars]
        if len(bars) < 2 or set.intersection(*counts) or pattern_of(r"\btwice|half\b").search(told.text):
            continue
        said = ", ".join(f"{_struck(told, bar)} in {_said(told, bar)}" for bar in bars)
        yield Untrue(*match.span(), f"there are {said}", "say how many there are in each")


AS_BUSY = pattern_of(
    r"\b(?:just|every bit|exactly|equally|quite|fully) as (?:(?:busy|dense|full|active|crowded|much"
    r"|eventful|packed) as\b|(?:full|packed) (?:of|with) notes\b|much going on\b)"
)
CLEARLY = 3  # notes more, beside twice as many


def _as_busy(told: Told) -> Iterator[Untrue]:
    """A bar as busy as another, that has less than half, or more than double, its notes."""
    match = AS_BUSY.search(told.text)
    pair = pair_told(told, match.start(), match.end()) if match is not None else None
    if match is None or pair is None:
        return
    few, many = sorted(_sounding(told, bar) for bar in (pair.one, pair.other))
    if many >= 2 * few and many - few >= CLEARLY:
        said = f"{_struck(told, pair.one)} notes, {_said(told, pair.other)} {_struck(told, pair.other)}"
        yield Untrue(*match.span(), f"{_said(told, pair.one)} has {said}", "say which is the busier one")


def _all_bars(told: Told) -> list[Span]:
    """The bars that are named, or those that are shown where none or only one is."""
    bars = list(dict.fromkeys(bar for each in bars_told(told) for bar in each.bars))
    if len(bars) == 1:
        bars = [*bars, *(bar for bar in shown_bars(told) if bar not in bars)]
        return bars if len(bars) == 2 else []
    return bars


def _compared(told: Told, match: re.Match[str]) -> Pair | None:
    """The two bars of a comparison: none where it goes on of something else than bars."""
    than = THAN.search(told.text, match.end())
    return pair_told(told, match.start(), -1 if than is None else than.end())


# Moved so far -------------------------------------------------------------------------------------------

HIGHER = pattern_of(r"\b(?:higher|lower|up|down|above|below)\b")
LIKENS = pattern_of(
    r"\b(?:same|does|do|did|copy|copies|repeats?|repeated|repeating|echo(?:es)?|answers?|again|moved"
    r"|shift\w*|transpos\w*"
    r"|sequence\w*|comes? back|returns?|what(?:ever)?|match\w*|mirrors?|identical|says|takes?|just|simply"
    r"|is|picks? up"
    r"|restates?|imitates?)\b"
)
# What is moved is only a part of it, or differs elsewhere.
ONLY_A_PART = pattern_of(
    r"\b(?:except|apart|but (?:for|with|it|the|this|ends?|starts?|not)|until|till|almost|nearly"
    r"|last (?:\w+ )?notes?|last one"
    rf"|final (?:\w+ )?notes?|top note|ends?|ending|tail|half of)\b|\b(?:{ENDING}) (?:on|a|an|one)\b"
)
FIRST_NOTES = pattern_of(
    rf"\b(?:{STARTING})\b[^.;:]{{0,30}}?\b(?:(?P<count>{FEW}) (?:\w+ )?notes|notes|way|shape|figure|idea"
    rf"|thing)\b"
)


def _moved(told: Told) -> Iterator[Untrue]:
    """A bar that is another one moved, and not so far or not this way."""
    moved = moved_in(_without_bars(told), with_way_only=True)
    if (
        moved is None
        or not moved.way
        or not (moved.interval or HIGHER.search(told.text[moved.first : moved.last]))
    ):
        return
    if not LIKENS.search(told.text) or ONLY_A_PART.search(told.text):
        return
    pair = model_and_copy(told)
    if pair is None:
        return
    beside = Beside.of(told.music, pair.other, pair.one)
    opening = FIRST_NOTES.search(told.text)
    if opening is not None:
        count = few_of(opening["count"]) if opening["count"] else LEAST
        beside = Beside(beside.model[:count], beside.copy[:count], beside.model_span, beside.copy_span)
    if min(len(beside.model), len(beside.copy)) >= LEAST and _is_false(moved, beside):
        words = f"{_said(told, pair.one)} has the notes of {_said(told, pair.other)}"
        yield Untrue(moved.first, moved.last, f"{words} {_way_there(beside)}", "say how far it is moved")


def _is_false(moved: Moved, beside: Beside) -> bool:
    """Whether a bar that is plainly heard as another is not moved as is said."""
    plain = beside.semitones is not None or beside.steps is not None
    if not plain or not beside.is_alike:
        return False
    if moved.interval:
        return moved_verdict(moved, beside) == FALSE
    return beside.moved * moved.way <= 0


def _way_there(beside: Beside) -> str:
    if not beside.changed:
        return "at the same height"
    way = "higher" if beside.moved > 0 else "lower"
    far = abs(beside.semitones) if beside.semitones is not None else 0
    return f"{far} semitone{'s' if far > 1 else ''} {way}" if far else f"{way}, step for step"


def _without_bars(told: Told) -> str:
    """The words, as long as before, without the bars that are named."""
    text = told.text
    for each in bars_told(told):
        text = text[: each.first] + "_" * (each.last - each.first) + text[each.last :]
    return text


SAME_HEIGHT = pattern_of(
    r"\b(?:at (?:exactly |just )?the (?:very |exact )?same (?:pitch|height|level)|note for note"
    r"|an exact (?:copy|repeat|repetition)"
    r"|the exact same (?:notes|pitches)|exactly the same (?:notes|pitches)|not moved at all|untransposed)\b"
)


def _same_height(told: Told) -> Iterator[Untrue]:
    """A bar that is another one at the same height, and is moved or has hardly a note of it."""
    match = SAME_HEIGHT.search(told.text)
    elsewhere = ONLY_A_PART.search(told.text) or moved_in(_without_bars(told), with_way_only=True)
    pair = model_and_copy(told) if match is not None and not elsewhere else None
    if match is None or pair is None:
        return
    beside = Beside.of(told.music, pair.other, pair.one)
    if not beside.is_whole or FIRST_NOTES.search(told.text):
        return
    moved = beside.semitones if beside.semitones is not None else beside.steps
    if moved or (beside.same_share < 0.5 and (moved is None or moved)):
        there = _way_there(beside) if moved else "for less than half of it"
        what = f"{_said(told, pair.one)} has the notes of {_said(told, pair.other)} {there}"
        yield Untrue(*match.span(), what, "say how they differ")


# Rhythm -------------------------------------------------------------------------------------------------

OTHER_RHYTHM = pattern_of(
    r"\b(?:breaks?|breaking|broke|chang(?:e|es|ing)|abandons?|leaves?|drops?|varies|disturbs?|upsets?"
    r"|departs? from"
    r"|differs? (?:in|from)|gives? up)(?: away)?(?: with| from)? (?:the|their|its|that"
    r"|this) (?:\w+ )?rhythm\b"
    r"|\b(?:a|an|its own|some) (?:(?:completely|quite|totally|entirely|slightly) )?(?:different|new|another"
    r"|other)(?: \w+)?"
    r" rhythm\b|\banother rhythm\b"
)


SAME_RHYTHM = pattern_of(
    r"\brhythmically,? (?:\w+ ){0,6}?(?:twins|identical|the same|alike)\b|\brhythms? (?:is"
    r"|are) (?:identical|the same)\b"
    r"|\b(?:twins|identical|alike|the same) (?:in rhythm|rhythmically)\b"
)
ALMOST = 0.8  # of the notes are struck at the same places, where a rhythm may be called the same


def _same_rhythm(told: Told) -> Iterator[Untrue]:
    """Two bars that are said to have one rhythm, and have not."""
    match = SAME_RHYTHM.search(told.text)
    pair = pair_told(told, len(told.text), -1) if match is not None else None
    if match is None or pair is None or ONLY_A_PART.search(told.text):
        return
    beside = Beside.of(told.music, pair.other, pair.one)
    if beside.rhythm_share < ALMOST:
        said = " and ".join(_said(told, bar) for bar in (pair.other, pair.one))
        yield Untrue(*match.span(), f"the rhythms of {said} differ", "say where they differ")


def _other_rhythm(told: Told) -> Iterator[Untrue]:
    """A bar that is said to have another rhythm, and has just the same one."""
    match = OTHER_RHYTHM.search(told.text)
    bars = _all_bars(told) if match is not None else []
    if match is None or len(bars) < 2:
        return
    rhythms = {durations(told, bar) for bar in bars}
    if len(rhythms) == 1 and all(_struck(told, bar) >= LEAST for bar in bars):
        said = " and ".join(_said(told, bar) for bar in bars)
        yield Untrue(*match.span(), f"the rhythm of {said} is the same", "say that it is the same")


# The last note of one, and the first of the other --------------------------------------------------------

TAKEN_OVER = pattern_of(
    r"\b(?:same (?:note|pitch|one)|repeats?|repeated|repeating|struck again|again|once more|carried over)\b"
)
AN_END = pattern_of(rf"\b(?:{ENDING}|last note|final note|closing note|end)\b")
A_START = pattern_of(rf"\b(?:{STARTING}|first note|opening note|start|beginning|downbeat)\b")
IT_IS = pattern_of(
    r"\bthe (?:note|pitch)\b[^.;:]{0,60}\b(?:repeat\w*|again|same)\b|\bsame (?:note|pitch)\b"
    r"|\brepeats? the (?:last|final) note"
)


def _taken_over(told: Told) -> Iterator[Untrue]:
    """The last note of a bar that is said to begin the next one."""
    said = IT_IS.search(told.text)
    match = TAKEN_OVER.search(told.text)
    if said is None or match is None or not AN_END.search(told.text) or not A_START.search(told.text):
        return
    pair = pair_told(told, len(told.text), -1)
    early, late = sorted((pair.one, pair.other), key=lambda bar: bar.start) if pair else (None, None)
    if early is None or late is None or early.end != late.start:
        return
    last, first = told.music.line_in(early)[-1:], told.music.line_in(late)[:1]
    if not last or not first or last[0].onset + last[0].held > early.end:
        return
    if (last[0].sounding.midi - first[0].sounding.midi) % OCTAVE:
        at = told.music.position(first[0])
        what = f"the note at {at} is another one than the last of {_said(told, early)}"
        yield Untrue(*match.span(), what, "say where it goes", target=at)
