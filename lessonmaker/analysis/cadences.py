"""Cadences that do not go from the dominant to the tonic: plagal ones, and those that deceive.

Common practice, no source. A plagal cadence goes from the fourth step, major or minor, straight home; in a blues the
fourth step belongs to the form, and a dominant there is the colour of the dorian mode where home is minor. A deceptive
one goes from the dominant of the key up to its sixth step, which may be borrowed from minor (bVI).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.analysis.model import Device, Function
from lessonmaker.analysis.steps import quality
from lessonmaker.score.position import Span
from lessonmaker.theory.numeral import step_above

__all__ = ["other_cadences"]

FOURTH, FIFTH = 5, 7
# What the chord on the fourth step is, and what home may then be.
HOME_AFTER = {"major": ("major", "minor"), "minor": ("major", "minor"), "dominant": ("major",)}
# The sixth step: (semitones above the tonic, what the chord is there).
SIXTH_STEPS = ((9, "minor"), (8, "major"))
PLAGAL = "A plagal cadence: the {fourth} step goes straight home to the tonic."
DECEPTIVE = "A deceptive cadence: the dominant goes up to the sixth step and not home."


def other_cadences(functions: Sequence[Function], blues: Sequence[Span]) -> Iterator[Device]:
    """The plagal cadences outside some stretches of blues, and the deceptive ones, in time."""
    for here, after in pairwise(functions):
        if here.span.end != after.span.start or here.key.tonic != after.key.tonic:
            continue
        if _is_plagal(here, after) and not any(span.start <= here.span.start < span.end for span in blues):
            fourth = "minor fourth" if quality(here.chord) == "minor" else "fourth"
            yield _device("plagal cadence", here, after, PLAGAL.format(fourth=fourth), 0.7)
        elif _is_deceptive(here, after):
            yield _device("deceptive cadence", here, after, DECEPTIVE, 0.75)


def _device(kind: str, here: Function, after: Function, text: str, sure: float) -> Device:
    span = Span(here.span.start, after.span.end)
    return Device(kind, span, text, sure, detail=f"{here.numeral}-{after.numeral}")


def _above(each: Function) -> int:
    return step_above(each.chord, each.key.tonic.pitch_class)


def _is_plagal(here: Function, after: Function) -> bool:
    fourth, home = quality(here.chord), quality(after.chord)
    steps = _above(here) == FOURTH and _above(after) == 0 and here.key.mode in ("major", "minor")
    return steps and home in HOME_AFTER.get(fourth, ())


def _is_deceptive(here: Function, after: Function) -> bool:
    dominant = _above(here) == FIFTH and quality(here.chord) == "dominant"
    return dominant and (_above(after), quality(after.chord)) in SIXTH_STEPS
