"""Metres: beats and their groups, and which notes share a beam.

Groupings of metres that print none are common practice, no source: a quarter a beat over 4 and larger
units, three eighths over 8 where the count divides by three, twos with a three last otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

__all__ = ["Metre"]

IRREGULAR_GROUPS = {
    5: (3, 2),
    7: (2, 2, 3),
    8: (3, 3, 2),
    10: (3, 2, 3, 2),
    11: (3, 3, 3, 2),
    13: (3, 3, 3, 2, 2),
}


@dataclass(frozen=True)
class Metre:
    """A time signature; `groups` are printed additive groups in units of `unit`: (2, 2, 3) for 2+2+3/4."""

    beats: int
    unit: int
    groups: tuple[int, ...] = ()

    @property
    def bar_quarters(self) -> Fraction:
        """The length of a full bar in quarters."""
        return Fraction(4 * self.beats, self.unit)

    @property
    def unit_quarters(self) -> Fraction:
        """The length of the printed unit (the lower figure) in quarters."""
        return Fraction(4, self.unit)

    @property
    def is_compound(self) -> bool:
        """True for 6, 9, 12 ... over 8 or shorter without printed groups: felt in dotted beats."""
        return self.unit >= 8 and self.beats > 3 and self.beats % 3 == 0 and not self.groups

    @property
    def beat_groups(self) -> tuple[int, ...]:
        """Units a felt beat: (1, 1, 1, 1) for 4/4, (3, 3) for 6/8, (2, 2, 3) for 7/8."""
        if self.unit < 8:
            return (1,) * self.beats
        if self.groups:
            return self.groups
        if self.beats % 3 == 0:
            return (3,) * (self.beats // 3)
        return IRREGULAR_GROUPS.get(self.beats, _twos(self.beats))

    @property
    def beat_starts(self) -> tuple[Fraction, ...]:
        """Where the felt beats begin, in quarters from the start of the bar."""
        return tuple(units * self.unit_quarters for units in accumulate((0, *self.beat_groups[:-1])))

    def beam_spans(self) -> Iterator[tuple[Fraction, Fraction]]:
        """Start and end of each stretch of a bar under one beam, in quarters: at most a felt beat."""
        starts = self._beam_starts()
        yield from zip(starts, (*starts[1:], self.bar_quarters), strict=True)

    def _beam_starts(self) -> tuple[Fraction, ...]:
        if self.unit >= 4:
            return self.beat_starts
        return tuple(Fraction(quarter) for quarter in range(int(self.bar_quarters)))

    def __str__(self) -> str:
        figures = "+".join(map(str, self.groups)) if self.groups else str(self.beats)
        return f"{figures}/{self.unit}"


def _twos(beats: int) -> tuple[int, ...]:
    """Twos, with a three last for an odd count."""
    if beats < 4:
        return (beats,)
    return (2,) * (beats // 2 - beats % 2) + (3,) * (beats % 2)
