"""Chords that are said to come on another beat than they do: "B flat seven takes over from beat two".

Common practice, no source. A chord that goes on from the bar before comes on the first beat as well.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName
from lessonmaker.script.plain.chord_words import NO_CHORD
from lessonmaker.script.plain.crosscheck.near import chords_near, is_so_named, told_at
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.heard import Heard
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import CARDINAL, ORDINAL, number_of, ordinal_of

__all__ = ["chords_when"]

COMES = inflected(
    "come, arrive, enter, start, begin, kick, squeeze, show, turn, take, appear, change, switch, flip, shift, get, hear"
    ", sneak, slip, pop, join, slide, move, swing, have"
)
# A beat, at which something is said to come.
BEAT = pattern_of(
    rf"\b(?:on|at|from|by) (?:(?P<and>the (?:and|off-?beat) of )?(?:beat )?(?P<number>{CARDINAL})"
    rf"|the (?P<nth>{ORDINAL}) beat|(?P<down>the down-?beat))(?![\w-])"
    r"(?! (?:bars?|beats?|notes?|chords?|measures?|eighths?|quarters?|more|of|step|(?:half|whole) steps?))"
    r"|(?P<half>\b(?:half-?way|mid-?way) through\b(?! (?:the|this|these) (?:phrase|tune|line|form|four|eight))"
    r"|\bin the middle of (?:the|this) bar\b)"
)
# What the harmony does, between its chord and the beat, in either order.
CHORD_THEN_BEAT = pattern_of(
    r"(?: chord)?(?:(?: (?:that|which|only|just|then|really|now|already|finally|but))*"
    rf" (?:{COMES})(?: (?:in|over|up|us|out|only|just|right|back|again|round|along|through))* ?"
    r"|(?: in| only| right)? )"
)
BEAT_THEN_CHORD = pattern_of(
    r",?(?: (?:of (?:the|this) bar|the (?:harmony|chord|band|music|piano|substitute\w*|dominant)|we|you|it|that"
    rf"|there|here|then|only|just|and|so|comes?|now|back))*(?:'s|'re|'ve)?(?: (?:{COMES}|is|are|it's|there's))?"
    r"(?: (?:in|over to|to|into|onto|up|only|just|got|now|already|is|as|it's|that's|our|your|the|an?))* "
)
# Before a chord over which something else is.
UNDER_IT = pattern_of(
    r"\b(?:over|of|against|above|through|for|under|against|before|after|until|till)(?: the| that| this)? $"
)


def chords_when(told: Told) -> Iterator[Untrue]:
    """Chords by their names that are said to come on a beat, and come on another one."""
    harmony = told.harmony
    beats = list(BEAT.finditer(told.text))
    for name in told.chords_named if beats else ():
        if not name.families or NO_CHORD.match(told.text, name.last):
            continue
        beat = next((each for each in beats if _is_when(told, name, each)), None)
        chords = [each for each in chords_near(told, harmony) if is_so_named(name, each)]
        if beat is None or not chords:
            continue
        said = _beat_said(beat)
        if not any(said in _beats(told, each) or _is_half(told, each, beat) for each in chords):
            what = f"“{told.sentence.words(*beat.span())}”: {told_at(chords[0], harmony)}"
            yield Untrue(*beat.span(), what, "say on which beat it comes")


def _is_when(told: Told, name: ChordName, beat: re.Match[str]) -> bool:
    """Whether a beat is said to be where a chord comes: nothing but what the harmony does stands between them."""
    if beat.start() >= name.last:
        if UNDER_IT.search(told.text[: name.first]):
            return False
        return CHORD_THEN_BEAT.fullmatch(told.text[name.last : beat.start()]) is not None
    return BEAT_THEN_CHORD.fullmatch(told.text[beat.end() : name.first]) is not None


def _beat_said(beat: re.Match[str]) -> Fraction:
    """The beat that words say, from 1; an "and" is half a beat later; 0 for the middle of a bar."""
    if beat["half"]:
        return Fraction(0)
    if beat["down"]:
        return Fraction(1)
    number = number_of(beat["number"]) if beat["number"] else ordinal_of(beat["nth"])
    return number + Fraction(1, 2) * bool(beat["and"])


def _beats(told: Told, each: Heard) -> set[Fraction]:
    """The beats on which a chord comes: its own, and the first one of each bar that it goes on in."""
    bars = told.music.score.bars
    first = next(bar for bar in bars if bar.start <= each.span.start < bar.end)
    own = 1 + position_in_bar(each.span.start, first) / first.metre.unit_quarters
    line = told.music.struck_between(each.span.start, each.span.end)[:1]  # where it comes in over the chord
    comes = {
        1 + position_in_bar(note.onset, first) / first.metre.unit_quarters
        for note in line
        if note.bar == first.index
    }
    return {own} | comes | {Fraction(1) for bar in bars if each.span.start < bar.start < each.span.end}


def _is_half(told: Told, each: Heard, beat: re.Match[str]) -> bool:
    """Whether a chord comes in the middle of a bar, where that is said."""
    if beat["half"] is None:
        return False
    bars = [bar for bar in told.music.score.bars if bar.start <= each.span.start < bar.end]
    return any(position_in_bar(each.span.start, bar) * 2 == bar.length for bar in bars)
