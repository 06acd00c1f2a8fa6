"""The look: sizes and colours, read from `look.yaml` beside this file.

Sizes are pixels of a picture 1080 lines high; `Look.scale` gives the factor for another height. Colours are
named by use (the timeline's "now", "tension", "rest" among them) and kept as sRGB triples 0 to 255.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import yaml

__all__ = ["Kind", "Look", "Rgb", "standard_look"]

Rgb = tuple[int, int, int]


@dataclass(frozen=True)
class Kind:
    """The sizes of one kind of picture ("play", "analysis", "tension"); see `look.yaml`."""

    staff: float
    tops: list[float]
    single: float
    chord_size: float
    chord_rise: float
    chord_clear: float
    label_size: float
    lane_drop: float
    lane_rise: float
    lane_clear: float
    light_radius: float
    arrow: Mapping[str, float]
    spacing: list[float]
    capsules: bool
    endings: bool
    top: float
    bottom: float

    @property
    def space(self) -> float:
        """The distance of two staff lines."""
        return self.staff / 4


@dataclass(frozen=True)
class Look:
    """All sizes and colours of a picture."""

    colours: Mapping[str, Rgb]
    kinds: Mapping[str, Kind]
    sizes: Mapping[str, Mapping[str, float]]

    def colour(self, use: str) -> Rgb:
        """The colour of a use.

        Raises:
            KeyError: the look has no such use.
        """
        return self.colours[use]

    def size(self, group: str, name: str) -> float:
        """One size of a group, in pixels at 1080 lines.

        Raises:
            KeyError: the look has no such size.
        """
        return self.sizes[group][name]

    def scale(self, height: int) -> float:
        """Pixels of a picture of this height per pixel of the look."""
        return height / self.size("frame", "height")


@cache
def standard_look() -> Look:
    """The look that comes with the program."""
    text = resources.files(__package__).joinpath("look.yaml").read_text(encoding="utf-8")
    return read_look(yaml.safe_load(text))


def read_look(data: dict[str, Any]) -> Look:
    """A look from plain data (the shape of `look.yaml`)."""
    kinds = {name: Kind(**sizes) for name, sizes in data["kinds"].items()}
    colours = {use: hex_to_rgb(value) for use, value in data["colours"].items()}
    sizes = {name: dict(group) for name, group in data.items() if name not in ("kinds", "colours")}
    return Look(colours, kinds, sizes)


def hex_to_rgb(value: str) -> Rgb:
    """`#0067A3` as a triple.

    Raises:
        ValueError: the value is no colour of six hexadecimal digits.
    """
    red, green, blue = bytes.fromhex(value.removeprefix("#"))
    return red, green, blue
