"""What one bar may be said to do: rest, play on a beat, fill all its time, open or close with a long note.

Common practice, no source. Each is plainly so, plainly not so, or neither.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.analysis.lines import full_start
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.durations import VALUES, value_of
from lessonmaker.script.plain.passage import rests_of
from lessonmaker.script.plain.verbs import ENDING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import number_of

__all__ = ["Doing", "doings_in"]

BEAT = (
    r"(?:the down-?beat|the first beat|(?:beat )?(?P<beat>one|two|three|four|[1-4])"
    r"(?! (?:\w+ )?(?:notes?|beats?|bars?)\b)(?![\w'-]))"
)
ON_BEAT = rf"(?: (?:right|just|dead|bang|smack|squarely|straight|only))? (?:on|at|over) {BEAT}"
A_REST = (
    r"(?:an?|one|that|this|its|the) (?:(?:little|short|small|big|clear|good|quarter|eighth|half)[- ])?"
    r"(?:rest|breath|hole|gap|pause|silence|space)"
)
RESTING = inflected(
    "rest, breathe, pause, drop out, fall silent, go silent, go quiet, fall quiet, be silent, be quiet, stop, lay out"
)
SPEAKING = inflected("speak, sound, play, strike, hit, attack, come in, enter")
FILLING = (
    rf"{inflected('fill')} (?:every|each|all (?:four|three|the|its)) beats?"
    rf"|{inflected('fill')} (?:the whole bar|all of it|up completely)"
    r"|(?:without|with no|has no|have no|leaves no) (?:an? |any |single )*(?:rests?|gaps?|breaks?|holes?"
    r"|breath|pauses?|breathing space)"
    r"|never (?:stops?|pauses?|rests?|breathes?|lets up)(?! (?:on|at)\b)"
)
A_LONG = r"(?:an?|the|its|one) (?:\w+, )?long (?:note|one|tone)"
EXACTLY = pattern_of(r"\b(?:dead|right|bang|smack|squarely|straight)\b")
HALF = Fraction(1, 2)
Verdict = bool | None


@dataclass(frozen=True)
class Doing:
    """What words at [first, last) say that a bar does; `is_so` tells whether one does (None: neither plainly)."""

    first: int
    last: int
    is_so: Callable[[Told, Span], Verdict]
    said: str


def _beat(told: Told, bar: Span, match: re.Match[str]) -> Span:
    """A beat that is named, in a bar; the first where it is the downbeat."""
    own = told.music.bars_in([bar])[0]
    beat = number_of(match["beat"]) if match["beat"] else 1
    start = full_start(own) + (beat - 1) * own.metre.unit_quarters
    return Span(start, start + own.metre.unit_quarters)


def _silence(told: Told, span: Span) -> Fraction:
    """How much of a span is at rest, in quarters."""
    parts = (min(rest.end, span.end) - max(rest.start, span.start) for rest in rests_of(told.music))
    return sum((part for part in parts if part > 0), Fraction(0))


def _rests_on(told: Told, bar: Span, match: re.Match[str]) -> Verdict:
    beat = _beat(told, bar, match)
    silent = _silence(told, beat)
    return True if silent == beat.end - beat.start else None if silent else False


def _plays_on(told: Told, bar: Span, match: re.Match[str]) -> Verdict:
    beat = _beat(told, bar, match)
    if told.music.struck_at(beat.start):
        return True
    late = told.music.struck_between(beat.start, beat.end) and not EXACTLY.search(match[0])
    return None if late or told.music.sounding_at(beat.start) is not None else False


def _starts_on(told: Told, bar: Span, match: re.Match[str]) -> Verdict:
    """A bar that is said to come in on a beat: not where its first note comes half a beat later or more."""
    beat, notes = _beat(told, bar, match), told.notes_in([bar])
    if not notes or notes[0].onset >= beat.start + HALF:
        return False
    return True if notes[0].onset == beat.start else None


def _is_empty(told: Told, bar: Span, _: re.Match[str]) -> Verdict:
    if not told.notes_in([bar]):
        return True
    return False if 2 * _silence(told, bar) < bar.end - bar.start else None


def _sings(told: Told, bar: Span, _: re.Match[str]) -> Verdict:
    return True if len(told.music.line_in(bar)) > 1 else None if told.notes_in([bar]) else False


def _is_full(told: Told, bar: Span, _: re.Match[str]) -> Verdict:
    unit = told.music.bars_in([bar])[0].metre.unit_quarters
    silent = _silence(told, bar)
    return True if not silent else False if silent >= unit / 2 else None


def _has_rest(told: Told, bar: Span, match: re.Match[str]) -> Verdict:
    full = _is_full(told, bar, match)
    return None if full is None else not full


def _opens_long(told: Told, bar: Span, _: re.Match[str]) -> Verdict:
    return _is_long(told, bar, 0)


def _ends_long(told: Told, bar: Span, _: re.Match[str]) -> Verdict:
    return _is_long(told, bar, -1)


def _is_long(told: Told, bar: Span, at: int) -> Verdict:
    """Whether the first or the last note is long: none is longer; it is not where it is short and another is longer."""
    notes = told.music.line_in(bar)
    if not notes:
        return None
    unit, held = told.music.bars_in([bar])[0].metre.unit_quarters, notes[at].held
    others = [note.held for note in notes if note is not notes[at]]
    if held >= unit and held == max([held, *others]):
        return True if held > unit else None
    return False if others and held <= unit and held < max(others) else None


def _in_values(told: Told, bar: Span, match: re.Match[str]) -> Verdict:
    """Whether all notes of a bar have a value; the last one may ring."""
    length, notes = value_of(match["value"]), told.music.line_in(bar)
    if not notes:
        return False
    fits = [length in (note.held, note.duration) for note in notes]
    return True if all(fits) else None if all(fits[:-1]) else False


SAYINGS: tuple[tuple[str, Callable[[Told, Span, re.Match[str]], Verdict], str], ...] = (
    (
        rf"(?:{RESTING}|{inflected('have, leave, put, take')} {A_REST}|with {A_REST}"
        rf"|there's {A_REST}){ON_BEAT}",
        _rests_on,
        "rests there",
    ),
    (rf"(?:{STARTING}){ON_BEAT}", _starts_on, "comes in there"),
    (
        rf"(?:{SPEAKING}|{inflected('have')} (?:an? note|something)|there's (?:an? note|something)){ON_BEAT}",
        _plays_on,
        "plays there",
    ),
    (
        rf"(?:{inflected('keep, stay, remain, be')} (?:all |completely |entirely |totally )?(?:silent|empty"
        rf"|mute)"
        r"|says? nothing|plays? nothing|(?:is|are) a (?:whole )?(?:bar'?s? of )?rest)(?! (?:on|at|until|till"
        r"|for|after|before|from)\b)",
        _is_empty,
        "is empty",
    ),
    (rf"{inflected('do')} (?:all )?the (?:singing|talking|playing|speaking|work)", _sings, "plays"),
    (FILLING, _is_full, "has no rest"),
    (
        rf"(?:{inflected('have, leave, take')} {A_REST}|there's {A_REST}|{inflected('breathe')})(?! (?:on|at|of"
        rf"|after|before|between)\b)",
        _has_rest,
        "has a rest",
    ),
    (rf"(?:{STARTING}) (?:(?:with|on) {A_LONG}|long\b)", _opens_long, "opens with its long note"),
    (rf"(?:{ENDING}) (?:(?:with|on) {A_LONG}|long\b)", _ends_long, "ends with its long note"),
    (
        rf"(?:in |nothing but |all |straight |steady )*(?P<value>{VALUES}),?"
        r" (?:from (?:\w+ ){1,3}to (?:the )?(?:\w+)|throughout|all the way|the whole way)",
        _in_values,
        "has only those",
    ),
)
PATTERNS = [(pattern_of(rf"(?<![\w'-])(?:{words})(?![\w'-])"), test, said) for words, test, said in SAYINGS]


def doings_in(text: str) -> Iterator[Doing]:
    """What a sentence says that bars do, in no order."""
    for pattern, test, said in PATTERNS:
        for match in pattern.finditer(text):
            yield Doing(*match.span(), _bound(test, match), said)


def _bound(
    test: Callable[[Told, Span, re.Match[str]], Verdict], match: re.Match[str]
) -> Callable[[Told, Span], Verdict]:
    return lambda told, bar: test(told, bar, match)
