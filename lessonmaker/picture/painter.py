"""Painting one instant of a lesson: the room's way in.

A `Painter` answers four questions about a film's picture: when it may change, what is in sight at a tick (a
key: equal keys mean equal pixels), and the pixels of a key as BT.709 planes or of a tick as RGB. It is cheap to make
and to send to another process; pages are engraved when first seen. Only the areas whose marks differ from the picture
painted before are painted again.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple, cast

import numpy as np

from lessonmaker.faults import Fault
from lessonmaker.picture.canvas import (
    Planes,
    Region,
    Space,
    blend,
    blend_planes,
    copy_planes,
    even,
    flat,
    joined_areas,
    paint_ink,
    paint_picture,
    paste_planes,
    to_bytes,
    to_planes,
)
from lessonmaker.picture.cards import card_figures
from lessonmaker.picture.content import Contents
from lessonmaker.picture.engraver import Engraver
from lessonmaker.picture.figures import (
    Figure,
    Frame,
    caption_figures,
    header_figures,
    logo_box,
    place_figures,
)
from lessonmaker.picture.logo import scaled_picture
from lessonmaker.picture.look import Look, Rgb, scale_of, standard_look
from lessonmaker.picture.page import Beats, Row, RowOrder, chord_baseline, engraving_of, lay_row
from lessonmaker.picture.raster import Area, Pixels
from lessonmaker.picture.recent import Recent
from lessonmaker.picture.remarks import remarks_on_texts
from lessonmaker.picture.sight import FULL, Dissolve, Mark, Sight, Sights
from lessonmaker.picture.skyline import place_signs, stack_with_signs
from lessonmaker.picture.stage import Engraved, Laid, Layer, Stage, engraved, figures_layer, inked
from lessonmaker.picture.strip import Strip, layout_strip
from lessonmaker.score.model import PICKUP_NUMBER, Score
from lessonmaker.timeline.model import TICKS_PER_SECOND, Page, SignShape, Timeline

__all__ = ["Painter"]

FULL_HD = (1920, 1080)
STANDARD_RATE = Fraction(30)
PAGES_KEPT, ROWS_BESIDE, GROUNDS_KEPT, LAYERS_KEPT = 3, 5, 3, 256
PageRows = tuple[str, tuple[tuple[int, ...], ...]]
CARDS = ("title", "end")
OWN = "own"  # a scene of the author's, which comes from elsewhere: paper stands in its place


@dataclass
class Screen(ABC):
    """A page as last painted, and the marks on it."""

    stage: Stage
    marks: frozenset[Mark]

    @abstractmethod
    def paint(self, area: Area, laid: Sequence[Laid]) -> None:
        """Paint an even area of the page again, with some marks."""


@dataclass
class PlanesScreen(Screen):
    """A page's planes."""

    planes: Planes

    def paint(self, area: Area, laid: Sequence[Laid]) -> None:
        """Paint an even area of the planes again, with some marks."""
        if not area.empty:
            paste_planes(self.planes, to_planes(self.stage.paint(area, laid, "yuv")), area)


@dataclass
class RgbScreen(Screen):
    """A page's pixels, (height, width, 3)."""

    pixels: Pixels

    def paint(self, area: Area, laid: Sequence[Laid]) -> None:
        """Paint an area of the pixels again, with some marks."""
        if not area.empty:
            region = to_bytes(self.stage.paint(area, laid, "rgb"))
            self.pixels[area.top : area.bottom, area.left : area.right] = np.moveaxis(region, 0, 2)


class Shown(NamedTuple):
    """The labels (note, text) and the signs that may appear under the rows of a page."""

    labels: tuple[tuple[str, str], ...] = ()
    signs: tuple[SignShape, ...] = ()


NOTHING = Shown()


class Grounds(Mapping[Space, Pixels]):
    """A page's ground in either colour space, painted when first asked for."""

    def __init__(self, painter: Painter, name: str) -> None:
        self.painter, self.name = painter, name

    def __getitem__(self, space: Space) -> Pixels:
        return self.painter.ground(self.name, space)

    def __iter__(self) -> Iterator[Space]:
        return iter(("rgb", "yuv"))

    def __len__(self) -> int:
        return 2


