"""Chord symbols as they are typed, in all twelve roots, against the chord dictionaries of two general libraries.

music21's `harmony.CHORD_TYPES` has the figures that may be typed for each kind; mir_eval's `chord` has the shorthand of
Harte, Sandler, Abdallah and Gómez (ISMIR 2005), "Symbolic representation of musical chords".
"""

from __future__ import annotations

from itertools import product

import mir_eval
import pytest
from music21 import harmony

from lessonmaker.theory.chord import Chord, ChordDegree, chord_from_kind, chord_tones, parse_chord
from lessonmaker.theory.chord_print import chord_text
from lessonmaker.theory.pitch import NoteName

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")

# Words of music21's for what no lead sheet names: augmented sixths, the Neapolitan, single notes.
NOT_TYPED = {"Neapolitan", "Italian", "French", "German", "pedal", "Tristan"}
NOT_TYPED_FIGURES = {"power", "dom7dim5"}  # written "5" and "7b5" here
# By kind, the tones (semitones above the root) that one of the two has and the other lacks.
ELEVENTH = "the eleventh over a major third is left out here: it clashes with the third"
SEVENTH = "a seventh is understood under sus"
TRIAD = "a diminished chord with a flat nine, in so many words: its seventh is not understood"
DIFFERS = {
    **dict.fromkeys(
        ("major-13th", "dominant-13th", "augmented-major-13th", "augmented-dominant-13th"), ({5}, ELEVENTH)
    ),
    "suspended-fourth": ({10}, SEVENTH),
    "diminished-minor-ninth": ({9}, TRIAD),
}
FIGURES = [
    (kind, figure)
    for kind, (_, figures) in harmony.CHORD_TYPES.items()
    for figure in figures
    if kind not in NOT_TYPED and figure not in NOT_TYPED_FIGURES
]


def test_the_dictionary_is_there() -> None:
    assert len(FIGURES) >= 75
    assert len({kind for kind, _ in FIGURES}) >= 40


@pytest.mark.parametrize(("kind", "figure"), FIGURES)
def test_a_typed_figure_has_the_tones_of_music21_s_kind_in_every_root(kind: str, figure: str) -> None:
    for root in ROOTS:
        ours = parse_chord(root + figure)
        theirs = harmony.ChordSymbol(root=root.replace("b", "-"), kind=kind)
        differing = set(chord_tones(ours)) ^ {pitch.pitchClass for pitch in theirs.pitches}
        above = {(pitch_class - ours.root.pitch_class) % 12 for pitch_class in differing}
        assert above == DIFFERS.get(kind, (set(),))[0], (root, figure)


@pytest.mark.parametrize("figure", [figure for _, figure in FIGURES])
def test_what_is_printed_for_a_figure_is_read_as_the_same_chord(figure: str) -> None:
    for root in ROOTS:
        typed = parse_chord(root + figure)
        printed = chord_text(typed)
        assert set(chord_tones(parse_chord(printed))) == set(chord_tones(typed)), (figure, printed)


# How a lead sheet writes the shorthand; more than one way where there is more than one.
SHORTHAND = {
    "maj": ("", "maj", "M"),
    "min": ("m", "min", "mi", "-"),
    "aug": ("+", "aug"),
    "dim": ("dim", "°", "o"),
    "sus2": ("sus2",),
    "7": ("7",),
    "maj7": ("maj7", "ma7", "M7", "Δ", "Δ7", "^7"),
    "min7": ("m7", "min7", "mi7", "-7"),
    "minmaj7": ("m(maj7)", "mM7", "-Δ7", "mi(ma7)", "minmaj7"),
    "maj6": ("6", "maj6"),
    "min6": ("m6", "-6"),
    "dim7": ("dim7", "°7", "o7"),
    "hdim7": ("m7b5", "ø", "ø7", "-7b5", "m7(b5)", "min7(b5)"),
    "9": ("9",),
    "maj9": ("maj9", "Δ9", "ma9"),
    "min9": ("m9", "-9", "mi9"),
    "11": ("11",),
    "min11": ("m11", "-11"),
    "13": ("13",),
    "maj13": ("maj13", "ma13"),
    "min13": ("m13", "mi13"),
    "5": ("5",),
}
SHORTHAND_DIFFERS = {"13": {5}, "maj13": {5}}  # the eleventh, as above


def shorthand_tones(name: str) -> set[int]:
    """Semitones above the root: the quality's, and those that an extended one has beside it."""
    bits = mir_eval.chord.encode(f"C:{name}")[1]
    _, further = mir_eval.chord.EXTENDED_QUALITY_REDUX.get(name, ("", set()))
    named = {mir_eval.chord.scale_degree_to_semitone(degree) % 12 for degree in further}
    return {semitones for semitones, bit in enumerate(bits) if bit} | named


@pytest.mark.parametrize("name", SHORTHAND)
def test_typed_symbols_have_the_tones_of_the_published_shorthand(name: str) -> None:
    for root, written in product(ROOTS, SHORTHAND[name]):
        ours = parse_chord(root + written)
        above = {(tone - ours.root.pitch_class) % 12 for tone in chord_tones(ours)}
        assert above ^ shorthand_tones(name) == SHORTHAND_DIFFERS.get(name, set()), (root, written)


# MusicXML 4.0, element degree-alter: an added degree is counted from a dominant chord (major and perfect intervals, and
# a minor seventh), an altered one from what the kind has there (from memory of the standard's text). music21 reads
# degrees by the same rule.
DEGREES = [
    *(
        ("add", value, alter)
        for value, alter in product((2, 4, 6, 9, 11, 13), (-1, 0, 1))
        if (value, alter) != (4, -1)
    ),
    ("alter", 5, -1),
    ("alter", 5, 1),
    ("subtract", 3, 0),
    ("subtract", 5, 0),
]
MODIFIED_KINDS = ("major", "minor", "dominant", "major-seventh", "minor-seventh")
MUSIC21_KINDS = {"dominant": "dominant-seventh"}


@pytest.mark.parametrize("kind", MODIFIED_KINDS)
@pytest.mark.parametrize("degree", DEGREES, ids=str)
def test_degrees_of_a_harmony_have_the_tones_that_music21_gives_them(
    kind: str, degree: tuple[str, int, int]
) -> None:
    action, value, alter = degree
    symbol = harmony.ChordSymbol(root="C", kind=MUSIC21_KINDS.get(kind, kind))
    symbol.addChordStepModification(harmony.ChordStepModification(action, value, alter or None))
    ours = chord_from_kind(NoteName("C"), kind, "", (ChordDegree(*degree),))
    assert isinstance(ours, Chord)
    assert set(chord_tones(ours)) == {pitch.pitchClass for pitch in symbol.pitches}


def test_an_added_seventh_is_the_dominant_s() -> None:
    """By the standard's words; music21 adds a major seventh here."""
    chord = chord_from_kind(NoteName("C"), "minor", "", (ChordDegree("add", 7, 0),))
    assert isinstance(chord, Chord)
    assert set(chord_tones(chord)) == {0, 3, 7, 10}
