"""How a score is laid over a film: the options, their bounds and what they are unless given.

The command line and the book file both read them from here; nothing is imported, so that either may at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

__all__ = [
    "FILM_CONTAINERS",
    "LAYER_CONTAINERS",
    "MOST_SYSTEMS",
    "PERCENT",
    "SIDES",
    "STANDARD_STYLE",
    "OverlayStyle",
]

Side = Literal["bottom", "top", "left", "right"]
SIDES: tuple[Side, ...] = get_args(Side)
MOST_SYSTEMS, PERCENT = 6, 100
FILM_CONTAINERS, LAYER_CONTAINERS = ("mp4", "mov", "mkv"), ("mov", "webm")
UPRIGHT_SYSTEMS = 4


@dataclass(frozen=True)
class OverlayStyle:
    """How the score is laid over a film.

    Attributes:
        side: Where the band lies.
        beside: The film is made smaller and stands beside the band, instead of lying under it.
        systems: How many systems are in sight; None: one along the picture, four at its side.
        paper: How much the paper covers what lies behind it, in per cent.
        form: Show the form strip under the systems.
        labels: Label each note with its degree as it sounds.
        chords: Show the chord symbols.
    """

    side: Side = "bottom"
    beside: bool = False
    systems: int | None = None
    paper: int = PERCENT
    form: bool = False
    labels: bool = False
    chords: bool = True

    @property
    def upright(self) -> bool:
        """Whether the band stands at the picture's side."""
        return self.side in ("left", "right")

    @property
    def rows(self) -> int:
        """The systems in sight."""
        return self.systems or (UPRIGHT_SYSTEMS if self.upright else 1)


STANDARD_STYLE = OverlayStyle()
