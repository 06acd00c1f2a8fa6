"""How bars are grouped into systems.

Four bars a system (fewer on a narrow page), sections start systems, a pickup rides with the first bars; crowded
bars take three or two a system, no bar stands alone where that can be avoided, an ending is not torn apart. The weights
below are editorial judgement, no source: they make rows of two or four win over rows of three.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from lessonmaker.score.model import Score

__all__ = ["MOST_BARS", "MOST_HEADS", "rows", "rows_of"]

MOST_BARS, MOST_HEADS = 4, 36
ROW_COST = 4
LONELY_COST = 25
TORN_ENDING_COST = 9
BREAK_COSTS = (0, 8, 2, 8)  # by how many bars into a group of four the break falls


def rows(score: Score, most: int = MOST_BARS, heads: int = MOST_HEADS) -> tuple[tuple[int, ...], ...]:
    """Indices of the bars of each system, in printed order.

    Args:
        score: the score.
        most: bars a system at the most (and the pickup).
        heads: places with noteheads in a system of several bars at the most.
    """
    crowd, torn = _crowd(score), _inside_endings(score)
    found: list[tuple[int, ...]] = []
    for section in _sections(score):
        found.extend(_section_rows(section, crowd, torn, most, heads))
    return _with_pickup(score, found)


def rows_of(
    score: Score, bars: Sequence[int], most: int = MOST_BARS, heads: int = MOST_HEADS
) -> tuple[tuple[int, ...], ...]:
    """The same for a stretch of bars shown by itself, wherever it begins."""
    pickup = [bar for bar in bars if score.bars[bar].start < 0]
    found = _section_rows(bars[len(pickup) :], _crowd(score), _inside_endings(score), most, heads)
    return _with_pickup(score, found) if pickup else tuple(found)


def _crowd(score: Score) -> Counter[int]:
    """How many places on the staff each bar has noteheads at."""
    return Counter(bar for bar, _ in {(note.bar, note.onset) for note in score.notes})


def _sections(score: Score) -> list[list[int]]:
    """The full bars of each section; the pickup is left to ride with the first."""
    sections: list[list[int]] = [[]]
    for bar in score.bars:
        if bar.index == 0 and bar.start < 0:
            continue
        if bar.section and sections[-1]:
            sections.append([])
        sections[-1].append(bar.index)
    return [section for section in sections if section]


def _inside_endings(score: Score) -> set[int]:
    """Bars before which a break would tear an ending: those that playing has passed over, but for the first."""
    inside: set[int] = set()
    for visit, following in pairwise(score.order):
        inside.update(range(visit.bar + 2, following.bar))
    return inside


def _section_rows(
    section: Sequence[int], crowd: Counter[int], torn: set[int], most: int, heads: int
) -> list[tuple[int, ...]]:
    """The cheapest way to cut a section into rows (dynamic programming over the last cut)."""
    best: list[tuple[float, int]] = [(0, 0)]
    for stop in range(1, len(section) + 1):
        options = []
        for start in range(max(0, stop - most), stop):
            row = section[start:stop]
            if len(row) == 1 or sum(crowd[bar] for bar in row) <= heads:
                options.append((best[start][0] + _row_cost(row, start, torn), start))
        best.append(min(options))
    cuts = [len(section)]
    while cuts[-1]:
        cuts.append(best[cuts[-1]][1])
    cuts.reverse()
    return [tuple(section[a:b]) for a, b in pairwise(cuts)]


def _row_cost(row: Sequence[int], start: int, torn: set[int]) -> int:
    lonely = LONELY_COST if len(row) == 1 else 0
    return ROW_COST + BREAK_COSTS[start % 4] + lonely + (TORN_ENDING_COST if row[0] in torn else 0)


def _with_pickup(score: Score, found: list[tuple[int, ...]]) -> tuple[tuple[int, ...], ...]:
    if score.bars[0].start >= 0:
        return tuple(found)
    if not found:
        return ((0,),)
    return ((0, *found[0]), *found[1:])
