"""Which way a row of notes is said to go, by what steps, and how far: "D flat, F, G, by step the whole way".

Common practice, no source. A row is notes that are named one after the other and follow each other in the line. What
stands in its part of the sentence is said of it, or in the part next to it where it stands alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.letters import pitch_class
from lessonmaker.script.plain.crosscheck.loose_letters import letter_rows
from lessonmaker.script.plain.crosscheck.move_words import UNSURE
from lessonmaker.script.plain.crosscheck.noted import MOVED_AGAIN, Pair, far_said, said_around
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.way_words import ways_in
from lessonmaker.script.plain.intervals import INTERVAL, is_as_far

__all__ = ["rows_shaped"]

NOT_OF_ALL = pattern_of(r"\b(?:except|apart|until|almost|mostly|but for|after)\b")
FEWEST = 3  # notes of a row
STEP = 2  # semitones
STRICT = pattern_of(
    r"\b(?:all the way|the whole (?:way|time)|entirely|all|only|nothing but|purely|strictly|exclusively|every|each"
    r"|always|throughout|never)\b"
)
# What steps it is said to be made of, and what is none of them.
IN = (
    r"(?:only|all|by|in|of|with|through|from|out of|using|as)"
    r"(?: (?:nothing but|plain|simple|pure|only|all|entirely))*"
)


def _wider_than(most: int) -> Callable[[Pair], bool]:
    return lambda pair: abs(pair[1].sounding.midi - pair[0].sounding.midi) > most


def _is_no_leap(pair: Pair) -> bool:
    return abs(pair[1].sounding.midi - pair[0].sounding.midi) <= STEP


def _is_not(name: str) -> Callable[[Pair], bool]:
    return lambda pair: not is_as_far(*pair, name)


def _is_no(size: int) -> Callable[[Pair], bool]:
    return lambda pair: abs(pair[1].sounding.midi - pair[0].sounding.midi) != size


STEPS: tuple[tuple[re.Pattern[str], Callable[[Pair], bool]], ...] = (
    (
        pattern_of(
            r"\b(?:(?:step )?by step|stepwise|(?:by|in) (?:scale )?steps?|(?:all|plain|scale) steps)\b"
        ),
        _wider_than(STEP),
    ),
    (pattern_of(rf"\b{IN} half[- ]steps\b|\b{IN} semitones\b|\bchromatic(?:ally)?\b"), _wider_than(1)),
    (pattern_of(rf"\b{IN} whole[- ](?:steps|tones)\b"), _is_no(2)),
    (
        pattern_of(
            rf"\b(?:leaping|jumping|skipping)\b|\b{IN} (?:\w+ )?(?:leaps|skips|jumps)\b"
            r"|\b(?:every|each)\b[^,;:.]{0,20} (?:is|being) an? (?:leap|skip|jump)\b"
        ),
        _is_no_leap,
    ),
)
CHAIN = r"(?:chain|ladder|stack|string|row|series|pile|staircase|tower) of|(?:stack|pil)(?:s|e|es|ed|ing)?(?: up)?"
CHAIN_OF = pattern_of(
    rf"\b(?:{IN}|{CHAIN}|add(?:s|ing)? up)"
    r"(?: (?:the|those|these|pure|plain|minor|major|perfect|rising|falling|three|four|two))*"
    r" (?P<size>thirds|fourths|fifths|sixths|sevenths)\b"
)
# How far the row goes from its first note to its last.
IN_ALL = pattern_of(
    rf"\b(?:an?|the|one) (?P<size>{INTERVAL})"
    r" (?:in all|altogether|all told|in total|from (?:end to end|top to bottom|bottom to top))\b"
    r"|\b(?:spans?|covers?|covering|spanning|range of|span of|compass of)"
    rf" (?:just |only |exactly )?(?:an?|the|one) (?:whole |full )?(?P<span>{INTERVAL})(?! \w*(?:chord|and)\b)"
)
OTHERS = pattern_of(
    r"\b(?:chords?|harmon\w+|bass(?:es)?|roots?|keys?|changes|progression|centre|center|pattern|motif|cell"
    r"|voic\w+|circle|cycle|two[- ]five\w*|triads?|displac\w+)\b"
)


@dataclass(frozen=True)
class Row:
    """Notes that are named at [first, last) of a sentence, and [begin, end), the words that are said of them."""

    first: int
    last: int
    begin: int
    end: int
    notes: Sequence[Note]


def rows_shaped(told: Told) -> Iterator[Untrue]:
    """The ways, steps and spans that are said of rows of notes, and are not theirs."""
    if MOVED_AGAIN.search(told.text) or OTHERS.search(told.text):
        return
    rows = list(_rows(told))
    for row in rows:
        others = any(row.begin <= each.first < row.end for each in rows if each is not row)
        partly = NOT_OF_ALL.search(told.text, row.begin, row.end)
        if not others and not partly and not UNSURE.search(told.text, row.begin, row.end):
            yield from _way(told, row)
            yield from _steps(told, row)
            yield from _in_all(told, row)


def _rows(told: Told) -> Iterator[Row]:
    for letters in letter_rows(told.sentence):
        if len(letters) < FEWEST:
            continue
        first, last = letters[0].first, letters[-1].last
        notes = _found(told, [pitch_class(letter) for letter in letters], first, last)
        if notes:
            yield Row(first, last, *said_around(told, first, last), notes)


def _found(told: Told, wanted: Sequence[int], first: int, last: int) -> Sequence[Note]:
    """The notes of a row: those that are lit, or the one place in sight where they follow each other."""
    shown = told.shown_at(first, last)
    if shown is not None and len(shown.notes) == len(wanted):
        return shown.notes
    ids = {note.id for note in told.notes_in(told.spans)}
    line = told.music.line
    size = len(wanted)
    windows = [
        line[at : at + size]
        for at in range(len(line) - size + 1)
        if all(line[at + k].written.name.pitch_class == each for k, each in enumerate(wanted))
        and all(note.id in ids for note in line[at : at + size])
    ]
    shapes = {tuple(b.sounding.midi - a.sounding.midi for a, b in pairwise(window)) for window in windows}
    return windows[0] if len(shapes) == 1 else ()


def _way(told: Told, row: Row) -> Iterator[Untrue]:
    """A way in which a row neither goes as a whole nor by any good part of its steps."""
    ways = [way for way in ways_in(told.text, row.begin, row.end) if not row.first <= way.first < row.last]
    if len({way.way for way in ways}) != 1:
        return
    way, steps = ways[0], [b.sounding.midi - a.sounding.midi for a, b in pairwise(row.notes)]
    if sum(steps) * way.way < 0 and 2 * sum(step * way.way < 0 for step in steps) > len(steps):
        yield Untrue(
            way.first, way.last, far_said(told, (row.notes[0], row.notes[-1])), "say which way it goes"
        )


def _steps(told: Told, row: Row) -> Iterator[Untrue]:
    """Steps that are said to be of one kind, where most are not, or one where it is said of all."""
    pairs = list(pairwise(row.notes))
    found = [
        (match, is_other)
        for pattern, is_other in STEPS
        for match in pattern.finditer(told.text, row.begin, row.end)
    ]
    found += [
        (match, _is_not(match["size"].removesuffix("s")))
        for match in CHAIN_OF.finditer(told.text, row.begin, row.end)
    ]
    if len(found) != 1 or _is_of_others(told, row, found[0][0]):
        return
    match, is_other = found[0]
    others = [pair for pair in pairs if is_other(pair)]
    strict = STRICT.search(told.text, row.begin, row.end) is not None
    if others and (strict or 2 * len(others) > len(pairs)):
        yield Untrue(*match.span(), far_said(told, others[0]), "say what steps they are")


def _is_of_others(told: Told, row: Row, match: re.Match[str]) -> bool:
    """Whether words were lit as other notes than a row's: "C slides in half steps to B flat, then A flat and F"."""
    shown = told.shown_at(*match.span())
    return shown is not None and bool(shown.notes) and not set(shown.notes) & set(row.notes[1:])


def _in_all(told: Told, row: Row) -> Iterator[Untrue]:
    for match in IN_ALL.finditer(told.text, row.begin, row.end):
        heights = sorted(row.notes, key=lambda note: note.sounding.midi)
        ends = (row.notes[0], row.notes[-1]), (heights[0], heights[-1])
        name = match["size"] or match["span"]
        if not any(is_as_far(*pair, name) for pair in ends):
            yield Untrue(*match.span(), far_said(told, ends[0]), "say how far it goes")
