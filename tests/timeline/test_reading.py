"""When sentences are read over a film: in order, in their time, as many as can be, at ease where there is room."""

from itertools import chain, pairwise

from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.timeline.reading import Wish, reading_times

SECOND = TICKS_PER_SECOND
EASE, FAST = 15, 20  # characters a second


def wish(seconds_at_ease, earliest_s, wanted_s, latest_s):
    return Wish(
        round(EASE * seconds_at_ease), *(round(one * SECOND) for one in (earliest_s, wanted_s, latest_s))
    )


def seconds(found):
    return [[(start / SECOND, end / SECOND) for start, end in some] for some in found]


@st.composite
def commentaries(draw):
    """Cues in the order of their bars, each with some sentences."""
    cues, start = [], 0
    for _ in range(draw(st.integers(1, 6))):
        start += draw(st.integers(0, 5))
        end = start + draw(st.integers(1, 6))
        waits = draw(st.lists(st.integers(start, end), max_size=4))
        cues.append([wish(draw(st.integers(1, 6)), max(start - 3, 0), wait, end + 1) for wait in waits])
    return cues


@given(commentaries())
def test_every_sentence_is_read_in_its_time_and_never_two_at_once(cues):
    found = reading_times(cues)
    assert len(found) == len(cues)
    for wishes, times in zip(cues, found, strict=True):
        assert len(times) <= len(wishes)
        for one, (start, end) in zip(wishes, times, strict=False):
            assert one.earliest <= start < end <= one.latest
            assert one.characters / FAST <= (end - start) / SECOND
            assert end - start >= SECOND
    assert all(end <= start for (_, end), (start, _) in pairwise(chain.from_iterable(found)))


def test_what_has_room_begins_when_it_should():
    found = reading_times([[wish(3, 0, 4, 12), wish(2, 0, 4, 12)], [wish(2, 10, 13, 20)]])
    assert seconds(found) == [[(4, 7), (7, 9)], [(13, 15)]]


def test_what_has_not_is_begun_as_much_sooner_as_it_takes():
    assert seconds(reading_times([[wish(5, 7, 10, 13)]])) == [[(8, 13)]]
    assert seconds(reading_times([[wish(3, 7, 10, 13), wish(2, 7, 10, 13)]])) == [[(8, 11), (11, 13)]]


def test_what_comes_before_makes_room():
    found = reading_times([[wish(2, 0, 4, 9)], [wish(4, 3, 6, 8)]])
    assert seconds(found) == [[(2, 4)], [(4, 8)]]


def test_only_what_has_no_room_is_read_fast():
    (one,), (other,) = reading_times([[wish(4, 0, 0, 3)], [wish(4, 3, 6, 20)]])
    assert (one[1] - one[0]) / SECOND == 3
    assert (other[1] - other[0]) / SECOND == 4


def test_the_first_sentence_of_each_goes_before_the_second_of_any():
    found = reading_times(
        [[wish(3, 0, 0, 6)] * 3, [wish(3, 3, 3, 6)], [wish(9, 3, 3, 6)], [wish(1, 3, 3, 7)]]
    )
    assert [len(some) for some in found] == [1, 1, 0, 1]
