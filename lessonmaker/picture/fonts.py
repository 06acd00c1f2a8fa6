"""The outlines of faces, and of accidentals.

Text is shaped by HarfBuzz in the faces of the look; the accidentals are the SMuFL glyphs U+E260 to U+E262 of Bravura,
whose outlines Verovio carries as SVG. Outlines are in font units (1000 an em), y upwards. Nothing is ever taken from
the fonts of the system.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib import resources

import uharfbuzz as hb
from fontTools.svgLib.path import parse_path

from lessonmaker.picture.faces import Face, FontFile, font_data
from lessonmaker.picture.shapes import Commands, ShapePen

__all__ = [
    "ACCIDENTALS",
    "Accidental",
    "Glyph",
    "accidental",
    "glyph_outline",
    "has_character",
    "shape",
]

UNITS_PER_EM = 1000
ACCIDENTALS = {"♭": "E260", "♮": "E261", "♯": "E262"}
OPTICAL_SIZE = (
    32  # where a font has several, for titles and chord symbols: firm hairlines at 40 to 112 pixels
)
FEATURES = {"lnum": True, "kern": True, "liga": True}


@dataclass(frozen=True)
class Glyph:
    """A shaped glyph: its number in the face, the character it came from, and its place in font units."""

    number: int
    cluster: int
    x: float
    y: float


@dataclass(frozen=True)
class Accidental:
    """An accidental's outline with its box in font units (bottom and top above the baseline)."""

    outline: Commands
    width: float
    bottom: float
    top: float


@cache
def hb_face(file: FontFile) -> hb.Face:
    """A font file."""
    return hb.Face(hb.Blob(font_data(file)))


@cache
def hb_font(face: Face) -> hb.Font:
    """A face at its weight, in font units."""
    font = hb.Font(hb_face(face.file))
    font.scale = (UNITS_PER_EM, UNITS_PER_EM)
    font.set_variations({"wght": face.weight, "opsz": OPTICAL_SIZE})
    return font


@cache
def has_character(face: Face, character: str) -> bool:
    """Whether the face can draw a character."""
    return hb_font(face).get_nominal_glyph(ord(character)) is not None


def shape(text: str, face: Face) -> tuple[tuple[Glyph, ...], float]:
    """The glyphs of a run of text, and its advance, in font units."""
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(hb_font(face), buffer, FEATURES)
    glyphs, x = [], 0.0
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        glyphs.append(Glyph(info.codepoint, info.cluster, x + position.x_offset, float(position.y_offset)))
        x += position.x_advance
    return tuple(glyphs), x


@cache
def glyph_outline(face: Face, number: int) -> Commands:
    """A glyph's outline; empty for a space."""
    pen = ShapePen()
    hb_font(face).draw_glyph_with_pen(number, pen)
    return pen.commands


@cache
def glyph_extents(face: Face, number: int) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of a glyph's ink, in font units."""
    extents = hb_font(face).get_glyph_extents(number)
    left, top = extents.x_bearing, extents.y_bearing
    return left, top + extents.height, left + extents.width, top


@cache
def accidental(character: str) -> Accidental:
    """The SMuFL glyph for ♭, ♮ or ♯.

    Raises:
        KeyError: the character is no accidental.
    """
    data = resources.files("verovio").joinpath("data")
    codepoint = ACCIDENTALS[character]
    drawing = data.joinpath("Bravura", f"{codepoint}.xml").read_text(encoding="utf-8")
    outline = re.search(r'\bd="([^"]+)"', drawing)
    metrics = data.joinpath("Bravura.xml").read_text(encoding="utf-8")
    box = re.search(rf'<g c="{codepoint}" x="[^"]*" y="([^"]*)" w="([^"]*)" h="([^"]*)"', metrics)
    if outline is None or box is None:
        raise RuntimeError(f"Verovio's Bravura has no outline for U+{codepoint}")
    pen = ShapePen()
    parse_path(outline[1], pen)
    bottom, width, height = (float(value) for value in box.groups())
    return Accidental(pen.commands, width, bottom, bottom + height)
