"""Engraved systems: exact edges, boxes on ink, room for chord symbols and labels."""

from __future__ import annotations

import io
import itertools
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import cairosvg
import numpy as np
import pytest
from lxml import etree
from numpy.typing import NDArray
from PIL import Image

from lessonmaker.score.drawing import Box
from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.engrave import AIR_PX, EngraveStyle, engrave
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.score.system import System

MEDIA = Path(__file__).parents[2] / "media"
PERFORMANCE = EngraveStyle(1728, 76)
ANALYSIS = EngraveStyle(1728, 88, spacing_nonlinear=0.36, bar_line_margin=0.8)
TENSION = EngraveStyle(1728, 152, spacing_nonlinear=0.3, bar_line_margin=2)
SVG = "{http://www.w3.org/2000/svg}"


@lru_cache
def score(name: str, edition: str = "concert") -> Score:
    return make_edition(read_score(MEDIA / f"{name}.musicxml"), EDITIONS[edition]).score


SWING, SEVEN = "gaslight-errand", "the-tin-heron"


def pixels(system: System, colours: tuple[str, str, str] = ("#000", "#000", "#000")) -> NDArray[np.uint8]:
    png = cairosvg.svg2png(system.coloured(*colours).encode(), background_color="white")
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))


def ink_in(picture: NDArray[np.uint8], box: Box) -> bool:
    x0, y0 = int(box.x0), int(box.y0)
    part = picture[y0 : int(np.ceil(box.y1)) + 1, x0 : int(np.ceil(box.x1)) + 1]
    return bool((part < 128).any())


@pytest.mark.parametrize("name", [SWING, SEVEN])
@pytest.mark.parametrize("edition", list(EDITIONS))
@pytest.mark.parametrize(("style", "count"), [(PERFORMANCE, 4), (ANALYSIS, 3), (TENSION, 1)])
def test_the_staff_has_the_size_asked_for(name: str, edition: str, style: EngraveStyle, count: int) -> None:
    count = count if name == SWING else (count + 1) // 2
    whole = score(name, edition)
    for first in range(0, len(whole.bars) - count + 1, 7):
        bars = range(first, first + count)
        system = engrave(whole, bars, style)
        assert system.staff_bottom - system.staff_top == pytest.approx(style.staff_height, abs=0.2)
        assert system.width == style.width
        assert system.bars[first].x0 == pytest.approx(0, abs=0.01)
        assert system.bars[first + count - 1].x1 == pytest.approx(style.width, abs=0.01)
        assert set(system.notes) == {note.id for note in whole.notes if note.bar in bars}
        assert set(system.changes) == {change.id for change in whole.changes if change.bar in bars}


def test_staff_lines_reach_from_edge_to_edge_in_the_picture() -> None:
    system = engrave(score(SWING), [4, 5, 6, 7], PERFORMANCE)
    picture = pixels(system, ("#f00", "none", "none"))
    red = (picture[:, :, 0] > 200) & (picture[:, :, 1] < 140)
    for line in range(5):
        y = round(system.staff_top + line * system.space)
        row = red[y - 1 : y + 2].any(axis=0)
        assert row[1] and row[-2]


def test_every_box_lies_on_ink() -> None:
    for name, bars in ((SWING, [8, 9, 10, 11]), (SEVEN, [12, 13])):
        system = engrave(score(name, "e-flat"), bars, ANALYSIS)
        picture = pixels(system, ("#fff", "#000", "#000"))
        heads = pixels(system, ("#fff", "#000", "#fff"))
        assert len(system.notes) > 10
        for shape in system.notes.values():
            assert ink_in(heads, shape.head)
            assert shape.accidental is None or ink_in(heads, shape.accidental)
            assert shape.dots is None or ink_in(heads, shape.dots)
            assert shape.stem is None or ink_in(picture, shape.stem)
        assert all(ink_in(picture, one.box) for one in system.obstacles)


