"""Degrees: what a pitch is against a chord, what may be leaned on, and what a claim may call it.

Conventions: labels are ASCII (1 b9 9 #9 b3 3 4 11 #11 b5 5 #5 b13 13 6 bb7 b7 7) and come from the chord and
the pitch class alone, so that they are the same in every edition and however a note is spelt.
Common practice, no source: the table of names and available tensions a family of chords has.
"""

from __future__ import annotations

from typing import Literal

from lessonmaker.theory.chord import Chord, chord_tones, family, readings, seventh_understood
from lessonmaker.theory.kinds import (
    DEGREE_SEMITONES,
    MAJOR_TENSIONS_WITHOUT_SEVENTH,
    NAMES_BY_FAMILY,
    TENSIONS_BY_FAMILY,
)

__all__ = ["Verdict", "accepts", "degree_of", "is_chord_tone", "is_tension"]

Verdict = Literal["exact", "other name", "false"]

PLAIN_NAMES = {0: "1", 1: "b9", 2: "9", 4: "3", 7: "5", 10: "b7", 11: "7"}
EXTENSIONS = ("b9", "9", "#9", "11", "#11", "b13", "13")
# Names that a family's own third never goes by.
NEVER = frozenset((kind, "#9") for kind in ("minor", "half-diminished", "diminished"))
ALTERED_PAIRS = (frozenset({"#11", "b5"}), frozenset({"b13", "#5"}), frozenset({"#9", "b3"}))


def degree_of(pitch_class: int, chord: Chord) -> str:
    """The degree of a pitch class (0 is C) against a chord, by the chord's first reading.

    Raises:
        ValueError: the chord's kind is "none".
    """
    heard = readings(chord)[0]
    kind = family(heard)
    if kind == "none":
        raise ValueError("no degree without a chord: its kind is none")
    tones = chord_tones(heard)
    if pitch_class % 12 in tones:
        return tones[pitch_class % 12]
    above = (pitch_class - heard.root.pitch_class) % 12
    named = NAMES_BY_FAMILY[kind].get(above) or PLAIN_NAMES.get(above)
    return named or ("13" if seventh_understood(heard) else "6")


def is_chord_tone(degree: str, chord: Chord) -> bool:
    """Whether the degree is the chord's own: root, third, fifth, seventh, or the sixth or fourth it says."""
    heard = readings(chord)[0]
    if degree in EXTENSIONS:
        return heard.kind == "suspended-second" and degree == "9"
    if family(heard) == "diminished" and degree == "bb7":
        return True
    return degree in chord_tones(heard).values()


def is_tension(degree: str, chord: Chord) -> bool:
    """Whether the degree can be leaned on over the chord: an available tension, or one the symbol prints."""
    if is_chord_tone(degree, chord):
        return False
    heard = readings(chord)[0]
    available = TENSIONS_BY_FAMILY[family(heard)]
    if family(heard) == "major" and not seventh_understood(heard):
        available = MAJOR_TENSIONS_WITHOUT_SEVENTH
    return degree in available or degree in chord_tones(heard).values()


def accepts(claimed: str, actual: str, chord: Chord) -> Verdict:
    """Whether a claim names a note's degree: exactly, by another name of the same pitch, or falsely.

    Over an altered dominant either name of a pitch is exact; over a hybrid, its name in any reading is.

    Raises:
        ValueError: the claim is no degree.
    """
    if claimed not in DEGREE_SEMITONES:
        raise ValueError(f"{claimed!r} is no degree: write one of {' '.join(DEGREE_SEMITONES)}")
    if claimed == actual or claimed in _other_readings(actual, chord):
        return "exact"
    kind = family(readings(chord)[0])
    if DEGREE_SEMITONES[claimed] != DEGREE_SEMITONES[actual] or (kind, claimed) in NEVER:
        return "false"
    altered = kind == "altered"
    return "exact" if altered and frozenset({claimed, actual}) in ALTERED_PAIRS else "other name"


def _other_readings(actual: str, chord: Chord) -> set[str]:
    heard = readings(chord)
    pitch_class = (heard[0].root.pitch_class + DEGREE_SEMITONES[actual]) % 12
    return {degree_of(pitch_class, reading) for reading in heard[1:]}
