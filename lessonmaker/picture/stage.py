"""One page in pixels: its still parts, and the pixels of each mark laid over and under them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, reduce
from typing import Any, cast

import numpy as np

from lessonmaker.picture.canvas import (
    Inks,
    Planes,
    Region,
    Space,
    colour_in,
    mix_weights,
    paint_ink,
    paint_mixed,
    recolour_heads,
)
from lessonmaker.picture.figures import Figure
from lessonmaker.picture.lean import lean_svg
from lessonmaker.picture.look import Look, Rgb
from lessonmaker.picture.marks import (
    Ring,
    area_figures,
    arrow_figures,
    bar_figures,
    chord_figures,
    label_figures,
    note_ring,
    span_figures,
)
from lessonmaker.picture.page import Row
from lessonmaker.picture.raster import Area, Mask, Pixels, area_round, mask, rasterise
from lessonmaker.picture.sight import FULL, Mark
from lessonmaker.theory.chord import Chord

__all__ = ["Engraved", "Layer", "Stage", "engraved", "figures_layer"]

Inked = tuple[Mask, Rgb]
UNDER_ORDER = ("span", "area", "bar", "note")
OVER_ORDER = ("chord", "label", "arrow", "sign", "letter", "cell", "curve", "place", "caption")
ORDER = {kind: place for place, kind in enumerate((*UNDER_ORDER, *OVER_ORDER))}
HEAD_LAYER = 1  # of the weights
STAFF, HEADS, OTHER = "#ff0000", "#00ff00", "#0000ff"


@dataclass(frozen=True)
class Layer:
    """A mark in pixels: ink under the engraving, ink over it, and noteheads that take a colour."""

    under: tuple[Inked, ...] = ()
    over: tuple[Inked, ...] = ()
    notes: tuple[tuple[Area, Rgb], ...] = ()

    @cached_property
    def areas(self) -> list[Area]:
        """Every area that the mark changes."""
        masks = [one.area for one, _ in (*self.under, *self.over)]
        return masks + [area for area, _ in self.notes]

    @cached_property
    def bounds(self) -> Area:
        """Around everything it changes."""
        return reduce(Area.joined, self.areas) if self.areas else Area(0, 0, 0, 0)


Laid = tuple[Mark, Layer]


@dataclass(frozen=True, eq=False)
class Engraved:
    """A row in pixels, with its top staff line at y 0 or at its place on a page.

    `weights` (4, height, width) are those of `mix_weights`, chord symbols among the other ink; `opening` is the
    section letter or bar number at the left. `still` keeps the row's planes on bare paper, by whether its
    top is odd, for all pages that show it.
    """

    row: Row
    area: Area
    weights: Pixels
    opening: tuple[Inked, ...]
    still: dict[int, Planes] = field(default_factory=dict)
    mixed: dict[Space, Region] = field(default_factory=dict)

    def mixed_in(self, space: Space, inks: Inks) -> Region:
        """The weights as colours, kept once made (a look has but one set of inks)."""
        if space not in self.mixed:
            self.mixed[space] = mix_weights(self.weights, inks, space)
        return self.mixed[space]

    def moved(self, row: Row, down: int) -> Engraved:
        """The same pixels lower down, as `row` stands there."""
        opening = tuple((Mask(one.area.moved(0, down), one.alpha), colour) for one, colour in self.opening)
        return Engraved(row, self.area.moved(0, down), self.weights, opening, self.still, self.mixed)


def engraved(row: Row, scale: float) -> Engraved:
    """Rasterise a row: staff lines, heads and the rest in three basis colours, chord symbols with the rest."""
    area = area_round(row.ink, scale)
    svg = lean_svg(row.system.coloured(STAFF, HEADS, OTHER))
    drawn = rasterise(svg, area, (row.x, row.y), scale)
    settings = (*row.symbols.values(), *row.texts)
    shapes = [shape for one in settings for shape in one.shapes]
    shapes += [shape for figure in row.endings for shape in figure.shapes]
    cover = mask(shapes, area, scale).alpha.astype(np.uint16)
    rest = np.array([255, 0, 0, 255], np.uint16)[:, None, None]
    mixed = np.moveaxis(drawn, 2, 0) * (255 - cover) + rest * cover
    weights = ((mixed + 127) // 255).astype(np.uint8)
    return Engraved(row, area, weights, tuple(inked(figure, row.look, scale) for figure in row.opening))


def figures_layer(figures: Iterable[Figure], look: Look, scale: float) -> Layer:
    """Figures over the engraving."""
    return Layer(over=tuple(inked(figure, look, scale) for figure in figures))


def inked(figure: Figure, look: Look, scale: float) -> Inked:
    """A figure's mask and colour."""
    return mask(figure.shapes, area_round(figure.box, scale), scale), look.colour(figure.use)


