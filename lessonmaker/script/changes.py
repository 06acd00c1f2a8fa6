"""The lesson's own chords: changes for a score that prints none, and what the author hears instead.

A hearing changes the analysis, not the print. Chords are written as on the score file's own page; they are
kept sounding, as the score keeps its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lessonmaker.score.model import Change, Score
from lessonmaker.score.position import Span, bars_in, format_span
from lessonmaker.script.model import Hearing, Lesson
from lessonmaker.script.music import Findings
from lessonmaker.theory.chord import Chord, transpose_chord

__all__ = ["hearings", "with_changes"]

Heard = tuple[Fraction, Fraction, Chord]


@dataclass(frozen=True)
class Placed:
    """A chord of the script over its span."""

    hearing: Hearing
    span: Span


def with_changes(lesson: Lesson, score: Score, findings: Findings) -> Score:
    """The score with the script's changes, where it has none of its own."""
    if not lesson.changes:
        return score
    if score.changes:
        place = lesson.changes[0].place
        findings.fault(
            place, "the score has chord symbols of its own", "for another chord over them use `hear`"
        )
        return score
    placed = place_all(lesson.changes, score, findings)
    added = (change(number, each, score) for number, each in enumerate(placed, 1))
    return replace(score, changes=tuple(added))


def change(number: int, placed: Placed, score: Score) -> Change:
    """A chord of the script as a chord symbol where its span begins; it holds until the next."""
    written = placed.hearing.chord
    bar = bars_in(score, placed.span)[0]
    return Change(f"lesson-change-{number}", bar, placed.span.start, sounding(written, score), written)


def hearings(lesson: Lesson, score: Score, findings: Findings) -> tuple[Heard, ...]:
    """What the author hears, as (start, end, sounding chord)."""
    heard: list[Heard] = []
    for placed in place_all(lesson.hear, score, findings):
        chord = sounding(placed.hearing.chord, score)
        if chord is None:
            findings.fault(placed.hearing.place, "a hearing without a chord", "name the chord that is heard")
        else:
            heard.append((placed.span.start, placed.span.end, chord))
    return tuple(heard)


def sounding(chord: Chord | None, score: Score) -> Chord | None:
    """A chord named on the score file's page, as it sounds."""
    return chord and transpose_chord(chord, -score.transposition)


def place_all(chords: Sequence[Hearing], score: Score, findings: Findings) -> list[Placed]:
    """The chords with their spans, in order; two over one place are a fault."""
    placed: list[Placed] = []
    for hearing in chords:
        span = findings.span(score, hearing.bars, hearing.place)
        if span is None:
            continue
        if span.visit is not None:
            findings.fault(
                hearing.place, f"{hearing.bars} names one time round", "a chord holds for every time"
            )
            continue
        for other in placed:
            if span.start < other.span.end and other.span.start < span.end:
                there = format_span(score, other.span)
                findings.fault(
                    hearing.place, f"two chords for one place: {hearing.bars} and {there}", "keep one"
                )
        placed.append(Placed(hearing, span))
    return sorted(placed, key=lambda each: each.span.start)
