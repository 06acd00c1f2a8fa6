"""Two notes said to be one and the same, or so far apart: "the last of 16 and the first of 17 are the same pitch".

Common practice, no source. A note in another octave is the same one, unless the octave is spoken of.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import product

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bar_ends import end_near, notes_at_end, windows
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import INTERVAL, OCTAVE, is_as_far, size_said

__all__ = ["notes_alike"]

FAR = rf"(?:half[- ]step|whole[- ]step|semitone|whole[- ]tone|step|{INTERVAL})"
ALIKE = pattern_of(
    r"\b(?:(?:exactly |just )?(?:the|one and the) (?:very |exact |self)?same (?:pitch|note|tone|one)(?:es"
    r"|s)?(?! name)"
    r"|(?P<octave>(?:in )?(?:the )?same octave|at the same (?:height|octave))"
    r"|(?:is|was)(?: just| simply| really| also)? the (?:very )?(?:one|note|pitch)(?= (?:that|which|you|we"
    r"|it|from|at|with)\b)|identical"
    r"|(?:the very|exactly the|precisely the|right|exactly) (?:(?:note|height|pitch|spot) )?(?=(?:where"
    r"|that|on which|at which)\b)"
    rf"|(?:an?|one) (?:whole |full )?(?P<far>{FAR}) apart)\b"
)


def notes_alike(told: Told) -> Iterator[Untrue]:
    """Ends of two bars that are said to be one note, or an interval apart, and are not."""
    matches = list(ALIKE.finditer(told.text))
    sides = _sides(told) if matches else []
    if len(sides) != 2:
        return
    pairs = list(product(*sides))
    for match in matches:
        if pairs and not any(_is_so(match, *pair) for pair in pairs):
            one, other = pairs[0]
            at, beside = (told.music.position(note) for note in pairs[0])
            size = size_said(abs(one.sounding.midi - other.sounding.midi))
            what = f"from the {one.written.name} at {at} to the {other.written.name} at {beside} is {size}"
            yield Untrue(*match.span(), what, "say which notes they are", target=beside)


def _sides(told: Told) -> list[list[Note]]:
    """The notes at an end of each bar that is named with one."""
    found: list[list[Note]] = []
    for named, first, last in windows(told):
        end = end_near(told, first, last, named.first)
        if end is None:
            return []
        found.append(notes_at_end(told, named.bars[0], end))
    return found


def _is_so(match: re.Match[str], one: Note, other: Note) -> bool:
    apart = one.sounding.midi - other.sounding.midi
    if match["far"]:
        return apart != 0 and is_as_far(one, other, match["far"].replace("-", " "))
    return apart == 0 if match["octave"] else apart % OCTAVE == 0
