"""The clock: from spans of the score to stretches of the take, through repeats, endings and a pickup."""

import pytest

from lessonmaker.score.position import parse_span
from lessonmaker.timeline.clock import TakeClock
from tests.analysis.conftest import build
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
    assert [seven_clock.bar_of[each.head] for each in seven_clock.heads_in(passage)][-1] == 3
    inside = [each.start_s for each in seven_clock.heads_in(passage)]
    assert passage.start_s <= min(inside) <= max(inside) < passage.end_s


def test_a_pickup_is_a_short_bar_before_the_first(swing, swing_clock):
    passage = swing_clock.passage(parse_span(swing, "0"))
    assert (passage.start_s, passage.end_s) == (LEAD_IN_S, LEAD_IN_S + 0.75)
    assert swing_clock.passage(parse_span(swing, "1")).start_s == passage.end_s


def test_a_passage_has_the_notes_of_its_own_time_round(seven, seven_clock):
    second = seven_clock.heads_in(seven_clock.passage(parse_span(seven, "1-2x2")))
    assert {each.note.visit for each in second} == {2}
    heads = [note.id for note in seven.notes if note.bar <= 1 and not note.grace]
    assert [each.head for each in second] == heads


def test_the_whole_runs_from_the_first_bar_to_the_end_of_the_last(seven, seven_clock):
    whole = seven_clock.whole()
    assert (whole.first, whole.last) == (0, len(seven.order) - 1)
    assert (whole.start_s, whole.end_s) == (LEAD_IN_S, place_s(32))
    assert tuple(seven_clock.heads_in(whole)) == seven_clock.heads
    assert {each.note for each in seven_clock.heads} == set(seven_clock.fit.notes)


def test_a_note_tied_over_bar_lines_goes_on_in_its_head_in_each_bar():
    score = build("[C7] G4h~ G4q~ G4q~ | G4w~ | G4q E4 C4h")
    clock = TakeClock(score, even_fit(score))
    struck = score.struck[0].id
    heads = [each for each in clock.heads if each.note.note == struck]
    assert [clock.bar_of[each.head] for each in heads] == [0, 1, 2]
    assert [each.place for each in heads] == [0, 1, 2]
    assert heads[0].head == struck
    assert [each.start_s for each in heads[1:]] == clock.starts_s[1:]
    assert [each.end_s for each in heads[:2]] == clock.starts_s[1:]
    assert heads[2].end_s == heads[0].note.end_s


def test_a_passage_begins_with_the_note_that_is_tied_into_it():
    score = build("[C7] C4h. G4q~ | G4h E4h")
    clock = TakeClock(score, even_fit(score))
    first, second = clock.heads_in(clock.passage(parse_span(score, "2")))
    by_id = {note.id: note for note in score.notes}
    assert [by_id[each.head].tied_on for each in (first, second)] == [True, False]
    assert first.start_s == clock.starts_s[1]


def test_bars_that_were_not_played_have_no_passage(seven):
    fit = even_fit(seven)
    clock = TakeClock(seven, type(fit)(True, 1.0, fit.bars[:8], fit.notes, fit.bars[8].time_s, 0.5, {}))
    assert clock.passage(parse_span(seven, "9-10")) is None
    assert clock.passage(parse_span(seven, "8")).end_s == place_s(8)
