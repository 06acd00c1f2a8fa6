"""The demo book's own lessons, page by page: what the scripts really ask for, in all four editions."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest

from lessonmaker.picture.collisions import collisions, everything
from lessonmaker.picture.figures import Figure, caption_figures
from lessonmaker.picture.marks import arrow_figures, chord_figures
from lessonmaker.picture.page import Row
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.sight import Dissolve, Mark, Sight
from lessonmaker.timeline.model import TICKS_PER_SECOND, Light, Page
from tests.tools.demo_timelines import EDITION_IDS, LESSONS, SWING, Demo, demo

WIDTH = 1920
LEAST_STAFF = {"analysis": 80, "tension": 130}
EVERY_EDITION = [(name, edition) for name in LESSONS for edition in EDITION_IDS]
RATES = [Fraction(24), Fraction(25), Fraction(30), Fraction(60)]
Laid = tuple[Page, tuple[Row, ...]]


@cache
def large_pages(name: str, edition: str) -> tuple[Laid, ...]:
    """The pages that labels, arrows and capsules appear on, laid out at full size."""
    made = demo(name, edition)
    painter = Painter(made.timeline, made.score)
    pages = [page for page in made.timeline.pages if page.kind in LEAST_STAFF]
    return tuple((page, tuple(row for row in painter.page_rows(page) if row is not None)) for page in pages)


def in_sight(page: Page, thing: Light) -> bool:
    return thing.start < page.end and page.start < thing.end


def arrows_on(made: Demo, page: Page, rows: tuple[Row, ...]) -> Iterator[Figure]:
    for arrow in made.timeline.arrows:
        if arrow.start < page.end and page.start < arrow.end:
            for row in rows:
                yield from arrow_figures(row, arrow.from_note, arrow.to_note)


def capsules_on(made: Demo, page: Page, rows: tuple[Row, ...]) -> Iterator[tuple[str, Figure]]:
    heard = dict(made.timeline.heard)
    changes = {
        str(target)
        for light in made.timeline.lights
        if light.kind == "chord" and in_sight(page, light)
        for target in light.targets
    }
    for change in sorted(changes):
        for row in rows:
            for figure in chord_figures(row, change, heard.get(change))[:1]:
                yield change, figure


@pytest.mark.parametrize(("name", "edition"), EVERY_EDITION)
def test_nothing_stands_on_anything_where_the_lessons_have_labels(name: str, edition: str) -> None:
    made, pages = demo(name, edition), large_pages(name, edition)
    labelled = {key[0] for _, rows in pages for row in rows for key in row.labels}
    assert labelled == {label.note for label in made.timeline.labels}
    assert [(page.rows, found) for page, rows in pages for found in collisions(rows, WIDTH)] == []


@pytest.mark.parametrize(("name", "edition"), EVERY_EDITION)
def test_staves_are_as_high_as_they_are_said_to_be(name: str, edition: str) -> None:
    heights = [
        (page.kind, row.staff_bottom - row.staff_top)
        for page, rows in large_pages(name, edition)
        for row in rows
    ]
    assert len(heights) > 10
    assert all(height >= LEAST_STAFF[kind] for kind, height in heights)


@pytest.mark.parametrize(("name", "edition"), EVERY_EDITION)
def test_arrows_touch_nothing_and_keep_to_the_page(name: str, edition: str) -> None:
    made, drawn = demo(name, edition), 0
    for page, rows in large_pages(name, edition):
        for arrow in arrows_on(made, page, rows):
            drawn += 1
            touched = [item for row in rows for item in everything(row) if arrow.box.overlaps(item.box)]
            assert touched == [], page.rows
            assert arrow.box.bottom <= rows[0].kind.bottom
    assert drawn == len(made.timeline.arrows) > 0


@pytest.mark.parametrize(("name", "edition"), EVERY_EDITION)
def test_the_capsule_of_the_current_chord_covers_no_other_thing(name: str, edition: str) -> None:
    made, drawn = demo(name, edition), 0
    for page, rows in large_pages(name, edition):
        for change, capsule in capsules_on(made, page, rows):
            drawn += 1
            items = [item for row in rows for item in everything(row) if item.name != change]
            assert [item for item in items if capsule.box.overlaps(item.box)] == [], (page.rows, change)
    assert drawn >= 10


@pytest.mark.parametrize(("name", "edition"), EVERY_EDITION)
def test_captions_stand_in_their_room_with_every_term_lit(name: str, edition: str) -> None:
    made = demo(name, edition)
    frame = Painter(made.timeline, made.score).frame
    figures = [figure for one in made.timeline.captions for figure in caption_figures(frame, one, one.terms)]
    assert len(figures) > len(made.timeline.captions) >= 20
    assert all(figure.box.left >= 96 and figure.box.right <= 1824 for figure in figures)
    assert all(figure.box.top >= 800 and figure.box.bottom <= 930 for figure in figures)


def small(rate: Fraction) -> Painter:
    made = demo(SWING, "b-flat")
    return Painter(made.timeline, made.score, size=(640, 360), rate=rate)


def marks_of(key: object) -> frozenset[Mark]:
    if isinstance(key, Dissolve):
        return key.first.marks | key.second.marks
    assert isinstance(key, Sight)
    return key.marks


def shows(painter: Painter, light: Light, tick: int) -> bool:
    found = {(mark.kind, mark.name) for mark in marks_of(painter.key(tick))}
    return {(light.kind, target) for target in light.targets} <= found


@pytest.mark.parametrize("rate", RATES)
def test_every_bar_and_note_lights_on_the_last_frame_before_it_sounds(rate: Fraction) -> None:
    painter, frame = small(rate), round(TICKS_PER_SECOND / rate)
    lights = [one for one in painter.timeline.lights if one.kind in ("bar", "note") and not one.fade_in]
    assert len(lights) > 250
    for light in lights:
        last = light.start // frame * frame
        assert shows(painter, light, last), light
        before = last - frame
        lit_before = any(
            one is not light and one.kind == light.kind and set(one.targets) & set(light.targets)
            for one in lights
            if one.start < light.start and light.start - 3 * frame < one.end
        )
        assert lit_before or not shows(painter, light, before), light


@pytest.mark.parametrize("rate", [Fraction(25), Fraction(30)])
def test_between_two_changes_every_frame_is_the_same(rate: Fraction) -> None:
    """From the performance's last page over three explained ones, every frame."""
    painter, frame = small(rate), round(TICKS_PER_SECOND / rate)
    pages = painter.timeline.pages
    last_play = max(index for index, page in enumerate(pages) if page.kind == "play")
    first, last = pages[last_play].start // frame, pages[last_play + 3].end // frame
    changes = set(painter.changes(rate))
    keys = [painter.key(number * frame) for number in range(first, last)]
    differing = {first + step for step in range(1, len(keys)) if keys[step] != keys[step - 1]}
    assert len(differing) > 100
    assert differing <= changes
    assert len(changes & set(range(first, last))) < len(keys) / 2


def test_a_capsule_on_an_accidental_would_be_found() -> None:
    """The check above can fail: symbols lowered by half a staff lie in the music."""
    made = demo(SWING, "bass-clef")
    touched = 0
    for page, rows in large_pages(SWING, "bass-clef"):
        lowered = tuple(
            replace(row, symbols={key: one.at(0, row.kind.staff / 2) for key, one in row.symbols.items()})
            for row in rows
        )
        for change, capsule in capsules_on(made, page, lowered):
            touched += any(
                capsule.box.overlaps(item.box)
                for row in lowered
                for item in everything(row)
                if item.name != change
            )
    assert touched >= 5
