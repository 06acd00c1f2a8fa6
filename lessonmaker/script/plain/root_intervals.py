"""Intervals as they are said of roots, by how many half steps they are and which way: "a half step down".

Common practice, no source.
"""

from __future__ import annotations

import re

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.verbs import FALLING, RISING

__all__ = ["DOWN", "EACH_INTERVAL", "INTERVAL", "MANNER", "UP", "interval_said", "steps_said"]

# "These chromatic two-fives" are no motion of a half step.
NO_OTHER = (
    r"(?! (?:two[- ]five|ii|approach|enclosure|neighbou?r|passing|note|tone|run|scale|line|passage|figure|lick"
    r"|side-?step|pair|sub|turnaround|touch|colou?r|idea|trick|stuff|thing))"
)

# Intervals by their names: semitones.
INTERVALS: tuple[tuple[str, tuple[int, ...]], ...] = (
    (r"(?:half[- ](?:steps?|tones?)|semitones?)", (1,)),
    (r"(?:whole[- ](?:steps?|tones?)|tone)", (2,)),
    (r"minor thirds?", (3,)),
    (r"major thirds?", (4,)),
    (r"thirds?", (3, 4)),
    (r"(?:perfect )?fourths?", (5,)),
    (r"(?:tritones?|augmented fourths?|diminished fifths?)", (6,)),
    (r"(?:perfect )?fifths?", (7,)),
    (r"minor sixths?", (8,)),
    (r"major sixths?", (9,)),
    (r"steps?", (1, 2)),
    (rf"chromatic(?:ally)?{NO_OTHER}", (1,)),
    (r"(?:stepwise|down the scale|up the scale)", (1, 2)),
)

EACH_INTERVAL = "|".join(f"(?:{pattern})" for pattern, _ in INTERVALS)

# "A third", "by fifths", but not "the third", which is a degree, nor "two thirds".
COUNTED = (
    r"(?:(?<=\ba )|(?<=\ban )|(?<=\banother )|(?<=\bone )|(?<=\bin )|(?<=\bby )|(?<=\binto )|(?<=\bof )"
    r"|(?<=\bup )|(?<=\bdown )|(?<=\bit's )|(?<=\ball )|(?<=\byour )|(?<=\bour ))"
)

INTERVAL = (
    rf"(?:(?:{COUNTED}|(?=tritone (?:away|off|from)\b))(?P<interval>{EACH_INTERVAL})"
    rf"|(?P<manner>chromatic(?:ally)?{NO_OTHER}|stepwise|(?:down|up) the scale))(?!\w)"
)

UP = pattern_of(
    rf"\b(?:up|upwards?|higher|above|over|{RISING}|ascent|ascending|hoisted|raised|lifted|shunted|bumped"
    rf"|jacked)\b"
)

DOWN = pattern_of(rf"\b(?:down|downwards?|lower|below|beneath|under|{FALLING}|descent|descending|lowered)\b")

# Where the other chord is, from which one is measured.
MANNER = pattern_of(r"chromatic(?:ally)?|stepwise|(?:down|up) the scale")


def steps_said(words: str, round_it: str) -> tuple[int, ...]:
    """The semitones up that an interval's words may mean, by the direction that is said round it."""
    sizes = next(sizes for pattern, sizes in INTERVALS if pattern_of(pattern).fullmatch(words))
    up, down = UP.search(round_it), DOWN.search(round_it)
    ways = (1,) if up and not down else (-1,) if down and not up else (1, -1)
    return tuple(sorted({size * way % OCTAVE for size in sizes for way in ways}))


def interval_said(match: re.Match[str]) -> str:
    """The words of an interval, or of a manner that is one."""
    return match["interval"] or match["manner"]
