"""Degrees by chord: the table of the trade (common practice, no source), name by name."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.theory.chord import Chord, degree_spoken, note_spoken, parse_chord, readings, transpose_chord
from lessonmaker.theory.degree import accepts, degree_of, is_chord_tone, is_tension
from lessonmaker.theory.kinds import DEGREE_SEMITONES, KINDS
from lessonmaker.theory.pitch import Interval, NoteName

# The twelve pitch classes from the root upwards.
NAMES = {
    "Cmaj7": "1 b9 9 #9 3 4 #11 5 #5 13 b7 7",
    "C": "1 b9 9 #9 3 4 #11 5 #5 6 b7 7",
    "C6": "1 b9 9 #9 3 4 #11 5 #5 6 b7 7",
    "C6/9": "1 b9 9 #9 3 4 #11 5 #5 6 b7 7",
    "Cmaj7#5": "1 b9 9 #9 3 4 #11 5 #5 13 b7 7",
    "Cm7": "1 b9 9 b3 3 11 #11 5 b13 13 b7 7",
    "Cm": "1 b9 9 b3 3 11 #11 5 b13 6 b7 7",
    "Cm6": "1 b9 9 b3 3 11 #11 5 b13 6 b7 7",
    "Cm(maj7)": "1 b9 9 b3 3 11 #11 5 b13 13 b7 7",
    "Cm7b5": "1 b9 9 b3 3 11 b5 5 b13 13 b7 7",
    "C7": "1 b9 9 #9 3 11 #11 5 b13 13 b7 7",
    "C7b9": "1 b9 9 #9 3 11 #11 5 b13 13 b7 7",
    "C13#11": "1 b9 9 #9 3 11 #11 5 b13 13 b7 7",
    "C7#5": "1 b9 9 #9 3 11 #11 5 #5 13 b7 7",
    "C7b5": "1 b9 9 #9 3 11 b5 5 b13 13 b7 7",
    "C7alt": "1 b9 9 #9 3 11 #11 5 b13 13 b7 7",
    "C7sus": "1 b9 9 #9 3 4 #11 5 b13 13 b7 7",
    "C°7": "1 b9 9 b3 3 11 b5 5 b13 bb7 b7 7",
}


@pytest.mark.parametrize(("symbol", "names"), NAMES.items())
def test_every_pitch_has_its_name(symbol: str, names: str) -> None:
    chord = parse_chord(symbol)
    assert [degree_of(pitch_class, chord) for pitch_class in range(12)] == names.split()


TENSIONS = {
    "Cmaj7": "9 #11 #5 13",
    "Cm7": "9 11 13 7",
    "Cm7b5": "b9 9 11 b13",
    "C7": "b9 9 #9 #11 b13 13",
    "C7sus": "b9 9 13",
    "C°7": "9 11 b13 7",
    "C7alt": "b9 #9 #11 b13",
}


@pytest.mark.parametrize(("symbol", "names"), TENSIONS.items())
def test_available_tensions(symbol: str, names: str) -> None:
    chord = parse_chord(symbol)
    labels = [degree_of(pitch_class, chord) for pitch_class in range(12)]
    assert [label for label in labels if is_tension(label, chord)] == names.split()


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("Cmaj7", "1 3 5 7"),
        ("C6", "1 3 5 6"),
        ("C7sus", "1 4 5 b7"),
        ("C°7", "1 b3 b5 bb7"),
        ("Cm7b5", "1 b3 b5 b7"),
        ("C7alt", "1 3 b7"),
        ("C7#5", "1 3 #5 b7"),
        ("C13", "1 3 5 b7"),
    ],
)
def test_chord_tones(symbol: str, tones: str) -> None:
    chord = parse_chord(symbol)
    assert [d for d in (degree_of(p, chord) for p in range(12)) if is_chord_tone(d, chord)] == tones.split()


@pytest.mark.parametrize(
    ("symbol", "pitch_class", "degree"),
    [
        ("C/E", 4, "3"),
        ("C/Bb", 0, "1"),
        ("C7/Bb", 10, "b7"),
        ("Dm7/C", 2, "1"),
        ("F/G", 5, "b7"),
        ("F/G", 9, "9"),
        ("F/G", 0, "4"),
        ("Dm7/G", 2, "5"),
        ("Db7", 1, "1"),
    ],
)
def test_slash_chords(symbol: str, pitch_class: int, degree: str) -> None:
    assert degree_of(pitch_class, parse_chord(symbol)) == degree


def test_other_hybrids_have_both_readings() -> None:
    hybrid = parse_chord("E/C")
    assert [str(chord.root) for chord in readings(hybrid)] == ["E", "C"]
    assert accepts("3", degree_of(8, hybrid), hybrid) == "exact"
    assert accepts("#5", degree_of(8, hybrid), hybrid) == "exact"


@pytest.mark.parametrize(
    ("claimed", "actual", "symbol", "verdict"),
    [
        ("b13", "b13", "C7", "exact"),
        ("#5", "b13", "C7", "other name"),
        ("#5", "b13", "C7alt", "exact"),
        ("b5", "#11", "C7alt", "exact"),
        ("6", "13", "Cmaj7", "other name"),
        ("9", "b9", "C7", "false"),
    ],
)
def test_claims(claimed: str, actual: str, symbol: str, verdict: str) -> None:
    assert accepts(claimed, actual, parse_chord(symbol)) == verdict


def test_a_claim_that_is_no_degree_is_refused() -> None:
    with pytest.raises(ValueError, match="'b2' is no degree"):
        accepts("b2", "b9", parse_chord("C7"))


def test_no_degree_without_a_chord() -> None:
    with pytest.raises(ValueError, match="no degree without a chord"):
        degree_of(0, Chord(NoteName("C"), "none"))


def test_degrees_in_words() -> None:
    said = {
        "b9": "flat nine",
        "#11": "sharp eleven",
        "bb7": "double flat seven",
        "1": "root",
        "13": "thirteen",
    }
    assert {degree: degree_spoken(degree) for degree in said} == said
    with pytest.raises(ValueError, match="'b10' is no degree"):
        degree_spoken("b10")


def test_notes_in_words() -> None:
    assert note_spoken(NoteName("B", -1)) == "B flat"
    assert note_spoken(NoteName("A"), 4) == "Ay four"


@given(
    st.sampled_from(sorted(set(KINDS) - {"none"})),
    st.integers(0, 11),
    st.integers(-6, 6),
    st.integers(-24, 24),
)
def test_labels_are_the_same_in_every_key(kind: str, pitch_class: int, fifths: int, semitones: int) -> None:
    chord = Chord(NoteName.from_fifths(fifths), kind)
    for steps in (round(semitones * 7 / 12), round(semitones * 7 / 12) + 1):
        moved = transpose_chord(chord, Interval(steps, semitones))
        assert degree_of(pitch_class + semitones, moved) == degree_of(pitch_class, chord)


@given(st.sampled_from(sorted(set(KINDS) - {"none"})), st.integers(0, 11))
def test_a_label_names_its_pitch(kind: str, pitch_class: int) -> None:
    assert DEGREE_SEMITONES[degree_of(pitch_class, Chord(NoteName("C"), kind))] == pitch_class
