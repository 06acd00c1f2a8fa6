"""Successions: each voice's struck notes in time, and who stands before and after whom.

A note's neighbours in the line are the nearest earlier and later notes of another pitch; repetitions are
skipped, and a rest longer than an eighth ends the connection. Where a voice strikes several notes at once,
the neighbour is the one nearest in pitch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

from lessonmaker.score.model import Bar, Note
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.degree import is_chord_tone, is_tension
from lessonmaker.theory.metre import Metre

__all__ = ["LONGEST_BREATH", "Heard", "Line", "full_start", "is_strong", "position_in_bar"]

LONGEST_BREATH = Fraction(1, 2)
FELT_GROUPS = {5: (3, 2), 7: (2, 2, 3)}


@dataclass(frozen=True)
class Heard:
    """A struck note with the chord it is heard against; `bar` is the note's own."""

    note: Note
    bar: Bar
    chord: Chord | None
    degree: str | None
    anticipates: bool = False

    @cached_property
    def pitch(self) -> int:
        """The sounding MIDI note number."""
        return self.note.sounding.midi

    @cached_property
    def end(self) -> Fraction:
        """When the note stops sounding, in quarters, ties included."""
        return self.note.onset + self.note.held

    @cached_property
    def is_stable(self) -> bool:
        """Whether the note is a chord tone of its chord."""
        return self.chord is not None and self.degree is not None and is_chord_tone(self.degree, self.chord)

    @cached_property
    def is_available(self) -> bool:
        """Whether the note may be leaned on as a tension of its chord."""
        return self.chord is not None and self.degree is not None and is_tension(self.degree, self.chord)

    @cached_property
    def is_strong(self) -> bool:
        """Whether the note falls on a strong beat of its bar."""
        return is_strong(self.note.onset, self.bar)

    @cached_property
    def is_on_a_beat(self) -> bool:
        """Whether the note falls on a printed beat of its bar."""
        return position_in_bar(self.note.onset, self.bar) % self.bar.metre.unit_quarters == 0


class Line:
    """One voice: its notes grouped by onset, in time."""

    def __init__(self, notes: list[Heard]) -> None:
        ordered = sorted(notes, key=lambda heard: heard.note.onset)
        self.groups: list[list[Heard]] = []
        self._place: dict[str, int] = {}
        for heard in ordered:
            if not self.groups or self.groups[-1][0].note.onset != heard.note.onset:
                self.groups.append([])
            self.groups[-1].append(heard)
            self._place[heard.note.id] = len(self.groups) - 1

    def following(self, heard: Heard) -> Iterator[Heard]:
        """The later notes of the line, nearest in pitch where several sound at once, rests passed over."""
        for place in range(self._place[heard.note.id] + 1, len(self.groups)):
            yield min(self.groups[place], key=lambda other: abs(other.pitch - heard.pitch))

    def preceding(self, heard: Heard) -> Iterator[Heard]:
        """The earlier notes of the line, the latest first."""
        for place in reversed(range(self._place[heard.note.id])):
            yield min(self.groups[place], key=lambda other: abs(other.pitch - heard.pitch))

    def next(self, heard: Heard) -> Heard | None:
        """The note that follows at once, repetitions included."""
        later = next(self.following(heard), None)
        return later if later is not None and later.note.onset - heard.end <= LONGEST_BREATH else None

    def after(self, heard: Heard) -> Heard | None:
        """The next note of another pitch that follows without a rest between."""
        end = heard.end
        for later in self.following(heard):
            if later.note.onset - end > LONGEST_BREATH:
                return None
            if later.pitch != heard.pitch:
                return later
            end = later.end
        return None

    def before(self, heard: Heard) -> Heard | None:
        """The last note of another pitch from which the line comes without a rest between."""
        start = heard.note.onset
        for earlier in self.preceding(heard):
            if start - earlier.end > LONGEST_BREATH:
                return None
            if earlier.pitch != heard.pitch:
                return earlier
            start = earlier.note.onset
        return None


def position_in_bar(onset: Fraction, bar: Bar) -> Fraction:
    """Quarters from where the full bar begins: a pickup is counted so that it ends with its metre."""
    return onset - full_start(bar)


def full_start(bar: Bar) -> Fraction:
    """Where a bar would begin, in quarters, if it were full: a pickup ends with its metre."""
    missing = bar.metre.bar_quarters - bar.length if bar.start < 0 else Fraction(0)
    return bar.start - max(missing, Fraction(0))


def is_strong(onset: Fraction, bar: Bar) -> bool:
    """Whether an onset falls on a strong beat: the first, a group's first, the middle of an even bar."""
    return position_in_bar(onset, bar) in _strong_positions(bar.metre)


@lru_cache(maxsize=64)
def _strong_positions(metre: Metre) -> frozenset[Fraction]:
    if metre.unit >= 8 or metre.unit == 2:
        return frozenset(metre.beat_starts)
    groups = metre.groups or FELT_GROUPS.get(metre.beats)
    if groups is None:
        half = metre.beats // 2 if metre.beats % 2 == 0 and metre.beats > 2 else metre.beats
        groups = (half, metre.beats - half)
    starts = (sum(groups[:count]) for count in range(len(groups)))
    return frozenset(start * metre.unit_quarters for start in starts)
