"""What the pixels of an instant are made from, as a digest: equal digests mean equal pixels, in any film.

A sight names pages, captions and notes of its own timeline. Here each is followed to what is drawn: the bars as they
go to the engraver, the words of a caption, the look. So a scene that has only moved, or stands in another film, is
known again, and one in which a note, a label or a word differs is not.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING, Any, cast

from lessonmaker.digest import digest_of
from lessonmaker.picture.cards import card_texts
from lessonmaker.picture.page import Engraving, RowOrder
from lessonmaker.picture.sight import Dissolve, Mark, Sight
from lessonmaker.score.cut import cut_bars

if TYPE_CHECKING:
    from lessonmaker.picture.painter import Painter

__all__ = ["Contents"]


class Contents:
    """The digests of a painter's pictures."""

    def __init__(self, painter: Painter) -> None:
        self.painter, self.timeline, self.score = painter, painter.timeline, painter.score
        self.grounds: dict[str, str] = {}
        self.pages: dict[int, str] = {}
        self.rows: dict[RowOrder, str] = {}
        self.cuts: dict[tuple[int, ...], str] = {}
        self.bars: dict[int, str] = {}
        self.marks: dict[Mark, str] = {}

    def of(self, key: Hashable) -> str:
        """The digest of a painter's key."""
        if isinstance(key, Dissolve):
            return digest_of(self.of(key.first), self.of(key.second), key.level)
        sight = cast(Sight, key)
        marks = sorted(self.marks.get(mark) or self.mark(mark) for mark in sight.marks)
        return digest_of(self.page(sight.page), "".join(marks))

    def everywhere(self, ground: str) -> str:
        """What every picture on a ground is made from: the film's size and look, its header and its form strip."""
        if ground not in self.grounds:
            film, look = self.timeline, self.painter.look.seen_on(ground)
            strip = (film.form, film.bar_numbers, film.curve)
            self.grounds[ground] = digest_of(self.painter.size, look, film.title, film.edition, strip)
        return self.grounds[ground]

    def page(self, index: int) -> str:
        """A page without marks."""
        if index not in self.pages:
            page = self.timeline.pages[index]
            card = self.painter.look.cards.get(page.kind)
            if card is not None:
                drawn: object = card_texts(card, self.timeline, self.score)
            else:
                orders = [self.painter.order_on(page, bars) if bars else None for bars in page.rows]
                drawn = (page.rows, [order and self.row(order) for order in orders], page.playing)
            self.pages[index] = digest_of(self.everywhere(page.kind if card else "pages"), page.kind, drawn)
        return self.pages[index]

    def row(self, order: RowOrder) -> str:
        """A row: all that the engraver, the labels and the signs are told."""
        if order not in self.rows:
            self.rows[order] = digest_of(order, self.cut(order.bars))
        return self.rows[order]

    def engraving(self, engraving: Engraving) -> str:
        """A system: all that the engraver is told."""
        return digest_of(engraving, self.cut(engraving.bars))

    def cut(self, bars: tuple[int, ...]) -> str:
        """Some bars as they go to the engraver, with the metre before them."""
        if bars not in self.cuts:
            score = self.score
            before = score.bars[bars[0] - 1].metre if bars[0] else None
            music = cut_bars(score, bars, (), True)
            self.cuts[bars] = digest_of(music, before, [self.bar(bar) for bar in bars])
        return self.cuts[bars]

    def bar(self, index: int) -> str:
        """A bar with its chords and notes."""
        if index not in self.bars:
            score = self.score
            changes = [change for change in score.changes if change.bar == index]
            notes = [note for note in score.notes if note.bar == index]
            self.bars[index] = digest_of(score.bars[index], changes, notes)
        return self.bars[index]

    def mark(self, mark: Mark) -> str:
        """A mark, its name followed to what is drawn."""
        if mark not in self.marks:
            self.marks[mark] = digest_of(mark.kind, self.drawn(mark), mark.use, mark.level)
        return self.marks[mark]

    def drawn(self, mark: Mark) -> object:
        """What a mark draws where its name alone does not say it."""
        name = cast(Any, mark.name)
        if mark.kind == "caption":
            caption = self.timeline.captions[name[0]]
            return caption.lines, [(one.line, one.first, one.last, one.use) for one in caption.terms], name[1]
        if mark.kind == "chord":
            return name, dict(self.timeline.heard).get(name)
        return name
