"""Bars grouped 3+3+2: two dotted quarters and a quarter, or their eighths, against the beats of the bar.

Common practice, no source. The groups are heard by their rhythm alone (one note each, held to the next), or in eighths
that turn where each group begins, by a figure that comes again. Where the groups go on in threes over the bar line,
they are a cross rhythm of threes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from lessonmaker.analysis.etude import Etude, connected, device_of
from lessonmaker.analysis.lines import Heard, position_in_bar
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words

__all__ = ["EIGHTHS_A_GROUP", "THREE_THREE_TWO", "grouped_bars_of", "is_grouped_bars"]

EIGHTHS_A_GROUP = (3, 3, 2)
THREE_THREE_TWO = "+".join(map(str, EIGHTHS_A_GROUP))
EIGHTH = Fraction(1, 2)
BAR = sum(EIGHTHS_A_GROUP) * EIGHTH
BY_RHYTHM, BY_FIGURE, BY_ONE_BAR_OF_EIGHTHS = 0.75, 0.75, 0.6
LARGEST_STEP, NEAR = 2, 2  # semitones; by how many a figure's interval may differ

Groups = tuple[tuple[Heard, ...], ...]


def grouped_bars_of(etude: Etude) -> tuple[Device, ...]:
    """The bars of the melody that are grouped 3+3+2, those in a row as one; each bar has three groups of notes."""
    bars = [list(notes) for _, notes in groupby(etude.melody, key=lambda heard: heard.bar.index)]
    afters = [bar[0] for bar in bars[1:]] + [None]
    runs: list[list[Groups]] = []
    last = None
    for notes, after in zip(bars, afters, strict=False):
        groups = _groups(notes, after)
        if groups is None:
            continue
        if last == notes[0].bar.index - 1 and len(runs[-1][-1][0]) == len(groups[0]):
            runs[-1].append(groups)
        else:
            runs.append([groups])
        last = notes[0].bar.index
    return tuple(_device(run) for run in runs)


def is_grouped_bars(device: Device) -> bool:
    """Whether a device is one or more bars grouped 3+3+2, not a figure of that rhythm that goes against the bar."""
    counts = tuple(map(len, device.groups[: len(EIGHTHS_A_GROUP)]))
    in_a_bar = counts in (EIGHTHS_A_GROUP, (1,) * len(EIGHTHS_A_GROUP))
    return device.kind == "cross rhythm" and device.detail == THREE_THREE_TWO and in_a_bar


def _groups(notes: Sequence[Heard], after: Heard | None) -> Groups | None:
    """The three groups of a bar's notes, if it is grouped so; `after` is the note that comes next."""
    bar = notes[0].bar
    goes_with_beats = bar.metre.unit >= 8 or bar.metre.groups
    if bar.length != BAR or bar.metre.bar_quarters != BAR or goes_with_beats or notes[-1].end > bar.end:
        return None
    if not all(connected(earlier, later) for earlier, later in pairwise(notes)):
        return None
    eighths = [position_in_bar(heard.note.onset, bar) / EIGHTH for heard in notes]
    if eighths == _starts():
        return tuple((heard,) for heard in notes)
    if eighths == list(range(sum(EIGHTHS_A_GROUP))) and _turns_in_threes(notes, after):
        return tuple(_parted(notes))
    return None


def _starts() -> list[int]:
    """The eighths of a bar on which its groups begin."""
    return [sum(EIGHTHS_A_GROUP[:count]) for count in range(len(EIGHTHS_A_GROUP))]


def _parted(notes: Sequence[Heard]) -> Iterator[tuple[Heard, ...]]:
    for start, length in zip(_starts(), EIGHTHS_A_GROUP, strict=True):
        yield tuple(notes[start : start + length])


def _turns_in_threes(notes: Sequence[Heard], after: Heard | None) -> bool:
    """Whether eight eighths are a figure of three, again, and its first two notes, its lowest or highest note first.

    The next bar must not go on with the figure, whatever its chord makes of it.
    """
    steps = [later.pitch - earlier.pitch for earlier, later in pairwise(notes)]
    first, second, joint = steps[:3]
    alike = [(first, steps[3]), (second, steps[4]), (first, steps[6])]
    agree = all(_agree(one, other) for one, other in alike) and joint * steps[5] > 0
    leaps = max(map(abs, steps)) > LARGEST_STEP
    goes_on = (
        after is not None and _follows(notes[-1], after) and second * (after.pitch - notes[-1].pitch) > 0
    )
    return agree and first * joint < 0 and leaps and not goes_on


def _agree(one: int, other: int) -> bool:
    """Whether two intervals go the same way, both by step or both by leaps of nearly a size."""
    same_kind = (abs(one) <= LARGEST_STEP) == (abs(other) <= LARGEST_STEP)
    return one * other > 0 and abs(one - other) <= NEAR and same_kind


def _follows(earlier: Heard, later: Heard) -> bool:
    return later.note.onset == earlier.note.onset + EIGHTH


def _device(bars: Sequence[Groups]) -> Device:
    groups = [group for bar in bars for group in bar]
    notes = [heard for group in groups for heard in group]
    of = "the bar" if len(bars) == 1 else f"{number_words(len(bars))} bars"
    text = f"A cross rhythm: the eighths of {of} are grouped {THREE_THREE_TWO}, against the beats."
    by_figure = BY_FIGURE if len(bars) > 1 else BY_ONE_BAR_OF_EIGHTHS
    sure = BY_RHYTHM if len(groups[0]) == 1 else by_figure
    return device_of("cross rhythm", notes, text, sure, groups, THREE_THREE_TWO)
