"""Note names, pitches and intervals, with their spelling.

Conventions: a step is one of the letters C D E F G A B; an alteration counts semitones (flat -1,
sharp +1); octaves are numbered scientifically (middle C is C4); MIDI note 60 is C4. An interval
is a pair of diatonic steps and semitones, both signed, so that spelling survives transposition.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["Interval", "NoteName", "Pitch"]

STEPS = "CDEFGAB"
STEP_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
STEP_FIFTHS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
ACCIDENTAL_TEXT = {-2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪"}
PERFECT_OR_MAJOR = (0, 2, 4, 5, 7, 9, 11)
PERFECT_STEPS = (0, 3, 4)
INTERVAL_PATTERN = re.compile(r"^(?P<sign>-?)(?P<quality>P|M|m|A{1,2}|d{1,2})(?P<number>[1-9][0-9]?)$")


@dataclass(frozen=True)
class NoteName:
    """A letter and its alteration, without an octave: B flat is NoteName("B", -1)."""

    step: str
    alter: int = 0

    @property
    def pitch_class(self) -> int:
        """Semitones above C, 0 to 11."""
        return (STEP_SEMITONES[self.step] + self.alter) % 12

    @property
    def fifths(self) -> int:
        """Place on the line of fifths: F -1, C 0, G 1 ... B flat -2, F sharp 6."""
        return STEP_FIFTHS[self.step] + 7 * self.alter

    @classmethod
    def from_fifths(cls, fifths: int) -> NoteName:
        """The note name at a place on the line of fifths."""
        return cls("FCGDAEB"[(fifths + 1) % 7], (fifths + 1) // 7)

    def transposed(self, interval: Interval) -> NoteName:
        """The name an interval away."""
        return Pitch(self.step, self.alter, 4).transposed(interval).name

    def __str__(self) -> str:
        return self.step + ACCIDENTAL_TEXT[self.alter]


@dataclass(frozen=True)
class Pitch:
    """A spelt pitch: letter, alteration in semitones, octave (middle C is C4)."""

    step: str
    alter: int
    octave: int

    @property
    def name(self) -> NoteName:
        """The pitch without its octave."""
        return NoteName(self.step, self.alter)

    @property
    def midi(self) -> int:
        """MIDI note number; C4 is 60."""
        return 12 * (self.octave + 1) + STEP_SEMITONES[self.step] + self.alter

    @property
    def diatonic(self) -> int:
        """Staff places above C0, whatever the alteration: C4 is 28."""
        return 7 * self.octave + STEPS.index(self.step)

    def transposed(self, interval: Interval) -> Pitch:
        """The pitch an interval away, spelt as the interval says."""
        octave, index = divmod(self.diatonic + interval.steps, 7)
        natural = Pitch(STEPS[index], 0, octave)
        return Pitch(natural.step, self.midi + interval.semitones - natural.midi, octave)

    def __str__(self) -> str:
        return f"{self.name}{self.octave}"


@dataclass(frozen=True)
class Interval:
    """Diatonic steps and semitones, both negative downwards: a major second up is (1, 2)."""

    steps: int
    semitones: int

    @classmethod
    def parse(cls, text: str) -> Interval:
        """Read a name such as "M2", "-m3", "P8", "M13".

        Raises:
            ValueError: the text names no interval.
        """
        match = INTERVAL_PATTERN.match(text)
        if match is None:
            raise ValueError(f"{text!r} is no interval: write M2, m3, P4, A4, d5, with - for downwards")
        steps = int(match["number"]) - 1
        perfect = steps % 7 in PERFECT_STEPS
        quality = match["quality"]
        if (quality == "P") != perfect and quality in "PMm":
            raise ValueError(
                f"{text!r} is no interval: unisons, fourths and fifths are perfect, the rest major or minor"
            )
        below = 0 if perfect else 1
        offset = {"P": 0, "M": 0, "m": -1}.get(
            quality, len(quality) if quality[0] == "A" else -len(quality) - below
        )
        semitones = 12 * (steps // 7) + PERFECT_OR_MAJOR[steps % 7] + offset
        return cls(-steps, -semitones) if match["sign"] else cls(steps, semitones)

    @classmethod
    def between(cls, low: Pitch, high: Pitch) -> Interval:
        """The interval from one pitch to another (negative when the second is lower)."""
        return cls(high.diatonic - low.diatonic, high.midi - low.midi)

    @property
    def fifths(self) -> int:
        """How far the interval moves along the line of fifths, hence how a key signature moves."""
        return 7 * self.semitones - 12 * self.steps

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.semitones)

    def __add__(self, other: Interval) -> Interval:
        return Interval(self.steps + other.steps, self.semitones + other.semitones)
