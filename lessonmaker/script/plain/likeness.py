"""What looks enough like a device for a claim of one not to be called false. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.devices.cross_rhythm import goes_against
from lessonmaker.analysis.lines import Heard
from lessonmaker.score.position import Span, overlap
from lessonmaker.script.music import Music
from lessonmaker.theory.degree import is_chord_tone

__all__ = ["may_be_missed", "mostly_in"]

WHOLE_TONE, THIRD, FIFTH = 2, 3, 7  # semitones


def may_be_missed(kind: str, spans: Sequence[Span], music: Music) -> bool:
    """Whether the line of some spans may be heard as a device that the analysis does not find.

    Args:
        kind: the kind of device that is claimed.
        spans: where; a note at the end of a span counts as the goal of those before it.
        music: the score as it is heard.
    """
    alike = LIKENESSES.get(kind)
    if alike is None:
        return False
    return alike(
        [each for each in music.etude.melody if any(s.start <= each.note.onset <= s.end for s in spans)]
    )


def mostly_in(one: Span, other: Span) -> bool:
    """Whether more than half of a span lies in another."""
    return 2 * overlap(one, other) > one.end - one.start


def _in_a_row(alike: Callable[[Heard, Heard, Heard], bool]) -> Callable[[Sequence[Heard]], bool]:
    """What looks at three notes in a row, or in a voice of its own, every other note."""

    def is_alike(line: Sequence[Heard]) -> bool:
        upper = zip(line, line[2:], line[4:], strict=False)
        return any(alike(*three) for three in (*zip(line, line[1:], line[2:], strict=False), *upper))

    return is_alike


def _goes_across(line: Sequence[Heard]) -> bool:
    """Whether two groups in a row are alike in rhythm and contour, and of no length that fits the bar; or triplets."""
    if any(heard.note.onset.denominator % 3 == 0 for heard in line):
        return True
    onsets = [heard.note.onset for heard in line]
    return any(
        goes_against(second - first, line[at].bar)
        and _figure(line, first, second) == _figure(line, second, 2 * second - first)
        for at, first in enumerate(onsets)
        for second in onsets[at + 1 :]
    )


def _figure(line: Sequence[Heard], start: Fraction, end: Fraction) -> list[tuple[Fraction, int]]:
    """The rhythm of a group, from its start, and which way it goes from note to note."""
    group = [heard for heard in line if start <= heard.note.onset < end]
    ways = [(later.pitch > one.pitch) - (later.pitch < one.pitch) for one, later in pairwise(group)]
    return list(zip((heard.note.onset - start for heard in group), [0, *ways], strict=True))


def _leaps(line: Sequence[Heard]) -> bool:
    return any(abs(one.pitch - other.pitch) >= FIFTH for one, other in pairwise(line))


def _surrounds(first: Heard, second: Heard, third: Heard) -> bool:
    from_below, from_above = sorted((first.pitch - third.pitch, second.pitch - third.pitch))
    return -WHOLE_TONE <= from_below < 0 < from_above <= WHOLE_TONE


def _is_chromatic(first: Heard, second: Heard, third: Heard) -> bool:
    return second.pitch - first.pitch == third.pitch - second.pitch in (1, -1)


def _is_broken_chord(*three: Heard) -> bool:
    pitches = [heard.pitch for heard in three]
    steps = [pitches[1] - pitches[0], pitches[2] - pitches[1]]
    if min(map(abs, steps)) < THIRD or len({heard.chord for heard in three}) > 1:
        return False
    return steps[0] * steps[1] > 0 or all(
        heard.chord is not None and heard.degree is not None and is_chord_tone(heard.degree, heard.chord)
        for heard in three
    )


LIKENESSES: dict[str, Callable[[Sequence[Heard]], bool]] = {
    "enclosure": _in_a_row(_surrounds),
    "chromatic run": _in_a_row(_is_chromatic),
    "arpeggio": _in_a_row(_is_broken_chord),
    "cross rhythm": _goes_across,
    "angular leaps": _leaps,
}
