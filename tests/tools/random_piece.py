"""Pieces made up at random: changes, a line over them, repeats and endings; the same seed, the same piece.

The changes are cadences strung together to a form of 8, 12 or 16 bars and played round; the line walks over
their chord scales in mixed rhythms, with chord tones on the beats, chromatic steps, leaps and quotations of
itself. `piece_xml` (tests/tools/piece_xml.py) writes a piece down. Times are quarters, exact fractions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

__all__ = ["CHORDS", "Change", "Chord", "LineNote", "Piece", "Repeat", "changes_of_a_form", "line_over"]

SPAN_SEMITONES = 28
MAJOR = (0, 2, 4, 5, 7, 9, 11)


@dataclass(frozen=True)
class Chord:
    """Semitones over the root: the chord's own and its scale's; the name MusicXML has for it."""

    tones: tuple[int, ...]
    scale: tuple[int, ...]
    kind: str
    text: str


CHORDS = {
    "major": Chord((0, 4, 7, 11), (0, 2, 4, 6, 7, 9, 11), "major-seventh", "maj7"),
    "dominant": Chord((0, 4, 7, 10), (0, 2, 4, 5, 7, 9, 10), "dominant", "7"),
    "minor": Chord((0, 3, 7, 10), (0, 2, 3, 5, 7, 9, 10), "minor-seventh", "m7"),
    "half-diminished": Chord((0, 3, 6, 10), (0, 1, 3, 5, 6, 8, 10), "half-diminished", "m7b5"),
    "altered": Chord((0, 4, 8, 10), (0, 1, 3, 4, 6, 8, 10), "dominant", "7"),
}
# Cadences: how often, and bar by bar the (semitones over the key note, chord) that share the bar.
CADENCES = (
    (4, (((2, "minor"),), ((7, "dominant"),), ((0, "major"),), ((9, "minor"),))),
    (3, (((2, "minor"), (7, "dominant")), ((0, "major"),))),
    (2, (((2, "half-diminished"), (7, "altered")), ((0, "minor"),))),
    (2, (((0, "dominant"),), ((5, "dominant"),))),
    (1, (((4, "minor"), (9, "altered")), ((2, "minor"), (7, "dominant")))),
)
# Rhythm cells: (length in quarters, sounds) one after another, all even but "triplet" ones, and how often
# each comes in a running, a mixed, a slow and a plain line.
EIGHTH, QUARTER, THIRD, SIXTEENTH = Fraction(1, 2), Fraction(1), Fraction(1, 3), Fraction(1, 4)
CELLS: tuple[tuple[tuple[int, int, int, int], tuple[tuple[Fraction, bool], ...]], ...] = (
    ((60, 24, 16, 2), ((EIGHTH, True),) * 2),
    ((5, 12, 12, 40), ((QUARTER, True),)),
    ((7, 6, 10, 3), ((THIRD, True),) * 3),
    ((2, 1, 2, 0), ((THIRD, False), (THIRD, True), (THIRD, True))),
    ((5, 5, 3, 0), ((EIGHTH, False), (EIGHTH, True))),
    ((4, 4, 3, 0), ((EIGHTH, True), (EIGHTH, False))),
    ((5, 7, 4, 1), ((EIGHTH, True), (QUARTER, True), (EIGHTH, True))),
    ((3, 4, 3, 0), ((EIGHTH, False), (QUARTER, True), (EIGHTH, True))),
    ((4, 5, 4, 1), ((EIGHTH, True), (3 * EIGHTH, True))),
    ((2, 4, 6, 8), ((3 * EIGHTH, True), (EIGHTH, True))),
    ((3, 6, 9, 25), ((2 * QUARTER, True),)),
    ((1, 2, 5, 0), ((EIGHTH, True), (SIXTEENTH, True), (SIXTEENTH, True))),
    ((0, 1, 3, 0), ((SIXTEENTH, True),) * 4),
    ((1, 2, 4, 6), ((3 * QUARTER, True),)),
    ((4, 5, 3, 4), ((QUARTER, False),)),
    ((1, 2, 2, 3), ((2 * QUARTER, False),)),
)
STYLES = ("running", "mixed", "slow", "plain")


@dataclass(frozen=True)
class Change:
    """A chord from a time on; `root` is a pitch class."""

    start: Fraction
    root: int
    chord: str


@dataclass(frozen=True)
class LineNote:
    """A note of the line by its sounding MIDI pitch; `triplet` where it is one third of a beat."""

    start: Fraction
    length: Fraction
    pitch: int
    triplet: bool


@dataclass(frozen=True)
class Repeat:
    """Bars `first` to `last` (indices) stand between repeat signs.

    The last `ending` of them are a first ending; as many bars after `last` are the second one.
    """

    first: int
    last: int
    ending: int = 0


@dataclass(frozen=True)
class Piece:
    """A whole piece; `key` is the key note's pitch class, `tempo` the printed one in quarters a minute."""

    beats: int
    bars: int
    key: int
    tempo: int
    changes: tuple[Change, ...]
    notes: tuple[LineNote, ...]
    repeats: tuple[Repeat, ...] = ()


