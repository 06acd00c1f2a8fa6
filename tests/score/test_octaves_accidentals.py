"""Which phrases move by octaves, and which accidentals are printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lessonmaker.score.accidentals import key_alter, printed_accidentals
from lessonmaker.score.model import Bar, Key, Note
from lessonmaker.score.octaves import choose_octaves, phrases
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Pitch

LOW, HIGH = Pitch("A", 0, 3), Pitch("D", 0, 6)


def spelt(text: str) -> Pitch:
    return Pitch(text[0], {"#": 1, "b": -1, "": 0}[text[1:-1]], int(text[-1]))


def melody(text: str) -> list[Note]:
    """Quarter notes; "-" is a quarter rest, "~" before a note ties it to the one before."""
    notes = []
    for place, word in enumerate(text.split()):
        if word != "-":
            pitch = spelt(word.lstrip("~"))
            one = Fraction(1)
            notes.append(
                Note(f"n{place}", place // 4, Fraction(place), one, one, pitch, pitch, tied_on=word[0] == "~")
            )
    return notes


def moved(text: str) -> list[int]:
    """The octave of each note."""
    notes = melody(text)
    line = phrases(notes)
    octaves = choose_octaves(line, {note.id: note.written for note in notes}, LOW, HIGH)
    return [octave for phrase, octave in zip(line, octaves, strict=True) for _ in phrase.notes]


def test_a_line_in_the_range_stays() -> None:
    assert set(moved("C4 E4 G4 - B4 D5 F5 A5")) == {0}


def test_a_line_too_high_comes_down_as_a_whole() -> None:
    assert set(moved("A5 C6 E6 G6 - E6 G6 A6 G6")) == {-1}


def test_a_low_phrase_between_rests_moves_alone() -> None:
    text = "C6 B5 A5 D6 - C3 D3 E3 F3 E3 D3 C3 - A5 B5 C6 D6 B5 A5"
    assert moved(text) == [0] * 4 + [1] * 7 + [0] * 6


def test_one_low_note_does_not_move_its_phrase() -> None:
    assert set(moved("C6 B5 A5 D6 C6 A5 E5 C5 G4 E4 G3 A3 C4 E4 C6 D6")) == {0}


def test_phrases_end_at_rests_and_wide_leaps_only() -> None:
    found = phrases(melody("C4 D4 E4 - F4 G4 G5 F5 E5 C5"))
    assert [len(phrase.notes) for phrase in found] == [3, 2, 4]


def test_a_sequence_with_leaps_in_it_stays_together() -> None:
    assert len(phrases(melody("C4 C5 B4 A4 D4 D5 C5 B4 E4 E5 D5 C5"))) == 1


def test_a_tie_is_never_taken_apart() -> None:
    assert len(phrases(melody("C4 D4 E4 ~E4 F4"))) == 1


@pytest.mark.parametrize(
    ("fifths", "altered"),
    [(0, ""), (1, "F"), (3, "FCG"), (6, "FCGDAE"), (-1, "B"), (-4, "BEAD"), (-6, "BEADGC")],
)
def test_key_signatures_alter_their_letters(fifths: int, altered: str) -> None:
    assert {step for step in "CDEFGAB" if key_alter(step, fifths)} == set(altered)
    assert {key_alter(step, fifths) for step in altered} <= {1 if fifths > 0 else -1}


def printed(text: str, key: int = 0) -> dict[str, int]:
    notes = melody(text)
    bars = [
        Bar(n, f"b{n}", str(n), Fraction(4 * n), Fraction(4), Metre(4, 4), Key(key))
        for n in range(notes[-1].bar + 1)
    ]
    return printed_accidentals(bars, notes)


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        ("F#4 F#4 F4 F4", 0, {"n0": 1, "n2": 0}),  # holds in the bar, until cancelled
        ("F#4 G4 A4 F#4", 1, {}),  # the key has it
        ("F4 F#4 A4 F#5", 1, {"n0": 0, "n1": 1, "n3": 1}),  # courtesy in another octave
        ("F#4 - - - F#4 - - -", 0, {"n0": 1, "n4": 1}),  # the bar line ends it
        ("F#4 - - - F4 F4 - -", 0, {"n0": 1, "n4": 0}),  # courtesy in the next bar, once
        ("F#4 F4 - - F4 - - -", 0, {"n0": 1, "n1": 0}),  # cancelled already: no courtesy
        ("F#4 - - - - - - - F4 - - -", 0, {"n0": 1}),  # a bar between: no courtesy
        ("C4 - - Bb4 ~Bb4 C5 Bb4 -", 0, {"n3": -1, "n6": -1}),  # a tie carries it for its own note only
        ("C4 - - Bb4 ~Bb4 C5 B4 -", 0, {"n3": -1, "n6": 0}),
        ("F#4 - - F#5", 0, {"n0": 1, "n3": 1}),  # every octave has its own
    ],
)
def test_accidentals_by_the_rules(text: str, key: int, expected: dict[str, int]) -> None:
    assert printed(text, key) == expected
