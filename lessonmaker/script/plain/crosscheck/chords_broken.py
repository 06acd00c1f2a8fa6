"""Which way broken chords go. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_shapes import CHORD_SHAPE
from lessonmaker.script.plain.crosscheck.told import Told, Untrue

__all__ = ["chords_broken"]

BROKEN = ("arpeggio", CHORD_SHAPE, "chord members", "upper-structure triad")
UP = pattern_of(
    r"\bfrom (?:the )?(?:bottom|low \w+|lowest \w+)(?: note)?,? (?:up(?:wards?)?|to (?:the )?top)\b"
    r"|\b(?:bottom to top|(?:rolled|spelled|spelt|played|broken|arpeggiated|spread|stacked|run|running)"
    r" up(?:wards?)?)\b"
)
DOWN = pattern_of(
    r"\bfrom (?:the )?(?:top|high \w+|highest \w+)(?: note)?,? (?:down(?:wards?)?|to (?:the )?bottom)\b"
    r"|\b(?:top to bottom|(?:rolled|spelled|spelt|played|broken|arpeggiated|spread|run|running) down(?:wards?)?)\b"
)
BOTH = pattern_of(
    r"\b(?:up|down|upwards|downwards|bottom|top)(?: and| or|,? then|, and)(?: back)? (?:up|down|back|from)\b"
)


def chords_broken(told: Told) -> Iterator[Untrue]:
    """Ways that are said of a broken chord, where no three notes of the line go that way."""
    if BOTH.search(told.text):
        return
    for claim in (claim for claim in told.named if claim.name in BROKEN):
        notes = told.line_at(claim.first)
        for pattern, way in ((UP, 1), (DOWN, -1)):
            first, last = told.part_of(claim.first)
            for match in pattern.finditer(told.text, claim.first if claim.first < first else first, last):
                if _runs(notes, -way) and not _runs(notes, way):
                    words = told.sentence.words(*match.span())
                    does = "down" if way > 0 else "up"
                    what = f"“{words}”: it goes {does}, from the {notes[0].written.name} on"
                    yield Untrue(*match.span(), what, "say which way it goes")


def _runs(notes: Sequence[Note], way: int) -> bool:
    """Whether three notes of a line go one way."""
    steps = [(later.sounding.midi - one.sounding.midi) * way for one, later in pairwise(notes)]
    return any(one > 0 and later > 0 for one, later in pairwise(steps))
