from fractions import Fraction

import pytest

from lessonmaker.picture.painter import Painter
from lessonmaker.picture.sight import FULL, Dissolve, Mark, Sight, fade_level, place_words
from lessonmaker.timeline.model import TICKS_PER_SECOND, Light
from tests.tools.picture_lesson import (
    ANALYSIS,
    BAR_LIGHT,
    DURATION,
    END,
    FADE_IN,
    FADE_OUT,
    NOTE_TICKS,
    PLAY,
    SECOND,
    TENSION,
    lesson,
    score_in,
)

RATES = [Fraction(24), Fraction(25), Fraction(30), Fraction(60), Fraction(30000, 1001)]


def painter(rate: Fraction = Fraction(30)) -> Painter:
    return Painter(lesson(), score_in("gaslight-errand", "b-flat"), size=(640, 360), rate=rate)


def frame_ticks(rate: Fraction) -> int:
    return round(TICKS_PER_SECOND / rate)


def marks(key: object, kind: str) -> list[Mark]:
    assert isinstance(key, Sight)
    return [mark for mark in key.marks if mark.kind == kind]


@pytest.mark.parametrize("rate", RATES)
def test_a_key_changes_only_where_the_painter_says(rate: Fraction) -> None:
    one, ticks = painter(rate), frame_ticks(rate)
    said = set(one.changes(rate))
    keys = [one.key(frame * ticks) for frame in range(-(-DURATION // ticks))]
    differing = {frame for frame in range(1, len(keys)) if keys[frame] != keys[frame - 1]}
    assert len(differing) > 40
    assert differing <= said
    assert said <= set(range(len(keys)))
    assert 0 in said


@pytest.mark.parametrize("rate", RATES)
def test_light_is_on_the_last_frame_not_later_than_its_time(rate: Fraction) -> None:
    one, ticks = painter(rate), frame_ticks(rate)
    frame = BAR_LIGHT // ticks
    assert marks(one.key(frame * ticks), "bar")
    assert not marks(one.key((frame - 1) * ticks), "bar")
    assert 0 <= BAR_LIGHT - frame * ticks < ticks


def test_each_note_gives_way_to_the_next_without_a_gap_or_an_overlap() -> None:
    one = painter()
    for frame in range(BAR_LIGHT // 8000, (BAR_LIGHT + 3 * NOTE_TICKS) // 8000):
        assert len(marks(one.key(frame * 8000), "note")) == 1


def test_a_dissolve_ends_where_its_page_begins() -> None:
    one = painter()
    for start, dissolve in ((PLAY, SECOND // 4), (4 * SECOND, SECOND // 5), (ANALYSIS, SECOND // 4)):
        assert isinstance(one.key(start - 2 * 8000), Dissolve)
        assert isinstance(one.key(start), Sight)
        assert isinstance(one.key(start - dissolve - 8000), Sight)
        levels = [one.key(tick) for tick in range(start - dissolve, start - 8000, 8000)]
        rising = [key.level for key in levels if isinstance(key, Dissolve)]
        assert rising == sorted(rising) and len(set(rising)) == len(rising) >= 5


def test_fades_rise_and_fall_and_stay_within_their_times() -> None:
    light = Light("area", 1000, 1000 + 10 * FADE_IN, ("n1",), "now", FADE_IN, FADE_OUT)
    assert fade_level(light, light.start) == 0
    assert fade_level(light, light.start + FADE_IN // 2) == FULL // 2
    assert fade_level(light, light.start + FADE_IN) == FULL
    assert fade_level(light, light.end - FADE_OUT // 2) == FULL // 2
    assert 0 < fade_level(light, light.end - FADE_OUT // FULL) <= 1


def test_a_caption_s_term_is_lit_only_while_it_is_spoken() -> None:
    one = painter()
    spoken = [
        mark.name[1] for tick in (6.5, 7.5, 8.5) for mark in marks(one.key(int(tick * SECOND)), "caption")
    ]
    assert spoken == [(), (0,), ()]


def test_the_strip_says_where_we_are_what_was_played_and_what_is_discussed() -> None:
    one = painter()
    playing = {mark.name: mark.use for mark in marks(one.key(BAR_LIGHT + SECOND // 4), "cell")}
    assert [bar for bar, state in playing.items() if state == "current"] == [1]
    assert set(playing) == set(range(len(lesson().bar_numbers)))
    talking = {mark.name: mark.use for mark in marks(one.key(8 * SECOND), "cell")}
    discussed = [bar for bar, state in talking.items() if state in ("discussed", "current")]
    (shown,) = (light for light in lesson().lights if light.kind == "range")
    assert sorted(discussed) == list(shown.targets)
    assert list(talking.values()).count("current") == 1


def test_the_header_names_the_bar_that_plays_and_the_bars_that_are_shown() -> None:
    one = painter()
    assert [mark.name for mark in marks(one.key(BAR_LIGHT + SECOND // 4), "place")] == [("A", "bar 1 of 44")]
    assert [mark.name for mark in marks(one.key(8 * SECOND), "place")] == [("B", "bars 9–12")]
    assert not marks(one.key(SECOND), "place")


@pytest.mark.parametrize(
    ("bars", "words"),
    [((3,), "bar 3"), ((1, 2, 3), "bars 1–3"), ((3, 4, 7), "bars 3–4, 7"), ((0, 1), "bars 0–1"), ((), "")],
)
def test_places_are_said_as_readers_say_them(bars: tuple[int, ...], words: str) -> None:
    assert place_words(tuple(bars), tuple(map(str, range(10)))) == words


def test_marks_on_other_pages_are_not_in_sight() -> None:
    one = painter()
    assert not marks(one.key(int(4.5 * SECOND)), "note")
    assert len(marks(one.key(TENSION + SECOND), "label")) == 2
    assert not marks(one.key(END + SECOND), "label")
