"""Phrases: what is played in one breath.

A phrase ends where the line stops: at a rest or a long note that stands out from what is around it (the proximity
rule of Tenney and Polansky 1980, and Cambouropoulos 2001, from memory: a boundary where an interval of time is
greater than both its neighbours). The weights are our own choice. A pickup belongs to the phrase it leads to.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.etude import Etude, ids_of, span_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Phrase

__all__ = ["phrases_of"]

CLEAR_REST = Fraction(1)
SHORT_REST = Fraction(1, 2)
LONG_NOTE, VERY_LONG = Fraction(2), Fraction(3)
MOST_BARS = 8
FEWEST_NOTES = 3
BOUNDARY = 1.0
UNRESOLVED = 0.2  # between a suspension and its resolution
SPLIT_BOUNDARY = 0.4


def phrases_of(etude: Etude) -> tuple[Phrase, ...]:
    """The phrases of the melody in time; every note of it is in exactly one."""
    line = etude.melody
    if not line:
        return ()
    strengths = [
        UNRESOLVED if _is_suspended(etude, before, after) else _strength(before, after, line, place)
        for place, (before, after) in enumerate(pairwise(line))
    ]
    cuts = [place + 1 for place, strength in enumerate(strengths) if strength >= BOUNDARY]
    pieces = _cut(line, cuts)
    pieces = [part for piece in pieces for part in _split_long(piece, strengths, line)]
    return tuple(Phrase(span_of(piece), ids_of(piece)) for piece in _joined(pieces))


def _is_suspended(etude: Etude, before: Heard, after: Heard) -> bool:
    """Whether a note is a suspension, which has not landed yet, and the next one is what it resolves to."""
    finding = etude.finding[before.note.id]
    joined = after.note.onset - before.end < CLEAR_REST
    return finding.role == "suspension" and finding.resolves_to == after.note.id and joined


def _strength(before: Heard, after: Heard, line: Sequence[Heard], place: int) -> float:
    """How strong the boundary between two neighbours is: 1 and more ends a phrase."""
    rest = after.note.onset - before.end
    held = before.note.held
    strength = 0.0
    if rest > 0:
        strength += 1.0 if rest >= CLEAR_REST else 0.5 if rest >= SHORT_REST else 0.2
    if held >= LONG_NOTE or held + rest >= LONG_NOTE:
        clear = 1.0 if held + rest >= VERY_LONG else 0.5
        strength += clear if _stands_out(held + rest, line, place) else 0.2
    if after.bar.section and after.bar.index != before.bar.index:
        strength += 0.3
    return strength + (0.2 if rest > 0 and held > after.note.held else 0.0)


def _stands_out(interval: Fraction, line: Sequence[Heard], place: int) -> bool:
    """Whether the time from one onset to the next is at least twice that of the neighbours."""
    near = [
        later.note.onset - earlier.note.onset
        for earlier, later in pairwise(line[max(place - 2, 0) : place + 4])
        if later.note.onset != line[min(place + 1, len(line) - 1)].note.onset
    ]
    return not near or interval >= 2 * sorted(near)[len(near) // 2]


def _cut(line: Sequence[Heard], cuts: Sequence[int]) -> list[tuple[Heard, ...]]:
    edges = [0, *cuts, len(line)]
    return [tuple(line[first:last]) for first, last in pairwise(edges) if first < last]


def _bars(piece: Sequence[Heard]) -> Fraction:
    return (piece[-1].end - piece[0].note.onset) / piece[0].bar.metre.bar_quarters


def _split_long(
    piece: tuple[Heard, ...], strengths: Sequence[float], line: Sequence[Heard]
) -> list[tuple[Heard, ...]]:
    """A piece of more than eight bars, cut at the strongest place within, if there is one."""
    if _bars(piece) <= MOST_BARS:
        return [piece]
    first = line.index(piece[0])
    inner = range(first + FEWEST_NOTES, first + len(piece) - FEWEST_NOTES)
    best = max(inner, key=lambda place: strengths[place - 1], default=None)
    if best is None or strengths[best - 1] < SPLIT_BOUNDARY:
        return [piece]
    halves = piece[: best - first], piece[best - first :]
    return [part for half in halves for part in _split_long(half, strengths, line)]


def _joined(pieces: Sequence[tuple[Heard, ...]]) -> list[tuple[Heard, ...]]:
    """Pieces of one or two notes, and less than a bar long, go with the nearer neighbour."""
    joined: list[tuple[Heard, ...]] = []
    for place, piece in enumerate(pieces):
        short = len(piece) < FEWEST_NOTES and _bars(piece) < 1
        gap_before = piece[0].note.onset - joined[-1][-1].end if joined else None
        gap_after = pieces[place + 1][0].note.onset - piece[-1].end if place + 1 < len(pieces) else None
        waits = joined and len(joined[-1]) < FEWEST_NOTES and _bars(joined[-1]) < 1
        if waits or (short and gap_before is not None and (gap_after is None or gap_before <= gap_after)):
            joined[-1] = (*joined[-1], *piece)
        else:
            joined.append(piece)
    return joined
