"""In which octave each phrase of an edition is printed.

Whole phrases move, never the inside of one: a phrase ends at a rest or before a wide leap that no pattern
repeats, and nothing that moves by step is taken apart (common practice, no source). The cheapest way through
all phrases wins: every note outside the comfortable range costs, and every change of octave between two
phrases costs more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.theory.pitch import Pitch

__all__ = ["Phrase", "choose_octaves", "phrases"]

LONG_REST = Fraction(1)
WIDE_LEAP = 9  # semitones: a major sixth
PATTERN_QUARTERS, ALIKE_SEMITONES = 8, 2
OCTAVES = range(-4, 5)
AFTER_LONG_REST, AFTER_REST, AT_LEAP = 4.0, 6.0, 8.0
WIDER_LEAP = 3.0
FAR_FROM_CENTRE = 0.02  # a semitone: decides between octaves only where nothing else does
ELSEWHERE = 0.3
BELOW = 6.0  # what lies below an instrument cannot be played at all; what lies above is only hard


@dataclass(frozen=True)
class Phrase:
    """Notes that stay together, and what it costs to change octave before them."""

    notes: tuple[Note, ...]
    break_cost: float


def phrases(notes: Sequence[Note]) -> tuple[Phrase, ...]:
    """Split a line where its octave may change: at rests, and at wide leaps."""
    ordered = sorted(notes, key=lambda note: note.onset)
    leaps = _leaps(ordered)
    found: list[tuple[list[Note], float]] = []
    end = ordered[0].onset if ordered else Fraction(0)
    for before, note in zip([None, *ordered], ordered, strict=False):
        cost = 0.0 if before is None else _break_cost(before, end, note, leaps)
        if cost is None:
            found[-1][0].append(note)
        else:
            found.append(([note], cost))
        end = max(end, note.onset + note.duration)
    return tuple(Phrase(tuple(together), cost) for together, cost in found)


def _leaps(ordered: Sequence[Note]) -> list[tuple[Fraction, int]]:
    """When the line leaps widely, and by how many semitones."""
    steps = ((note.onset, note.sounding.midi - before.sounding.midi) for before, note in pairwise(ordered))
    return [(onset, step) for onset, step in steps if abs(step) >= WIDE_LEAP]


def _break_cost(
    before: Note, end: Fraction, note: Note, leaps: Sequence[tuple[Fraction, int]]
) -> float | None:
    """What a change of octave costs before a note; None where the music holds together."""
    gap = note.onset - end
    if note.tied_on or before.grace or gap < 0 or note.onset == before.onset:
        return None
    if gap > 0:
        return AFTER_LONG_REST if gap >= LONG_REST else AFTER_REST
    step = note.sounding.midi - before.sounding.midi
    return AT_LEAP if abs(step) >= WIDE_LEAP and not _recurs(note.onset, step, leaps) else None


def _recurs(onset: Fraction, step: int, leaps: Sequence[tuple[Fraction, int]]) -> bool:
    """Whether much the same leap comes again nearby: then it belongs to a pattern, as in a sequence."""
    return any(
        0 < abs(when - onset) <= PATTERN_QUARTERS and abs(other - step) <= ALIKE_SEMITONES
        for when, other in leaps
    )


def choose_octaves(
    line: Sequence[Phrase], pitches: dict[str, Pitch], lowest: Pitch, highest: Pitch
) -> list[int]:
    """How many octaves each phrase moves, so that it lies in the range with the fewest moves.

    A shortest path (Viterbi) over the phrases.
    """
    paths: dict[int, tuple[float, list[int]]] = {}
    for place, phrase in enumerate(line):
        fresh = {}
        for octave in OCTAVES:
            own = sum(
                _cost(pitches[note.id].midi + 12 * octave, lowest.midi, highest.midi) for note in phrase.notes
            )
            own += ELSEWHERE * abs(octave)
            before = line[place - 1] if place else None
            fresh[octave] = min(
                _arrive(paths, octave, own, before, phrase, pitches), key=lambda path: path[0]
            )
        paths = fresh
    return min(paths.values(), key=lambda path: path[0])[1] if paths else []


def _arrive(
    paths: dict[int, tuple[float, list[int]]],
    octave: int,
    own: float,
    before: Phrase | None,
    phrase: Phrase,
    pitches: dict[str, Pitch],
) -> list[tuple[float, list[int]]]:
    if before is None:
        return [(own, [octave])]
    step = pitches[phrase.notes[0].id].midi - pitches[before.notes[-1].id].midi
    return [
        (cost + own + _move_cost(phrase, step, octave - was), [*path, octave])
        for was, (cost, path) in paths.items()
    ]


def _move_cost(phrase: Phrase, step: int, octaves: int) -> float:
    if not octaves:
        return 0.0
    wider = abs(step + 12 * octaves) > max(abs(step), 12)
    return phrase.break_cost * abs(octaves) + (WIDER_LEAP if wider else 0.0)


def _cost(midi: int, lowest: int, highest: int) -> float:
    above, below = max(midi - highest, 0), max(lowest - midi, 0)
    centre = FAR_FROM_CENTRE * abs(midi - (lowest + highest) / 2)
    return centre + (1 + above**2 / 8 if above else 0.0) + (BELOW + below**2 / 2 if below else 0.0)