def test_all_ink_of_heads_lies_in_the_notes_boxes() -> None:
    system = engrave(score(SWING, "e-flat"), [16, 17, 18, 19], PERFORMANCE)
    picture = pixels(system, ("#fff", "#000", "#fff")).copy()
    for shape in system.notes.values():
        for box in (shape.head, shape.accidental, shape.dots):
            if box is not None:
                picture[int(box.y0) - 1 : int(box.y1) + 2, int(box.x0) - 1 : int(box.x1) + 2] = 255
    assert not (picture < 128).any()


def test_stems_say_their_direction() -> None:
    system = engrave(score(SWING), [4, 5, 6, 7], PERFORMANCE)
    shapes = [shape for shape in system.notes.values() if shape.stem is not None]
    assert shapes
    for shape in shapes:
        assert shape.stem is not None
        assert shape.stem_up == (shape.stem.centre[1] < shape.head.centre[1])
        on_right = shape.stem.centre[0] > shape.head.centre[0]
        assert on_right == shape.stem_up


@pytest.mark.parametrize("width", [60.0, 140.0, 190.0])
def test_chord_symbols_do_not_collide(width: float) -> None:
    whole = score(SWING)
    for first in range(0, len(whole.bars) - 3, 4):
        widths = {change.id: width for change in whole.changes}
        system = engrave(whole, range(first, first + 4), PERFORMANCE, widths)
        places = [*sorted(system.changes.values()), system.width]
        for left, right in itertools.pairwise(places):
            assert right - left >= width + AIR_PX - 1


def test_a_chord_symbol_stands_over_the_note_on_its_beat() -> None:
    whole = score(SWING)
    system = engrave(whole, [4, 5, 6, 7], PERFORMANCE)
    onsets = {note.onset: note.id for note in whole.struck}
    checked = 0
    for change in whole.changes:
        if change.id in system.changes and change.onset in onsets:
            head = system.notes[onsets[change.onset]].head
            assert system.changes[change.id] == pytest.approx(head.x0, abs=1)
            checked += 1
    assert checked >= 3


def test_labels_get_their_room_by_spacing() -> None:
    """Labels as wide as a flat thirteen at 48 pixels, at every note of a bar of eighths."""
    whole = score(SWING)
    notes = [note.id for note in whole.notes if note.bar == 4]
    assert len(notes) >= 8
    tight = engrave(whole, [3, 4, 5, 6], ANALYSIS)
    system = engrave(whole, [3, 4, 5, 6], ANALYSIS, label_reaches=dict.fromkeys(notes, (35.0, 35.0)))
    middles = [system.notes[note].head.centre[0] for note in notes]
    assert min(b - a for a, b in itertools.pairwise(middles)) >= 70 + AIR_PX - 1
    before = [tight.notes[note].head.centre[0] for note in notes]
    assert min(b - a for a, b in itertools.pairwise(before)) < 70
    assert system.width == tight.width


def test_a_label_takes_room_only_where_it_reaches() -> None:
    whole = score(SWING)
    notes = [note.id for note in whole.notes if note.bar == 4]
    system = engrave(whole, [3, 4, 5, 6], ANALYSIS, label_reaches=dict.fromkeys(notes, (50.0, 20.0)))
    even = engrave(whole, [3, 4, 5, 6], ANALYSIS, label_reaches=dict.fromkeys(notes, (35.0, 35.0)))
    assert system.notes == even.notes


def test_labels_that_would_press_the_notes_together_are_smaller() -> None:
    whole = score(SWING)
    notes = [note.id for note in whole.notes if note.bar == 4]
    reaches = dict.fromkeys(notes, (120.0, 70.0))
    full = engrave(whole, [4, 5], TENSION, label_reaches=reaches)
    system = engrave(whole, [4, 5], replace(TENSION, least_label=0.3), label_reaches=reaches)
    assert full.label_share == 1 and full.natural_width * 0.95 > full.width
    assert 0.3 <= system.label_share < 1 and system.natural_width * 0.95 <= system.width
    middles = [system.notes[note].head.centre[0] for note in notes]
    assert min(b - a for a, b in itertools.pairwise(middles)) >= 190 * system.label_share + AIR_PX - 1


