"""Metres: beats and their groups."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["Metre"]


@dataclass(frozen=True)
class Metre:
    """A time signature; `groups` are the printed additive groups in units of `unit`, (2, 2, 3) for 2+2+3/4."""

    beats: int
    unit: int
    groups: tuple[int, ...] = ()

    @property
    def bar_quarters(self) -> Fraction:
        """The length of a full bar in quarters."""
        return Fraction(4 * self.beats, self.unit)
