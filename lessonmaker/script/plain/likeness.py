"""What looks enough like a device for a claim of one not to be called false. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lessonmaker.analysis.lines import Heard
from lessonmaker.score.position import Span, overlap
from lessonmaker.script.music import Music
from lessonmaker.theory.degree import is_chord_tone

__all__ = ["may_be_missed", "mostly_in"]

WHOLE_TONE, THIRD = 2, 3  # semitones


def may_be_missed(kind: str, spans: Sequence[Span], music: Music) -> bool:
    """Whether three notes in a row in some spans may be heard as a device that the analysis does not find.

    Args:
        kind: the kind of device that is claimed.
        spans: where; a note at the end of a span counts as the goal of those before it.
        music: the score as it is heard.
    """
    alike = LIKENESSES.get(kind)
    if alike is None:
        return False
    line = [heard for heard in music.etude.melody if any(s.start <= heard.note.onset <= s.end for s in spans)]
    upper = zip(line, line[2:], line[4:], strict=False)  # a voice of its own, every other note
    return any(alike(*three) for three in (*zip(line, line[1:], line[2:], strict=False), *upper))


def mostly_in(one: Span, other: Span) -> bool:
    """Whether more than half of a span lies in another."""
    return 2 * overlap(one, other) > one.end - one.start


def _surrounds(first: Heard, second: Heard, third: Heard) -> bool:
    from_below, from_above = sorted((first.pitch - third.pitch, second.pitch - third.pitch))
    return -WHOLE_TONE <= from_below < 0 < from_above <= WHOLE_TONE


def _is_chromatic(first: Heard, second: Heard, third: Heard) -> bool:
    return second.pitch - first.pitch == third.pitch - second.pitch in (1, -1)


def _is_broken_chord(*three: Heard) -> bool:
    pitches = [heard.pitch for heard in three]
    steps = [abs(pitches[1] - pitches[0]), abs(pitches[2] - pitches[1])]
    return min(steps) >= THIRD and all(
        heard.chord is not None and heard.degree is not None and is_chord_tone(heard.degree, heard.chord)
        for heard in three
    )


LIKENESSES: dict[str, Callable[[Heard, Heard, Heard], bool]] = {
    "enclosure": _surrounds,
    "chromatic run": _is_chromatic,
    "arpeggio": _is_broken_chord,
}
