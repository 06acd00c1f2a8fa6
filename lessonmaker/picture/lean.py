"""An engraved system's SVG made cheaper to draw, with the same pixels.

CairoSVG spends its time on elements, not on ink: glyphs are put where they are used instead of being looked up, and
straight strokes of one width are joined into one path.
"""

from __future__ import annotations

import re

__all__ = ["lean_svg"]

DEFINITIONS = re.compile(r"<defs>(.*?)</defs>", re.DOTALL)
GLYPH = re.compile(r'<g id="(\w+)"><path transform="scale\(1,-1\)" d="([^"]*)"/></g>')
USE = re.compile(r"<use ([^>]*)/>")
LAYER = re.compile(r'(<g fill="[^"]*" stroke="[^"]*" stroke-width="0">)(.*?)(</g>)', re.DOTALL)
STROKE = re.compile(r'<path d="(M[-\d. ]+ L[-\d. ]+)" stroke-width="([\d.]+)"/>')
ATTRIBUTE = re.compile(r'([\w:]+)="([^"]*)"')


def lean_svg(svg: str) -> str:
    """The same drawing with fewer elements."""
    glyphs = dict(GLYPH.findall(svg))
    without = DEFINITIONS.sub("", svg)
    return LAYER.sub(lambda layer: layer[1] + lean_layer(layer[2], glyphs) + layer[3], without)


def lean_layer(ink: str, glyphs: dict[str, str]) -> str:
    """One layer's elements: all are of one colour, so their order does not matter."""
    strokes: dict[str, list[str]] = {}
    for data, width in STROKE.findall(ink):
        strokes.setdefault(width, []).append(data)
    joined = "".join(
        f'<path d="{" ".join(data)}" stroke-width="{width}"/>' for width, data in strokes.items()
    )
    return joined + USE.sub(lambda use: placed_glyph(use, glyphs), STROKE.sub("", ink))


def placed_glyph(use: re.Match[str], glyphs: dict[str, str]) -> str:
    """A glyph's own outline at the place of its use."""
    attributes = dict(ATTRIBUTE.findall(use[1]))
    name = attributes["xlink:href"].removeprefix("#")
    if name not in glyphs:
        raise ValueError(f"the drawing uses a glyph it does not define: {name}")
    return f'<path transform="{attributes["transform"]} scale(1,-1)" d="{glyphs[name]}"/>'
