"""A take against its score: the steps in order, from samples to a `Fit`."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Score
from lessonmaker.sound.align.answer import Aligned, as_fit
from lessonmaker.sound.align.features import samples_of
from lessonmaker.sound.align.line import Line, follow, line_of
from lessonmaker.sound.align.moved import read_again
from lessonmaker.sound.align.onsets import OnsetStreams, situations
from lessonmaker.sound.align.pins import Pin, pins_of, pins_on_route
from lessonmaker.sound.align.reading import Found, find_reading
from lessonmaker.sound.align.refine import refine
from lessonmaker.sound.align.smooth import place_onsets
from lessonmaker.sound.align.verdict import judge
from lessonmaker.sound.align.weights import trained_weights
from lessonmaker.sound.model import Anchor, Audio, Fit

__all__ = ["fit_take"]

Array = npt.NDArray[np.float64]


def fit_take(score: Score, take: Audio, anchors: Sequence[Anchor] = ()) -> Fit:
    """Find when each bar and note of a score sounds in a take.

    The take may hold anything before and after, leave repeats out or play passages again, sound transposed,
    as a whole or for some bars, and leave the page. A take of something else comes back with `accepted`
    False. Anchors pin places to times.
    """
    line = line_of(score)
    found = find_reading(samples_of(take), line, score.tempo, pins_of(score, line, anchors))
    if not found.rough.route:
        return Fit(False, 0.0, (), (), 0.0, 1.0, {"refused": "the take is shorter than a bar"})
    printed, beat_times, pins = _settle(score, found, anchors)
    reading, played, beat_times, moved = read_again(found.reading, printed, beat_times, pins)
    weights = trained_weights()
    timing = place_onsets(  # which alone holds the streams: of a long take they are much
        OnsetStreams(reading.heard, reading.evidence, reading.lowest, weights.short_pitch),
        played,
        situations(played),
        beat_times,
        weights.onset,
        pins,
    )
    verdict = judge(reading.evidence, reading.lowest, reading.line, printed, timing, found.rough.gain)
    return as_fit(score, Aligned(reading, played, timing, verdict, moved))


def _settle(score: Score, found: Found, anchors: Sequence[Anchor]) -> tuple[Line, Array, tuple[Pin, ...]]:
    """The line as played with refined beat times; each jump re-tried a bar or two earlier and later."""
    reading, route = found.reading, found.rough.route

    def refined(route: Sequence[int], times: Array) -> tuple[float, Line, Array, tuple[Pin, ...]]:
        played = follow(reading.line, route)
        pins = pins_on_route(score, played, times, anchors)
        times, gain = refine(reading.evidence, reading.lowest, played, times, pins)
        return gain, played, times, pins

    best = refined(route, found.rough.beat_times)
    for jump in [at for at in range(1, len(route)) if route[at] != route[at - 1] + 1]:
        _, played, times, _ = best
        for moved in _moved_jumps(route, jump, len(reading.line.visits)):
            if follow(reading.line, moved).beats == played.beats:
                other = refined(moved, times)
                if other[0] > best[0] + 1:
                    route, best = moved, other
    return best[1:]


def _moved_jumps(route: tuple[int, ...], jump: int, bars: int) -> list[tuple[int, ...]]:
    """The route with the jump before place `jump` one or two bars earlier and later, where that can be."""
    moved = []
    for by in (-2, -1, 1, 2):
        if not (0 < jump + by < len(route)):
            continue
        if by > 0:
            new = range(route[jump - 1] + 1, route[jump - 1] + 1 + by)
            changed = (*route[:jump], *new, *route[jump + by :])
        else:
            new = range(route[jump] + by, route[jump])
            changed = (*route[: jump + by], *new, *route[jump:])
        if new[0] >= 0 and new[-1] < bars:
            moved.append(changed)
    return moved
