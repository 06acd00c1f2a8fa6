"""Guide-tone lines: thirds and sevenths of one chord after the other, joined by step.

Common practice, no source: guide tones are the third and seventh (the fourth of a suspended chord stands for its
third); they are heard as a line where they are long, on strong beats, or the first of their chord.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby

from lessonmaker.analysis.etude import Etude, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import degree_words, listed, number_words

__all__ = ["guide_tone_lines_of"]

GUIDE_TONES = ("3", "b3", "4", "7", "b7", "bb7")
FEWEST_CHORDS = 3
STEP = 2
LONG = Fraction(1)
LONGEST_GAP_BARS = 1


def guide_tone_lines_of(etude: Etude) -> tuple[Device, ...]:
    """The longest lines of guide tones through at least three chords, none inside another."""
    chords = [list(run) for _, run in groupby(etude.melody, key=lambda heard: heard.chord)]
    ways = _ways([_prominent(run) for run in chords])
    found: list[Device] = []
    used: set[str] = set()
    for way in sorted(ways, key=len, reverse=True):
        moves = len({heard.pitch for heard in way}) > 1
        if len(way) >= FEWEST_CHORDS and moves and not used & {heard.note.id for heard in way}:
            used.update(heard.note.id for heard in way)
            found.append(_line(way))
    return tuple(sorted(found, key=lambda device: device.span.start))


def _prominent(run: Sequence[Heard]) -> list[Heard]:
    return [
        heard
        for place, heard in enumerate(run)
        if heard.chord is not None
        and heard.degree in GUIDE_TONES
        and heard.is_stable
        and (place == 0 or heard.is_strong or heard.note.held >= LONG)
    ]


def _ways(tones: Sequence[Sequence[Heard]]) -> list[tuple[Heard, ...]]:
    """The longest line that ends on each guide tone."""
    ways: list[tuple[Heard, ...]] = []
    before: list[tuple[Heard, ...]] = []
    for here in tones:
        now = [(*_longest(before, heard), heard) for heard in here]
        ways.extend(now)
        before = now
    return ways


def _longest(ways: Sequence[tuple[Heard, ...]], heard: Heard) -> tuple[Heard, ...]:
    return max((way for way in ways if _joins(way[-1], heard)), key=len, default=())


def _joins(earlier: Heard, later: Heard) -> bool:
    near = later.note.onset - earlier.end <= LONGEST_GAP_BARS * earlier.bar.metre.bar_quarters
    return near and abs(later.pitch - earlier.pitch) <= STEP


def _line(way: Sequence[Heard]) -> Device:
    degrees = [degree_words(heard.degree or "") for heard in way]
    names = listed([f"the {name}" for name in degrees[:6]])
    text = f"A guide-tone line through {number_words(len(way))} chords, by step: {names}."
    detail = "-".join((heard.degree or "").lstrip("b") for heard in way)
    return device_of(
        "guide-tone line", way, text, 0.8 if len(way) > FEWEST_CHORDS else 0.6, [[h] for h in way], detail
    )
