"""Lines made at random have hardly any motifs: what is found in them would be found in anything."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.pitch import Pitch
from tests.tools.plain_score import plain_score

CHORDS = ("Dm7", "G7", "Cmaj7", "Am7", "Fmaj7", "A7")
NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
STEPS = (-7, -5, -4, -3, -2, -2, -1, -1, 1, 1, 2, 2, 3, 4, 5, 7)
LENGTHS = (Fraction(1, 2), Fraction(1, 2), Fraction(1), Fraction(3, 2), Fraction(2))
BARS, ETUDES = 32, 6
MOST_IN_ALL = 1  # motifs that are found changed, in all the etudes of a kind


def random_etude(seed: int, even: bool) -> Score:
    """A line of even eighths, or of mixed lengths with rests, over any chords."""
    choose, time, midi, notes = random.Random(seed), Fraction(0), 65, []
    while time < 4 * BARS:
        length = LENGTHS[0] if even else choose.choice(LENGTHS)
        if even or choose.random() > 0.12:
            name = NAMES[midi % 12]
            notes.append((time, length, Pitch(name[0], -name[1:].count("b"), midi // 12 - 1)))
        time += length
        midi = min(max(midi + choose.choice(STEPS), 55), 82)
    changes = [(Fraction(4 * bar), parse_chord(choose.choice(CHORDS))) for bar in range(BARS)]
    return plain_score(notes, changes, BARS)


@pytest.mark.parametrize("even", [True, False])
def test_random_lines_have_hardly_any_changed_motif(even: bool) -> None:
    found = [
        device
        for seed in range(ETUDES)
        for device in analyse(random_etude(seed, even)).devices
        if device.detail in ("inverted", "other rhythm", "rhythm")
    ]
    assert len(found) <= MOST_IN_ALL
