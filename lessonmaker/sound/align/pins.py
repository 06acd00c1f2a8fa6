"""Places that the author pinned to times, as the search sees them: in beats of a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Score
from lessonmaker.sound.align.line import Line, place_in_bar
from lessonmaker.sound.model import Anchor

__all__ = ["Pin", "pins_of", "pins_on_route"]

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Pin:
    """A place in beats that sounds at a known time."""

    beat: float
    time_s: float


def pins_of(score: Score, line: Line, anchors: Sequence[Anchor]) -> tuple[Pin, ...]:
    """The anchors on a line: at the time round they name, or wherever their bar stands if it has none such."""
    return tuple(
        Pin(place_in_bar(anchor.place, score.bars[anchor.bar], line, order), anchor.time_s)
        for anchor in anchors
        for order in _orders(score, line, anchor)
    )


def _orders(score: Score, line: Line, anchor: Anchor) -> list[int]:
    there = [order for order, visit in enumerate(line.visits) if score.order[visit].bar == anchor.bar]
    exact = [order for order in there if score.order[line.visits[order]].number == anchor.visit]
    return exact or there


def pins_on_route(
    score: Score, played: Line, beat_times: Array, anchors: Sequence[Anchor]
) -> tuple[Pin, ...]:
    """The anchors on a line in the order played: each where its bar is nearest in time; none for a bar skipped.

    Args:
        score: The score.
        played: The line as played.
        beat_times: (beats + 1,) seconds, roughly.
        anchors: What the author pinned.
    """
    pins = []
    for anchor in anchors:
        there = [
            Pin(place_in_bar(anchor.place, score.bars[anchor.bar], played, order), anchor.time_s)
            for order, visit in enumerate(played.visits)
            if score.order[visit].bar == anchor.bar
        ]
        if there:
            expected = np.interp([pin.beat for pin in there], np.arange(len(beat_times)), beat_times)
            pins.append(there[int(np.argmin(np.abs(expected - anchor.time_s)))])
    return tuple(sorted(pins, key=lambda pin: pin.beat))
