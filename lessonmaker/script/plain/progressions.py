"""What the chords do by their roots and kinds alone, where the analysis hears something else or more in them.

Common practice, no source: a two five is a minor or half-diminished chord and the dominant a fourth above it; its one
lies a fourth above that; a turnaround goes round by fourths from the tonic or the third step back to the dominant, each
chord of which but the first may be replaced by the one a tritone away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.heard import DOMINANT, SMALL, Harmony, Heard
from lessonmaker.script.plain.intervals import OCTAVE, TRITONE
from lessonmaker.theory.kinds import Family

__all__ = ["PROGRESSIONS", "progressions_in"]

ANY: frozenset[Family] = frozenset()
HALF_DIMINISHED: frozenset[Family] = frozenset(("half-diminished",))
MINOR: frozenset[Family] = frozenset(("minor",))
# (semitones of the root above the first one's, the families that the chord may be of); a later dominant may be the
# one a tritone away.
PROGRESSIONS: dict[str, tuple[tuple[tuple[int, frozenset[Family]], ...], ...]] = {
    "two five": (((0, SMALL), (5, DOMINANT)),),
    "two five one": (((0, SMALL), (5, DOMINANT), (10, ANY)),),
    "minor two five": (((0, HALF_DIMINISHED), (5, DOMINANT)), ((0, MINOR), (5, DOMINANT), (10, MINOR))),
    "minor two five one": (((0, SMALL), (5, DOMINANT), (10, MINOR)),),
    "turnaround": (
        ((0, ANY), (9, ANY), (2, ANY), (7, DOMINANT)),
        ((0, SMALL), (5, ANY), (10, ANY), (3, DOMINANT)),
    ),
    "cycle of dominants": (
        ((0, DOMINANT), (5, DOMINANT), (10, DOMINANT)),
        ((0, DOMINANT), (5, DOMINANT)),
    ),
}
STAND_INS: frozenset[Family] = DOMINANT | {"major"}


def progressions_in(kind: str, spans: Sequence[Span], music: Music) -> tuple[Span, ...]:
    """Where some chords in a row make a progression that lies within some spans, the longest reading of each place.

    Args:
        kind: a name of `PROGRESSIONS`.
        spans: where to look.
        music: the score as it is heard.
    """
    chords = _chords(music, kind == "turnaround")
    found: list[Span] = []
    for pattern in PROGRESSIONS[kind]:
        for first in range(len(chords) - len(pattern) + 1):
            row = chords[first : first + len(pattern)]
            whole = Span(row[0].span.start, row[-1].span.end)
            inside = any(span.start <= whole.start and row[-1].span.start < span.end for span in spans)
            new = not any(whole.start < other.end and other.start < whole.end for other in found)
            if inside and new and _fits(row, pattern):
                found.append(whole)
    return tuple(sorted(found, key=lambda span: span.start))


def _chords(music: Music, by_root: bool) -> list[Heard]:
    """The chords of a score one after the other, one dominant in two forms as one chord, or all on one root."""
    found: list[Heard] = []
    for each in Harmony(music).chords:
        if found and (
            _is_suspended_before(found[-1], each) or (by_root and _is_on_one_root(found[-1], each))
        ):
            found[-1] = replace(each, span=Span(found[-1].span.start, each.span.end))
        else:
            found.append(each)
    return found


def _is_suspended_before(one: Heard, other: Heard) -> bool:
    """Whether two chords in a row are one dominant in two forms."""
    return (
        one.root == other.root and {one.family, other.family} <= DOMINANT and one.span.end == other.span.start
    )


def _is_on_one_root(one: Heard, other: Heard) -> bool:
    return one.root == other.root and one.span.end == other.span.start


def _fits(row: Sequence[Heard], pattern: Sequence[tuple[int, frozenset[Family]]]) -> bool:
    first = row[0].root
    for index, (chord, (above, families)) in enumerate(zip(row, pattern, strict=True)):
        step = (chord.root - first - above) % OCTAVE
        stands_in = index and chord.family in STAND_INS and (not families or "dominant" in families)
        if step not in (0, TRITONE if stands_in else 0):
            return False
        if families and chord.family not in families:
            return False
    return all(a.span.end == b.span.start for a, b in pairwise(row))
