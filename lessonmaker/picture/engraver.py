"""Engraving what the pages of a painter show: a row at a time, and none that is kept from before.

Rows are engraved in *sets*: two whose beats are compared together, as each goes by the other; all others alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, TypeAlias

from lessonmaker.digest import digest_of
from lessonmaker.picture.aligned import aligned_beats
from lessonmaker.picture.page import Beats, Engraving, engraving_of
from lessonmaker.picture.recent import Recent
from lessonmaker.score.system import System
from lessonmaker.timeline.model import Page

if TYPE_CHECKING:
    from lessonmaker.picture.painter import Painter

__all__ = ["Engraver", "RowSet"]

SYSTEMS_AT_HAND = 16
COMPARED = 2

Bars: TypeAlias = tuple[int, ...]
RowSet: TypeAlias = tuple[Bars, ...]
"""The bars of rows of one page that are engraved together."""


class Engraver:
    """Engraves a painter's rows; `kept` are systems from before, by their contents."""

    def __init__(self, painter: Painter) -> None:
        self.painter = painter
        self.kept: Mapping[str, System] = {}
        self.at_hand: Recent[System] = Recent(SYSTEMS_AT_HAND)

    def system(self, engraving: Engraving) -> System:
        """A row, engraved now unless it has been before."""
        return self.at_hand.get_or_make(engraving, lambda: self.kept_or_made(engraving))

    def kept_or_made(self, engraving: Engraving) -> System:
        """A row as it is kept, else engraved now."""
        found = self.kept.get(self.painter.contents.engraving(engraving)) if self.kept else None
        return found or engraving.made(self.painter.score)

    def sets(self, page: Page) -> list[RowSet]:
        """The rows of a page, in sets."""
        rows = [bars for bars in page.rows if bars]
        return [tuple(rows)] if self.compares(page) else [(bars,) for bars in rows]

    def content(self, page: Page, rows: RowSet) -> str:
        """A digest of all that a set of a page's rows is engraved from."""
        return digest_of([self.painter.contents.engraving(self.engraving(page, bars)) for bars in rows])

    def systems(self, page: Page, rows: RowSet) -> dict[str, System]:
        """All that has to be engraved to lay out a set of a page's rows, by content."""
        found: dict[str, System] = {}

        def engrave(engraving: Engraving) -> System:
            return found.setdefault(self.painter.contents.engraving(engraving), self.system(engraving))

        beats = self.beat_widths(page, engrave) if len(rows) > 1 else {}
        for bars in rows:
            engrave(self.engraving(page, bars, beats.get(bars)))
        return found

    def engraving(self, page: Page, bars: Bars, beats: Beats | None = None) -> Engraving:
        """What the engraver is told of a row of a page."""
        painter = self.painter
        order = painter.row_order(page.kind, bars, beats, painter.shown_on(page))
        return engraving_of(painter.frame, painter.score, order)

    def compares(self, page: Page) -> bool:
        """Whether a page shows two places whose beats are to stand under each other."""
        rows = [bars for bars in page.rows if bars]
        if len(rows) != COMPARED or rows[1][0] == rows[0][-1] + 1:
            return False
        return self.beats_in(rows[0]) == self.beats_in(rows[1])

    def beats_in(self, bars: Bars) -> list[int]:
        """How many beats each of some bars has."""
        every = (self.painter.score.bars[bar] for bar in bars)
        return [int(bar.length / bar.metre.unit_quarters) for bar in every]

    def beat_widths(
        self, page: Page, engrave: Callable[[Engraving], System] | None = None
    ) -> dict[Bars, Beats]:
        """How wide the beats of two places are to be that are compared; else nothing."""
        if not self.compares(page):
            return {}
        rows = [bars for bars in page.rows if bars]
        frame, engrave = self.painter.frame, engrave or self.system

        def with_beats(bars: Bars, beats: Beats) -> System:
            return engrave(self.engraving(page, bars, beats))

        return aligned_beats(with_beats, rows, sum(self.beats_in(rows[0])), frame.right - frame.left)
