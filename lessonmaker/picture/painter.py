"""Painting one instant of a lesson: the room's way in.

A `Painter` answers four questions about a film's picture: when it may change, what is in sight at a tick (a
key: equal keys mean equal pixels), and the pixels of a key as BT.709 planes or of a tick as RGB. It is cheap to make
and to send to another process; pages are engraved when first seen. Only the areas whose marks differ from the picture
painted before are painted again.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, TypeVar, cast

import numpy as np

from lessonmaker.faults import Fault
from lessonmaker.picture.canvas import (
    Planes,
    blend_planes,
    even,
    joined_areas,
    paint_ink,
    paste_planes,
    rgb_to_planes,
    to_bytes,
)
from lessonmaker.picture.cards import card_figures
from lessonmaker.picture.figures import Figure, Frame, caption_figures, header_figures, place_figures
from lessonmaker.picture.look import Look, standard_look
from lessonmaker.picture.page import Row, RowOrder, lay_row, stack_rows
from lessonmaker.picture.raster import Area, Pixels
from lessonmaker.picture.sight import FULL, Dissolve, Mark, Sight, Sights
from lessonmaker.picture.stage import Engraved, Layer, Stage, engraved, figures_layer, inked
from lessonmaker.picture.strip import Strip, layout_strip
from lessonmaker.picture.text import SANS, SERIF, SERIF_SEMIBOLD, drawable
from lessonmaker.score.model import Score
from lessonmaker.timeline.model import TICKS_PER_SECOND, Page, Timeline

__all__ = ["Painter"]

FULL_HD = (1920, 1080)
STANDARD_RATE = Fraction(30)
PAGES_KEPT, ROWS_KEPT, LAYERS_KEPT = 3, 12, 256
CARDS = ("title", "end")
Kept = TypeVar("Kept")


@dataclass
class Screen:
    """A page's planes as last painted, and the marks on them."""

    stage: Stage
    planes: Planes
    marks: frozenset[Mark]


class Store(OrderedDict[Hashable, Kept]):
    """The last few things made, by what they were made from."""

    def __init__(self, size: int) -> None:
        super().__init__()
        self.size = size

    def get_or_make(self, key: Hashable, make: Callable[[], Kept]) -> Kept:
        """What is kept under the key, or newly made."""
        if key not in self:
            self[key] = make()
            if len(self) > self.size:
                self.popitem(last=False)
        self.move_to_end(key)
        return self[key]


