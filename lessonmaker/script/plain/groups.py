"""The groups of a figure that comes again, of which a sentence speaks: those of a device, or as alike as that.

Groups that follow each other at once, as long as each other, with one rhythm and one contour, are heard as the same
figure, wherever the first of them begins. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.vocabulary import FIGURE_KINDS

__all__ = ["Grouping", "groupings_in"]

Grouping = tuple[tuple[Note, ...], ...]
FEWEST, MOST = 2, 8  # notes of a group
FEWEST_GROUPS = 3


def groupings_in(ground: Ground) -> list[Grouping]:
    """The ways in which the line in sight falls into groups that are alike; those of devices come first."""
    line = ground.line
    shown = {note.id for note in line}
    found = list(_of_devices(ground.music))
    for size in range(FEWEST, MOST + 1):
        found += _alike(line, size, {bar.start for bar in ground.music.score.bars})
    seen = dict.fromkeys(tuple(group for group in way if group[0].id in shown) for way in found)
    ways = [way for way in seen if len(way) > 1]
    return [way for way in ways if not any(_begins_late(way, other) for other in ways)]


def _begins_late(way: Grouping, other: Grouping) -> bool:
    """Whether groups are others of the same size, but for the first notes of these."""
    earlier = other[0][0].onset < way[0][0].onset
    notes, others = ({note.id for group in each for note in group} for each in (way, other))
    return earlier and len(other[0]) == len(way[0]) and notes < others


def _of_devices(music: Music) -> Iterator[Grouping]:
    """The groups of sequences, cross rhythms and motifs."""
    by_id = music.struck_by_id
    for device in music.analysis.devices:
        if device.kind in FIGURE_KINDS:
            yield tuple(tuple(by_id[name] for name in group) for group in device.groups if group)


def _alike(line: Sequence[Note], size: int, downbeats: Collection[Fraction]) -> Iterator[Grouping]:
    """The groups of so many notes that follow each other and are alike, as many as there are.

    The first of them begins a bar, or is the first that may be one of them.
    """
    begun = -1  # the last note of the groups that were found last
    for at, note in enumerate(line):
        way = _from(line, at, size)
        before = line[at - size : at] if at >= size else ()
        is_first = not before or not _are_alike(before, line[at : at + size], note)
        if len(way) >= FEWEST_GROUPS and is_first and (at > begun or note.onset in downbeats):
            begun = at + size * len(way) - 1
            yield way


def _from(line: Sequence[Note], at: int, size: int) -> Grouping:
    """The groups alike from a note of the line on."""
    found = [tuple(line[at : at + size])]
    while len(found[-1]) == size:
        at += size
        after = tuple(line[at : at + size])
        if len(after) < size or not _are_alike(found[-1], after, after[0]):
            break
        found.append(after)
    return tuple(found)


def _are_alike(one: Sequence[Note], other: Sequence[Note], begins: Note) -> bool:
    """Whether two groups have one rhythm and one contour, and the second begins where the first ends."""
    at_once = one[-1].onset + one[-1].held >= begins.onset
    last = one[-1].held == other[-1].held or at_once
    return at_once and last and _rhythm(one) == _rhythm(other) and _contour(one) == _contour(other)


def _rhythm(group: Sequence[Note]) -> list[object]:
    return [after.onset - before.onset for before, after in pairwise(group)]


def _contour(group: Sequence[Note]) -> list[int]:
    steps = [after.sounding.midi - before.sounding.midi for before, after in pairwise(group)]
    return [(step > 0) - (step < 0) for step in steps]
