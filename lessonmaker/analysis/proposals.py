"""Printed chords that the line treats as another one.

Common practice, no source: a second step and its dominant are heard as one altered dominant where the line has at least
two altered colours before the dominant is printed, and nothing that contradicts it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.harmony import Hear
from lessonmaker.analysis.keys import Step, chord_steps, quality
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Proposal
from lessonmaker.analysis.words import degree_words, listed
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, readings
from lessonmaker.theory.degree import degree_of

__all__ = ["proposals_of"]

COLOURS = ("b9", "#9", "#11", "b13")
CONTRADICTING = ("9", "5", "13")
PASSING = ("passing", "neighbour", "approach")
FEWEST_COLOURS = 2
STEP = 2
SURE, QUITE_SURE = 0.85, 0.7


def proposals_of(etude: Etude, hear: Sequence[Hear] = ()) -> tuple[Proposal, ...]:
    """What the author might hear instead of what is printed, where `hear` does not say it already."""
    found = [each for one, other in pairwise(chord_steps(etude)) for each in _altered(etude, one, other)]
    return tuple(
        each
        for each in found
        if not any(start < each.span.end and each.span.start < end for start, end, _ in hear)
    )


def _altered(etude: Etude, second: Step, fifth: Step) -> Iterator[Proposal]:
    falls = (second.chord.root.pitch_class - fifth.chord.root.pitch_class) % 12
    if quality(second.chord) not in ("minor", "half-diminished") or quality(fifth.chord) != "dominant":
        return
    if falls != 7 or second.span.end != fifth.span.start:
        return
    hear = Chord(readings(fifth.chord)[0].root, "altered", text="7alt")
    before = etude.notes_between(second.span)
    colours = _named(_speaking(before), hear, COLOURS)
    after = etude.notes_between(fifth.span)
    if len(colours) < FEWEST_COLOURS or _contradicts(etude, (*before, *after), hear):
        return
    span = Span(second.span.start, fifth.span.end)
    names = listed([f"the {degree_words(degree)}" for degree in colours])
    text = (
        f"Before the dominant is printed the line has {names} of it, and nothing contradicts them: "
        "both chords can be heard as one altered dominant."
    )
    sure = SURE if len(colours) > FEWEST_COLOURS else QUITE_SURE
    yield Proposal("one altered dominant", span, hear, text, sure)


def _speaking(notes: Sequence[Heard]) -> list[Heard]:
    """The notes that speak for another chord: foreign to the printed one, and no ornament between two of its tones."""
    return [
        heard
        for place, heard in enumerate(notes)
        if not heard.is_stable
        and not (0 < place < len(notes) - 1 and _ornaments(notes[place - 1], heard, notes[place + 1]))
    ]


def _ornaments(before: Heard, heard: Heard, after: Heard) -> bool:
    """Whether a note goes by step from one tone of the chord to the same one or the next."""
    steps = abs(heard.pitch - before.pitch), abs(after.pitch - heard.pitch)
    return before.is_stable and after.is_stable and max(steps) <= STEP


def _named(notes: Sequence[Heard], chord: Chord, names: Sequence[str]) -> list[str]:
    """Which of some degrees of a chord sound, in the order of sounding."""
    degrees = (degree_of(heard.pitch % 12, chord) for heard in notes)
    return list(dict.fromkeys(degree for degree in degrees if degree in names))


def _contradicts(etude: Etude, notes: Sequence[Heard], chord: Chord) -> bool:
    """Whether a note that is no passing one is a natural fifth, ninth or thirteenth of the dominant."""
    return any(
        degree_of(heard.pitch % 12, chord) in CONTRADICTING
        and (etude.finding[heard.note.id].role not in PASSING or heard.is_strong)
        for heard in notes
    )
