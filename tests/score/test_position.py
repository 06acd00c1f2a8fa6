"""Positions as musicians count them, read and written."""

from fractions import Fraction
from itertools import accumulate, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.score.model import Bar, Clef, Key, Note, Score, Visit
from lessonmaker.score.position import (
    PositionError,
    Span,
    bars_in,
    format_position,
    format_span,
    notes_in,
    parse_span,
)
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

F = Fraction
FOUR = Metre(4, 4)


def make_score(
    bars: list[tuple[str, Metre, Fraction | None, str]], pickup: bool = False, order: list[int] | None = None
) -> Score:
    """A score of bars (number, metre, length if not full, section), a note on every quarter."""
    lengths = [metre.bar_quarters if length is None else length for _, metre, length, _ in bars]
    starts = list(accumulate(lengths, initial=-lengths[0] if pickup else F(0)))
    made = tuple(
        Bar(i, f"bar{i}", number, starts[i], lengths[i], metre, Key(0), section)
        for i, (number, metre, _, section) in enumerate(bars)
    )
    pitch = Pitch("C", 0, 5)
    notes = tuple(
        Note(f"n{bar.index}_{q}", bar.index, bar.start + q, F(1), F(1), pitch, pitch)
        for bar in made
        for q in range(int(bar.length))
    )
    visits, seen, at = [], dict.fromkeys(range(len(made)), 0), starts[0]
    for index in order if order is not None else range(len(made)):
        seen[index] += 1
        visits.append(Visit(index, seen[index], at))
        at += lengths[index]
    return Score("", "", "", made, notes, (), tuple(visits), Interval(0, 0), Clef("G", 2), None, "")


def plain(count: int = 16) -> Score:
    """A pickup of three eighths, then `count` bars of 4/4 with sections A, B and Coda-1."""
    sections = {1: "A", 9: "B", 13: "Coda-1"}
    bars = [(str(i), FOUR, F(3, 2) if i == 0 else None, sections.get(i, "")) for i in range(count + 1)]
    return make_score(bars, pickup=True)


READ = {
    "12": (44, 48),
    "12-15": (44, 60),
    "12–15": (44, 60),
    " 12 - 15 ": (44, 60),
    "12.3": (46, 47),
    "12.3&": (F(93, 2), 47),
    "12.3e": (F(185, 4), F(93, 2)),
    "12.3a": (F(187, 4), 47),
    "12.3+1/3": (F(139, 3), F(140, 3)),
    "12.3+2/4": (F(93, 2), F(187, 4)),
    "12.3-13.1": (46, 49),
    "12.3-12": (46, 48),
    "12.3-13.1+0/2": (46, F(97, 2)),
    "12.3 of 4": (46, 47),
    "0": (F(-3, 2), 0),
    "0.3&": (F(-3, 2), -1),
    "0.4-1.1": (-1, 1),
    "A": (0, 32),
    "a": (0, 32),
    "B": (32, 48),
    "Coda-1": (48, 64),
    "A-B": (0, 48),
    "A-Coda-1": (0, 64),
    "B-Coda-1": (32, 64),
    "12-B": (44, 48),
    "all": (F(-3, 2), 64),
}


@pytest.mark.parametrize("text", READ)
def test_positions_are_read(text: str) -> None:
    assert parse_span(plain(), text) == Span(F(READ[text][0]), F(READ[text][1]))


UNREAD = {
    "": "a position is missing",
    "99": r"no bar or section '99' \(bars run from 1 to 16, with a pickup \(0\); sections are A, B, Coda-1\)",
    "Cods-1": "no bar or section 'Cods', did you mean|no bar or section 'Cods-1', did you mean 'Coda-1'",
    "12.5": r"there is no '12\.5': bar 12 has 4 quarters",
    "12.0": r"there is no '12\.0'",
    "0.1": r"there is no '0\.1': the bar begins at 0\.3& \(4/4\)",
    "12.3+3/2": "not inside its beat",
    "12.3+1/0": "not inside its beat",
    "12-10": "'12-10' runs backwards",
    "12x2": "bar 12 is played once: there is no x2",
    "12x0": "there is no x0",
    "Ax2": "section A is played once",
    "A.3": "'A' is a section: a beat needs a bar's number",
    "12.2 of 6": "bar 12 in 4/4 is counted in 4, not in 6",
    "12.3?": "is no position",
    "bar twelve": "is no position",
}


@pytest.mark.parametrize("text", UNREAD)
def test_what_is_no_place_is_refused_with_what_there_is(text: str) -> None:
    with pytest.raises(PositionError, match=UNREAD[text]):
        parse_span(plain(), text)


def endings() -> Score:
    """Bars 1 2 3 | first ending 4 | second ending, numbered 4 again | 5."""
    bars = [(number, FOUR, None, "A" if number == "1" else "") for number in ("1", "2", "3", "4", "4", "5")]
    return make_score(bars, order=[0, 1, 2, 3, 0, 1, 2, 4, 5])


def test_the_time_round_is_read() -> None:
    score = endings()
    assert parse_span(score, "2x2") == Span(F(4), F(8), 2)
    assert parse_span(score, "2.3x2") == Span(F(6), F(7), 2)
    assert parse_span(score, "2x2-3x2") == parse_span(score, "2x2-3") == Span(F(4), F(12), 2)
    assert parse_span(score, "2") == Span(F(4), F(8))
    with pytest.raises(PositionError, match="different times round"):
        parse_span(score, "2x1-3x2")
    with pytest.raises(PositionError, match="bar 2 is played twice: there is no x3"):
        parse_span(score, "2x3")


