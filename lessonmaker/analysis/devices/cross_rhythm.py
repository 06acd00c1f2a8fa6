"""Cross rhythms: a figure whose length does not fit the bar, repeated, so that its starts move through the bar.

Common practice, no source: groups are heard by their rhythm, or by a contour that comes again; at least three of
them. Players call any of these a hemiola. Bars grouped 3+3+2 are found apart (`grouped_bars`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import gcd, lcm

from lessonmaker.analysis.devices.grouped_bars import grouped_bars_of
from lessonmaker.analysis.etude import Etude, Ticks, connected, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Bar

__all__ = ["cross_rhythms_of", "goes_against"]

LONGEST_GROUP = 8
FEWEST_GROUPS = 3
FEWEST_SHORT_GROUPS = 4
FEWEST_TRIPLETS = 6  # single notes of a triplet: one triplet and the next note are none
FEWEST_APART = 4  # single notes with rests between them
LONGEST_REST = 1  # quarter
FEWEST_NOTES_WITHIN_A_BAR = 4  # of groups a beat long and more that do not go on over the bar line
STEP = 2
NEAR = 2  # semitones by which a contour's interval may differ
BY_RHYTHM, BY_THREE_NOTES, BY_CONTOUR, BY_PITCH = 0.75, 0.5, 0.7, 0.85


def cross_rhythms_of(etude: Etude) -> tuple[Device, ...]:
    """The cross rhythms of the melody, of those that overlap the longest (of the smallest groups)."""
    found = list(grouped_bars_of(etude))
    found += [each for length in range(1, LONGEST_GROUP + 1) for each in _of_length(etude, length)]
    taken: set[str] = set()
    chosen: list[Device] = []
    for device in sorted(found, key=lambda device: (-len(device.notes), len(device.groups[0]))):
        if not taken & set(device.notes):
            taken.update(device.notes)
            chosen.append(device)
    return tuple(sorted(chosen, key=lambda device: device.span.start))


def _of_length(etude: Etude, length: int) -> Iterator[Device]:
    line, ends = etude.melody, _ends(etude.melody_ticks, length)
    starts = _starts(etude.melody_ticks, length)
    first = 0
    while first + FEWEST_GROUPS * length <= len(line):
        end, start = ends[first], starts[first]
        if end - first >= FEWEST_GROUPS * length and _is_figure(line[start : start + length + 1]):
            last = _end_of_rhythm(etude.melody_ticks, start, end, length)
            groups = [tuple(line[at : min(at + length, last)]) for at in range(start, last, length)]
            groups = _without_landing(groups)
            if _crosses(groups, line[end] if end < len(line) else None):
                yield _device(groups)
                first = end - length
        first += 1


def _ends(ticks: Ticks, length: int) -> list[int]:
    """For each note how far the rhythm and the contour of the group that begins with it go on."""
    count = len(ticks.onsets)
    goes_on = [False] * (count + 1)
    for place in range(length + 1, count):
        goes_on[place] = _is_joined(ticks, place, length) and _agrees(ticks, place, length)
    ends = list(range(1, count + 2))  # of what goes on from a note, whatever came before it
    for place in reversed(range(count)):
        if goes_on[place + 1]:
            ends[place] = ends[place + 1]
    seconds = range(length, count)  # where second groups begin
    return [ends[second] if _is_joined(ticks, second, length) else second for second in seconds]


def _end_of_rhythm(ticks: Ticks, start: int, end: int, length: int) -> int:
    """How far the last group goes on in the rhythm of those before it: not at all where its first note does not."""
    first = start + (end - 1 - start) // length * length
    stops = (
        at
        for at in range(first, first + length - 1)
        if ticks.gaps[at : at + 1] != ticks.gaps[at - length : at - length + 1]
    )
    at = next(stops, first + length - 1)
    return first if at == first and length > 1 else at + 1


def _starts(ticks: Ticks, length: int) -> list[int]:
    """For each note where the groups that it begins come from, those before it counted that only leap on otherwise."""
    starts = list(range(len(ticks.onsets)))
    if length > 1:
        for first in range(length, len(starts) - length):
            if _leads_on(ticks, first - length, length):
                starts[first] = starts[first - length]
    return starts


def _leads_on(ticks: Ticks, first: int, length: int) -> bool:
    """Whether a group is joined to the next in its rhythm, moves like it, and goes on to it the same way."""
    places = range(first + length + 1, first + 2 * length + 1)
    if not all(_agrees(ticks, place, length) for place in places[:-1]):
        return False
    joined = all(_is_joined(ticks, place - length, length) for place in places)
    joint, model = ticks.steps[first + length - 1], ticks.steps[first + 2 * length - 1]
    same_gap = ticks.gaps[first + length - 1] == ticks.gaps[first + 2 * length - 1]
    return joined and same_gap and joint * model > 0


def _is_joined(ticks: Ticks, place: int, length: int) -> bool:
    """Whether no more than a breath parts a note from the one before it, of single notes a beat of rest."""
    if length > 1:
        return not ticks.breaks[place - 1]
    return ticks.onsets[place] - ticks.ends[place - 1] <= LONGEST_REST * ticks.grid


def _agrees(ticks: Ticks, place: int, length: int) -> bool:
    """Whether a note comes as long after its model, a group earlier, as the note before it, and moves like it."""
    if ticks.gaps[place - 1] != ticks.gaps[place - length - 1]:
        return False
    if length == 1:
        return True
    one, other = ticks.steps[place - length - 1], ticks.steps[place - 1]
    same_way = (one > 0) - (one < 0) == (other > 0) - (other < 0)
    return same_way and abs(one - other) <= NEAR and (abs(one) <= STEP) == (abs(other) <= STEP)


def _crosses(groups: Sequence[Sequence[Heard]], following: Heard | None) -> bool:
    first, bar = groups[0][0], groups[0][0].bar
    period = groups[1][0].note.onset - first.note.onset
    *before, last = groups  # all but the last end where the next begins
    is_whole = len(last) == len(groups[0]) and _lasts(last, period, following)
    whole = groups if is_whole else before
    if len(whole) < FEWEST_GROUPS:
        return False
    length = len(whole) * period
    if any(heard.bar.metre != bar.metre for group in groups for heard in group):
        return False
    triplets = len(groups[0]) == 1 and period.denominator % 3 == 0
    if period < 1 and len(whole) < (FEWEST_TRIPLETS if triplets else FEWEST_SHORT_GROUPS):
        return False
    if len(groups[0]) == 1 and len(whole) < FEWEST_APART and not _is_connected(groups):
        return False
    within = period >= 1 and length <= bar.metre.bar_quarters
    return not (within and len(groups[0]) < FEWEST_NOTES_WITHIN_A_BAR)


def _without_landing(groups: list[tuple[Heard, ...]]) -> list[tuple[Heard, ...]]:
    """Groups of one note each without the last one, where it is held longer: what they land on."""
    if len(groups[0]) > 1 or len(groups) <= FEWEST_GROUPS:
        return groups
    period = groups[1][0].note.onset - groups[0][0].note.onset
    return groups[:-1] if groups[-1][0].note.held > period else groups


def _is_connected(groups: Sequence[Sequence[Heard]]) -> bool:
    return all(connected(earlier[-1], later[0]) for earlier, later in pairwise(groups))


def _lasts(group: Sequence[Heard], period: Fraction, following: Heard | None) -> bool:
    """Whether a group has its whole time: three, three and two eighths are a bar, no cross rhythm."""
    end = group[0].note.onset + period
    if following is None:
        return group[-1].end >= end or group[0].bar.end >= end
    return not group[-1].note.onset < following.note.onset < end


def goes_against(period: Fraction, bar: Bar) -> bool:
    """Whether a period, in quarters, fits neither the bar nor its beats."""
    beat, whole = _beat(bar), bar.metre.bar_quarters
    fits_bar = whole % period == 0
    fits_beat = period % beat == 0 or beat % period == 0
    return period < whole and not (fits_bar and fits_beat)


def _beat(bar: Bar) -> Fraction:
    return bar.metre.unit_quarters * (3 if bar.metre.is_compound else 1)


def _is_heard(figure: Sequence[Heard]) -> bool:
    """By a rhythm of its own, or by a contour that turns where the groups begin; with the next group's first note."""
    if len(figure) == 2:
        return True
    if len({later.note.onset - earlier.note.onset for earlier, later in pairwise(figure)}) > 1:
        return True
    steps = [later.pitch - earlier.pitch for earlier, later in pairwise(figure)]
    turns = len({step > 0 for step in steps}) > 1 and len({heard.pitch for heard in figure[:-1]}) > 1
    return turns and max(map(abs, steps)) > 2


