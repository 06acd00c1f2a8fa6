"""How far, and which way, it is said to be from one note that is named to another: "A to D, a plunge of an octave".

Common practice, no source. What stands around the pair is said of it: its own part of the sentence, and the parts
next to it where the pair stands alone in its own. It is false only where it is so of no two notes that may be meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.move_words import UNSURE
from lessonmaker.script.plain.crosscheck.moves import Thing
from lessonmaker.script.plain.crosscheck.noted import (
    DISPLACED,
    MOVED_AGAIN,
    Pair,
    far_said,
    later_pairs,
    noted,
    said_around,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.way_words import ways_in
from lessonmaker.script.plain.intervals import INTERVAL, is_as_far

__all__ = ["from_to"]

# Between two names of which the first goes to the second.
GOES_TO = pattern_of(
    r"(?! ?(?:and|or|but|is|are|was)\b)[^,;:.]{0,50}?,? (?:in)?(?:to|onto)"
    r" (?:(?:the|that|this|an?|our|its|your)(?: \w+)? )?"
)
SIZE = pattern_of(
    r"\b(?:an?|one|only|just|exactly|about|that|this|the)(?: (?!flat\b|sharp\b)[a-z-]+){0,2}? "
    r"(?P<size>half[- ]step|semitone|whole[- ](?:step|tone)|step(?! (?:at|by|of)\b)"
    r"|(?:minor |major )?second(?=\W*$|[,.;:]| (?:up|down|apart|over)\b)"
    rf"|{INTERVAL})(?![\w'-])"
    r"(?! (?:and|or|plus|too|higher|lower|above|below|of|in|over|chord|note|time|bar|measure|beat|phrase|line|one)\b)"
)
# "The third" is a degree, and an interval only with what makes it one.
A_DEGREE = pattern_of(
    r"^(?:that|this|the)(?: \w+)* (?:third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth)$"
)
MAKES_IT_ONE = pattern_of(r" (?:up|down|upwards?|downwards?|leap|jump|drop|hop|from|between)\b")
OF_OTHERS = pattern_of(
    r"\b(?:chords?|harmon\w+|bass(?:es)?|roots?|keys?|dominants?|changes|progression|centre|center"
    r"|pattern|motif|figure|shape|cell|everything|voic\w+|circle|cycle|two[- ]five\w*|modulat\w*|displaced"
    r"|octaves? apart)\b"
)
# What is said of the steps between the two, or not for sure.
NOT_OF_TWO = pattern_of(rf"{UNSURE.pattern}|\b(?:every|each|all)\b")


@dataclass(frozen=True)
class Said:
    """Two names of which the first goes to the second, and [begin, end), the words that are said of them."""

    one: Thing
    other: Thing
    begin: int
    end: int


def from_to(told: Told) -> Iterator[Untrue]:
    """The sizes and ways that are said of two notes, and are not those from the one to the other."""
    if MOVED_AGAIN.search(told.text) or OF_OTHERS.search(told.text):
        return
    for said in _pairs_said(told):
        pairs = later_pairs(told, said.one, said.other)
        if not pairs or NOT_OF_TWO.search(told.text, said.begin, said.end):
            continue
        yield from _size(told, said, pairs)
        yield from _way(told, said, pairs)


def _pairs_said(told: Told) -> Iterator[Said]:
    things = noted(told)
    for one, other in pairwise(things):
        between = told.text[one.last : other.first]
        if len(one.lit) > 1 or len(other.lit) > 1 or GOES_TO.fullmatch(between) is None:
            continue
        begin, end = said_around(told, one.first, other.last)
        others = [each for each in things if begin <= each.first < end and not _is_a_size(told, each)]
        if len(others) == 2:
            yield Said(one, other, begin, end)


def _is_a_size(told: Told, thing: Thing) -> bool:
    """Whether words that may name a note are those of an interval: "it is only a second"."""
    return any(
        match.start("size") <= thing.first < match.end("size")
        for match in SIZE.finditer(told.text)
        if _is_size(told, match)
    )


def _size(told: Told, said: Said, pairs: list[Pair]) -> Iterator[Untrue]:
    sizes = [
        match
        for match in SIZE.finditer(told.text, said.begin, said.end)
        if _is_size(told, match) and not any(_names(thing, match) for thing in (said.one, said.other))
    ]
    if len(sizes) != 1:
        return
    name = sizes[0]["size"].replace("-", " ")
    if not any(is_as_far(*pair, name) for pair in pairs):
        yield Untrue(*sizes[0].span("size"), far_said(told, pairs[0]), "say how far it is")


def _is_size(told: Told, match: re.Match[str]) -> bool:
    return A_DEGREE.match(match[0]) is None or MAKES_IT_ONE.match(told.text, match.end()) is not None


def _names(thing: Thing, match: re.Match[str]) -> bool:
    """Whether words are those of a note that is named."""
    return match.start() < thing.last and thing.first < match.end()


def _way(told: Told, said: Said, pairs: list[Pair]) -> Iterator[Untrue]:
    between = ways_in(told.text, said.one.last, said.other.first)
    found = between or ways_in(told.text, said.begin, said.end)
    if len({each.way for each in found}) != 1:
        return
    way = found[0].way
    steps = [(b.sounding.midi - a.sounding.midi) * way for a, b in pairs]
    if all(-DISPLACED < step < 0 for step in steps):
        yield Untrue(found[0].first, found[0].last, far_said(told, pairs[0]), "say which way it goes")
