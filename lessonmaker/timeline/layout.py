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

__all__ = ["PlayedRow", "Row", "leading_rows", "played_rows", "rows_in_sight", "three_rows"]

Row = tuple[int, ...]
PAIR = 2


@dataclass(frozen=True)
class PlayedRow:
    """One playing of a system: its bars, and the place in the playing order where it begins."""

    row: Row
    place: int


def played_rows(score: Score, played: Sequence[BarTime], most: int = 4) -> list[PlayedRow]:
    """The systems in the order they are played, of at most `most` bars each."""
    row_of = {bar: row for row in rows(score, most) for bar in row}
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


def leading_rows(order: Sequence[PlayedRow], played: Sequence[BarTime]) -> list[PlayedRow]:
    """Systems that are seen one at a time: each begins with the last bar of the one before, and turns up with it.

    So what comes next is in sight a bar ahead. Where playing jumps there is no such bar.
    """
    found = list(order[:1])
    for one in order[1:]:
        before = played[one.place - 1].bar
        goes_on = one.row[0] == before + 1 and one.place - 1 > found[-1].place
        found.append(PlayedRow((before, *one.row), one.place - 1) if goes_on else one)
    return found


def rows_in_sight(order: Sequence[PlayedRow], index: int, count: int) -> tuple[tuple[Row, ...], int]:
    """The `count` systems in sight while the one at `index` plays, and which of them that is.

    Of two, the one that plays stays where it is, and the other gives way to the one after it. Of more, the second
    one plays, as in `three_rows`.
    """
    first = max(index - 1, 0) if count > PAIR else index
    shown = [order[place].row if place < len(order) else () for place in range(first, first + count)]
    if count == PAIR and index % PAIR:
        return (shown[1], shown[0]), 1
    return tuple(shown), index - first
