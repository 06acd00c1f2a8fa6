"""Rhythms that are told as note values in a row: "quarter, two eighths, quarter", "half notes, then eighths".

Common practice, no source. A row is notes that follow each other and have these lengths; values in the plural that are
not counted are as many as there are. Where a row comes more than once, it is all of them if all are spoken of, else the
first that begins a bar, or the first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.analysis.lines import full_start
from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.durations import FEW, VALUE, few_of, value_of
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said

__all__ = ["VALUE_ROWS"]

FEWEST = TWO = 2  # notes in a plural; values that may be told in any order
BARE = r"(?<!first )(?<!last )(?<!other )(?<!second )half(?=[,.;:!?]|$| (?:and|then)\b)"
AN_ITEM = rf"(?:in )?(?:(?:{FEW}|an?|another|one more|just|a single) )?(?:{VALUE}|{BARE})"
ITEM = pattern_of(rf"\b(?:(?P<count>{FEW}|an?) )?(?P<value>{VALUE}|half)")
PLURAL = pattern_of(r"(?:s|halves)$")
THEN = r"(?:,? (?:and )?(?:then|followed by|after that|finally)(?: (?:back to|it's|comes?|come))?|,)"
NEXT = rf"(?:{THEN}|,? and|,? plus|,? to)"
# Where two are a row, however they are joined.
OF_A_RHYTHM = pattern_of(
    r"\b(?:rhythms?|rhythmic \w+|pattern|note values|durations|figure|cell)\b[^.;]{0,40}$"
)
OVER = (
    r"over and over|again and again|throughout|every time|each time|on repeat"
    r"|twice|(?:two|three|four|five|six) times"
)
# All places of a row are spoken of.
ALL_OF_THEM = pattern_of(
    r"\b(?:all|both|each|every|always|keeps?|share|stays? the same|(?:one|same) rhythm)\b"
)
IN_A_CHAIN = pattern_of(rf"\b(?:{OVER})\b")


@dataclass(frozen=True)
class Item:
    """Notes of one length in a row; as many as there are, where none are counted."""

    length: Fraction
    count: int | None


def _items(text: str) -> list[Item]:
    return [
        Item(value_of("half note" if each["value"] == "half" else each["value"]), _count_of(each))
        for each in ITEM.finditer(text)
    ]


def _count_of(each: re.Match[str]) -> int | None:
    if each["count"]:
        return few_of(each["count"])
    return None if PLURAL.search(each["value"]) else 1


def _row_at(first: int, notes: Sequence[Note], items: Sequence[Item]) -> tuple[Note, ...]:
    """The notes from one on, as far as they are a row; nothing where they are none."""
    at = first
    for index, item in enumerate(items):
        end = at
        while end < len(notes) and item.length in (notes[end].duration, notes[end].held):
            end += 1
            if end - at == item.count:
                break
        starts_late = item.count is None and index == 0 and _goes_before(first, notes, item)
        if end - at < (item.count or FEWEST) or starts_late:
            return ()
        at = end
    return tuple(notes[first:at])


def _goes_before(first: int, notes: Sequence[Note], item: Item) -> bool:
    return first > 0 and item.length in (notes[first - 1].duration, notes[first - 1].held)


def _rows(notes: Sequence[Note], items: Sequence[Item]) -> Iterator[tuple[Note, ...]]:
    """Every place of a row."""
    return filter(None, (_row_at(first, notes, items) for first in range(len(notes))))


def _apart(rows: Sequence[tuple[Note, ...]]) -> list[tuple[Note, ...]]:
    """Those of some rows in time that share no notes, the earliest first."""
    found: list[tuple[Note, ...]] = []
    for row in rows:
        if not found or row[0].onset > found[-1][-1].onset:
            found.append(row)
    return found


def _chain(rows: Sequence[tuple[Note, ...]]) -> list[tuple[Note, ...]]:
    """The longest chain of rows of which each begins where the one before ends."""
    chains: list[list[tuple[Note, ...]]] = []
    for row in rows:
        before = next((each for each in chains if _ends(each[-1]) == row[0].onset), None)
        chains.append([*before, row] if before is not None else [row])
    return max(chains, key=len)


def _ends(row: Sequence[Note]) -> Fraction:
    return row[-1].onset + row[-1].duration


def _row(match: re.Match[str], passage: Passage) -> Verdict:
    """Note values one after the other."""
    items, notes = _items(match[0]), passage.notes
    rows = list(_rows(notes, items))
    if not rows:
        return _otherwise(items, passage)
    starts = {full_start(bar) for bar in passage.bars}
    on_a_bar = [row for row in rows if row[0].onset in starts]
    chain = _chain(rows) if IN_A_CHAIN.search(match.string) else []
    if len(chain) > 1 or ALL_OF_THEM.search(match.string):
        return Verdict(tuple(note for row in chain or _apart(on_a_bar or rows) for note in row))
    later = [row for row in rows if passage.after is not None and row[0].onset >= passage.after]
    return Verdict((later or on_a_bar or rows)[0])


def _otherwise(items: Sequence[Item], passage: Passage) -> Verdict:
    """Values that are there, in another order, or that are not."""
    notes = passage.notes
    there = [sum(item.length in (note.duration, note.held) for note in notes) for item in items]
    told = [item.count or 1 for item in items]
    if len(items) == TWO and all(count <= number for count, number in zip(told, there, strict=True)):
        lengths = {item.length for item in items}
        as_many = all(item.count == number for item, number in zip(items, there, strict=True))
        return Verdict(tuple(note for note in notes if note.held in lengths)) if as_many else UNKNOWN
    return Verdict(is_there="the values are others") if passage.named and notes else UNKNOWN


OF_TWO = (
    Saying(said(rf"{AN_ITEM}{THEN} {AN_ITEM}"), _row),
    Saying(said(rf"{AN_ITEM},? and {AN_ITEM}"), _row, after=OF_A_RHYTHM),
    Saying(said(rf"{AN_ITEM},? and {AN_ITEM}(?=,? (?:{OVER})\b)"), _row),
)
VALUE_ROWS: tuple[Saying, ...] = (Saying(said(rf"{AN_ITEM}(?:{NEXT} {AN_ITEM}){{2,}}"), _row), *OF_TWO)
"""What a sentence says of note values in a row."""
