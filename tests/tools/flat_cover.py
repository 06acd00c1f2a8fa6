"""A picture of two flat halves for tests of what is laid over a film."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from lessonmaker.picture.raster import Area
from lessonmaker.timeline.model import TICKS_PER_SECOND

__all__ = ["FlatCover"]

Half = tuple[tuple[int, int, int], int]  # red, green, blue, straight, and cover


class FlatCover:
    """Two halves side by side, each of a colour and a cover, that change places at some seconds."""

    def __init__(
        self, size: tuple[int, int], halves: tuple[Half, Half], cuts_s: Sequence[Fraction] = ()
    ) -> None:
        self.size, self.halves = size, halves
        self.cuts = [round(cut_s * TICKS_PER_SECOND) for cut_s in cuts_s]

    def changes(self, rate: Fraction) -> list[int]:
        return [0, *(int(cut * rate / TICKS_PER_SECOND) for cut in self.cuts)]

    def key(self, tick: int) -> int:
        return int(np.searchsorted(self.cuts, tick, side="right")) % 2

    def cover(self, key: int) -> tuple[np.ndarray, list[Area]]:
        width, height = self.size
        pixels = np.empty((height, width, 4), np.uint8)
        left, right = self.halves if key == 0 else self.halves[::-1]
        for columns, (colour, cover) in ((slice(width // 2), left), (slice(width // 2, None), right)):
            pixels[:, columns] = (*(round(value * cover / 255) for value in colour), cover)
        return pixels, [Area(0, 0, width, height)]
