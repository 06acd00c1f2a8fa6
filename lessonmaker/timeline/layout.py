"""How much a picture has room for, and which systems are in sight in a performance.

The playing system is the middle one (of three in a wide picture) as soon as one can be, so that the eye learns one
place and the next system is in sight a whole system early.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Score
from lessonmaker.score.rows import MOST_BARS, MOST_HEADS, rows, rows_of
from lessonmaker.sound.model import BarTime

__all__ = [
    "STANDARD_ROOM",
    "PlayedRow",
    "Room",
    "Row",
    "in_turn",
    "leading_rows",
    "played_rows",
    "rows_in_sight",
]

Row = tuple[int, ...]
PAIR = 2


@dataclass(frozen=True)
class Room:
    """What a picture has room for; by default one of 16:9 in the standard look.

    Attributes:
        bars, heads: bars a system at the most, and places with noteheads in a system of several bars.
        played: systems in sight in a performance.
        still: systems of a page that is explained; `busy` where several lanes hang under each.
        large: notes and labels that one or two very large bars may have.
        characters: of a line of captions.
    """

    bars: int = MOST_BARS
    heads: int = MOST_HEADS
    played: int = 3
    still: int = 2
    busy: int = 1
    large: int = 14
    characters: int = 42

    def rows(self, score: Score) -> tuple[Row, ...]:
        """The systems of a score."""
        return rows(score, self.bars, self.heads)

    def rows_of(self, score: Score, bars: Sequence[int]) -> tuple[Row, ...]:
        """The systems of a stretch of bars shown by itself."""
        return rows_of(score, bars, self.bars, self.heads)


STANDARD_ROOM = Room()


@dataclass(frozen=True)
class PlayedRow:
    """One playing of a system: its bars, and the place in the playing order where it begins."""

    row: Row
    place: int


def played_rows(systems: Sequence[Row], played: Sequence[BarTime]) -> list[PlayedRow]:
    """The systems of a score in the order they are played."""
    row_of = {bar: row for row in systems for bar in row}
    found: list[PlayedRow] = []
    for place, bar in enumerate(played):
        row = row_of[bar.bar]
        goes_on = place and found[-1].row == row and bar.bar > played[place - 1].bar
        if not goes_on:
            found.append(PlayedRow(row, place))
    return found


def rows_in_sight(order: Sequence[PlayedRow], index: int, count: int) -> tuple[tuple[Row, ...], int]:
    """The `count` systems in sight while the one at `index` plays, and which of them that is."""
    first = max(index - count // 2, 0)
    shown = [order[place].row if place < len(order) else () for place in range(first, first + count)]
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


def in_turn(order: Sequence[PlayedRow], index: int, count: int) -> tuple[tuple[Row, ...], int]:
    """The `count` systems in sight at places that stay, while the one at `index` plays, and which of them that is.

    Of two, the one that plays stays where it is, and the other gives way to the one after it. Of more, the second
    one plays.
    """
    first = max(index - 1, 0) if count > PAIR else index
    shown = [order[place].row if place < len(order) else () for place in range(first, first + count)]
    if count == PAIR and index % PAIR:
        return (shown[1], shown[0]), 1
    return tuple(shown), index - first
