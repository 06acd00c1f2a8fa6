"""Displaced figures: a few notes between rests that come again at once, at another place of the bar.

Common practice, no source. A figure with a rhythm of its own is found among the motifs, wherever it stands; here rests
on both sides make even a plain one known again, where it comes at the same pitch.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.devices.figures import Figure, intervals, is_displaced, is_own
from lessonmaker.analysis.etude import Etude, device_of, runs_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words

__all__ = ["displaced_of"]

FEWEST = 3
SURE = 0.6


def displaced_of(etude: Etude) -> tuple[Device, ...]:
    """The plain figures of the melody that come again displaced, all statements in a row as one device."""
    return tuple(_device(chain) for chain in _chains(runs_of(etude.melody, _goes_on)))


def _goes_on(earlier: Heard, later: Heard) -> bool:
    return later.note.onset <= earlier.end


def _chains(figures: list[Figure]) -> Iterator[list[Figure]]:
    chain: list[Figure] = []
    for earlier, later in pairwise(figures):
        if _comes_again(earlier, later):
            chain = [*chain, later] if chain else [earlier, later]
            continue
        if chain:
            yield chain
        chain = []
    if chain:
        yield chain


def _comes_again(earlier: Figure, later: Figure) -> bool:
    same = [h.pitch for h in earlier] == [h.pitch for h in later] and _gaps(earlier) == _gaps(later)
    plain = not is_own(_gaps(earlier), intervals(earlier))
    moves = len({heard.pitch for heard in earlier}) > 1
    return len(earlier) >= FEWEST and same and plain and moves and is_displaced(earlier, later)


def _gaps(figure: Figure) -> list[Fraction]:
    """The time from each onset to the next, in quarters."""
    return [later.note.onset - earlier.note.onset for earlier, later in pairwise(figure)]


def _device(chain: list[Figure]) -> Device:
    count = len(chain[0])
    text = f"The figure of {number_words(count)} notes comes again at another place in the bar."
    return device_of("displacement", [heard for figure in chain for heard in figure], text, SURE, chain)
