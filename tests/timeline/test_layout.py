"""Systems in sight: the playing one in the middle, the next always there, repeats told apart."""

from lessonmaker.score.rows import rows
from lessonmaker.timeline.layout import PlayedRow, played_rows, rows_in_sight


def test_systems_follow_the_playing_order_through_the_repeat(seven, seven_clock):
    first, second, ending, *rest = rows(seven)
    order = played_rows(rows(seven), seven_clock.fit.bars)
    assert [played.row for played in order] == [first, second, first, second, ending, *rest]
    assert [played.place for played in order[:5]] == [0, 4, 8, 12, 14]


def test_a_system_played_twice_in_a_row_is_two_playings(seven, seven_clock):
    bars = seven_clock.fit.bars[:4] * 2
    assert played_rows(rows(seven), bars) == [PlayedRow((0, 1, 2, 3), 0), PlayedRow((0, 1, 2, 3), 4)]


def test_a_passage_that_begins_within_a_system_shows_it_whole(swing, swing_clock):
    order = played_rows(rows(swing), swing_clock.fit.bars[7:12])
    assert order == [PlayedRow((5, 6, 7, 8), 0), PlayedRow((9, 10, 11, 12), 2)]


def test_the_playing_system_is_in_the_middle_from_the_second_on():
    order = [PlayedRow((bar,), bar) for bar in range(4)]
    assert [rows_in_sight(order, index, 3) for index in range(4)] == [
        (((0,), (1,), (2,)), 0),
        (((0,), (1,), (2,)), 1),
        (((1,), (2,), (3,)), 1),
        (((2,), (3,), ()), 1),
    ]


def test_a_single_system_leaves_two_places_empty():
    assert rows_in_sight([PlayedRow((0, 1), 0)], 0, 3) == (((0, 1), (), ()), 0)
