"""Whether two stretches are as alike as a sentence says: plainly so, plainly not, or neither.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.script.plain.alike_words import But, Comparison
from lessonmaker.script.plain.beside import Beside
from lessonmaker.script.plain.intervals import OCTAVE, interval_sizes
from lessonmaker.script.plain.moved_words import Moved

__all__ = ["FALSE", "TRUE", "UNSURE", "moved_verdict", "verdict"]

LOOSE = 1  # semitones by which an interval that stays in the key may differ
TRUE, UNSURE, FALSE = 1, 0, -1


def verdict(said: Comparison, beside: Beside) -> int:
    """Whether what is said of two stretches is true, false, or neither plainly."""
    if not beside.is_whole:
        few, many = sorted((len(beside.model), len(beside.copy)))
        apart = few and (many >= 2 * few + 2 or not beside.same_share)
        return FALSE if apart and said.relation in ("notes", "shape", "vague") else UNSURE
    found = _of_relation(said, beside)
    return -found if said.is_unlike else found


def _of_relation(said: Comparison, beside: Beside) -> int:
    if said.relation == "rhythm":
        rhythm = _rhythm(said, beside)
        return min(rhythm, moved_verdict(said.moved, beside)) if said.moved is not None else rhythm
    if said.relation == "other rhythm":
        return _other_rhythm(beside)
    if said.relation in ("inverted", "reversed"):
        share = beside.contour_share(-1) if said.relation == "inverted" else beside.reversed_share
        return TRUE if share >= 0.75 else FALSE if share < 0.5 else UNSURE
    if said.relation == "begins":
        return TRUE if beside.begins_moved(said.moved.way if said.moved else 0) > 1 else UNSURE
    if said.moved is not None:
        return _moved_but(said.moved, said.but, beside) if said.but else moved_verdict(said.moved, beside)
    return RELATIONS[said.relation](said, beside)


def _rhythm(said: Comparison, beside: Beside) -> int:
    if beside.has_rhythm:
        return TRUE
    return UNSURE if beside.rhythm_share >= 0.8 and not said.is_strict else FALSE


def _other_rhythm(beside: Beside) -> int:
    """Whether the notes or the intervals are the same, and the rhythm is not."""
    if beside.has_rhythm:
        return FALSE
    if beside.semitones is not None:
        return TRUE
    return UNSURE if beside.contour_share() >= 0.5 else FALSE


def _notes(said: Comparison, beside: Beside) -> int:
    changed, share = beside.changed, beside.same_share
    if said.but is not None:
        return _but(said, beside)
    if not changed:
        return TRUE
    if said.is_strict:
        return FALSE
    if share >= 0.75:
        return TRUE
    return FALSE if share < 0.5 and not beside.is_alike else UNSURE


def _but(said: Comparison, beside: Beside) -> int:
    """Whether two stretches differ where, and only where, they are said to."""
    assert said.but is not None
    changed, places = beside.changed, range(len(beside.pairs))
    count = said.but.count or max(len(places) // 3, 1)
    if not changed:
        return FALSE
    if not said.but.side:
        return TRUE if len(changed) == count else FALSE
    allowed = places[-count:] if said.but.side < 0 else places[:count]
    if set(changed) <= set(allowed):
        return TRUE
    return FALSE if said.but.only or beside.same_share < 0.5 else UNSURE


def _moved_but(moved: Moved, but: But, beside: Beside) -> int:
    """Whether a stretch is moved as is said, up to some notes at the end, or from some on, that may do otherwise."""
    if moved_verdict(moved, beside) == TRUE:
        return TRUE
    if not but.side:
        return UNSURE
    shorter = min(len(beside.model), len(beside.copy))
    for count in range(1, max(but.count, shorter // 3, 1) + 1):
        own, others = (
            (notes[:-count] if but.side < 0 else notes[count:]) for notes in (beside.model, beside.copy)
        )
        if own and others and moved_verdict(moved, replace(beside, model=own, copy=others)) == TRUE:
            return TRUE
    return FALSE


def _shape(said: Comparison, beside: Beside) -> int:
    if said.but is not None:
        return _but(said, beside)
    if beside.is_alike or (beside.contour_share() >= 0.75 and beside.rhythm_share >= 0.75):
        return TRUE
    return FALSE if beside.contour_share() < 0.5 and beside.rhythm_share < 0.6 else UNSURE


def _contour(_: Comparison, beside: Beside) -> int:
    share = beside.contour_share()
    return TRUE if share >= 0.75 else FALSE if share < 0.5 else UNSURE


def _vague(said: Comparison, beside: Beside) -> int:
    if said.but is not None:
        return _but(said, beside)
    share = max(beside.same_share, beside.rhythm_share if beside.has_rhythm else 0, beside.contour_share())
    return TRUE if share >= 0.7 else UNSURE


RELATIONS = {"notes": _notes, "shape": _shape, "contour": _contour, "vague": _vague}


def moved_verdict(moved: Moved, beside: Beside) -> int:
    """Whether a stretch lies as far from its model as is said; an octave more does not count."""
    if moved.interval == "octave":
        ways = (moved.way,) if moved.way else (1, -1)
        return TRUE if beside.semitones in [way * OCTAVE for way in ways] else FALSE
    if not moved.interval:
        return _moved_some_way(moved, beside)
    own, others = ([note.sounding.midi for note in notes] for notes in (beside.model, beside.copy))
    said = [
        way * size
        for way in ((moved.way,) if moved.way else (1, -1))
        for size in interval_sizes(moved.interval)
    ]
    near = any(_is_near(way, each) for way in _alignments(own, others) for each in said)
    return TRUE if near else FALSE


def _moved_some_way(moved: Moved, beside: Beside) -> int:
    if beside.semitones is None and beside.steps is None and beside.contour_share() < 0.75:
        return UNSURE
    if not beside.changed:
        return FALSE
    if not moved.way:
        return TRUE if beside.semitones is not None or beside.steps is not None else UNSURE
    return TRUE if beside.moved * moved.way > 0 else FALSE


def _alignments(one: Sequence[int], other: Sequence[int]) -> list[list[int]]:
    """How far apart the notes of two stretches are, the shorter laid beside each part of the longer."""
    count = min(len(one), len(other))
    return [
        [b - a for a, b in zip(one[i : i + count], other[j : j + count], strict=True)]
        for i in range(len(one) - count + 1)
        for j in range(len(other) - count + 1)
    ]


def _is_near(way: Sequence[int], said: int) -> bool:
    """Whether all notes are moved as is said, or as it is in the key; an octave does not count."""
    off = [(step - said + OCTAVE // 2) % OCTAVE - OCTAVE // 2 for step in way]
    return all(abs(each) <= LOOSE for each in off) and 0 in off
