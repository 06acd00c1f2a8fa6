"""The chords of an etude one after the other, and what each is by its quality."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.harmony import same_harmony
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, family, readings

__all__ = ["Step", "chord_steps", "quality"]


@dataclass(frozen=True)
class Step:
    """A chord while it is in force, changes that change nothing taken together."""

    span: Span
    chord: Chord


def chord_steps(etude: Etude) -> tuple[Step, ...]:
    """The chords in time; stretches without one are left out."""
    end = etude.score.bars[-1].end if etude.score.bars else Fraction(0)
    times = [*etude.harmony.starts, end]
    found: list[Step] = []
    for chord, (start, until) in zip(etude.harmony.chords, pairwise(times), strict=True):
        if chord is None or family(readings(chord)[0]) == "none" or until <= start:
            continue
        if found and found[-1].span.end == start and same_harmony(found[-1].chord, chord):
            found[-1] = Step(Span(found[-1].span.start, until), found[-1].chord)
        else:
            found.append(Step(Span(start, until), chord))
    return tuple(found)


@lru_cache(maxsize=4096)
def quality(chord: Chord) -> str:
    """What a chord is to a key: "major", "minor", "dominant", "half-diminished", "diminished"."""
    heard = readings(chord)[0]
    kind = family(heard)
    if kind in ("altered", "suspended"):
        return "dominant"
    if kind == "augmented":
        return "dominant" if "b7" in chord_tones(heard).values() else "major"
    return "major" if kind == "open" else kind
