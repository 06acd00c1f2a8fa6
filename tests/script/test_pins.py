"""`sync:` in a lesson script: places pinned to times in the take."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.faults import MaterialError
from lessonmaker.score.model import Visit
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.pins import beyond_the_take, clock_text

HEAD = "lesson: L\nscore: etude.musicxml\ntake: take.flac\n"
CUES = "cues:\n  - play: all\n"


@pytest.fixture
def pinned(script, score):
    """The pinned places of a script with this `sync`; bars 1 and 2 may be played twice."""

    def checked(sync, head=HEAD, repeated=False):
        played = replace(score, order=twice(score)) if repeated else score
        lesson = load_lesson(script(f"{head}sync: {sync}\n{CUES}"))
        return check_lesson(lesson, played).pinned

    return checked


def twice(score):
    """The pickup, bars 1 and 2, both again, bars 3 and 4."""
    order, start = [], Fraction(-1)
    for bar, number in [(0, 1), (1, 1), (2, 1), (1, 2), (2, 2), (3, 1), (4, 1)]:
        order.append(Visit(bar, number, start))
        start += score.bars[bar].length
    return tuple(order)


def test_pins_are_places_and_seconds(pinned):
    found = pinned("{1.1: 0:03.2, 4: 1:05, 2.3&: 12.25, B: 15, 0: 2}")
    assert [(pin.bar, pin.visit, pin.quarters, pin.time_s) for pin in found] == [
        (0, 1, 0, 2.0),
        (1, 1, 0, 3.2),
        (2, 1, Fraction(5, 2), 12.25),
        (3, 1, 0, 15.0),
        (4, 1, 0, 65.0),
    ]


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("0:00", 0), ("3.2", 3.2), ("65", 65), ("1:05", 65), ("75:00", 4500), ("1:02:05.5", 3725.5)],
)
def test_times_as_they_are_written(pinned, text, seconds):
    (pin,) = pinned(f"{{1: {text}}}")
    assert pin.time_s == seconds


def test_a_script_without_pins_has_none(script, score):
    assert check_lesson(load_lesson(script(HEAD + CUES)), score).pinned == ()


def test_times_round(pinned):
    found = pinned("{1x1: 1, 1x2: 9, 2.3x2: 14}", repeated=True)
    assert [(pin.bar, pin.visit, pin.quarters) for pin in found] == [(1, 1, 0), (1, 2, 0), (2, 2, 2)]


def test_a_passage_may_come_again_without_a_printed_repeat(pinned):
    found = pinned("{1: 1, 1x2: 9, 2.3x2: 14, 3: 17}")
    assert [(pin.bar, pin.visit, pin.quarters) for pin in found] == [
        (1, 1, 0),
        (1, 2, 0),
        (2, 2, 2),
        (3, 1, 0),
    ]


FAULTS = {
    "no map": ("0:03", 4, 7, "this is no map of places to times; write .*{1.1: 0:03.2, 33.1: 1:05}"),
    "an empty map": ("{}", 4, 7, "this is no map of places to times"),
    "no time": ("{1: }", 4, 8, "no time stands after 1"),
    "seconds beyond a minute": ("{1: 0:75}", 4, 11, "'0:75' is no time in the take; write minutes and seconds"),
    "minutes beyond an hour": ("{1: 1:75:00}", 4, 11, "'1:75:00' is no time in the take"),
    "words": ("{1: soon}", 4, 11, "'soon' is no time in the take"),
    "below nought": ("{1: -3}", 4, 11, "'-3' is no time in the take"),
    "a list": ("{1: [3, 4]}", 4, 11, "a list stands where text is expected"),
    "an unknown bar": ("{9: 3}", 4, 8, r"there is no bar or section '9' \(bars run from 1 to 4"),
    "an unknown beat": ("{1: 3, 2.7: 5}", 4, 14, "there is no '2.7': bar 2 has 4 quarters"),
    "an unknown beat, again": ("{2.7x2: 5}", 4, 8, "there is no '2.7': bar 2 has 4 quarters"),
    "an unknown section, again": ("{Cx2: 5}", 4, 8, "there is no bar or section 'C'"),
    "backwards": ("{3: 0:09, 2: 0:12.5}", 4, 11, "3 is played after 2, but is pinned to 0:09, not after 0:12.5"),
    "at once": ("{2: 9, 3: 9}", 4, 17, "3 is played after 2, but is pinned to 0:09, not after 0:09"),
    "one place twice": ("{1: 3, 1.1: 5}", 4, 14, "1.1 and 1 are one place; keep one of them"),
    "one place in two ways": ("{A: 3, 1: 5}", 4, 14, "1 and A are one place"),
    "a key twice": ("{1: 3, 1: 5}", 4, 14, "1 stands twice"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_faults_have_their_place(name, pinned):
    sync, line, column, message = FAULTS[name]
    with pytest.raises(MaterialError, match=message) as raised:
        pinned(sync)
    (fault,) = raised.value.faults
    assert (fault.place.line, fault.place.column) == (line, column)


def test_a_place_that_is_played_twice_says_which(pinned):
    with pytest.raises(MaterialError, match=r"1\.3 is played 2 times; .*: 1\.3x1, 1\.3x2"):
        pinned("{1.3: 3}", repeated=True)


def test_the_second_time_comes_after_the_first(pinned):
    with pytest.raises(MaterialError, match="1x2 is played after 2x1, but is pinned to 0:03, not after 0:05"):
        pinned("{1x2: 3, 2x1: 5}", repeated=True)


def test_pins_want_a_take(pinned):
    with pytest.raises(
        MaterialError, match=r"3:7: there is no take to pin places in; add the take, as in `take:"
    ):
        pinned("{1: 3}", head="lesson: L\nscore: etude.musicxml\n")


def test_all_faults_come_at_once(pinned):
    with pytest.raises(MaterialError) as raised:
        pinned("{9: 3, 2: 7, 3: 5, 2.1: 7}")
    assert len(raised.value.faults) == 3


PARTS = st.sampled_from([*"01234.x&:-+/", "A", "12", "1.1", "x2", " of 4", "٣", "0:03.2", "1:05"])


@settings(max_examples=300)
@given(st.lists(PARTS, min_size=1, max_size=5), st.lists(PARTS, min_size=1, max_size=4))
def test_any_pin_is_a_place_and_a_time_or_a_fault(pinned, place, time):
    try:
        (pin,) = pinned(f'{{"{"".join(place)}": "{"".join(time)}"}}')
    except MaterialError as error:
        assert all(fault.place.line == 4 for fault in error.faults)
    else:
        assert 0 <= pin.bar <= 4
        assert pin.visit >= 1
        assert 0 <= pin.quarters < 4
        assert pin.time_s >= 0


def test_a_time_beyond_the_take(script):
    lesson = load_lesson(script(f"{HEAD}sync: {{1: 3, 4: 1:05}}\n{CUES}"))
    (fault,) = beyond_the_take(lesson, 62.34)
    assert str(fault).endswith(
        "4:17: 4 is pinned to 1:05, but the take ends at 1:02.3; times count from the beginning of the take's file"
    )
    assert beyond_the_take(lesson, 65.0) == ()


@pytest.mark.parametrize(
    ("seconds", "text"), [(0, "0:00"), (3.21, "0:03.2"), (59.96, "1:00"), (65, "1:05"), (3725.5, "1:02:05.5")]
)
def test_times_are_said_as_they_are_written(seconds, text):
    assert clock_text(seconds) == text
