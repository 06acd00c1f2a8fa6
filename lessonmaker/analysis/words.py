"""The words for chords, degrees and numbers in sentences: plain language, no letters; the same in every edition."""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.theory.chord import Chord, degree_spoken, family, readings
from lessonmaker.theory.counting import TENS, UNITS

__all__ = ["chord_words", "degree_words", "listed", "number_words"]

CHORD_WORDS = {
    "major": "the major chord",
    "minor": "the minor chord",
    "dominant": "the dominant",
    "altered": "the altered dominant",
    "suspended": "the suspended chord",
    "half-diminished": "the half-diminished chord",
    "diminished": "the diminished chord",
    "augmented": "the augmented chord",
}
NUMBERS = ("no", *UNITS[1:], TENS[2])
NOUNS = {
    "9": "ninth",
    "4": "fourth",
    "11": "eleventh",
    "5": "fifth",
    "6": "sixth",
    "13": "thirteenth",
    "b7": "flat seventh",
    "7": "major seventh",
    "bb7": "diminished seventh",
}


def chord_words(chord: Chord | None) -> str:
    """What a chord is called in a sentence: "the dominant"."""
    return "the chord" if chord is None else CHORD_WORDS.get(family(readings(chord)[0]), "the chord")


def listed(words: Sequence[str]) -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def number_words(count: int) -> str:
    """A count in words up to twenty, in figures beyond."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def degree_words(degree: str) -> str:
    """A degree as a noun: "ninth", "flat thirteen"."""
    return NOUNS.get(degree) or degree_spoken(degree)
