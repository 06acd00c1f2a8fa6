"""Degrees that are named with a sign among others that are lit, and are lit as another: "root, third and natural nine".

Common practice, no source. A plain number may be whatever its chord has; one with a sign is that alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, named_degrees
from lessonmaker.script.plain.crosscheck.bearers import bears
from lessonmaker.script.plain.crosscheck.told import Told, Untrue

__all__ = ["signs_said"]

SIGNED = pattern_of(
    r"(?<!double[ -])\b(?:flat|sharp|natural|major|minor|perfect)[ -]"
    r"(?:third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|three|four|five|six|seven|nine|eleven|thirteen)\b"
)
FEWEST = 2  # notes that were lit as one


def signs_said(told: Told) -> Iterator[Untrue]:
    """The degrees with a sign that none of the notes is that were lit for them and others."""
    rows = [(claim.first, claim.last) for claim in told.named if claim.kind == "set"]
    for shown in told.shown:
        is_row = any(first < shown.last and shown.first < last for first, last in rows)
        if len(shown.notes) < FEWEST or not is_row:
            continue
        for match in SIGNED.finditer(told.text, shown.first, shown.last):
            name = Claim("degree", *match.span(), "", named_degrees(match[0]))
            if not name.names or any(bears(note, name, told) for note in shown.notes):
                continue
            words = told.sentence.words(*match.span())
            there = told.music.degrees_said(shown.notes)
            yield Untrue(
                *match.span(), f"there is no {words} among them: {there}", "name the note that is there"
            )
