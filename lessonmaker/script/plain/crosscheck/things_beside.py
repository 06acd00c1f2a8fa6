"""The notes that a sentence sets beside each other: those named, those at an end of a bar, and "the one in 19".

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bar_ends import (
    PREVIOUS,
    end_near,
    notes_at_end,
    previous_notes,
    windows,
)
from lessonmaker.script.plain.crosscheck.bearers import NAMES, bears
from lessonmaker.script.plain.crosscheck.told import Told

__all__ = ["Beside", "things_beside"]

# A bar that has what was just spoken of too: "the one in 19", "than in 24", "than it ever does in 24".
THE_ONE_IN = pattern_of(
    r"\b(?:(?:the |that |those )?ones?|those|that|than|as|it(?: \w+)? (?:does|did|is|was))"
    r"(?: (?:that )?(?:you|we) \w+(?: \w+)?)? (?:in|of|from)(?: (?:bar|measure))? $"
)
# All of a bar: "than anything in the bar before", "than any note of nine".
ANY_OF = pattern_of(
    r"\b(?:anything|everything|(?:any|every|all|each)(?: (?:other|one|of the))? ?(?:notes?|pitch(?:es)?)?)"
    r"(?: (?:that )?(?:you|we) \w+)? (?:in|of)(?: (?:bar|measure|the))* $"
)
DOTTED = pattern_of(r"\bdotted notes?\b[^,;:]{0,12}$")


@dataclass(frozen=True)
class Beside:
    """Notes of which words at [first, last) may mean any one; or `all`, where they are said of each.

    `is_name` tells that the words are a letter or a degree.
    """

    first: int
    last: int
    notes: tuple[Note, ...]
    all: bool = False
    is_name: bool = False


OfABar = Callable[[Span], Sequence[Note]]


def things_beside(told: Told, at: int) -> list[Beside]:
    """What is set beside something else by words at a character, in the order of the words."""
    names = [claim for claim in told.named if claim.kind in NAMES and not claim.count]
    found = [Beside(claim.first, claim.last, tuple(_called(told, claim)), is_name=True) for claim in names]
    ways: list[tuple[int, OfABar]] = [(claim.first, partial(_bearing, told, claim)) for claim in names]
    for named, begin, end in windows(told):
        first, last = (max(begin, at), end) if named.first >= at else (begin, min(end, at))
        bar, before = named.bars[0], told.text[max(first - 40, 0) : named.first]
        own = next((way for way_at, way in reversed(ways) if way_at < named.first), None)
        of = _of_bar(told, named.first, first, last)
        if ANY_OF.search(before):
            found.append(Beside(named.first, named.last, tuple(told.notes_in([bar])), all=True))
        elif THE_ONE_IN.search(before) and own is not None:
            found.append(Beside(named.first, named.last, tuple(own(bar))))
        elif of is not None and not any(first <= claim.first < last for claim in names):
            ways.append((named.first, of))
            found.append(Beside(named.first, named.last, tuple(of(bar))))
    for match in PREVIOUS.finditer(told.text):
        earlier = [each for each in found if each.last <= match.start()]
        if earlier and not any(match.start() <= each.first < match.end() for each in found):
            found.append(Beside(*match.span(), tuple(previous_notes(told, earlier[-1].notes))))
    return sorted((each for each in found if each.notes), key=lambda each: each.first)


def _of_bar(told: Told, at: int, first: int, last: int) -> OfABar | None:
    """Which notes of a bar the words around it mean, if they do."""
    if DOTTED.search(told.text[first:at]):
        return partial(_dotted, told)
    end = end_near(told, first, last, at)
    return None if end is None else lambda bar: notes_at_end(told, bar, end)


def _called(told: Told, claim: Claim) -> Sequence[Note]:
    """What a name has lit, or the notes that bear it in the bars spoken of."""
    lit = told.shown_at(claim.first, claim.last)
    if lit is not None and lit.notes:
        return lit.notes
    return [note for span in told.spans_at(claim.first) for note in _bearing(told, claim, span)]


def _bearing(told: Told, claim: Claim, bar: Span) -> list[Note]:
    return [note for note in told.notes_in([bar]) if bears(note, claim, told)]


def _dotted(told: Told, bar: Span) -> list[Note]:
    """The notes of a bar whose length is three times one that needs no dot."""
    return [note for note in told.music.line_in(bar) if note.held and (note.held.numerator == 3)]