class Painter:
    """Paints a timeline in one edition."""

    def __init__(
        self,
        timeline: Timeline,
        score: Score,
        look: Look | None = None,
        size: tuple[int, int] = FULL_HD,
        rate: Fraction = STANDARD_RATE,
        pages_kept: int = PAGES_KEPT,
        paper: Rgb | None = None,
    ) -> None:
        """Prepare to paint; nothing is engraved yet.

        Args:
            timeline: what is to be seen when.
            score: the score as the edition prints it.
            look: sizes and colours, laid out here for the size; the standard look by default.
            size: width and height of the picture in pixels.
            rate: the frames a second of the film. A frame shows what begins before the next frame does: light
                comes up to a frame early and is never late.
            pages_kept: how many pages stay painted: one after the other takes few, any order takes more (at
                1920 x 1080 up to 30 MB each).
            paper: the colour that everything stands on; the look's unless given.

        Raises:
            ValueError: the size is odd or not positive.
        """
        if min(size) <= 0 or size[0] % 2 or size[1] % 2:
            raise ValueError(
                f"a picture of {size[0]} x {size[1]} has no 4:2:0 planes: both sides must be even"
            )
        self.timeline, self.score, self.size = timeline, score, size
        self.rate, self.pages_kept = rate, pages_kept
        self.given_look = look or standard_look()
        self.look, self.scale = self.fit(self.given_look)
        self.paper = self.look.colour("paper") if paper is None else paper
        self.frame = Frame(self.look)
        self.sights = Sights(timeline, score, math.ceil(TICKS_PER_SECOND / rate) - 1)
        self.forget()

    def fit(self, look: Look) -> tuple[Look, float]:
        """The look laid out for the picture, and how many pixels one of its own is."""
        return look.fitted(self.size), scale_of(self.size)

    def __getstate__(self) -> dict[str, Any]:
        """Only what a painter is made from travels to another process."""
        names = ("timeline", "score", "size", "rate", "pages_kept", "paper")
        return {"look": self.given_look} | {name: getattr(self, name) for name in names}

    def __setstate__(self, state: dict[str, Any]) -> None:
        """Make the painter again."""
        self.__init__(**state)  # type: ignore[misc]

    def forget(self) -> None:
        """Drop every page, engraving and raster made so far."""
        self.engraver = Engraver(self)
        self.screens: Recent[PlanesScreen] = Recent(self.pages_kept)
        self.rgb_screens: Recent[RgbScreen] = Recent(self.pages_kept)
        self.stages: Recent[Stage] = Recent(self.pages_kept)
        self.grounds: Recent[Pixels] = Recent(GROUNDS_KEPT)
        self.still_planes: Recent[Planes] = Recent(GROUNDS_KEPT)
        rows = self.pages_kept + ROWS_BESIDE
        self.laid_rows: Recent[Row] = Recent(rows)
        self.rows: Recent[Engraved] = Recent(rows)
        self.layers: Recent[Layer] = Recent(LAYERS_KEPT)

    def changes(self, rate: Fraction) -> Sequence[int]:
        """The frame numbers at which the picture may differ from the frame before, ascending, 0 among them.

        Args:
            rate: frames a second; frame n is `key(n / rate in ticks)`.
        """
        return self.sights.changes(rate)

    def key(self, tick: int) -> Hashable:
        """What is in sight on the frame that begins at a tick: equal keys mean equal pixels."""
        return self.sights.at(tick)

    def content(self, key: Hashable) -> str:
        """A digest of what the pixels of a key are made from: equal ones mean equal pixels, in any film."""
        return self.contents.of(key)

    @cached_property
    def contents(self) -> Contents:
        """The digests made so far."""
        return Contents(self)

    def planes(self, key: Hashable) -> Planes:
        """Y (height, width), U and V (height/2, width/2) of a key, uint8, BT.709 limited range.

        The arrays are painted on again by the next call: copy what is to be kept.
        """
        if isinstance(key, Dissolve):
            first, second = self.screen(key.first), self.screen(key.second)
            return blend_planes(first.planes, second.planes, key.level / FULL)
        return self.screen(cast(Sight, key)).planes

    def rgb(self, tick: int) -> Pixels:
        """The picture on the frame that begins at a tick: (height, width, 3), uint8, the caller's own."""
        key = self.sights.at(tick)
        if isinstance(key, Dissolve):
            first, second = self.rgb_screen(key.first), self.rgb_screen(key.second)
            return blend(first.pixels, second.pixels, key.level / FULL)
        return self.rgb_screen(key).pixels.copy()

    @property
    def remarks(self) -> tuple[Fault, ...]:
        """What could not be drawn as it is written."""
        return tuple(remarks_on_texts(self.frame, self.timeline, self.score))

    @property
    def whole_area(self) -> Area:
        """The picture."""
        return Area(0, 0, *self.size)

    def screen(self, sight: Sight) -> PlanesScreen:
        """The page's planes, painted so that they show the sight."""
        screen = self.screens.get_or_make(sight.page, lambda: self.new_screen(sight.page))
        self.bring(screen, sight)
        return screen

    def rgb_screen(self, sight: Sight) -> RgbScreen:
        """The page's pixels, painted so that they show the sight."""
        screen = self.rgb_screens.get_or_make(sight.page, lambda: self.new_rgb_screen(sight.page))
        self.bring(screen, sight)
        return screen

    def bring(self, screen: Screen, sight: Sight) -> None:
        """Paint what differs between what a screen shows and a sight of its page."""
        changed = sight.marks ^ screen.marks
        if not changed:
            return
        laid = screen.stage.laid(sight.marks)
        touched = [area for mark in changed for area in screen.stage.layer(mark).areas]
        for area in joined_areas(sorted(even(area, self.size) for area in touched)):
            screen.paint(area, laid)
        screen.marks = sight.marks

    def new_rgb_screen(self, page: int) -> RgbScreen:
        """A page without marks."""
        width, height = self.size
        screen = RgbScreen(self.stage(page), frozenset(), np.empty((height, width, 3), np.uint8))
        screen.paint(self.whole_area, ())
        return screen

    def new_screen(self, page: int) -> PlanesScreen:
        """A page without marks: its ground, and what stands on it."""
        stage = self.stage(page)
        screen = PlanesScreen(stage, frozenset(), copy_planes(self.ground_planes(self.ground_of(page))))
        areas = [even(system.area, self.size) for system in stage.systems]
        for system, area in zip(stage.systems, areas, strict=True):
            if alone(area, areas) and self.on_paper(area):
                paste_planes(screen.planes, self.still_row(stage, system, area), area)
            else:
                screen.paint(area, ())
        return screen

    def still_row(self, stage: Stage, system: Engraved, area: Area) -> Planes:
        """The planes of a row without marks, which other pages show too."""
        odd = system.area.top % 2
        if odd not in system.still:
            system.still[odd] = to_planes(stage.paint(area, (), "yuv"))
        return system.still[odd]

    def on_paper(self, area: Area) -> bool:
        """Whether an area lies below the header and wholly within the picture."""
        rule = self.look.size("header", "rule") + self.look.size("header", "rule_line")
        return area.top > rule * self.scale and area.bottom < self.size[1]

    def stage(self, page: int) -> Stage:
        """A page's still pixels."""
        return self.stages.get_or_make(
            page, lambda: self.new_stage(self.timeline.pages[page], self.ground_of(page))
        )

    def new_stage(self, page: Page, ground: str) -> Stage:
        """A page's still pixels, made."""
        systems = [] if page.kind in (*CARDS, OWN) else self.page_systems(page)
        playing = None if page.playing is None else sum(bool(row) for row in page.rows[: page.playing])
        return Stage(
            self.look,
            self.scale,
            Grounds(self, ground),
            systems,
            playing,
            self.elsewhere,
            dict(self.timeline.heard),
        )

    def ground_of(self, page: int) -> str:
        """Which ground a page has: its card's, plain paper, or the header's."""
        kind = self.timeline.pages[page].kind
        return kind if kind in (*CARDS, OWN) else "header"

    def ground(self, name: str, space: Space) -> Pixels:
        """Paper with a card or the header on it: (3, height, width), uint8."""
        return self.grounds.get_or_make((name, space), lambda: self.new_ground(name, space))

    def new_ground(self, name: str, space: Space) -> Pixels:
        """Paper with a card or the header on it, painted."""
        figures: list[Figure] = []
        if name in CARDS:
            figures = card_figures(self.frame, self.timeline, self.score, name)
        elif name != OWN:
            figures = header_figures(self.frame, self.timeline.title, self.timeline.edition)
        region = flat(space, self.whole_area, self.paper)
        for figure in figures:
            paint_ink(region, self.whole_area, inked(figure, self.look, self.scale), 1.0, space)
        self.lay_logo(region, name, space)
        return to_bytes(region)

    def lay_logo(self, region: Region, name: str, space: Space) -> None:
        """Lay the logo over a ground that has it."""
        box, logo = logo_box(self.look, {"header": "pages"}.get(name, name)), self.look.logo
        if box is not None and logo is not None:
            left, top, width, height = (
                round(value * self.scale) for value in (box.left, box.top, box.width, box.height)
            )
            pixels = scaled_picture(logo.picture, max(width, 1), max(height, 1))
            paint_picture(region, self.whole_area, pixels, left, top, space)

    def ground_planes(self, name: str) -> Planes:
        """A ground's planes."""
        return self.still_planes.get_or_make(
            name, lambda: to_planes(self.ground(name, "yuv").astype(np.float32))
        )

    def page_rows(self, page: Page) -> list[Row | None]:
        """The rows of a page laid out at their places, in look units; None is an empty place."""
        stacked = stack_with_signs(self.look.kinds[page.kind], self.rows_alone(page))
        return [self.snapped(row) for row in stacked]

    def rows_alone(self, page: Page) -> list[Row | None]:
        """The rows of a page, each with all its signs, before they share the page's room."""
        widths = self.engraver.beat_widths(page)
        shown = self.shown_on(page)
        return [
            self.laid_row(page.kind, bars, widths.get(bars), shown) if bars else None for bars in page.rows
        ]

    @cached_property
    def signed_pages(self) -> list[int]:
        """The pages under whose rows signs hang, without those that look as one before."""
        pages = enumerate(self.timeline.pages)
        return [at for at, page in pages if self.sights.same_page[at] == at and self.shown_on(page).signs]

    @cached_property
    def left_out(self) -> tuple[tuple[Page, frozenset[str]], ...]:
        """The kinds of signs that had no room, by the first page that looks so."""
        found = []
        for page in map(self.timeline.pages.__getitem__, self.signed_pages):
            wanted = {shape for row in self.rows_alone(page) if row is not None for shape in row.signs}
            kept = {shape for row in self.page_rows(page) if row is not None for shape in row.signs}
            if wanted != kept:
                found.append((page, frozenset(shape.kind for shape in wanted - kept)))
        return tuple(found)

    def order_on(self, page: Page, bars: tuple[int, ...]) -> RowOrder:
        """What a row of a page is made from, but for the beats of a compared row: these follow from the other's."""
        return self.row_order(page.kind, bars, None, self.shown_on(page))

    def shown_on(self, page: Page) -> Shown:
        """What may appear under the rows of a page."""
        key = page.kind, page.rows
        return Shown(self.page_labels.get(key, ()), self.page_signs.get(key, ()))

    def snapped(self, row: Row | None) -> Row | None:
        """A row moved to whole pixels, so that its raster serves every place."""
        if row is None:
            return None
        home = -row.system.staff_top
        return row.moved(round((row.y - home) * self.scale) / self.scale - (row.y - home))

    def page_systems(self, page: Page) -> list[Engraved]:
        """The engraved rows of a page, at their places."""
        return [self.put(page.kind, row) for row in self.page_rows(page) if row is not None]

    def put(self, kind: str, row: Row) -> Engraved:
        """A row that stands at its place on a page, engraved; its raster is that of the row's top line at y 0."""
        home = row.moved(-row.staff_top)
        key = (
            self.row_order(kind, row.bars, row.beats, Shown(tuple(row.labels), tuple(row.signs))),
            round(chord_baseline(home), 3),
        )
        one = self.rows.get_or_make(key, lambda: engraved(home, self.scale))
        return one.moved(row, round(row.staff_top * self.scale))

    def laid_row(
        self, kind: str, bars: tuple[int, ...], beats: Beats | None = None, shown: Shown = NOTHING
    ) -> Row:
        """A row laid out, with its top staff line at y 0."""
        order = self.row_order(kind, bars, beats, shown)
        return self.laid_rows.get_or_make(order, lambda: self.new_row(order))

    def new_row(self, order: RowOrder) -> Row:
        """A row laid out now."""
        system = self.engraver.system(engraving_of(self.frame, self.score, order))
        return place_signs(lay_row(self.look, self.frame, self.score, order, system), order.signs)

    def row_order(
        self, kind: str, bars: tuple[int, ...], beats: Beats | None = None, shown: Shown = NOTHING
    ) -> RowOrder:
        """What a row is made from."""
        first = next((bar for bar in bars if self.timeline.bar_numbers[bar] != PICKUP_NUMBER), bars[0])
        starts = {section[0]: letter for letter, section in self.timeline.form if section}
        letter = starts.get(bars[0], "") or starts.get(first, "")
        labels = tuple(name for name in shown.labels if self.sights.note_bars.get(name[0]) in bars)
        notes, everywhere = {note for note, _ in labels}, {note for note, _ in shown.labels}
        ends = [{one.from_note, one.to_note} for one in self.timeline.arrows]
        arrows = any(pair <= everywhere and pair & notes for pair in ends)
        here = tuple(shape for shape in shown.signs if self.sights.touches(shape, bars))
        return RowOrder(kind, bars, letter, self.timeline.bar_numbers[first], labels, arrows, here, beats)

    @cached_property
    def page_labels(self) -> dict[PageRows, tuple[tuple[str, str], ...]]:
        """The labels that appear on each page, and on those that look the same."""
        found: dict[PageRows, dict[tuple[str, str], None]] = {}
        for page in self.timeline.pages:
            labels = [one for one in self.timeline.labels if one.start < page.end and page.start < one.end]
            found.setdefault((page.kind, page.rows), {}).update(
                ((one.note, one.text), None) for one in labels
            )
        return {page: tuple(labels) for page, labels in found.items()}

    @cached_property
    def page_signs(self) -> dict[PageRows, tuple[SignShape, ...]]:
        """The signs that appear on each page, and on those that look the same."""
        found: dict[PageRows, dict[SignShape, None]] = {}
        for page in self.timeline.pages:
            signs = [sign for sign in self.timeline.signs if sign.start < page.end and page.start < sign.end]
            found.setdefault((page.kind, page.rows), {}).update((sign.shape, None) for sign in signs)
        return {page: tuple(signs) for page, signs in found.items()}

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
        if mark.kind == "curve":
            return self.strip.curve_figures(self.timeline.curve)
        if mark.kind == "letter":
            return self.strip.letter_figures(name, current=mark.use == "current")
        if mark.kind == "place":
            return place_figures(self.frame, self.timeline.title, self.timeline.edition, *name)
        caption = self.timeline.captions[name[0]]
        return caption_figures(self.frame, caption, [caption.terms[number] for number in name[1]])


def alone(area: Area, areas: Sequence[Area]) -> bool:
    """Whether an area meets no other of some."""
    return sum(area.meets(other) for other in areas) == 1
