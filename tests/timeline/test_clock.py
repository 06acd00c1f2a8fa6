"""The clock: from spans of the score to stretches of the take, through repeats, endings and a pickup."""

import pytest

from lessonmaker.score.position import parse_span
from lessonmaker.timeline.clock import TakeClock
from tests.tools.even_take import LEAD_IN_S, even_fit

BAR_S = 3.5  # seven quarters of half a second


def place_s(place):
    """When a place of the playing order begins in the take in seven."""
    return LEAD_IN_S + place * BAR_S


@pytest.mark.parametrize(
    ("span", "first", "last"),
    [
        ("3-4", 2, 3),  # the first time round unless another is asked for
        ("3x2", 10, 10),
        ("7-8", 6, 7),  # the first ending
        ("9-10", 14, 15),  # the second ending follows bar 6's second time
        ("6-9", 13, 14),  # the shortest way there: not through the repeat
        ("5-8", 4, 7),
        ("26", 31, 31),
    ],
)
def test_a_span_is_found_along_the_playing_order(seven, seven_clock, span, first, last):
    passage = seven_clock.passage(parse_span(seven, span))
    assert (passage.first, passage.last) == (first, last)
    assert (passage.start_s, passage.end_s) == (place_s(first), place_s(last + 1))


def test_what_is_printed_after_it_but_never_played_after_it_takes_the_repeat(seven, seven_clock):
    passage = seven_clock.passage(parse_span(seven, "8-9"))
    assert (passage.first, passage.last) == (7, 14)


def test_a_span_inside_bars_is_cut_at_its_beats(seven, seven_clock):
    passage = seven_clock.passage(parse_span(seven, "3.3-4.2"))
    assert passage.start_s == pytest.approx(place_s(2) + 1.0)
    assert passage.end_s == pytest.approx(place_s(3) + 1.0)
    assert [seven_clock.bar_of[note.note] for note in seven_clock.notes_in(passage)][-1] == 3
    inside = [note.time_s for note in seven_clock.notes_in(passage)]
    assert passage.start_s <= min(inside) <= max(inside) < passage.end_s


def test_a_pickup_is_a_short_bar_before_the_first(swing, swing_clock):
    passage = swing_clock.passage(parse_span(swing, "0"))
    assert (passage.start_s, passage.end_s) == (LEAD_IN_S, LEAD_IN_S + 0.75)
    assert swing_clock.passage(parse_span(swing, "1")).start_s == passage.end_s


def test_a_passage_has_the_notes_of_its_own_time_round(seven, seven_clock):
    second = seven_clock.notes_in(seven_clock.passage(parse_span(seven, "1-2x2")))
    assert {note.visit for note in second} == {2}
    assert [note.note for note in second] == [note.id for note in seven.struck if note.bar <= 1]


def test_the_whole_runs_from_the_first_bar_to_the_end_of_the_last(seven, seven_clock):
    whole = seven_clock.whole()
    assert (whole.first, whole.last) == (0, len(seven.order) - 1)
    assert (whole.start_s, whole.end_s) == (LEAD_IN_S, place_s(32))
    assert len(seven_clock.notes_in(whole)) == len(seven_clock.fit.notes)


def test_bars_that_were_not_played_have_no_passage(seven):
    fit = even_fit(seven)
    clock = TakeClock(seven, type(fit)(True, 1.0, fit.bars[:8], fit.notes, fit.bars[8].time_s, 0.5, {}))
    assert clock.passage(parse_span(seven, "9-10")) is None
    assert clock.passage(parse_span(seven, "8")).end_s == place_s(8)
