"""A plain number is what its chord has, and a row of plain numbers is held to its degrees, not to its shape."""

from dataclasses import replace

import pytest

from lessonmaker.analysis.model import Finding
from lessonmaker.score.position import parse_span
from lessonmaker.score.read import read_score
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.plain.plain_numbers import is_named, likeliest
from lessonmaker.script.plain.vocabulary import degree_names
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.pitch import Interval
from tests.tools.sentence_sets import OPEN

HALF_STEP, DOWN = Interval(1, 1), Interval(-1, -1)


@pytest.mark.parametrize(
    ("number", "chord", "degree", "named"),
    [
        (3, "Em7", "b3", True),
        (3, "Em7", "3", False),
        (3, "G7sus4", "3", True),
        (5, "Bbmaj7", "5", True),
        (5, "Bbmaj7", "#5", False),
        (5, "Bm7b5", "b5", True),
        (7, "D7", "b7", True),
        (7, "D7", "7", False),
        (7, "Dmaj7", "b7", False),
        (7, "Em7", "7", True),  # its leading note
        (7, "Am6", "7", True),
        (7, "Am", "b7", True),
        (7, "Bdim7", "bb7", True),
        (9, "D7", "9", True),
        (13, "C", "6", True),
    ],
)
def test_a_plain_third_fifth_or_seventh_is_the_one_that_the_chord_has(number, chord, degree, named):
    finding = Finding("n", parse_chord(chord), degree, None)
    assert is_named(degree_names("", number), finding) is named


@pytest.mark.parametrize(
    ("chord", "named"), [("D7", True), ("D7alt", True), ("Dm7", False), ("Dmaj7", False)]
)
def test_a_plain_nine_of_a_row_is_altered_over_dominants_alone(chord, named):
    assert is_named(("9", "b9", "#9"), Finding("n", parse_chord(chord), "b9", None)) is named


def test_the_likeliest_of_some_degrees_is_the_chords_own():
    assert likeliest(degree_names("", 7), [parse_chord("Dmaj7")]) == "7"
    assert likeliest(degree_names("", 3), [parse_chord("Dm7")]) == "b3"
    assert likeliest(degree_names("", 7), []) == "b7"


@pytest.mark.parametrize(
    ("score", "bar", "say", "at", "by"),
    [
        ("kettle-7", 9, "Bar nine climbs three five seven nine.", "9.2&", DOWN),
        ("paper-harbour-2", 17, "Root, seven, five, three, going down.", "17.3", HALF_STEP),
        ("tarpaulin", 3, "The bar ends with sharp nine, nine, root.", "3.4", DOWN),
        ("marigold-ferry", 2, "Nine, one, flat seven, five.", "2.1", DOWN),
        ("tailor-of-plum-lane", 5, "A long nine, then the three, then the five.", "5.1", HALF_STEP),
        ("cobblers-lantern", 5, "A half note on the fifth.", "5.1", HALF_STEP),
    ],
)
def test_a_row_or_a_number_is_lit_where_it_is_so_and_false_over_an_altered_note(
    tmp_path, score, bar, say, at, by
):
    path = OPEN.with_name(f"{score}.musicxml")
    script = tmp_path / "lesson.yaml"
    script.write_text(f"lesson: L\nscore: {path}\ncues:\n  - bars: {bar}\n    say: {say}\n")
    true = read_score(path)
    onset = parse_span(true, at).start
    notes = tuple(
        replace(n, written=n.written.transposed(by), sounding=n.sounding.transposed(by))
        if n.onset == onset
        else n
        for n in true.notes
    )
    lesson = load_lesson(script)
    assert not examine_lesson(lesson, true).faults
    (fault,) = examine_lesson(lesson, replace(true, notes=notes)).faults
    assert "there is no" in fault.what
