"""Whether anything on a page stands on something else.

Every box that the layout places (chord symbols, section letters, bar numbers, endings, texts, labels) is compared with
every box of the engraving, with each other, across systems, and with the page's own edges. What only lies over the
music for a moment by intent (rings, lights, capsules, arrows) is not compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from lessonmaker.picture.page import Row
from lessonmaker.picture.shapes import Box

__all__ = ["Collision", "Item", "collisions", "everything", "row_items"]

AIR_PX = 3.0


@dataclass(frozen=True)
class Item:
    """Something with a place: what it is, whose (a note's or chord symbol's id, a bar number), and its box."""

    what: str
    name: str
    box: Box


@dataclass(frozen=True)
class Collision:
    """Two things that come nearer than the air between them should be."""

    first: Item
    second: Item


def row_items(row: Row) -> list[Item]:
    """What the layout has placed in a row."""
    items = [Item("chord", change, one.box) for change, one in row.symbols.items() if one.box]
    items += [Item("label", note, one.box) for (note, _), one in row.labels.items() if one.box]
    items += [Item("text", "", one.box) for one in row.texts if one.box]
    opening = [one.box for one in row.opening]
    items += [Item("opening", "", opening[0])] if opening else []
    return items + [Item("ending", "", figure.box) for figure in row.endings]


def engraved_items(row: Row) -> list[Item]:
    """What the engraving has drawn in a row."""
    return [Item(kind, "", box) for kind, box in row.obstacles]


def collisions(rows: Sequence[Row], width: float) -> list[Collision]:
    """Everything on a page that stands on, or nearer than 3 px to, something else.

    Args:
        rows: the page's systems at their places.
        width: the picture's width in look units.
    """
    found = [collision for row in rows for collision in row_collisions(row)]
    for upper, lower in combinations(map(everything, rows), 2):
        found += [Collision(a, b) for a in upper for b in lower if a.box.overlaps(b.box, AIR_PX)]
    return found + [collision for row in rows for collision in outside(row, width)]


def everything(row: Row) -> list[Item]:
    """All of a row."""
    return row_items(row) + engraved_items(row)


def row_collisions(row: Row) -> Iterator[Collision]:
    """What collides within a row."""
    placed, engraved = row_items(row), engraved_items(row)
    for first, second in combinations(placed, 2):
        one_thing = first.what == second.what and (first.name == second.name or first.what == "ending")
        if not one_thing and first.box.overlaps(second.box, AIR_PX):
            yield Collision(first, second)
    for first in placed:
        for second in engraved:
            if first.box.overlaps(second.box, AIR_PX):
                yield Collision(first, second)


def outside(row: Row, width: float) -> Iterator[Collision]:
    """What leaves the room between header and captions or strip, or the measure at either side."""
    look = row.look
    left, right = look.size("frame", "left"), width - look.size("frame", "right")
    header = look.size("header", "rule") + look.size("header", "rule_line")
    room = Box(left - AIR_PX, header + AIR_PX, right + AIR_PX, row.kind.bottom + 1)
    for item in everything(row):
        box = item.box
        if box.left < room.left or box.right > room.right or box.top < room.top or box.bottom > room.bottom:
            yield Collision(item, Item("page", "", room))
