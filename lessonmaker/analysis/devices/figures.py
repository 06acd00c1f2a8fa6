"""Figures: a few notes in a row that may come again, and what makes them one's own. Common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.lines import Heard, position_in_bar

__all__ = ["LEAP", "SHORTEST_STEPS", "Figure", "intervals", "is_displaced", "is_own", "turns"]

Figure = tuple[Heard, ...]
LEAP = 3  # semitones
SHORTEST_STEPS = 2  # intervals of a figure that is known only by its rhythm and its leaps
FEWEST_EVEN = 5  # intervals of a figure in even notes
DISPLACED_WITHIN_BARS = 3  # less than so many from start to start: a phrase of two bars and its answer


def intervals(figure: Figure) -> list[int]:
    """The interval from each note to the next, in semitones."""
    return [later.pitch - earlier.pitch for earlier, later in pairwise(figure)]


def turns(steps: Sequence[int]) -> int:
    """How often a line of intervals turns round."""
    return sum(one * other < 0 for one, other in pairwise(steps))


def is_own(gaps: Sequence[int] | Sequence[Fraction], steps: Sequence[int]) -> bool:
    """Whether a figure has something of its own: an uneven rhythm and a leap, or several leaps and turns.

    Args:
        gaps: the time from each onset to the next, in any unit.
        steps: the interval from each note to the next, in semitones.
    """
    leaps = sum(abs(step) >= LEAP for step in steps)
    if len(steps) == SHORTEST_STEPS:
        return len(set(gaps)) > 1 and leaps == len(steps)
    if len(set(gaps)) > 1:
        return leaps > 0
    return len(steps) >= FEWEST_EVEN and leaps > 1 and turns(steps) > 0


def is_displaced(earlier: Figure, later: Figure) -> bool:
    """Whether two figures, one soon after the other, begin at different places of the bar.

    A figure on each half or beat of the bar is said again, not displaced.
    """
    bar, period = earlier[0].bar.metre.bar_quarters, later[0].note.onset - earlier[0].note.onset
    near = period < DISPLACED_WITHIN_BARS * bar and bar % period != 0
    places = {position_in_bar(figure[0].note.onset, figure[0].bar) for figure in (earlier, later)}
    return near and len(places) > 1
