"""Bars grouped into systems."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from lessonmaker.score.model import Bar, Clef, Key, Note, Score, Visit
from lessonmaker.score.read import read_score
from lessonmaker.score.rows import MOST_HEADS, rows
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

MEDIA = Path(__file__).parents[2] / "media"
PITCH = Pitch("C", 0, 5)


def make(
    count: int,
    heads: int = 4,
    sections: tuple[int, ...] = (),
    order: list[int] | None = None,
    pickup: int = 0,
) -> Score:
    """`count` bars of 4/4 with so many noteheads each; the first is a pickup where `pickup` is 1."""
    bars = [
        Bar(
            i,
            f"b{i}",
            str(i),
            Fraction(4 * (i - pickup)),
            Fraction(4),
            Metre(4, 4),
            Key(0),
            "A" if i in sections else "",
        )
        for i in range(count)
    ]
    notes = [
        Note(
            f"n{bar.index}.{k}",
            bar.index,
            bar.start + Fraction(4 * k, heads),
            Fraction(4, heads),
            Fraction(1),
            PITCH,
            PITCH,
        )
        for bar in bars
        for k in range(heads)
    ]
    visits = tuple(Visit(i, 1, Fraction(0)) for i in (order or range(count)))
    return Score("", "", "", tuple(bars), tuple(notes), (), visits, Interval(0, 0), Clef("G", 2), None, "")


LENGTHS = [
    (make(8), [4, 4]),
    (make(5), [2, 3]),
    (make(9), [4, 2, 3]),
    (make(10), [4, 4, 2]),
    (make(1), [1]),
    (make(17, pickup=1), [5, 4, 4, 4]),
    (make(12, sections=(0, 4, 6)), [4, 2, 4, 2]),
    (make(8, heads=14), [2, 2, 2, 2]),
    (make(3, heads=12), [3]),
    (make(4, heads=20), [1, 1, 1, 1]),
    (make(8, order=[0, 1, 2, 3, 4, 0, 1, 2, 5, 6, 7]), [2, 4, 2]),
]


@pytest.mark.parametrize(("score", "lengths"), LENGTHS)
def test_rows(score: Score, lengths: list[int]) -> None:
    found = rows(score)
    assert [len(row) for row in found] == lengths
    assert [bar for row in found for bar in row] == list(range(len(score.bars)))


@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_rows_of_the_demo_start_with_sections_and_are_not_crowded(name: str) -> None:
    score = read_score(MEDIA / f"{name}.musicxml")
    found = rows(score)
    first_bars = {row[0] for row in found[1:]}
    assert {bar.index for bar in score.bars if bar.section and bar.index > 1} <= first_bars
    for row in found:
        heads = {(note.bar, note.onset) for note in score.notes if note.bar in row}
        assert 2 <= len(row) <= 5 and len(heads) <= MOST_HEADS + 3


def test_fewer_bars_a_row_can_be_asked_for() -> None:
    assert [len(row) for row in rows(make(8), most=2)] == [2, 2, 2, 2]
    assert rows(replace(make(1), bars=make(1).bars)) == ((0,),)


def test_a_narrow_page_has_fewer_heads_a_row() -> None:
    assert [len(row) for row in rows(make(8, heads=8), most=2, heads=18)] == [2, 2, 2, 2]
    assert [len(row) for row in rows(make(4, heads=10), most=2, heads=18)] == [1, 1, 1, 1]
