"""One engraved system: where everything in it stands, what is drawn; and systems as bytes that can be kept.

All is in pixels: x from the left edge of the staff, y from the top of the drawing.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from lessonmaker.score.drawing import Box, EndingMark, NoteShape, Obstacle, TextMark

__all__ = ["Ink", "System", "parse_systems", "systems_bytes"]


@dataclass(frozen=True)
class Ink:
    """What is drawn, as pieces of an SVG document: outlines, and three layers of ink in the engraver's own units."""

    glyphs: str
    transform: str
    staff_lines: str
    heads: str
    rest: str


@dataclass(frozen=True)
class System:
    """One engraved system.

    Attributes:
        width: from the left to the right edge of the staff; also the width of the drawing.
        height: the height of the drawing.
        staff_top, staff_bottom: the middles of the outer staff lines.
        space: the distance of two staff lines.
        music_left: where the first bar's music begins, right of clef, key and metre.
        natural_width: how wide the system would like to be; where it is much above `width`, it is crowded.
        bars: each bar between its bar lines, from the top to the bottom staff line, by index.
        notes: the shape of each note, by id.
        changes: where the left edge of each chord symbol stands, by id.
        beats: where each beat begins, in order, and where the last bar ends; only where widths were asked for.
        obstacles: what labels and chord symbols must keep clear of.
        texts: texts the picture draws itself.
        endings: the brackets of endings, which the picture draws itself.
        ink: what is drawn.
        label_share: the share of their size at which the labels have room.
    """

    width: float
    height: float
    staff_top: float
    staff_bottom: float
    space: float
    music_left: float
    natural_width: float
    bars: Mapping[int, Box]
    notes: Mapping[str, NoteShape]
    changes: Mapping[str, float]
    beats: tuple[float, ...]
    obstacles: tuple[Obstacle, ...]
    texts: tuple[TextMark, ...]
    endings: tuple[EndingMark, ...]
    ink: Ink = field(repr=False)
    label_share: float = 1.0

    @property
    def svg(self) -> str:
        """The drawing in black."""
        return self.coloured("#000", "#000", "#000")

    def coloured(self, staff: str, heads: str, rest: str) -> str:
        """The drawing as an SVG document.

        Args:
            staff: the colour of the staff lines.
            heads: the colour of noteheads with their accidentals and dots.
            rest: the colour of everything else.
        """
        layers = ((staff, self.ink.staff_lines), (rest, self.ink.rest), (heads, self.ink.heads))
        groups = "".join(
            f'<g fill="{colour}" stroke="{colour}" stroke-width="0">{ink}</g>' for colour, ink in layers
        )
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            f'width="{self.width:.3f}" height="{self.height:.3f}" '
            f'viewBox="0 0 {self.width:.3f} {self.height:.3f}">{self.ink.glyphs}'
            f'<g transform="{self.ink.transform}">{groups}</g></svg>'
        )


def systems_bytes(systems: Mapping[str, System]) -> bytes:
    """Systems by their names as bytes: plain data, nothing that runs when it is read."""
    plain = {name: asdict(system) for name, system in systems.items()}
    return zlib.compress(json.dumps(plain).encode())


def parse_systems(data: bytes) -> dict[str, System]:
    """Systems from their bytes, equal to those that were kept."""
    return {name: parse_system(about) for name, about in json.loads(zlib.decompress(data)).items()}


def parse_system(about: dict[str, Any]) -> System:
    """A system from what was kept of it."""
    built = {
        "bars": {int(bar): Box(**box) for bar, box in about["bars"].items()},
        "notes": {note: parse_shape(shape) for note, shape in about["notes"].items()},
        "beats": tuple(about["beats"]),
        "obstacles": tuple(Obstacle(one["kind"], Box(**one["box"])) for one in about["obstacles"]),
        "texts": tuple(TextMark(**one) for one in about["texts"]),
        "endings": tuple(EndingMark(**one) for one in about["endings"]),
        "ink": Ink(**about["ink"]),
    }
    return System(**about | built)


def parse_shape(about: dict[str, Any]) -> NoteShape:
    """A note's shape from what was kept of it."""
    boxes = {name: about[name] and Box(**about[name]) for name in ("head", "accidental", "dots", "stem")}
    return NoteShape(**boxes, stem_up=about["stem_up"])