def _is_figure(figure: Sequence[Heard]) -> bool:
    """Whether a figure, with the first note of the next one, goes against the bar and is heard as a group."""
    first, then = figure[0], figure[-1]
    return goes_against(then.note.onset - first.note.onset, first.bar) and _is_heard(figure)


# Words ---------------------------------------------------------------------------------------------------


def _device(groups: Sequence[Sequence[Heard]]) -> Device:
    notes = [heard for group in groups for heard in group]
    grouping = _grouping(groups)
    count = sum(len(group) == len(groups[0]) for group in groups)
    of = f"A cross rhythm: {number_words(count)} groups of {grouping.replace('+', ' plus ')}"
    text = f"{of}{_against(groups)}."
    return device_of("cross rhythm", notes, text, _confidence(groups), groups, grouping)


def _against(groups: Sequence[Sequence[Heard]]) -> str:
    """What the groups go against: the bar, or only its beats where a whole number of groups fills it."""
    first, second = groups[0][0], groups[1][0]
    bar, period = first.bar.metre.bar_quarters, second.note.onset - first.note.onset
    if bar % period:
        return ", which begin at another place of the bar each time"
    return f" against the beat, {number_words(bar // period)} to a bar"


def _confidence(groups: Sequence[Sequence[Heard]]) -> float:
    if len(groups[0]) == 1:
        return BY_RHYTHM if len(groups) > FEWEST_GROUPS else BY_THREE_NOTES
    same = len({tuple(h.pitch for h in group) for group in groups if len(group) == len(groups[0])}) == 1
    return BY_PITCH if same else BY_CONTOUR