def test_a_number_on_two_bars_lists_its_readings() -> None:
    score = endings()
    with pytest.raises(PositionError, match="2 bars bear the number 4: write 4x1, 4x2, in the order"):
        parse_span(score, "4")
    assert parse_span(score, "4x1") == Span(F(12), F(16))
    assert parse_span(score, "4x2") == Span(F(16), F(20))
    assert [format_position(score, F(onset)) for onset in (13, 17)] == ["4x1.2", "4x2.2"]


def test_two_sections_of_one_name_list_their_bars() -> None:
    score = make_score([(str(i), FOUR, None, "A" if i in (1, 5) else "") for i in range(1, 9)])
    with pytest.raises(PositionError, match="'A' stands over several sections, which begin in bars 1, 5"):
        parse_span(score, "A")


COMPOUND = [
    (
        Metre(6, 8),
        "1.2",
        r"'1\.2' can be two places in 6/8: write '1\.2 of 2' counted in dotted quarters, or '1\.2 of 6'",
    ),
    (Metre(12, 8), "1.3", "'1.3 of 4' counted in dotted quarters, or '1.3 of 12' counted in eighths"),
    (Metre(2, 2), "1.2", "'1.2 of 2' counted in halves, or '1.2 of 4' counted in quarters"),
]


@pytest.mark.parametrize(("metre", "text", "message"), COMPOUND)
def test_a_beat_with_two_readings_lists_both(metre: Metre, text: str, message: str) -> None:
    with pytest.raises(PositionError, match=message):
        parse_span(make_score([("1", metre, None, "")]), text)


ONE_READING = [
    (Metre(6, 8), "1.1", 0, F(3, 2)),
    (Metre(6, 8), "1.2 of 2", F(3, 2), 3),
    (Metre(6, 8), "1.2 of 6", F(1, 2), 1),
    (Metre(6, 8), "1.5", 2, F(5, 2)),
    (Metre(6, 8), "1.2&", F(3, 4), 1),
    (Metre(2, 2), "1.3", 2, 3),
    (Metre(7, 8), "1.4", F(3, 2), 2),
    (Metre(7, 4, (2, 2, 3)), "1.6&", F(11, 2), 6),
]


@pytest.mark.parametrize(("metre", "text", "start", "end"), ONE_READING)
def test_a_beat_with_one_reading_is_read(metre: Metre, text: str, start: Fraction, end: Fraction) -> None:
    assert parse_span(make_score([("1", metre, None, "")]), text) == Span(F(start), F(end))


def test_a_pickup_that_is_numbered_otherwise_is_still_0() -> None:
    score = make_score([("1", FOUR, F(1), ""), ("2", FOUR, None, "")], pickup=True)
    assert parse_span(score, "0") == parse_span(score, "1") == Span(F(-1), F(0))


def test_the_rest_of_a_bar_cut_in_two_goes_on_counting() -> None:
    score = make_score(
        [("1", FOUR, None, ""), ("2", FOUR, F(3), ""), ("X1", FOUR, F(1), ""), ("3", FOUR, None, "")]
    )
    assert parse_span(score, "X1.4") == Span(F(7), F(8))


METRES = st.sampled_from(
    [
        FOUR,
        Metre(3, 4),
        Metre(7, 4, (2, 2, 3)),
        Metre(6, 8),
        Metre(9, 8),
        Metre(7, 8),
        Metre(2, 2),
        Metre(5, 16),
    ]
)
SCORES = st.builds(
    lambda metres, short: make_score(
        [
            (str(i + (not short)), m, m.unit_quarters if short and i == 0 else None, "")
            for i, m in enumerate(metres)
        ],
        short,
    ),
    st.lists(METRES, min_size=2, max_size=6),
    st.booleans(),
)


@given(SCORES, st.data())
def test_every_onset_can_be_written_and_read_back(score: Score, data: st.DataObject) -> None:
    onset = data.draw(st.fractions(score.bars[0].start, score.bars[-1].end, max_denominator=96))
    if onset < score.bars[-1].end:
        assert parse_span(score, format_position(score, onset)).start == onset


@given(SCORES, st.data())
def test_every_span_can_be_written_and_read_back(score: Score, data: st.DataObject) -> None:
    onsets = st.fractions(score.bars[0].start, score.bars[-1].end, max_denominator=48)
    start, end = sorted(data.draw(st.tuples(onsets, onsets).filter(lambda pair: pair[0] != pair[1])))
    assert parse_span(score, format_span(score, Span(start, end))) == Span(start, end)


def test_positions_outside_the_score_are_refused() -> None:
    with pytest.raises(ValueError, match="outside the score"):
        format_position(plain(), F(64))
    with pytest.raises(ValueError, match="no bar holds the end"):
        format_span(plain(), Span(F(0), F(65)))


def test_bars_and_notes_in_a_span() -> None:
    score = plain()
    assert bars_in(score, parse_span(score, "3.4-5.1")) == (3, 4, 5)
    assert bars_in(score, parse_span(score, "3")) == (3,)
    assert [note.onset for note in notes_in(score, parse_span(score, "3.4-4.2"))] == [11, 12, 13]


def test_bars_of_a_score_follow_one_another() -> None:
    assert all(a.end == b.start for a, b in pairwise(plain().bars))
