"""Light over some notes leaves the notes beside them in the dark, wherever there is room for its edge."""

from collections.abc import Iterator, Sequence

import numpy as np
import pytest

from lessonmaker.picture.marks import (
    CUT_AIR,
    CUT_KINDS,
    area_figures,
    clear_edge,
    cuts,
    held_boxes,
    note_runs,
)
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.shapes import Box, union
from tests.tools.demo_timelines import LESSONS, demo


def lights(painter: Painter) -> Iterator[tuple[Sequence[Box], Box, Box]]:
    """Of each light over notes: what its edges must not cut, what it must hold, and its box."""
    areas = [light for light in painter.timeline.lights if light.kind == "area"]
    for page in painter.timeline.pages:
        lit = [light.targets for light in areas if page.start <= light.start < page.end]
        for row in painter.page_rows(page) if lit else ():
            for notes in lit if row is not None else ():
                upright = [box for kind, box in row.obstacles if kind in CUT_KINDS]
                figures = area_figures(row, notes)
                for run, figure in zip(note_runs(row, notes), figures, strict=True):
                    held = union([box for note in run for box in held_boxes(row, note)])
                    assert held is not None
                    yield upright, held, figure.box


@pytest.mark.parametrize("name", LESSONS)
def test_a_light_holds_its_notes_and_no_neighbour_where_there_is_room(name: str) -> None:
    made = demo(name, "concert")
    found = list(lights(Painter(made.timeline, made.score)))
    for upright, held, light in found:
        assert light.left <= held.left
        assert light.right >= held.right
        assert not cuts(upright, light.right)
        beside = [box.left for box in upright if held.right <= box.left < light.right]
        between = np.arange(held.right + CUT_AIR / 2, min(beside, default=0))
        assert all(cuts(upright, edge) for edge in between)
    assert found


def test_an_edge_goes_out_only_as_far_as_it_must() -> None:
    notes = [Box(left, 0, left + 20, 10) for left in (0, 50, 75, 100, 200)]
    assert clear_edge(notes, 20, 35) == 35
    assert clear_edge(notes, 20, 60) == 20 + CUT_AIR
    assert clear_edge(notes, 70, 80) == 120 + CUT_AIR
    assert clear_edge(notes, 220, 300) == 300
