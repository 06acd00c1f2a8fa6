"""The curve of tension: what raises it, and what does not."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lessonmaker.analysis.tension_curve import dissonance, half_bars, tension_curve
from lessonmaker.analysis.whole import etude_of
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import parse_chord


def values(score):
    return [point.value for point in tension_curve(etude_of(score))]


def test_a_point_a_half_bar_that_together_cover_the_score(tune):
    points = tension_curve(etude_of(tune("[C] C4q E4 G4 E4 | [G7] B4q D5 F5 D5")))
    assert [point.span for point in points] == [Span(start, start + 2) for start in (0, 2, 4, 6)]


def test_the_greatest_is_one(tune):
    found = values(tune("[Dm7] D4e F4 A4 C5 E5q D5q | [G7] Ab4q. Bb4e Ab4q G4q | [Cmaj7] E4w"))
    assert max(found) == 1.0
    assert found.index(1.0) == 2
    assert all(0 <= value <= 1 for value in found)


@pytest.mark.parametrize(
    ("calm", "tense"),
    {
        "dissonance": ("[C7] G4q G4 G4 G4", "[C7] Ab4q Ab4 Ab4 Ab4"),
        "function": ("[C] G4q G4 G4 G4", "[C7] G4q G4 G4 G4"),
        "density": ("[C] G4q G4 G4 G4", "[C] G4e G4 G4 G4 G4 G4 G4 G4"),
        "register": ("[C] G4q G4 G4 G4", "[C] G5q G5 G5 G5"),
    }.values(),
)
def test_each_part_raises_the_curve(tune, calm, tense):
    found = values(tune(f"{calm} | {tense} | [C] C4w"))
    assert sum(found[2:4]) > sum(found[:2])


def test_silence_is_rest(tune):
    found = values(tune("[C] G4q G4 G4 G4 | rw | G4q G4 G4 G4"))
    assert found[2] < found[0]


@pytest.mark.parametrize("line", ["r1", "[C7] r1 | r1"])
def test_a_score_without_notes_has_no_curve(tune, line):
    assert tension_curve(etude_of(tune(line))) == ()


def test_a_line_without_any_tension_has_a_curve_of_nothing(tune):
    assert values(tune("C4w | C4w", pickup=False))[1] == 0.0


@pytest.mark.parametrize(
    ("metre", "line", "lengths"),
    [
        ("3/4", "[C] C4h.", [3]),
        ("6/8", "[C] C4h.", [Fraction(3, 2)] * 2),
        ("5/4", "[C] C4h. E4h", [3, 2]),
        ("7/8", "[C] C4h. E4e", [1, 1, Fraction(3, 2)]),
    ],
)
def test_bars_are_cut_at_their_strong_beats(tune, metre, line, lengths):
    spans = half_bars(tune(line, metre=metre).bars[0])
    assert [span.end - span.start for span in spans] == lengths


def test_a_pickup_is_counted_from_the_bar_it_completes(tune):
    points = tension_curve(etude_of(tune("C4e D4 E4 | [C] G4w", pickup=True)))
    assert [point.span for point in points][:2] == [Span(Fraction(-3, 2), 0), Span(0, 2)]


def test_degrees_are_ordered_by_how_much_they_rub():
    chord = parse_chord("G7")
    order = ["3", "13", "#11", "b13", "b9"]
    found = [dissonance(degree, chord) for degree in order]
    assert found == sorted(found)
    assert found[0] == 0
    assert dissonance("7", chord) == dissonance("b9", chord)  # foreign to the chord
