"""Motifs: a figure that comes back later in the etude; and figures that come back elsewhere in the bar.

Common practice, no source: a motif is known again by its rhythm and contour, on another pitch too, and where an
interval gives way by a half step. A figure that could be anybody's (a few steps in even notes) is none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.analysis.devices.figures import (
    LEAP,
    SHORTEST_STEPS,
    Figure,
    intervals,
    is_displaced,
    is_own,
    turns,
)
from lessonmaker.analysis.etude import Etude, Ticks, device_of
from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words

__all__ = ["motifs_of"]

LENGTHS = range(9, 2, -1)
MOST = 8
NEAR = 1
FEWEST_SHORT = 3  # statements of three notes, on other pitches, at one place of the bar
FEWEST_VARIED = 4  # intervals of a figure that may come back varied
FEWEST_MOVED_AND_VARIED = (
    7  # notes of a figure in an uneven rhythm that may come back varied on another pitch, once
)


def motifs_of(etude: Etude) -> tuple[Device, ...]:
    """The motifs that return after a bar or more, longest first chosen; and displaced figures."""
    taken: set[str] = set()
    motifs: list[list[Figure]] = []
    for length in LENGTHS:
        for places in _families(etude, length):
            free = [figure for figure in places if not taken & {heard.note.id for heard in figure}]
            if len(free) > 1 and len(motifs) < MOST and _is_known_again(free):
                taken.update(heard.note.id for figure in free for heard in figure)
                motifs.append(free)
    found = [device for places in motifs for device in _devices(places)]
    return tuple(sorted(found, key=lambda device: device.span.start))


def _families(etude: Etude, length: int) -> Iterator[list[Figure]]:
    """The figures of a length that are alike, each family without overlaps, the largest families first."""
    line, ticks = etude.melody, etude.melody_ticks
    buckets: dict[tuple[object, ...], list[Figure]] = defaultdict(list)
    for first in range(len(line) - length + 1):
        inner = slice(first, first + length - 1)
        own = is_own(ticks.gaps[inner], ticks.steps[inner]) or _comes_to_rest(ticks, first, length)
        if own and not any(ticks.breaks[inner]):
            shape = *ticks.gaps[inner], *((step > 0) - (step < 0) for step in ticks.steps[inner])
            buckets[shape].append(tuple(line[first : first + length]))
    families = [family for figures in buckets.values() if len(figures) > 1 for family in _alike(figures)]
    yield from sorted(families, key=lambda family: (-len(family), family[0][0].note.onset))


def _comes_to_rest(ticks: Ticks, first: int, length: int) -> bool:
    """Whether five even notes with several leaps and a turn end on a longer one, which makes their rhythm their own."""
    inner, last = slice(first, first + length - 1), first + length - 1
    longer = ticks.ends[last] - ticks.onsets[last] >= 2 * ticks.gaps[last - 1]
    even = len(set(ticks.gaps[inner])) == 1
    leaps = sum(abs(step) >= LEAP for step in ticks.steps[inner])
    return length == FEWEST_VARIED + 1 and even and longer and leaps > 1 and turns(ticks.steps[inner]) > 0


def _is_uneven(figure: Figure) -> bool:
    return len({later.note.onset - earlier.note.onset for earlier, later in pairwise(figure)}) > 1


def _alike(figures: Sequence[Figure]) -> Iterator[list[Figure]]:
    """Of figures in one rhythm the families whose intervals are the same, or near where the rhythm is uneven."""
    near = NEAR if len(figures[0]) > FEWEST_VARIED and _is_uneven(figures[0]) else 0
    left = [(figure, intervals(figure)) for figure in figures]
    while left:
        first, model = left[0]
        family: list[Figure] = []
        rest: list[tuple[Figure, list[int]]] = []
        for figure, own in left:
            same = all(abs(one - other) <= near for one, other in zip(model, own, strict=True))
            if same and (not family or figure[0].note.onset >= family[-1][-1].end):
                family.append(figure)
            else:
                rest.append((figure, own))
        if len(family) > 1:
            yield family
        left = [each for each in rest if each[0][0] is not first[0]]


def _returns(places: Sequence[Figure]) -> bool:
    """Whether a figure comes back after it has been away for a bar."""
    bar = places[0][0].bar.metre.bar_quarters
    return any(later[0].note.onset - earlier[-1].end >= bar for earlier, later in pairwise(places))


def _is_known_again(places: Sequence[Figure]) -> bool:
    """A figure that is both moved and changed is known again where it comes three times, or is long."""
    exact = len({tuple(intervals(figure)) for figure in places}) == 1
    at_pitch = places[0][0].pitch == places[1][0].pitch
    known = exact or len(places) > 2 or at_pitch or len(places[0]) >= FEWEST_MOVED_AND_VARIED
    if not _returns(places):
        return known and any(is_displaced(earlier, later) for earlier, later in pairwise(places))
    in_place = exact and len({figure[0].pitch for figure in places}) == 1
    steps = intervals(places[0])
    if not _is_uneven(places[0]) and turns(steps) == 1:
        return in_place  # a turn alone is anybody's, but not at the same pitch
    spots = {position_in_bar(figure[0].note.onset, figure[0].bar) for figure in places}
    often = exact and len(places) >= FEWEST_SHORT and len(spots) == 1
    return known and (len(places[0]) > SHORTEST_STEPS + 1 or in_place or often)


def _devices(places: Sequence[Figure]) -> Iterator[Device]:
    if _returns(places):
        yield _motif(places)
    for earlier, later in pairwise(places):
        if len(earlier) > FEWEST_VARIED - 1 and is_displaced(earlier, later):
            moved = (
                f"The figure of {number_words(len(earlier))} notes comes again at another place in the bar."
            )
            yield device_of("displacement", [*earlier, *later], moved, 0.6, [earlier, later])


def _motif(places: Sequence[Figure]) -> Device:
    notes = [heard for figure in places for heard in figure]
    times = "twice" if len(places) == 2 else f"{number_words(len(places))} times"
    text = f"A motif of {number_words(len(places[0]))} notes comes {times} in the etude{_changed(places)}."
    return device_of("motif", notes, text, 0.75 if len(places[0]) > FEWEST_VARIED else 0.55, places)


def _changed(places: Sequence[Figure]) -> str:
    moves = {figure[0].pitch - places[0][0].pitch for figure in places}
    exact = len({tuple(intervals(figure)) for figure in places}) == 1
    if moves == {0}:
        return ", at the same pitch" if exact else ", with a note changed"
    return ", transposed" if exact else ", transposed and fitted to its chord"
