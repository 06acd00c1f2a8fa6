"""Stretches of the line that are told by their two ends: "strolls down from B to G", "B flat down to C".

Where the line goes one way from a note that has the one name to a later one that has the other, with notes between
them, and does so once, all of it is meant, whatever the verb. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.line_shapes import HALF_STEPS
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.told_names import names_said
from lessonmaker.script.plain.verbs import inflected, way_of

__all__ = ["DENIED", "FROM", "is_one_way", "with_told_stretches"]

FEWEST, MOST = 3, 16  # notes of a stretch
# From the one end to the other: a few words that open no other part of the sentence.
GAP = (
    r"(?:[ ,]+(?!(?:and|but|then|or|not|no|nor|never|is|are|was|were|which|that|before|after|while|when|from|to)\b)"
    r"[\w#'-]+){0,6}?"
)
TO = pattern_of(
    rf"{GAP},? (?:to|until|till|as far as)(?: (?:you|we|it|i) (?:hit|reach|get to|arrive at|land on))?"
    r"(?: (?:the|an?|that|its|our))?(?: (?:very|high|low|top|bottom|upper|lower|next|same))* "
)
UP_OR_DOWN = pattern_of(r"\b(?:up|down)(?:wards?)?\b")
PASSED = pattern_of(r"\b(?:through|via|past|over|off|by way of) (?:(?:the|an?|that|its|our) )?$")
FROM = pattern_of(r"\bfrom (?:(?:the|an?|that|its|our) )?(?:(?:high|low|top|bottom|upper|lower) )?$")
DENIED = pattern_of(r"\b(?:not|never|no)\b|n't\b")
# What a single step or leap does, of which no more than the two ends is told.
AT_ONCE = pattern_of(
    rf"\b{inflected('drop, fall, leap, jump, skip, hop, resolve, settle, slip, slide, tip')}\b"
)
CLAUSE = pattern_of(r"[^,;:.]*$")
OF_NOTES = ("degree", "note", "set")


def with_told_stretches(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, two names that are the ends of a stretch as all of its notes."""
    sentence, music = ground.sentence, ground.music
    by_half_steps = any(claim.name == HALF_STEPS for claim in claims)  # which finds its own ends
    if sentence.is_question or is_not_of_it(sentence.text) or by_half_steps:
        return tuple(claims)
    found: list[Claim] = []
    for one, other in pairwise(names_said(sentence, claims, ground.places)):
        first = _begins(sentence, one, other)
        if first is None or _is_taken(first, other.last, claims):
            continue
        line = ground.line_at(one.first, other.last)
        before = _clause(sentence, first)
        way = way_of(before + sentence.text[first : other.last])
        ends = (Named(one, tuple(ground.chord_at(one.first))), Named(other))
        ways = (
            []
            if AT_ONCE.search(before) or DENIED.search(before)
            else list(_stretches(ends, way, line, music))
        )
        if len(ways) == 1 and len(ways[0]) >= FEWEST:
            found.append(ground.set_of(first, other.last, ways[0]))
    return put_over(claims, found)


def _clause(sentence: Sentence, first: int) -> str:
    """The words before something, from the last comma on."""
    match = CLAUSE.search(sentence.text[:first])
    return match[0] if match is not None else ""


def _begins(sentence: Sentence, one: Claim, other: Claim) -> int | None:
    """Where the words begin by which something goes from one name to another, if it does."""
    link = TO.fullmatch(sentence.text[one.last : other.first])
    if link is None:
        return None
    start = FROM.search(sentence.text[: one.first])
    if start is not None:
        return start.start()
    passed = PASSED.search(sentence.text[: one.first])
    return one.first if UP_OR_DOWN.search(link[0]) and "," not in link[0] and not passed else None


def _is_taken(first: int, last: int, claims: Sequence[Claim]) -> bool:
    """Whether words are those of a claim of something else than of notes."""
    return any(c.first < last and first < c.last and c.kind not in OF_NOTES for c in claims)


def is_one_way(notes: Sequence[Note], way: int) -> bool:
    """Whether notes only rise (1), only fall (-1), or do either of them (0)."""
    steps = [other.sounding.midi - one.sounding.midi for one, other in pairwise(notes)]
    rises, falls = all(step > 0 for step in steps), all(step < 0 for step in steps)
    return {1: rises, -1: falls, 0: rises or falls}[way]


def _stretches(
    ends: tuple[Named, Named], way: int, line: Sequence[Note], music: Music
) -> Iterator[Sequence[Note]]:
    """The stretches of a line that go one way from a note of one name to a note of another, not a step further on."""
    first, last = ends
    for start, note in enumerate(line):
        if not first.fits(note, music):
            continue
        for end in range(start + 2, min(start + MOST, len(line)) + 1):
            part = line[start:end]
            if is_one_way(part, way) and last.fits(part[-1], music):
                yield part
                break
