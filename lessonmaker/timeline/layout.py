"""Which systems are in sight in a performance.

The playing system is the middle one of three from the second system on, so that the eye learns one place and
the next system is in sight a whole system early.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Score
from lessonmaker.score.rows import rows
from lessonmaker.sound.model import BarTime

__all__ = ["PlayedRow", "Row", "played_rows", "three_rows"]

Row = tuple[int, ...]


@dataclass(frozen=True)
class PlayedRow:
    """One playing of a system: its bars, and the place in the playing order where it begins."""

    row: Row
    place: int


def played_rows(score: Score, played: Sequence[BarTime]) -> list[PlayedRow]:
    """The systems in the order they are played."""
    row_of = {bar: row for row in rows(score) for bar in row}
    found: list[PlayedRow] = []
    for place, bar in enumerate(played):
        row = row_of[bar.bar]
        goes_on = place and found[-1].row == row and bar.bar > played[place - 1].bar
        if not goes_on:
            found.append(PlayedRow(row, place))
    return found


def three_rows(order: Sequence[PlayedRow], index: int) -> tuple[tuple[Row, ...], int]:
    """The three systems in sight while the one at `index` plays, and which of them that is."""
    first = max(index - 1, 0)
    shown = [order[place].row if place < len(order) else () for place in range(first, first + 3)]
    return tuple(shown), index - first