class Painter:
    """Paints a timeline in one edition."""

    def __init__(
        self,
        timeline: Timeline,
        score: Score,
        look: Look | None = None,
        size: tuple[int, int] = FULL_HD,
        rate: Fraction = STANDARD_RATE,
    ) -> None:
        """Prepare to paint; nothing is engraved yet.

        Args:
            timeline: what is to be seen when.
            score: the score as the edition prints it.
            look: sizes and colours; the standard look by default.
            size: width and height of the picture in pixels.
            rate: the frames a second of the film. A frame shows what begins before the next frame does: light
                comes up to a frame early and is never late.

        Raises:
            ValueError: the size is odd or not positive.
        """
        if min(size) <= 0 or size[0] % 2 or size[1] % 2:
            raise ValueError(f"a picture of {size[0]} x {size[1]} has no 4:2:0 planes: both sides must be even")
        self.timeline, self.score, self.size = timeline, score, size
        self.look = look or standard_look()
        self.rate = rate
        self.scale = self.look.scale(size[1])
        self.frame = Frame(self.look, size[0] / self.scale)
        self.sights = Sights(timeline, score, math.ceil(TICKS_PER_SECOND / rate) - 1)
        self.forget()

    def __getstate__(self) -> dict[str, Any]:
        """Only what a painter is made from travels to another process."""
        names = ("timeline", "score", "look", "size", "rate")
        return {name: getattr(self, name) for name in names}

    def __setstate__(self, state: dict[str, Any]) -> None:
        """Make the painter again."""
        self.__init__(**state)  # type: ignore[misc]

    def forget(self) -> None:
        """Drop every page and raster made so far."""
        self.screens: Store[Screen] = Store(PAGES_KEPT)
        self.rows: Store[Engraved] = Store(ROWS_KEPT)
        self.layers: Store[Layer] = Store(LAYERS_KEPT)

    def changes(self, rate: Fraction) -> Sequence[int]:
        """The frame numbers at which the picture may differ from the frame before, ascending, 0 among them.

        Args:
            rate: frames a second; frame n is `key(n / rate in ticks)`.
        """
        return self.sights.changes(rate)

    def key(self, tick: int) -> Hashable:
        """What is in sight on the frame that begins at a tick: equal keys mean equal pixels."""
        return self.sights.at(tick)

    def planes(self, key: Hashable) -> Planes:
        """Y (height, width), U and V (height/2, width/2) of a key, uint8, BT.709 limited range.

        The arrays are painted on again by the next call: copy what is to be kept.
        """
        if isinstance(key, Dissolve):
            first, second = self.screen(key.first), self.screen(key.second)
            return blend_planes(first.planes, second.planes, key.level / FULL)
        return self.screen(cast(Sight, key)).planes

    def rgb(self, tick: int) -> Pixels:
        """The picture on the frame that begins at a tick: (height, width, 3), uint8."""
        key = self.sights.at(tick)
        if isinstance(key, Dissolve):
            first, second = self.whole(key.first), self.whole(key.second)
            return to_bytes(first + (second - first) * np.float32(key.level / FULL))
        return to_bytes(self.whole(key))

    @property
    def remarks(self) -> tuple[Fault, ...]:
        """What the fonts could not draw as it is written."""
        texts = [(self.timeline.title, SERIF_SEMIBOLD), (self.timeline.composer, SERIF), (self.timeline.edition, SANS)]
        texts += [(line, SANS) for caption in self.timeline.captions for line in caption.lines]
        altered = [(text, drawable(text, face)) for text, face in dict.fromkeys(texts)]
        return tuple(
            Fault(f"the fonts cannot draw all of {text!r}: it is shown as {shown!r}", "write it in Latin letters")
            for text, shown in altered
            if text != shown
        )

    @property
    def whole_area(self) -> Area:
        """The picture."""
        return Area(0, 0, *self.size)

    def whole(self, sight: Sight) -> np.ndarray[Any, np.dtype[np.float32]]:
        """All float pixels of a sight."""
        return self.screen(sight).stage.paint(self.whole_area, ordered(sight.marks))

    def screen(self, sight: Sight) -> Screen:
        """The page's screen, painted so that it shows the sight."""
        screen = self.screens.get_or_make(sight.page, lambda: self.new_screen(sight.page))
        changed = sight.marks ^ screen.marks
        if changed:
            marks = ordered(sight.marks)
            touched = [area for mark in changed for area in screen.stage.layer(mark).areas]
            for area in joined_areas(sorted(even(area, self.size) for area in touched)):
                paste_planes(screen.planes, rgb_to_planes(screen.stage.paint(area, marks)), area)
            screen.marks = sight.marks
        return screen

    def new_screen(self, page: int) -> Screen:
        """A page without marks."""
        stage = self.stage(self.timeline.pages[page])
        return Screen(stage, rgb_to_planes(stage.paint(self.whole_area, ())), frozenset())

    def stage(self, page: Page) -> Stage:
        """A page's still pixels."""
        figures, systems = [], list[Engraved]()
        if page.kind in CARDS:
            figures = card_figures(self.frame, self.timeline, self.score, page.kind)
        else:
            systems = [one for one in self.page_systems(page) if one is not None]
            figures = header_figures(self.frame, self.timeline.title, self.timeline.edition)
            figures += [figure for system in systems for figure in system.row.opening]
        playing = None if page.playing is None else sum(bool(row) for row in page.rows[: page.playing])
        return Stage(self.look, self.scale, self.base(figures), systems, playing, self.elsewhere)

    def base(self, figures: Sequence[Figure]) -> Pixels:
        """Paper with figures on it."""
        width, height = self.size
        base = np.empty((height, width, 3), np.uint8)
        base[:] = self.look.colour("paper")
        for figure in figures:
            one, colour = inked(figure, self.look, self.scale)
            area = one.area.common(self.whole_area)
            region = base[area.top : area.bottom, area.left : area.right].astype(np.float32)
            paint_ink(region, area, one, colour, 1.0)
            base[area.top : area.bottom, area.left : area.right] = to_bytes(region)
        return base

    def page_systems(self, page: Page) -> list[Engraved | None]:
        """The engraved rows of a page, at their places."""
        rows = [self.row(page.kind, bars) if bars else None for bars in page.rows]
        placed = stack_rows(self.look.kinds[page.kind], [row and row.row for row in rows])
        return [one and row and self.put(one, row) for one, row in zip(rows, placed, strict=True)]

    def put(self, one: Engraved, row: Row) -> Engraved:
        """An engraved row at its place, which is moved to whole pixels."""
        down = round((row.y - one.row.y) * self.scale)
        area = Area(one.area.left, one.area.top + down, one.area.right, one.area.bottom + down)
        return Engraved(one.row.moved(down / self.scale), area, one.weights)

    def row(self, kind: str, bars: tuple[int, ...]) -> Engraved:
        """A row engraved, with its top staff line at y 0."""
        order = self.row_order(kind, bars)
        return self.rows.get_or_make(
            order, lambda: engraved(lay_row(self.look, self.frame, self.score, order), self.scale)
        )

    def row_order(self, kind: str, bars: tuple[int, ...]) -> RowOrder:
        """What a row is made from."""
        first = next((bar for bar in bars if self.timeline.bar_numbers[bar] != "0"), bars[0])
        starts = {section[0]: letter for letter, section in self.timeline.form if section}
        letter = starts.get(bars[0], "") or starts.get(first, "")
        return RowOrder(kind, bars, letter, self.timeline.bar_numbers[first], self.row_labels.get((kind, bars), ()))

    @cached_property
    def row_labels(self) -> dict[tuple[str, tuple[int, ...]], tuple[tuple[str, str], ...]]:
        """The labels that appear in each row while it is in sight."""
        found: dict[tuple[str, tuple[int, ...]], dict[tuple[str, str], None]] = {}
        for page in self.timeline.pages:
            labels = [label for label in self.timeline.labels if label.start < page.end and page.start < label.end]
            for bars in filter(None, page.rows):
                here = ((one.note, one.text) for one in labels if self.sights.note_bars.get(one.note) in bars)
                found.setdefault((page.kind, bars), {}).update(dict.fromkeys(here))
        return {row: tuple(labels) for row, labels in found.items()}

    @cached_property
    def strip(self) -> Strip:
        """The form strip."""
        return layout_strip(self.frame, self.timeline)

    def elsewhere(self, mark: Mark) -> Layer:
        """The layer of a mark outside the staves."""
        return self.layers.get_or_make(
            mark[:3], lambda: figures_layer(self.elsewhere_figures(mark), self.look, self.scale)
        )

    def elsewhere_figures(self, mark: Mark) -> list[Figure]:
        """What a mark outside the staves draws."""
        name = cast(Any, mark.name)
        if mark.kind == "cell":
            return self.strip.cell_figures(name, mark.use)
        if mark.kind == "letter":
            return self.strip.letter_figures(name, current=mark.use == "current")
        if mark.kind == "place":
            return place_figures(self.frame, self.timeline.title, self.timeline.edition, *name)
        caption = self.timeline.captions[name[0]]
        return caption_figures(self.frame, caption, [caption.terms[number] for number in name[1]])


def ordered(marks: frozenset[Mark]) -> list[Mark]:
    """Marks in an order that does not depend on hashing, so that overlaps are always painted alike."""
    return sorted(marks, key=lambda mark: (mark.kind, str(mark.name), mark.use, mark.level))
