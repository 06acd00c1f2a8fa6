"""Two places compared: their beats one under the other.

Both rows are engraved to one width, each beat as wide as the wider of the two would like to be. What the engraving
makes of that is measured, and the widths are asked for again until the beats stand under each other as near as can be.
Where a row's first beat stands is not asked for: that is left to its clef, its key and an accidental of its first note.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from lessonmaker.picture.page import Beats
from lessonmaker.score.system import System

__all__ = ["aligned_beats"]

ROUNDS = 6
NEAR_ENOUGH = 4.0  # pixels of a picture 1080 lines high
LOOSEST = 1.25  # how far beyond their natural width short rows are set
LEAST = 0.01
GAIN = 0.9  # how much of what a beat lacks is added a round
Bars = tuple[int, ...]


def aligned_beats(
    engraved: Callable[[Bars, Beats], System], rows: Sequence[Bars], count: int, measure: float
) -> dict[Bars, Beats]:
    """How wide the beats of two rows are to be asked for so that they stand under each other.

    Args:
        engraved: engraves a row with such widths.
        rows: the bars of the two rows.
        count: the beats of either row.
        measure: the widest that a row may be.

    Returns:
        The widths by row; empty where the rows do not have that many beats.
    """
    natural = [engraved(bars, Beats((LEAST,) * count)).beats for bars in rows]
    if any(len(beats) != count + 1 for beats in natural):
        return {}
    left = max(beats[0] for beats in natural)
    wanted = [max(gap) for gap in zip(*map(gaps, natural), strict=True)]
    room = min((measure - left) / sum(wanted), LOOSEST)
    wanted = [width * room for width in wanted]
    asked = [list(wanted) for _ in rows]
    best: tuple[float, dict[Bars, Beats]] = (float("inf"), {})
    for _ in range(ROUNDS):
        orders = {
            bars: Beats(tuple(widths), left + sum(wanted)) for bars, widths in zip(rows, asked, strict=True)
        }
        laid = [engraved(bars, order).beats for bars, order in orders.items()]
        best = min(best, (apart(*(beats[1:] for beats in laid)), orders), key=lambda pair: pair[0])
        if best[0] <= NEAR_ENOUGH:
            break
        asked = [
            corrected(widths, gaps(beats), gaps_from(beats[0], left, wanted))
            for widths, beats in zip(asked, laid, strict=True)
        ]
    return best[1]


def gaps_from(first: float, left: float, wanted: Sequence[float]) -> list[float]:
    """The widths of beats of a row that begins further left: its first beat makes up for that."""
    return [wanted[0] + left - first, *wanted[1:]]


def gaps(beats: Sequence[float]) -> list[float]:
    """The widths of beats."""
    return [later - earlier for earlier, later in pairwise(beats)]


def apart(one: Sequence[float], other: Sequence[float]) -> float:
    """How far the beats of two rows stand from each other at the most."""
    return max(abs(first - second) for first, second in zip(one, other, strict=True))


def corrected(asked: Sequence[float], had: Sequence[float], wanted: Sequence[float]) -> list[float]:
    """The widths to ask for next."""
    return [max(a + GAIN * (w - h), LEAST) for a, h, w in zip(asked, had, wanted, strict=True)]
