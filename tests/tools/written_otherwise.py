"""The same music written in other ways: in every key, by other names of its notes, tied, and in every edition."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.model import Note, Score
from lessonmaker.theory.pitch import Interval
from tests.tools.heard_alike import pitch, transposed

__all__ = ["KEYS", "in_every_edition", "in_every_key", "spelt", "tied"]

KEYS = ("m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7")


def in_every_key(score: Score) -> Iterator[Score]:
    """The score in the eleven other keys."""
    return (transposed(score, Interval.parse(interval)) for interval in KEYS)


def in_every_edition(score: Score) -> Iterator[Score]:
    """What every edition prints of a score that was read from a file."""
    return (make_edition(score, edition).score for edition in EDITIONS.values())


def spelt(score: Score, names: list[str]) -> Score:
    """The score with every note by one of its names (`SHARPS`, `FLATS`)."""
    notes = tuple(replace(note, sounding=pitch(note.sounding.midi, names)) for note in score.notes)
    return replace(score, notes=notes)


def tied(score: Score) -> Score:
    """Every note of a quarter and more written as two, tied."""
    notes: list[Note] = []
    for note in score.notes:
        if note.held < 1:
            notes.append(note)
            continue
        half = note.held / 2
        notes.append(replace(note, duration=half))
        notes.append(
            replace(
                note, id=f"{note.id}t", onset=note.onset + half, duration=half, held=Fraction(0), tied_on=True
            )
        )
    return replace(score, notes=tuple(notes))
