"""What a plain number may mean over a chord: its own third, fifth or seventh; an extension, altered where it may be.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.analysis.model import Finding
from lessonmaker.theory.chord import Chord, chord_tones, family, readings

__all__ = ["is_altered", "is_named", "likeliest"]

OF_THE_CHORD = ({"3", "b3"}, {"5", "b5", "#5"}, {"7", "b7", "bb7"})
EXTENSIONS = ({"9", "b9", "#9"}, {"13", "b13", "6"})
# Chords whose extensions may be altered and still go by their plain numbers.
ALTERABLE = ("dominant", "altered", "suspended", "half-diminished")
ALTERED = ("b9", "#9", "#11", "b13")


def is_named(names: Sequence[str], finding: Finding) -> bool:
    """Whether a note is one of the degrees that some words may mean.

    A plain "third", "fifth" or "seventh" is the one that the chord has, if it has one, and a plain "ninth" or
    "thirteenth" is altered only over a dominant.
    """
    degree, chord = finding.degree, finding.chord
    if degree not in names or chord is None:
        return degree in names
    named = set(names)
    if named in OF_THE_CHORD:
        own = _tones(chord) & named
        leading = degree == "7" and family(readings(chord)[0]) == "minor"  # as in melodic minor
        return not own or degree in own or leading
    altered = named in EXTENSIONS and degree not in (names[0], "6")
    return not altered or family(readings(chord)[0]) in ALTERABLE


def is_altered(names: Sequence[str]) -> bool:
    """Whether some words say of an extension that it is altered: "sharp eleven"."""
    return bool(names) and names[0] in ALTERED


def likeliest(names: Sequence[str], chords: Sequence[Chord]) -> str:
    """The one of some degrees that the only chord has, if there is one, else the first of them."""
    own = _tones(chords[0]) if len(chords) == 1 else set()
    return next((name for name in names if name in own), names[0])


def _tones(chord: Chord) -> set[str]:
    """The names of a chord's tones, however it may be heard."""
    return {tone for heard in readings(chord) for tone in chord_tones(heard).values()}
