"""The stretches that what is denied, or said of all notes, may be said of.

Common practice, no source. It is false only where it is false of each of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.place import Place

__all__ = ["bars_meant", "stretches_told"]

FEWEST = 3  # notes that are lit as one figure
MOST_BARS = 4  # that are all meant where none is named
ALL_OF_IT = pattern_of(
    r"\b(?:anywhere|at all|throughout|(?:this|that|the|our)(?: [\w-]+)? (?:line"
    r"|phrase|passage|excerpt|section|stretch"
    r"|run|lick|bit|solo|descent|climb|cascade|spot|sequence|figure|loop)|these|both|all (?:\w+ )?bars"
    r"|whole|here|neither (?:bar|measure|of)|each (?:bar|of))\b"
)


def stretches_told(told: Told, first: int, last: int) -> list[tuple[Note, ...]]:
    """The notes, in time, of each stretch that words at [first, last) may be said of; none where that is not sure."""
    spans = bars_meant(told, first, last)
    if not spans or any(place.level == "beat" for place in told.places):
        return []
    notes = tuple(note for span in spans for note in told.music.struck_between(span.start, span.end))
    found = [notes]
    for place in told.places:
        if place.level == "chord":
            found.append(tuple(_over(told, place, notes)))
    for shown in told.shown:
        if shown.last <= first or last <= shown.first:
            chords = {told.music.finding(note).chord for note in shown.notes}
            own = tuple(note for note in notes if told.music.finding(note).chord in chords)
            found.append(own or notes)
        if len(shown.notes) >= FEWEST and not _is_apart(told, shown.notes):
            found.append(shown.notes)
    return found


def _over(told: Told, place: Place, notes: Sequence[Note]) -> Iterator[Note]:
    """The notes over a chord that is named."""
    return (note for note in notes if place.test is not None and place.test(note, told.music))


def _is_apart(told: Told, notes: Sequence[Note]) -> bool:
    """Whether notes do not follow each other: not a figure, but notes of one name."""
    line = {note.id: at for at, note in enumerate(told.music.line)}
    places = [line[note.id] for note in notes if note.id in line]
    return any(b - a > 1 for a, b in pairwise(places))


def bars_meant(told: Told, first: int, last: int) -> tuple[Span, ...]:
    """The bars that are spoken of: named, or the only one shown, or all that are shown where that is said."""
    bars = [place for place in told.places if place.level == "bar" and place.spans and not place.pointed]
    begin, end = told.part_of(first)[0], max(told.part_of(last - 1)[1], last)
    near = [place for place in bars if begin <= place.first < end] or bars
    if near:
        single = len(near) == 1 and (len(near[0].spans) == 1 or bool(near[0].parts))
        return near[0].spans if single else ()
    shown = told.music.bars_in(told.spans)
    if len(shown) == 1 or (len(shown) <= MOST_BARS and ALL_OF_IT.search(told.text, begin, end)):
        return tuple(told.spans)
    chords = [place for place in told.places if place.level == "chord" and place.test is not None]
    return tuple(told.spans) if len(shown) <= MOST_BARS and len(chords) == 1 else ()
