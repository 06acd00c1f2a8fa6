"""A note said to last longer than one of another bar, or as long: "the last note of 20", "anything in bar 5".

False only where no notes that may be meant last so, by how they are printed, sound, or follow each other. Common
practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.things_beside import Beside, things_beside
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import is_long, measures

__all__ = ["lengths_beside"]

LASTS = pattern_of(
    r"\b(?:(?:only |just |about |exactly )*(?P<times>half|twice|double|three times) (?:as long|the length)"
    r"|(?:\w+ly )?(?P<longer>longer|more time)|(?:\w+ly )?(?P<shorter>shorter|briefer|less time)"
    r"|(?P<same>(?:for )?(?:just |exactly |equally |every bit )?as long(?= as\b| in\b)|equally long"
    r"|(?:they're|they are|both) equal(?:ly long)?"
    r"|of (?:the same|equal) length|the same length))\b"
)
TIMES = {"half": Fraction(1, 2), "twice": Fraction(2), "double": Fraction(2), "three times": Fraction(3)}
# Of what is no note: "the phrase is longer", "no longer".
NO_NOTE = pattern_of(
    r"\b(?:no|any|not|never|lines?|phrases?|bars?|runs?|rests?|pauses?|gaps?|silence|sections?|figures?"
    r"|shapes?|way|wait\w*|chords?"
    r"|tunes?|breath|scale|climb|descent|little|much|so|too)(?: \w+)? $|n't(?: \w+)* $"
)
EACH = pattern_of(r"\b(?:each|every|all|always|both)\b")


def lengths_beside(told: Told) -> Iterator[Untrue]:
    """What is said to last longer than something else, or as long, and does not."""
    for match in LASTS.finditer(told.text):
        begin = told.part_of(match.start())[0]
        if NO_NOTE.search(told.text[begin : match.start()]) or EACH.search(told.text, begin, match.start()):
            continue
        sides = _sides(told, things_beside(told, match.start()), match)
        if sides is None:
            continue
        one, other = sides
        one_bar = len({note.bar for note in (*one.notes, *other.notes)}) == 1
        if one.is_name and other.is_name and one_bar:
            continue  # `lengths_compared` has those
        lasts = _relation(match)
        test = all if other.all else any
        if not any(test(_is_so(told, note, each, lasts) for each in other.notes) for note in one.notes):
            yield _untrue(told, match, one.notes[0], other.notes[0])


def _sides(told: Told, things: list[Beside], match: re.Match[str]) -> tuple[Beside, Beside] | None:
    """What lasts so, and what it is set beside."""
    before = [each for each in things if each.last <= match.start() and not each.all]
    after = [each for each in things if each.first >= match.end()]
    if not before and (lit := told.shown_before(match.start())) is not None and len(lit.notes) == 1:
        before = [Beside(lit.first, lit.last, lit.notes)]
    if before and after:
        return before[-1], after[0]
    return (before[-2], before[-1]) if match["same"] and len(before) == 2 else None


def _relation(match: re.Match[str]) -> Callable[[Fraction, Fraction], bool]:
    if match["times"]:
        times = TIMES[match["times"]]
        return lambda one, other: one == times * other
    if match["longer"]:
        return lambda one, other: one > other
    if match["shorter"]:
        return lambda one, other: one < other
    return lambda one, other: one == other


def _is_so(told: Told, one: Note, other: Note, lasts: Callable[[Fraction, Fraction], bool]) -> bool:
    """Whether two notes last so beside each other, by any of their lengths."""
    lengths = (measures(note, told) for note in (one, other))
    return one is other or any(lasts(*pair) for pair in zip(*lengths, strict=True))


def _untrue(told: Told, match: re.Match[str], one: Note, other: Note) -> Untrue:
    said = f"{is_long(one, told)} and {is_long(other, told)}"
    return Untrue(*match.span(), said, "say how long each is", told.music.position(one))
