"""Motifs that come back changed, and rhythms that come back shifted.

Common practice, no source: a motif is still known when it is inverted (each rise a fall of the same size, in the same
rhythm), and when its intervals come in another rhythm, twice as slow or fast above all. A rhythm alone is known again
where it is uneven and stands by itself. What could be anybody's is none: an arpeggio up and down, a few even notes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator
from fractions import Fraction

from lessonmaker.analysis.devices.figures import LEAP, Figure, is_displaced, is_own, turns
from lessonmaker.analysis.etude import Etude, device_of
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words

__all__ = ["transformed_of"]

LENGTHS = range(9, 3, -1)
FEWEST_UNPARTED = 8  # notes of a figure that is known again though no rest or phrase sets it off
NEAR, FEWEST_NEAR = 1, 6  # semitones by which an interval may give way; notes of a figure in which it may
FEWEST_LEAPS = 2
FEWEST_OTHER_RHYTHM, FEWEST_SCALED, FEWEST_RHYTHM = 6, 5, 5  # notes
INVERTED, NEARLY_INVERTED, SCALED, OTHER_RHYTHM, RHYTHM = 0.65, 0.5, 0.65, 0.55, 0.5
SPEEDS = {Fraction(2): ", twice as slow", Fraction(1, 2): ", twice as fast"}
Shape = tuple[tuple[int, ...], tuple[int, ...]]  # the gaps between the onsets, and the intervals


class _Line:
    """The melody's figures by their shapes."""

    def __init__(self, etude: Etude) -> None:
        self.line, self.ticks = etude.melody, etude.melody_ticks
        self.openings = {phrase.notes[0] for phrase in etude.phrases}

    def figure(self, first: int, length: int) -> Figure:
        return self.line[first : first + length]

    def shape(self, first: int, length: int) -> Shape:
        inner = slice(first, first + length - 1)
        return tuple(self.ticks.gaps[inner]), tuple(self.ticks.steps[inner])

    def places(self, length: int) -> Iterator[int]:
        """Where figures of a length begin that no rest parts."""
        for first in range(len(self.line) - length + 1):
            if not any(self.ticks.breaks[first : first + length - 1]):
                yield first

    def is_set_off(self, first: int) -> bool:
        """Whether a figure begins after a rest, or with a phrase."""
        after_rest = first == 0 or self.ticks.onsets[first] > self.ticks.ends[first - 1]
        return after_rest or self.line[first].note.id in self.openings

    def pairs(
        self,
        length: int,
        is_known: Callable[[Shape], bool],
        key: Callable[[Shape], Hashable],
        other: Callable[[Shape], Hashable],
    ) -> Iterator[tuple[int, int]]:
        """Figures that may be known again, and later ones that do not overlap them, whose keys match."""
        known: dict[Hashable, list[int]] = defaultdict(list)
        for first in self.places(length):
            shape = self.shape(first, length)
            if not is_known(shape) or not (length >= FEWEST_UNPARTED or self.is_set_off(first)):
                continue
            yield from ((earlier, first) for earlier in known[other(shape)] if earlier + length <= first)
            known[key(shape)].append(first)


def transformed_of(etude: Etude) -> tuple[Device, ...]:
    """Motifs that return inverted or in another rhythm, and rhythms that return at another place of the bar."""
    line = _Line(etude)
    found: list[Device] = []
    for finder in (_inverted, _other_rhythms, _shifted_rhythms):
        taken: set[str] = set()
        for device in (each for length in LENGTHS for each in finder(line, length)):
            if not taken & set(device.notes):
                taken.update(device.notes)
                found.append(device)
    return tuple(sorted(found, key=lambda device: device.span.start))


# Inversion -----------------------------------------------------------------------------------------------


def _inverted(line: _Line, length: int) -> Iterator[Device]:
    for earlier, later in line.pairs(length, _is_distinct, _contour, _contour_inverted):
        (gaps, one), (_, other) = line.shape(earlier, length), line.shape(later, length)
        near = NEAR if length >= FEWEST_NEAR and len(set(gaps)) > 1 else 0
        differ = [abs(a + b) for a, b in zip(one, other, strict=True)]
        if max(differ) <= near:
            exact = not any(differ)
            text = f"The motif of {number_words(length)} notes comes back inverted: what rose falls, what fell rises."
            yield _device(
                line, earlier, later, length, text, INVERTED if exact else NEARLY_INVERTED, "inverted"
            )


def _contour(shape: Shape) -> Hashable:
    gaps, steps = shape
    return gaps, tuple((step > 0) - (step < 0) for step in steps)


def _contour_inverted(shape: Shape) -> Hashable:
    gaps, steps = shape
    return gaps, tuple((step < 0) - (step > 0) for step in steps)


def _is_distinct(shape: Shape) -> bool:
    """Whether a figure is its own, turns round, and does not only rock to and fro."""
    gaps, steps = shape
    return is_own(gaps, steps) and turns(steps) > 0 and len({abs(step) for step in steps}) > 1


# Another rhythm ------------------------------------------------------------------------------------------


def _other_rhythms(line: _Line, length: int) -> Iterator[Device]:
    if length < FEWEST_SCALED:
        return
    for earlier, later in line.pairs(length, _has_leaps, _steps, _steps):
        one, other = line.shape(earlier, length)[0], line.shape(later, length)[0]
        if one == other:
            continue
        ratios = {Fraction(b, a) for a, b in zip(one, other, strict=True)}
        scaled = len(ratios) == 1
        set_off = line.is_set_off(earlier) and line.is_set_off(later)
        enough = scaled or (set_off and length >= FEWEST_OTHER_RHYTHM)
        if enough:
            how = SPEEDS.get(next(iter(ratios)), "") if scaled else ""
            text = f"The motif of {number_words(length)} notes comes back in another rhythm{how}: the intervals stay."
            yield _device(
                line, earlier, later, length, text, SCALED if scaled else OTHER_RHYTHM, "other rhythm"
            )


def _has_leaps(shape: Shape) -> bool:
    return sum(abs(step) >= LEAP for step in shape[1]) >= FEWEST_LEAPS and turns(shape[1]) > 0


def _steps(shape: Shape) -> Hashable:
    return shape[1]


# A rhythm alone ------------------------------------------------------------------------------------------


def _shifted_rhythms(line: _Line, length: int) -> Iterator[Device]:
    if length < FEWEST_RHYTHM:
        return
    for earlier, later in line.pairs(length, _is_uneven, _gaps, _gaps):
        set_off = line.is_set_off(earlier) and line.is_set_off(later)
        moved = is_displaced(line.figure(earlier, length), line.figure(later, length))
        if set_off and moved and line.shape(earlier, length) != line.shape(later, length):
            text = f"The rhythm of {number_words(length)} notes comes again elsewhere in the bar, with other notes."
            yield _device(line, earlier, later, length, text, RHYTHM, "rhythm", "displacement")


def _is_uneven(shape: Shape) -> bool:
    return len(set(shape[0])) > 1


def _gaps(shape: Shape) -> Hashable:
    return shape[0]


def _device(
    line: _Line,
    earlier: int,
    later: int,
    length: int,
    text: str,
    sure: float,
    detail: str,
    kind: str = "motif",
) -> Device:
    one, other = line.figure(earlier, length), line.figure(later, length)
    return device_of(kind, [*one, *other], text, sure, [one, other], detail)