def changes_of_a_form(rng: np.random.Generator, bars: int, beats: int) -> tuple[int, tuple[Change, ...]]:
    """A key note and changes for that many bars: one form, played round."""
    form, key = int(rng.choice([8, 12, 16])), int(rng.integers(12))
    often = np.array([weight for weight, _ in CADENCES], float)
    rounds: list[tuple[tuple[int, str], ...]] = []
    while len(rounds) < form:
        centre = key + int(rng.choice([0, 0, 0, 5, 7, 2, 8, 3, 10]))
        cadence = CADENCES[rng.choice(len(CADENCES), p=often / often.sum())][1]
        rounds += [tuple((centre + over, chord) for over, chord in bar) for bar in cadence]
    changes = [
        Change(Fraction(bar * beats + place * ((beats + 1) // 2)), root % 12, chord)
        for bar in range(bars)
        for place, (root, chord) in enumerate(rounds[bar % form])
    ]
    return key, tuple(changes)


def line_over(
    rng: np.random.Generator, changes: Sequence[Change], quarters: int, style: str, lowest: int, key: int
) -> tuple[LineNote, ...]:
    """A line over changes, within `SPAN_SEMITONES` from the lowest pitch up.

    A line in the plain style keeps to the major scale of the key whatever the changes.
    """
    walker = _InKey(rng, changes, lowest, key) if style == "plain" else _Walker(rng, changes, lowest)
    return walker.pitched(_rhythm(rng, quarters, STYLES.index(style)))


def _rhythm(rng: np.random.Generator, quarters: int, style: int) -> list[tuple[Fraction, Fraction, bool]]:
    """(start, length, triplet) of every note; the last one ends with the piece at the latest."""
    often = np.array([weights[style] for weights, _ in CELLS], float)
    found, at, end = [], Fraction(0), Fraction(quarters)
    while at < end:
        for length, sounds in CELLS[rng.choice(len(CELLS), p=often / often.sum())][1]:
            if sounds and at < end:
                found.append((at, min(length, end - at), length == THIRD))
            at += length
    return found


class _Walker:
    """Chooses pitches one after another."""

    def __init__(self, rng: np.random.Generator, changes: Sequence[Change], lowest: int) -> None:
        self.rng, self.changes = rng, changes
        self.lowest, self.highest = lowest, lowest + SPAN_SEMITONES
        self.pitch = int(rng.integers(lowest + 8, lowest + 20))
        self.step = int(rng.choice([-1, 1]))
        self.steps: list[int] = []

    def pitched(self, rhythm: Sequence[tuple[Fraction, Fraction, bool]]) -> tuple[LineNote, ...]:
        """The rhythm with pitches."""
        notes: list[LineNote] = []
        quoted: list[int] = []
        for start, length, triplet in rhythm:
            if not quoted and len(self.steps) > 24 and self.rng.random() < 0.03:
                first = int(self.rng.integers(len(self.steps) - 8))
                quoted = self.steps[first : first + int(self.rng.integers(4, 8))]
            wanted = self.pitch + quoted.pop(0) if quoted else self._next(start)
            moved = int(np.clip(wanted, self.lowest, self.highest))
            self.steps.append(moved - self.pitch)
            self.pitch = moved
            notes.append(LineNote(start, length, moved, triplet))
        return tuple(notes)

    def _next(self, start: Fraction) -> int:
        """The next tone of the chord (on most beats) or scale, sometimes beside it or a leap away."""
        change = [change for change in self.changes if change.start <= start][-1]
        chord = CHORDS[change.chord]
        on_beat = start.denominator == 1 and self.rng.random() < 0.65
        allowed = chord.tones if on_beat or self.rng.random() < 0.15 else chord.scale
        if self._turns():
            self.step = -self.step
        pitch = self.pitch
        for _ in range(int(self.rng.choice([1, 1, 1, 2, 3]))):
            pitch += self.step
            while (pitch - change.root) % 12 not in allowed:
                pitch += self.step
        if self.rng.random() < 0.1:
            pitch += int(self.rng.choice([-1, 1]))
        if self.rng.random() < 0.06:
            pitch += int(self.rng.choice([-12, -9, -7, -5, 5, 7, 9, 12]))
        return pitch

    def _turns(self) -> bool:
        low, high = self.pitch <= self.lowest + 3, self.pitch >= self.highest - 3
        return self.step < 0 if low else self.step > 0 if high else bool(self.rng.random() < 0.2)


class _InKey(_Walker):
    """Stays in a major scale, mostly stepwise, as hymns and children's songs do."""

    def __init__(self, rng: np.random.Generator, changes: Sequence[Change], lowest: int, key: int) -> None:
        super().__init__(rng, changes, lowest + 8)
        self.key, self.highest = key, lowest + 22

    def _next(self, _: Fraction) -> int:
        """A step on, sometimes the same tone again or a third, a fourth or a fifth away."""
        if self._turns():
            self.step = -self.step
        pitch = self.pitch
        for _ in range(int(self.rng.choice([0, 1, 1, 1, 1, 2, 2, 3, 4]))):
            pitch += self.step
            while (pitch - self.key) % 12 not in MAJOR:
                pitch += self.step
        return pitch
