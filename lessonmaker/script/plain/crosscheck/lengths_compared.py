"""Notes that are said to be longer or shorter than others, or so many times as long. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.spoken_of import Subject, subject_before, subjects
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import TODO, is_long, measures
from lessonmaker.script.plain.durations import FEW, few_of

__all__ = ["lengths_compared"]

TIMES = {
    "twice": Fraction(2),
    "double": Fraction(2),
    "half": Fraction(1, 2),
    "just": Fraction(1),
    "": Fraction(1),
}
COMPARED = pattern_of(
    rf"\b(?:(?P<times>twice|half|(?:{FEW}) times)? ?as (?P<way>long|short|slow|quick|quickly|fast|slowly"
    rf"|brief)(?: a note)? as"
    rf"|(?P<of>twice|double|half|(?:{FEW}) times) the (?:length|duration|value) of"
    r"|(?P<same>the (?:very |exact )?same (?:length|duration|value|note value)) as"
    r"|(?P<more>longer|shorter|slower|quicker|faster|briefer) than)"
    r"(?: (?:the|that|its|our|this|an?|both|either))*"
    r"(?: (?:high|low|first|last|final|opening|top|bottom|little|big|short|long|next|following|previous"
    r"|other))* $"
)
SLOW = ("long", "slow", "slowly", "longer", "slower", None)
NOT_BETWEEN = pattern_of(
    r"\b(?:phrase|line|bar|chord|harmony|run|figure|rest|rests|silence|never|each|every|leap|step"
    r"|interval)\b"
)


def lengths_compared(told: Told) -> Iterator[Untrue]:
    """Notes that are said to be longer or shorter than others that are named, and are not by any way to measure."""
    found = subjects(told)
    for other in found:
        match = COMPARED.search(told.text[: other.first])
        one = subject_before(told, match.start(), found) if match is not None else None
        if match is None or one is None or not all(other.notes) or (other.lit and len(other.every_note) > 1):
            continue
        if NOT_BETWEEN.search(told.text, one.last, match.start()) or _is_so(told, one, other, match):
            continue
        what = f"{is_long(one.notes[-1][0], told)}, {is_long(other.notes[0][0], told)}"
        last = match.start() + len(match[0].rstrip())
        yield Untrue(match.start(), last, what, TODO)


def _is_so(told: Told, one: Subject, other: Subject, match: re.Match[str]) -> bool:
    """Whether any of some notes stands to any of others as is said, both measured alike."""
    where = WHERE.match(told.text, other.last)
    return any(
        _compares(a, b, match)
        for note in one.every_note
        for than in other.every_note
        if note is not than and _is_beside(note, than, where)
        for a, b in zip(measures(note, told), measures(than, told), strict=True)
    )


# Where the other one is: "the D that follows".
WHERE = pattern_of(
    r" (?:note )?(?:(?:right |just |that comes )?(?P<after>after (?:it|that|this)|that follows"
    r"|which follows|next to it|following it|behind it)"
    r"|(?:right |just |that comes |that came |from )?(?P<before>before (?:it|that|this)?))(?!\w)"
)


def _is_beside(note: Note, than: Note, where: re.Match[str] | None) -> bool:
    """Whether a note stands after another, or before it, where that is said."""
    if where is None:
        return True
    return than.onset > note.onset if where["after"] else than.onset < note.onset


def _compares(length: Fraction, than: Fraction, match: re.Match[str]) -> bool:
    if match["more"]:
        return length > than if match["more"] in SLOW else length < than
    words = match["times"] or match["of"] or ""
    times = TIMES[words] if words in TIMES else Fraction(few_of(words.split()[0]))
    return length == than * (times if match["way"] in SLOW else 1 / times)
