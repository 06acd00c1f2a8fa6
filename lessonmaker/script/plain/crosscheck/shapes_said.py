"""Tones that a chord's shape is said to lack, and that stand beside its name: "C, E, G, an A minor missing its third".

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note

__all__ = ["shapes_said"]

LACKS = re.compile(
    r"\b(?:missing|lacking|lacks|without|minus|leaves? out|leaving out|omit(?:s|ting)|skips?|skipping|no)"
    r" (?:its |the |an? )?"
    r"(?P<tone>root|third|fifth|seventh)\b"
)
TONES = {"root": (0,), "third": (3, 4), "fifth": (6, 7, 8), "seventh": (9, 10, 11)}
FEWEST = 2  # notes that make a shape


def shapes_said(told: Told) -> Iterator[Untrue]:
    """Tones that are said to be missing from a chord that is named, and are named with it."""
    letters = {named_note(each.name).pitch_class: each.name for each in told.notes_named}
    for match in LACKS.finditer(told.text):
        before = [name for name in told.chords_named if name.last <= match.start() and name.families]
        if not before or len(letters) < FEWEST:
            continue
        root = before[-1].root.pitch_class
        own = next(
            (letters[at] for step in TONES[match["tone"]] if (at := (root + step) % OCTAVE) in letters), None
        )
        if own is not None:
            words = told.sentence.words(before[-1].first, before[-1].last)
            yield Untrue(
                *match.span(), f"{own} is the {match['tone']} of {words}", "say which tone is missing"
            )