def _grouping(groups: Sequence[Sequence[Heard]]) -> str:
    """The lengths inside a group, counted in the shortest common unit: "2+3"."""
    group, then = groups[0], groups[1][0].note.onset
    onsets = [heard.note.onset for heard in group] + [then]
    lengths = [later - earlier for earlier, later in pairwise(onsets)]
    unit = _unit([*lengths, _beat(group[0].bar)])
    if len(set(lengths)) > 1:
        return "+".join(str(int(length / unit)) for length in lengths)
    count = int(sum(lengths, Fraction(0)) / unit)
    turn = _turn(group)
    if turn and len(lengths) > FEWEST_SHORT_GROUPS:
        return "+".join(str(int(n * lengths[0] / unit)) for n in (turn, len(lengths) - turn))
    return str(count)


def _turn(group: Sequence[Heard]) -> int:
    """The place of the highest or lowest note inside a group, where its second part begins."""
    pitches = [heard.pitch for heard in group]
    inner = [place for place in range(2, len(group) - 1) if pitches[place] in (max(pitches), min(pitches))]
    return inner[0] if inner else 0


def _unit(lengths: Sequence[Fraction]) -> Fraction:
    below = lcm(*(length.denominator for length in lengths))
    return Fraction(gcd(*(int(length * below) for length in lengths)), below)
