"""Keys by their signatures, and what a tonic is called."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from lessonmaker.score.model import Score
from lessonmaker.theory.pitch import NoteName

__all__ = ["Key", "key_fifths", "signature_at", "tonic_name"]

Key = tuple[int, str]  # the tonic's pitch class, and "major", "minor", "blues" or a mode's name

# How many fifths a mode's signature lies from its tonic's major.
MODE_FIFTHS = {"minor": 3, "dorian": 2, "phrygian": 4, "lydian": -1, "mixolydian": 1, "aeolian": 3}


def _bar_fifths(score: Score, time: Fraction) -> int:
    """The sounding key signature at a time."""
    bar = score.bars[max(bisect_right(score.bars, time, key=lambda bar: bar.start) - 1, 0)]
    return bar.key.fifths - score.transposition.fifths


def signature_at(score: Score, time: Fraction) -> int:
    """The sounding key signature at a time, as a place on the circle of fifths (0 to 11)."""
    return _bar_fifths(score, time) % 12


def key_fifths(key: Key) -> int:
    """A key's place on the circle of fifths, its relative major's signature counted."""
    tonic, mode = key
    return (7 * (tonic + (3 if mode == "minor" else 0))) % 12


def tonic_name(score: Score, time: Fraction, key: Key) -> NoteName:
    """The tonic's name, spelt as near to the signature as can be."""
    tonic, mode = key
    near = _bar_fifths(score, time) + MODE_FIFTHS.get(mode, 0)
    names = [NoteName.from_fifths(fifths) for fifths in range(-6, 12)]
    fitting = [name for name in names if name.pitch_class == tonic % 12]
    return min(fitting, key=lambda name: (abs(name.fifths - near), abs(name.fifths)))
