"""Text as outlines: measured, and set on a line.

A `Setting` is a piece of text set with its origin at the start of the baseline, x rightwards, y downwards, in
pixels. Accidentals (♭ ♮ ♯) are drawn from Bravura, scaled and thickened to sit beside the text.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from lessonmaker.picture.faces import Face
from lessonmaker.picture.fonts import (
    ACCIDENTALS,
    UNITS_PER_EM,
    accidental,
    glyph_extents,
    glyph_outline,
    has_character,
    shape,
)
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.shapes import Box, Shape, union

__all__ = [
    "Setting",
    "drawable",
    "join",
    "set_text",
    "shorten",
]

RUNS = re.compile(f"[{''.join(ACCIDENTALS)}]|[^{''.join(ACCIDENTALS)}]+")
ACCIDENTAL_NAMES = {"♭": "flat", "♮": "natural", "♯": "sharp"}
DOUBLE_SIGNS = {"𝄫": "♭♭", "𝄪": "♯♯"}
REPLACEMENT = "?"
BOLD_FROM = 600


@dataclass(frozen=True)
class Setting:
    """Text set on a line: outlines, advance, ink box (None where nothing is inked), and where its baseline is."""

    shapes: tuple[Shape, ...]
    advance: float
    box: Box | None
    baseline: float = 0.0

    def at(self, x: float, y: float) -> Setting:
        """The same text with its origin at x, y; the advance is unchanged."""
        shapes = tuple(shape.moved(x, y) for shape in self.shapes)
        return Setting(shapes, self.advance, self.box and self.box.moved(x, y), self.baseline + y)

    def spaced(self, advance: float) -> Setting:
        """The same letters over another advance: a little more or less air between all of them."""
        share = advance / self.advance if self.advance else 1.0
        shapes = tuple(shape.moved(shape.x * (share - 1), 0.0) for shape in self.shapes)
        wider = advance - self.advance
        box = self.box and Box(self.box.left, self.box.top, self.box.right + wider, self.box.bottom)
        return Setting(shapes, advance, box, self.baseline)


def join(settings: tuple[Setting, ...]) -> Setting:
    """Settings one after the other on one baseline."""
    shapes: list[Shape] = []
    boxes: list[Box] = []
    x = 0.0
    for setting in settings:
        placed = setting.at(x, 0.0)
        shapes += placed.shapes
        boxes += [placed.box] if placed.box else []
        x += setting.advance
    return Setting(tuple(shapes), x, union(boxes))


@lru_cache(maxsize=4096)
def set_text(text: str, face: Face, size: float) -> Setting:
    """Set one line of text. Accidentals in it come from Bravura, everything else from the face.

    Args:
        text: what to set; characters the face lacks are replaced (see `drawable`).
        face: the text face.
        size: pixels an em.
    """
    runs = RUNS.findall(drawable(text, face))
    return join(tuple(set_run(run, face, size) for run in runs))


def set_run(run: str, face: Face, size: float) -> Setting:
    """A run that is one accidental, or plain text."""
    if run in ACCIDENTALS:
        return set_accidental(run, size, bold=face.weight >= BOLD_FROM)
    return set_plain(run, face, size)


def set_plain(text: str, face: Face, size: float) -> Setting:
    """Shape text in one face."""
    scale = size / UNITS_PER_EM
    glyphs, advance = shape(text, face)
    shapes, boxes = [], []
    for glyph in glyphs:
        outline = glyph_outline(face, glyph.number)
        if outline:
            left, bottom, right, top = glyph_extents(face, glyph.number)
            x, y = glyph.x * scale, -glyph.y * scale
            shapes.append(Shape(outline, x, y, scale, -scale))
            boxes.append(Box(left * scale, -top * scale, right * scale, -bottom * scale).moved(x, y))
    return Setting(tuple(shapes), advance * scale, union(boxes))


def set_accidental(character: str, size: float, *, bold: bool) -> Setting:
    """An accidental beside text of a size: its height and weight fit the figures, its foot the baseline."""
    look = standard_look()
    glyph = accidental(character)
    name = ACCIDENTAL_NAMES[character]
    height = look.size("accidental", name) * size
    scale = height / (glyph.top - glyph.bottom)
    stroke = look.size("accidental", "bold_stroke" if bold else "regular_stroke")
    side = look.size("accidental", "side") * size
    drop = accidental_drop(name, size, height)
    half = stroke / 2 * scale
    outline = Shape(glyph.outline, side, drop + glyph.bottom * scale, scale, -scale, line=2 * half)
    width = glyph.width * scale
    box = Box(side - half, drop - height - half, side + width + half, drop + half)
    return Setting((outline,), width + 2 * side, box)


def accidental_drop(name: str, size: float, height: float) -> float:
    """How far the foot hangs below the baseline: sharps and naturals stand centred on the figures."""
    figure_height = 0.65 * size
    return 0.03 * size if name == "flat" else (height - figure_height) / 2


@lru_cache(maxsize=1024)
def drawable(text: str, face: Face) -> str:
    """The text with every character that the face cannot draw made plainer ("ạ̈" to "a"), or else "?"."""
    return "".join(character if drawn(character, face) else plainer(character, face) for character in text)


def drawn(character: str, face: Face) -> bool:
    """Whether the face, or Bravura for accidentals, has a character."""
    return character in ACCIDENTALS or has_character(face, character)


def plainer(character: str, face: Face) -> str:
    """Two single signs for a double one; else base letters where the face has those, else a question mark."""
    if character in DOUBLE_SIGNS:
        return DOUBLE_SIGNS[character]
    bases = [part for part in unicodedata.normalize("NFKD", character) if not unicodedata.combining(part)]
    return "".join(bases) if bases and all(drawn(part, face) for part in bases) else REPLACEMENT


def shorten(text: str, face: Face, sizes: tuple[float, ...], width: float) -> Setting:
    """The text at the first of the sizes at which it fits; at the last, cut with an ellipsis where it must be."""
    for size in sizes:
        setting = set_text(text, face, size)
        if setting.advance <= width:
            return setting
    for length in range(len(text) - 1, 0, -1):
        setting = set_text(text[:length].rstrip(" ,.;:-–") + "…", face, sizes[-1])
        if setting.advance <= width:
            return setting
    return set_text("…", face, sizes[-1])