def test_a_short_row_may_stay_short() -> None:
    style = EngraveStyle(1728, 76, fill=0.5)
    system = engrave(score(SWING), [4, 5], style)
    assert 0.45 * 1728 <= system.width <= 0.7 * 1728
    assert system.bars[5].x1 == pytest.approx(system.width, abs=0.01)


def test_crowding_can_be_seen() -> None:
    whole = score(SWING)
    assert engrave(whole, range(4, 12), TENSION).natural_width > 1728 * 1.2
    assert engrave(whole, [4], TENSION).natural_width < 1728


def test_the_drawing_needs_no_font_and_has_three_layers() -> None:
    for name in (SWING, SEVEN):
        whole = score(name)
        for first in range(0, len(whole.bars) - 1, 2):
            root = etree.fromstring(
                engrave(whole, [first, first + 1], PERFORMANCE).coloured("#f00", "#0f0", "#00f")
            )
            assert not list(root.iter(f"{SVG}text"))
            fills = [group.get("fill") for group in root.iter(f"{SVG}g") if group.get("fill")]
            assert fills == ["#f00", "#00f", "#0f0"]


def test_a_tie_over_the_edge_is_drawn_on_both_sides() -> None:
    whole = score(SWING)
    tied = [note for note in whole.notes if note.tied_on]
    over = next(n for n in tied if n.onset == whole.bars[n.bar].start)
    before = engrave(whole, [over.bar - 2, over.bar - 1], PERFORMANCE)
    after = engrave(whole, [over.bar, over.bar + 1], PERFORMANCE)
    assert any(one.kind == "tie" and one.box.x1 > 1690 for one in before.obstacles)
    left = after.notes[over.id].head.x0
    assert any(one.kind == "tie" and one.box.x1 < left + 5 for one in after.obstacles)


def test_time_is_printed_where_it_is_new_or_asked_for() -> None:
    whole = score(SEVEN)
    asked = EngraveStyle(1728, 76, show_time=True)
    hidden = EngraveStyle(1728, 76, show_time=False)

    def has_time(bar: int, style: EngraveStyle) -> bool:
        return any(one.kind == "metre" for one in engrave(whole, [bar], style).obstacles)

    assert has_time(0, PERFORMANCE)
    assert not has_time(3, PERFORMANCE)
    assert has_time(3, asked)
    assert not has_time(0, hidden)


def test_endings_are_reported_for_the_picture() -> None:
    whole = score(SEVEN)
    found = [engrave(whole, [n, n + 1], PERFORMANCE).endings for n in range(len(whole.bars) - 1)]
    texts = {mark.text.rstrip(".") for marks in found for mark in marks}
    assert {"1", "2"} <= texts


def test_bars_follow_each_other_and_hold_their_notes() -> None:
    whole = score(SEVEN, "bass-clef")
    system = engrave(whole, [10, 11], ANALYSIS)
    assert system.bars[10].x1 == pytest.approx(system.bars[11].x0, abs=0.01)
    for note in whole.notes:
        if note.id in system.notes:
            box = system.bars[note.bar]
            assert box.x0 < system.notes[note.id].head.x0 < box.x1
    assert 0 < system.music_left < min(shape.head.x0 for shape in system.notes.values())


def test_no_bars_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one bar"):
        engrave(score(SWING), [], PERFORMANCE)


def test_a_score_is_read_and_engraved_in_any_thread():
    path = MEDIA / f"{SWING}.musicxml"
    with ThreadPoolExecutor(1) as another:
        there = another.submit(lambda: engrave(read_score(path), [4, 5], PERFORMANCE)).result()
    assert there.svg == engrave(read_score(path), [4, 5], PERFORMANCE).svg
