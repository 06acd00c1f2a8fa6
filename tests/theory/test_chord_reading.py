"""Chord symbols as musicians type them: one value, one print, one way to say it."""

from __future__ import annotations

import pytest

from lessonmaker.theory.chord import (
    ChordDegree,
    chord_from_kind,
    chord_parts,
    chord_spoken,
    chord_text,
    parse_change,
    parse_chord,
    simplified,
    transpose_chord,
)
from lessonmaker.theory.pitch import Interval, NoteName

SYMBOLS = [
    ("C", "C", "C"),
    ("Bbmaj7", "B♭maj7", "B flat major seven"),
    ("B♭Δ7", "B♭maj7", "B flat major seven"),
    ("BbΔ", "B♭maj7", "B flat major seven"),
    ("CM7", "Cmaj7", "C major seven"),
    ("C^7", "Cmaj7", "C major seven"),
    ("Cm7", "Cm7", "C minor seven"),
    ("C-7", "Cm7", "C minor seven"),
    ("Cmin7", "Cm7", "C minor seven"),
    ("Cmi7", "Cm7", "C minor seven"),
    ("C-", "Cm", "C minor"),
    ("CmMaj7", "Cm(maj7)", "C minor major seven"),
    ("C-Δ7", "Cm(maj7)", "C minor major seven"),
    ("Cm(maj7)", "Cm(maj7)", "C minor major seven"),
    ("CmMaj9", "Cm(maj9)", "C minor major nine"),
    ("C7alt", "C7alt", "C seven altered"),
    ("Calt", "C7alt", "C seven altered"),
    ("G7(b9,#11)", "G7(♭9♯11)", "G seven flat nine sharp eleven"),
    ("G7b9#11", "G7(♭9♯11)", "G seven flat nine sharp eleven"),
    ("C7-9", "C7(♭9)", "C seven flat nine"),
    ("C7+9", "C7(♯9)", "C seven sharp nine"),
    ("Bb7#9", "B♭7(♯9)", "B flat seven sharp nine"),
    ("G13sus4", "G13sus", "G thirteen sus"),
    ("G7sus", "G7sus", "G seven sus"),
    ("G7sus4", "G7sus", "G seven sus"),
    ("Gsus", "Gsus", "G sus"),
    ("Gsus2", "Gsus2", "G sus two"),
    ("G9sus4", "G9sus", "G nine sus"),
    ("C7sus4(b9)", "C7sus(♭9)", "C seven sus flat nine"),
    ("F/G", "F/G", "F over G"),
    ("Dm7/G", "Dm7/G", "D minor seven over G"),
    ("C7/Bb", "C7/B♭", "C seven over B flat"),
    ("Cø", "Cm7(♭5)", "C minor seven flat five"),
    ("Cø7", "Cm7(♭5)", "C minor seven flat five"),
    ("Cm7b5", "Cm7(♭5)", "C minor seven flat five"),
    ("C-7b5", "Cm7(♭5)", "C minor seven flat five"),
    ("Cm9b5", "Cm9(♭5)", "C minor nine flat five"),
    ("C°7", "C°7", "C diminished seven"),
    ("Cdim7", "C°7", "C diminished seven"),
    ("Co7", "C°7", "C diminished seven"),
    ("Cdim", "C°", "C diminished"),
    ("C°maj7", "C°(maj7)", "C diminished major seven"),
    ("C+7", "C7(♯5)", "C seven sharp five"),
    ("C7+", "C7(♯5)", "C seven sharp five"),
    ("C7#5", "C7(♯5)", "C seven sharp five"),
    ("C7b5", "C7(♭5)", "C seven flat five"),
    ("Caug", "C+", "C augmented"),
    ("C+", "C+", "C augmented"),
    ("C6", "C6", "C six"),
    ("C6/9", "C6/9", "C six nine"),
    ("C69", "C6/9", "C six nine"),
    ("Cm6", "Cm6", "C minor six"),
    ("Cm6/9", "Cm6/9", "C minor six nine"),
    ("C9#11", "C9(♯11)", "C nine sharp eleven"),
    ("C13(#11)", "C13(♯11)", "C thirteen sharp eleven"),
    ("C13b9", "C13(♭9)", "C thirteen flat nine"),
    ("Cmaj7#5", "Cmaj7(♯5)", "C major seven sharp five"),
    ("Cmaj7#11", "Cmaj7(♯11)", "C major seven sharp eleven"),
    ("Cadd9", "Cadd9", "C add nine"),
    ("Cmadd9", "Cm(add9)", "C minor add nine"),
    ("C5", "C5", "C five"),
    ("C7(no3)", "C7(no3)", "C seven no three"),
    ("F#m7", "F♯m7", "F sharp minor seven"),
]


