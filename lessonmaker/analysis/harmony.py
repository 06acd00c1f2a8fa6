"""Which chord is in force when: the printed changes with what the author hears laid over them.

Conventions: time is in quarters of the printed score. A change holds until the next one, through empty bars;
N.C. ends it. Before the first change no chord sounds.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.score.model import Score
from lessonmaker.theory.chord import Chord, chord_tones, readings

__all__ = ["Harmony", "Hear", "harmony_of"]

Hear = tuple[Fraction, Fraction, Chord]


@dataclass(frozen=True)
class Harmony:
    """The chords of a score as steps in time: `chords[i]` is in force from `starts[i]` on."""

    starts: tuple[Fraction, ...]
    chords: tuple[Chord | None, ...]

    def at(self, time: Fraction) -> Chord | None:
        """The chord in force at a time, or None."""
        index = bisect_right(self.starts, time) - 1
        return self.chords[index] if index >= 0 else None

    def changes_within(self, start: Fraction, end: Fraction) -> tuple[tuple[Fraction, Chord | None], ...]:
        """The changes strictly between two times at which the harmony really becomes another one."""
        first, last = bisect_right(self.starts, start), bisect_right(self.starts, end)
        return tuple(
            (self.starts[index], self.chords[index])
            for index in range(first, last)
            if self.starts[index] < end and not same_harmony(self.chords[index], self.chords[index - 1])
        )


def harmony_of(score: Score, hear: Sequence[Hear] = ()) -> Harmony:
    """The harmony of a score; `hear` gives (start, end, chord) spans that replace what is printed there."""
    printed = Harmony(*_steps([(change.onset, change.chord) for change in score.changes]))
    times = {*printed.starts, *(time for start, end, _ in hear for time in (start, end))}
    steps = [(time, _heard_at(time, printed, hear)) for time in sorted(times)]
    return Harmony(*_steps(steps))


def _steps(
    changes: Sequence[tuple[Fraction, Chord | None]],
) -> tuple[tuple[Fraction, ...], tuple[Chord | None, ...]]:
    ordered = dict(sorted(changes, key=lambda change: change[0]))
    return tuple(ordered), tuple(ordered.values())


def _heard_at(time: Fraction, printed: Harmony, hear: Sequence[Hear]) -> Chord | None:
    for start, end, chord in hear:
        if start <= time < end:
            return chord
    return printed.at(time)


def same_harmony(one: Chord | None, other: Chord | None) -> bool:
    """Whether two chords have the same root and tones, however they are written."""
    if one is None or other is None:
        return one is other
    first, second = readings(one)[0], readings(other)[0]
    return first.root.pitch_class == second.root.pitch_class and chord_tones(first) == chord_tones(second)
