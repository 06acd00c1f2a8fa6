"""Chord kinds against the world: MusicXML 4.0's list, and the chord tables of music21."""

from __future__ import annotations

import pytest
from music21 import harmony

from lessonmaker.theory.chord import Chord, chord_tones
from lessonmaker.theory.kinds import KINDS, MUSICXML_KINDS
from lessonmaker.theory.pitch import NoteName
from tests.tools.musicxml_kinds import KIND_VALUES

STANDARD_KINDS = set(KIND_VALUES)

MUSIC21_NAMES = {
    "dominant": "dominant-seventh",
    "half-diminished": "half-diminished-seventh",
    "major-minor": "minor-major-seventh",
}
# An eleventh over a major third, a triad printed as its own root, an understood seventh: see `kinds`.
DIFFERS = {"dominant-13th": {5}, "major-13th": {5}, "suspended-fourth": {10}}
NOT_COMPARED = {"none", "other", "Neapolitan"}


def test_every_kind_of_the_standard_is_known() -> None:
    assert sorted(MUSICXML_KINDS) == sorted(STANDARD_KINDS)
    assert set(KINDS) == {*STANDARD_KINDS, "altered"}


@pytest.mark.parametrize("kind", sorted(STANDARD_KINDS - NOT_COMPARED))
def test_tones_agree_with_music21(kind: str) -> None:
    figures = harmony.CHORD_TYPES[MUSIC21_NAMES.get(kind, kind)][0].split(",")
    theirs = {_semitones(figure) for figure in figures}
    ours = set(chord_tones(Chord(NoteName("C"), kind)))
    assert ours ^ theirs == DIFFERS.get(kind, set())


def _semitones(figure: str) -> int:
    """Music21 writes degrees against the major scale, - for flat: "-7" is a minor seventh."""
    number = figure.lstrip("-#")
    major = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11}[(int(number) - 1) % 7 + 1]
    return (major - figure.count("-") + figure.count("#")) % 12
