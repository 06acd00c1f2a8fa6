"""Playing: bars and notes light at the take's times, slower where asked, and pages turn ahead."""

from fractions import Fraction
from itertools import pairwise

import pytest

from lessonmaker.score.position import parse_span
from lessonmaker.timeline.layout import PlayedRow, rows_in_sight
from lessonmaker.timeline.model import TICKS_PER_SECOND, Page
from lessonmaker.timeline.performance import (
    LEAD_S,
    RELEASE_S,
    Playing,
    Stage,
    perform,
    perform_turning,
    show_row,
)
from lessonmaker.timeline.reel import Reel, whole_samples
from tests.tools.even_take import LEAD_IN_S

TAKE_S = 200.0
FULL, SLOW = Fraction(1), Fraction(3, 5)


def performed(score, clock, span, tempo=FULL, pages=None):
    """A reel with one performance that begins after four seconds."""
    reel = Reel()
    reel.show(Page(0, 0, "title"))
    reel.wait(4)
    reel.close_scene("title")
    stage, passage = Stage(score, clock, TAKE_S), clock.passage(parse_span(score, span))
    if pages is None:
        perform_turning(reel, stage, passage, Playing(tempo, "", 0.9))
    else:
        reel.show(Page(reel.cursor, reel.cursor, "analysis", pages[0]))
        perform(reel, stage, passage, tempo, pages)
    return reel


def heard_at(clip, tick):
    """The second of the take that is heard at a tick."""
    return clip.cut_start_s + float((tick - clip.start) * clip.stretch) / TICKS_PER_SECOND


@pytest.mark.parametrize("tempo", [FULL, SLOW])
def test_bars_light_when_they_sound(seven, seven_clock, tempo):
    reel = performed(seven, seven_clock, "all", tempo)
    bars = [light for light in reel.lights if light.kind == "bar"]
    assert [light.targets[0] for light in bars] == [visit.bar for visit in seven.order]
    times = [heard_at(reel.clips[0], light.start) for light in bars]
    assert times == pytest.approx(seven_clock.starts_s, abs=1 / 48_000)
    assert all(one.end == other.start for one, other in pairwise(bars))


@pytest.mark.parametrize("tempo", [FULL, SLOW])
def test_notes_light_when_they_sound(seven, seven_clock, tempo):
    reel = performed(seven, seven_clock, "1-8", tempo)
    notes = [light for light in reel.lights if light.kind == "note"]
    played = seven_clock.heads_in(seven_clock.passage(parse_span(seven, "1-8")))
    assert [light.targets for light in notes] == [(each.head,) for each in played]
    times = [heard_at(reel.clips[0], light.start) for light in notes]
    assert times == pytest.approx([each.start_s for each in played], abs=1 / 48_000)


def test_slower_playing_takes_longer_by_its_tempo(seven, seven_clock):
    reel = performed(seven, seven_clock, "22", SLOW, (((20, 21),),))
    (clip,) = reel.clips
    assert clip.stretch == SLOW
    assert reel.cursor - clip.start == whole_samples(Fraction(clip.cut_end_s - clip.cut_start_s) / SLOW)
    (bar,) = (light for light in reel.lights if light.kind == "bar")
    assert (bar.end - bar.start) / TICKS_PER_SECOND == pytest.approx(3.5 / 0.6, abs=1 / 48_000)


def test_the_bars_are_seen_before_they_sound_and_the_sound_may_ring(seven, seven_clock):
    reel = performed(seven, seven_clock, "all")
    (clip,) = reel.clips
    assert reel.pages[1].start == 4 * TICKS_PER_SECOND
    assert clip.start == whole_samples(4.9)
    assert clip.cut_start_s == pytest.approx(LEAD_IN_S - LEAD_S)
    assert clip.cut_end_s == pytest.approx(seven_clock.fit.end_s + RELEASE_S)
    assert (reel.scenes[1].start, reel.scenes[1].end) == (4 * TICKS_PER_SECOND, reel.cursor)


def test_a_page_turns_where_its_playing_system_begins_and_the_next_is_in_sight(seven, seven_clock):
    reel = performed(seven, seven_clock, "all")
    bars = [light for light in reel.lights if light.kind == "bar"]
    pages = [page for page in reel.pages if page.kind == "play"]
    for light, following in pairwise(bars):
        (page,) = (
            page
            for page in pages
            if page.start <= light.start < (page.end or reel.cursor)
            or (page is pages[-1] and light.start >= page.start)
        )
        seen = {bar for row in page.rows for bar in row}
        assert {light.targets[0], following.targets[0]} <= seen
    turns = {page.start for page in pages[1:]}
    assert turns <= {light.start for light in bars}


def test_a_system_that_is_repeated_at_once_says_which_one_plays():
    reel, order = Reel(), [PlayedRow((0, 1), place) for place in (0, 2, 4)]
    for index in range(3):
        show_row(reel, rows_in_sight(order, index, 3), index * TICKS_PER_SECOND, 0)
    assert [page.playing for page in reel.pages] == [0, 1, 1]
    assert reel.pages[1].rows == ((0, 1), (0, 1), (0, 1))


def test_a_take_that_begins_at_once_is_not_cut_before_its_start(seven, seven_clock):
    stage = Stage(seven, seven_clock, seven_clock.fit.end_s)
    reel = Reel()
    reel.show(Page(0, 0, "title"))
    perform_turning(reel, stage, seven_clock.whole(), Playing(FULL, "", 0.0))
    assert reel.clips[0].cut_end_s == seven_clock.fit.end_s


def test_an_excerpt_turns_when_the_last_system_in_sight_begins(swing, swing_clock):
    pages = (((1, 2, 3, 4), (5, 6, 7, 8)), ((5, 6, 7, 8), (9, 10, 11, 12)))
    reel = performed(swing, swing_clock, "1-12", FULL, pages)
    (fifth,) = (light for light in reel.lights if light.kind == "bar" and light.targets == (5,))
    assert [page.rows for page in reel.pages[1:]] == [pages[0], pages[1]]
    assert reel.pages[2].start == fifth.start
