"""One page in pixels: its still parts, and the pixels of each mark laid over and under them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np

from lessonmaker.picture.canvas import Inks, Region, paint_ink, paint_weights
from lessonmaker.picture.figures import Figure
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

__all__ = ["Engraved", "Layer", "Stage", "engraved", "figures_layer"]

Inked = tuple[Mask, Rgb]
UNDER_ORDER = ("span", "area", "bar", "note")
OVER_ORDER = ("chord", "label", "arrow", "letter", "cell", "place", "caption")
STAFF, HEADS, OTHER = "#ff0000", "#00ff00", "#0000ff"


@dataclass(frozen=True)
class Layer:
    """A mark in pixels: ink under the engraving, ink over it, and noteheads that take a colour."""

    under: tuple[Inked, ...] = ()
    over: tuple[Inked, ...] = ()
    notes: tuple[tuple[Area, Rgb], ...] = ()

    @property
    def areas(self) -> list[Area]:
        """Every area that the mark changes."""
        masks = [one.area for one, _ in (*self.under, *self.over)]
        return masks + [area for area, _ in self.notes]


@dataclass(frozen=True, eq=False)
class Engraved:
    """A row's engraving and chord symbols as layer weights, with the row's top staff line at y 0."""

    row: Row
    area: Area
    weights: Pixels


def engraved(row: Row, scale: float) -> Engraved:
    """Rasterise a row: staff lines, heads and the rest in three basis colours, chord symbols with the rest."""
    area = area_round(row.ink, scale)
    svg = row.system.coloured(STAFF, HEADS, OTHER)
    weights = rasterise(svg, area, (row.x, row.y), scale)
    inked_in = (*row.symbols.values(), *row.texts, *row.endings)
    shapes = [shape for one in inked_in for shape in one.shapes]
    cover = mask(shapes, area, scale).alpha.astype(np.uint16)[..., None]
    rest = np.array([255, 0, 0, 255], np.uint16)
    mixed = weights * (255 - cover) + rest * cover
    return Engraved(row, area, ((mixed + 127) // 255).astype(np.uint8))


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
        base: Pixels,
        systems: Sequence[Engraved],
        playing: int | None,
        elsewhere: Callable[[Mark], Layer],
    ) -> None:
        """Set a stage.

        Args:
            look: sizes and colours.
            scale: picture pixels a look unit.
            base: (height, width, 3) what lies under everything: paper, header.
            systems: the engraved rows, at their places on the page.
            playing: the row that takes the light where the same bars stand in two; None: all of them.
            elsewhere: gives the layer of a mark outside the staves (caption, strip, header).
        """
        self.look, self.scale, self.base = look, scale, base
        self.systems, self.playing, self.elsewhere = tuple(systems), playing, elsewhere
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
            "chord": lambda mark: self.over_layer(mark, lambda row: chord_figures(row, mark.name)),
            "label": lambda mark: self.over_layer(mark, lambda row: label_figures(row, mark.name, mark.use)),
            "arrow": lambda mark: self.over_layer(mark, lambda row: arrow_figures(row, *mark.name)),
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

    def over_layer(self, mark: Mark, figures: Callable[[Row], list[Figure]]) -> Layer:
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
                heads[part.slices(full.area)] = one.weights[part.slices(one.area)][..., 1]
        return Mask(full.area, full.alpha - np.minimum(full.alpha, widened(heads, air)))

    def paint(self, area: Area, marks: Iterable[Mark]) -> Region:
        """The float pixels of an area with some marks on it."""
        region = self.base[area.top : area.bottom, area.left : area.right].astype(np.float32)
        present = [(mark, self.layer(mark)) for mark in marks]
        near = [pair for pair in present if any(not one.common(area).empty for one in pair[1].areas)]
        for kind in UNDER_ORDER:
            for mark, layer in near:
                if mark.kind == kind:
                    lay(region, area, layer.under, mark.level)
        self.paint_systems(region, area, near)
        for kind in OVER_ORDER:
            for mark, layer in near:
                if mark.kind == kind:
                    lay(region, area, layer.over, mark.level)
        return region

    def paint_systems(self, region: Region, area: Area, near: Sequence[tuple[Mark, Layer]]) -> None:
        """The engraving, with the notes that are lit."""
        notes = tuple((where, colour, mark.level / FULL) for mark, layer in near for where, colour in layer.notes)
        inks = Inks(self.inks.staff, self.inks.head, self.inks.other, notes)
        for system in self.systems:
            paint_weights(region, area, system.weights, system.area, inks)


def lay(region: Region, area: Area, inks: Sequence[Inked], level: int) -> None:
    """Ink at a level."""
    for one, colour in inks:
        paint_ink(region, area, one, colour, level / FULL)


def widened(cover: Pixels, by: int) -> Pixels:
    """A mask grown by some pixels each way."""
    for axis in (0, 1):
        padded = np.pad(cover, [(by, by) if axis == which else (0, 0) for which in (0, 1)])
        size = cover.shape[axis]
        slices = [padded.take(range(shift, shift + size), axis) for shift in range(2 * by + 1)]
        cover = np.maximum.reduce(slices)
    return cover