@pytest.mark.parametrize(("typed", "printed", "spoken"), SYMBOLS)
def test_typed_symbol_is_printed_and_spoken_in_one_style(typed: str, printed: str, spoken: str) -> None:
    chord = parse_chord(typed)
    assert chord_text(chord) == printed
    assert chord_spoken(chord) == spoken


@pytest.mark.parametrize("typed", [typed for typed, _, _ in SYMBOLS])
def test_print_reads_back_to_the_same_chord(typed: str) -> None:
    chord = parse_chord(typed)
    again = parse_chord(chord_text(chord))
    assert chord_text(again) == chord_text(chord)
    assert simplified(again).kind == simplified(chord).kind
    assert set(simplified(again).degrees) == set(simplified(chord).degrees)


@pytest.mark.parametrize("text", ["N.C.", "NC", "n.c.", "No chord"])
def test_no_chord(text: str) -> None:
    assert parse_change(text) is None
    assert chord_text(None) == "N.C."
    assert chord_spoken(None) == "no chord"
    with pytest.raises(ValueError, match="it says that none sounds"):
        parse_chord(text)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("H7", "begins with a note name in capitals"),
        ("", "begins with a note name in capitals"),
        ("cm", "begins with a note name in capitals"),
        ("C7foo", "'foo' cannot be read"),
        ("Cmaj5", "'5' does not follow there"),
    ],
)
def test_unreadable_symbol_says_what_is_wrong(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        parse_chord(text)


def test_drawing_parts_of_the_house_style() -> None:
    parts = chord_parts(parse_chord("F#-7b5/E"))
    assert (parts.root, parts.quality, parts.superscript, parts.bass) == (
        NoteName("F", 1),
        "m",
        "7(♭5)",
        NoteName("E"),
    )


def test_the_note_a_is_spoken_as_a_letter() -> None:
    assert chord_spoken(parse_chord("Ab7")) == "Ay flat seven"


def test_transposition_moves_root_and_bass_and_keeps_the_rest() -> None:
    moved = transpose_chord(parse_chord("Bb7alt/Ab"), Interval.parse("M2"))
    assert chord_text(moved) == "C7alt/B♭"


ADD, ALTER, SUBTRACT = "add", "alter", "subtract"


@pytest.mark.parametrize(
    ("kind", "text", "degrees", "printed"),
    [
        ("dominant", "7alt", (), "G7alt"),
        ("dominant", "7", ((ADD, 9, -1), (ADD, 9, 1), (ADD, 11, 1), (ADD, 13, -1)), "G7alt"),
        ("dominant", "", ((ALTER, 5, -1), (ADD, 5, 1), (ADD, 9, -1), (ADD, 9, 1)), "G7alt"),
        ("dominant", "", ((ALTER, 5, 1), (ADD, 9, 1)), "G7(♯5♯9)"),
        ("dominant", "", ((ADD, 11, 1),), "G7(♯11)"),
        ("dominant", "7sus4", ((ADD, 4, 0), (SUBTRACT, 3, 0)), "G7sus"),
        ("dominant", "", ((ADD, 4, 0), (SUBTRACT, 3, 0)), "G7sus"),
        ("suspended-fourth", "7sus4", ((ADD, 7, 0),), "G7sus"),
        ("suspended-fourth", "7sus4", ((ADD, 7, -1),), "G7sus"),
        ("minor-seventh", "m7b5", ((ALTER, 5, -1),), "Gm7(♭5)"),
        ("major", "", ((ADD, 6, 0), (ADD, 9, 0)), "G6/9"),
        ("major", "", ((ADD, 9, 0),), "Gadd9"),
        ("other", "7alt", (), "G7alt"),
        ("", "m7", (), "Gm7"),
        ("", "", (), "G"),
        ("maj69", "", (), "G6/9"),
        ("minor-major", "", (), "Gm(maj7)"),
        ("augmented-ninth", "", (), "G9(♯5)"),
        ("nonsense", "7b9", (), "G7(♭9)"),
    ],
)
def test_harmony_element_is_read_leniently(
    kind: str, text: str, degrees: tuple[tuple[str, int, int], ...], printed: str
) -> None:
    chord = chord_from_kind(NoteName("G"), kind, text, tuple(ChordDegree(*degree) for degree in degrees))
    assert chord_text(chord) == printed


def test_kind_none_is_no_chord() -> None:
    assert chord_from_kind(NoteName("G"), "none") is None


def test_unknown_kind_and_text_print_the_text() -> None:
    assert chord_text(chord_from_kind(NoteName("G"), "nonsense", "xyz")) == "Gxyz"
