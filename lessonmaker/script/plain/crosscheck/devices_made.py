"""How devices are made: each check of what is said of them."""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.script.plain.crosscheck.approached_from import approached_from
from lessonmaker.script.plain.crosscheck.cells_counted import cells_counted
from lessonmaker.script.plain.crosscheck.chords_broken import chords_broken
from lessonmaker.script.plain.crosscheck.degree_rows import degree_rows
from lessonmaker.script.plain.crosscheck.devices_told import devices_told
from lessonmaker.script.plain.crosscheck.enclosed_as import enclosed_as
from lessonmaker.script.plain.crosscheck.figure_starts import figure_starts
from lessonmaker.script.plain.crosscheck.figures_moved import figures_moved
from lessonmaker.script.plain.crosscheck.led_on import led_on
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.triads_spelt import triads_spelt

__all__ = ["devices_made"]

CHECKS = (
    triads_spelt,
    enclosed_as,
    approached_from,
    cells_counted,
    chords_broken,
    degree_rows,
    figure_starts,
    figures_moved,
    led_on,
    devices_told,
)


def devices_made(told: Told) -> Iterator[Untrue]:
    """What is said of triads, enclosures, approaches, loops, figures and of where notes lead, and is false."""
    for check in CHECKS:
        yield from check(told)