class Stage:
    """A page's still pixels and its marks."""

    def __init__(
        self,
        look: Look,
        scale: float,
        base: Mapping[Space, Pixels],
        systems: Sequence[Engraved],
        playing: int | None,
        elsewhere: Callable[[Mark], Layer],
        heard: Mapping[str, Chord],
    ) -> None:
        """Set a stage.

        Args:
            look: sizes and colours.
            scale: picture pixels a look unit.
            base: what lies under everything, by colour space: paper, header.
            systems: the engraved rows, at their places on the page.
            playing: the row that takes the light where the same bars stand in two; None: all of them.
            elsewhere: gives the layer of a mark outside the staves (caption, strip, header).
            heard: the chords that the capsule shows in place of printed symbols, by change id.
        """
        self.look, self.scale, self.base = look, scale, base
        self.systems, self.playing, self.elsewhere = tuple(systems), playing, elsewhere
        self.heard = heard
        self.layers: dict[tuple[Any, ...], Layer] = {}
        self.inks = Inks(look.colour("staff"), look.colour("ink"), look.colour("ink"))

    def layer(self, mark: Mark) -> Layer:
        """A mark's pixels, made once whatever its level."""
        key = mark[:3]
        if key not in self.layers:
            makers = self.makers
            self.layers[key] = makers[mark.kind](mark) if mark.kind in makers else self.elsewhere(mark)
        return self.layers[key]

    @property
    def makers(self) -> Mapping[str, Callable[[Mark], Layer]]:
        """What makes the marks on the staves."""
        return {
            "bar": self.bar_layer,
            "span": lambda mark: self.light_layer(mark, span_figures),
            "area": lambda mark: self.light_layer(mark, area_figures),
            "note": self.note_layer,
            "chord": lambda mark: self.over_layer(
                lambda row: chord_figures(row, mark.name, self.heard.get(mark.name))
            ),
            "label": lambda mark: self.over_layer(lambda row: label_figures(row, mark.name, mark.use)),
            "sign": lambda mark: self.over_layer(lambda row: list(row.signs.get(mark.name, ()))),
            "arrow": lambda mark: self.over_layer(lambda row: arrow_figures(row, *mark.name)),
        }

    def lit_rows(self) -> list[Engraved]:
        """The rows that may take a light."""
        if self.playing is None:
            return list(self.systems)
        playing = [one for one in self.systems if one.row.bars == self.systems[self.playing].row.bars]
        return [one for one in self.systems if one not in playing] + [self.systems[self.playing]]

    def bar_layer(self, mark: Mark) -> Layer:
        """A bar that sounds."""
        bar = cast(int, mark.name)
        rows = [one.row for one in self.lit_rows() if bar in one.row.bars]
        figures = [figure for row in rows for figure in bar_figures(row, bar)]
        return Layer(under=tuple(inked(figure, self.look, self.scale) for figure in figures))

    def light_layer(self, mark: Mark, figures: Callable[[Row, Any], list[Figure]]) -> Layer:
        """Amber light over bars or notes."""
        found = [figure for one in self.lit_rows() for figure in figures(one.row, mark.name)]
        return Layer(under=tuple(inked(figure, self.look, self.scale) for figure in found))

    def over_layer(self, figures: Callable[[Row], list[Figure]]) -> Layer:
        """Something above the engraving."""
        found = [figure for one in self.lit_rows() for figure in figures(one.row)]
        return figures_layer(found, self.look, self.scale)

    def note_layer(self, mark: Mark) -> Layer:
        """A lit note: its ring under the engraving, its head coloured."""
        note = cast(str, mark.name)
        colour = self.look.colour(mark.use)
        under, notes = [], []
        for one in self.lit_rows():
            if one.row.shape(note) is not None:
                ring = note_ring(one.row, note, mark.use)
                under.append((self.opened(one, ring), colour))
                notes += [(area_round(box, self.scale), colour) for box in ring.coloured]
        return Layer(under=tuple(under), notes=tuple(notes))

    def opened(self, one: Engraved, ring: Ring) -> Mask:
        """A ring's mask, open round the note's own accidental and dots."""
        full, _ = inked(ring.figure, self.look, self.scale)
        if not ring.openings:
            return full
        heads = np.zeros((full.area.height, full.area.width), np.uint8)
        air = max(round(self.look.size("ring", "air") * one.row.kind.space * self.scale), 1)
        for box in ring.openings:
            part = area_round(box, self.scale).common(one.area).common(full.area)
            if not part.empty:
                heads[part.slices(full.area)] = one.weights[HEAD_LAYER][part.slices(one.area)]
        return Mask(full.area, full.alpha - np.minimum(full.alpha, widened(heads, air)))

    def laid(self, marks: Iterable[Mark]) -> list[Laid]:
        """Marks with their pixels, in the order they are painted."""
        return sorted(((mark, self.layer(mark)) for mark in marks), key=painting_order)

    def paint(self, area: Area, laid: Iterable[Laid], space: Space) -> Region:
        """The float pixels (3, height, width) of an area with some marks on it."""
        region = self.base[space][:, area.top : area.bottom, area.left : area.right].astype(np.float32)
        near = [pair for pair in laid if pair[1].bounds.meets(area)]
        for mark, layer in near:
            for ink in layer.under:
                paint_ink(region, area, ink, mark.level / FULL, space)
        self.paint_systems(region, area, near, space)
        for mark, layer in near:
            for ink in layer.over:
                paint_ink(region, area, ink, mark.level / FULL, space)
        return region

    def paint_systems(self, region: Region, area: Area, near: Sequence[Laid], space: Space) -> None:
        """The engraving, with the notes that are lit."""
        for system in self.systems:
            if system.area.meets(area):
                paint_mixed(region, area, system.mixed_in(space, self.inks), system.area)
                self.paint_notes(region, area, system, near, space)
            for ink in system.opening:
                paint_ink(region, area, ink, 1.0, space)

    def paint_notes(
        self, region: Region, area: Area, system: Engraved, near: Sequence[Laid], space: Space
    ) -> None:
        """The colours of the notes that are lit, on an engraving that is already laid."""
        ink = colour_in(space, self.inks.head)
        for mark, layer in near:
            for note, colour in layer.notes:
                difference = (colour_in(space, colour) - ink) * np.float32(mark.level / FULL)
                recolour_heads(region, area, system.weights[HEAD_LAYER], system.area, note, difference)


def painting_order(pair: Laid) -> tuple[int, str]:
    """Marks in an order that does not depend on hashing, so that overlaps are always painted alike."""
    mark = pair[0]
    return ORDER[mark.kind], f"{mark.name} {mark.use} {mark.level}"


def widened(cover: Pixels, by: int) -> Pixels:
    """A mask grown by some pixels each way."""
    for axis in (0, 1):
        padded = np.pad(cover, [(by, by) if axis == which else (0, 0) for which in (0, 1)])
        size = cover.shape[axis]
        slices = [padded.take(range(shift, shift + size), axis) for shift in range(2 * by + 1)]
        cover = np.maximum.reduce(slices)
    return cover
