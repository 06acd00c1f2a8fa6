"""Bars that are said to have the most notes, or the fewest, of all: "six notes, the most of any bar in the tune".

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bars_told import bars_told, shown_bars
from lessonmaker.script.plain.crosscheck.told import Told, Untrue

__all__ = ["most_of_all"]

NOTES = r"(?:notes|pitches|attacks|tones)"
OF_ALL = (
    r"(?:of|in|than)(?: (?:any|all|every))?(?: of)?(?: (?:the|these|those|our|other|single|whole))*"
    r" (?:bars?|measures?|ones?|tune|piece|etude|study|form|solo|chorus|page|lot)\b"
)
MOST = pattern_of(
    rf"\b(?:(?P<most>(?:the most(?: {NOTES})?|most {NOTES}|most(?= of (?:any|all|every)\b)) {OF_ALL}"
    rf"|more {NOTES} {OF_ALL}|(?:the )?(?:busiest|fullest|densest)"
    rf" (?:bar|measure|{OF_ALL}))"
    rf"|(?P<fewest>(?:the )?fewest(?: {NOTES})? {OF_ALL}|(?:fewer|less) {NOTES} {OF_ALL}|(?:the )?(?:emptiest|sparsest"
    rf"|thinnest) (?:bar|measure|{OF_ALL})))"
)
OF_THESE = pattern_of(r"\b(?:these|those|them|the (?:two|three|four|five|lot))\b")
UNSURE = pattern_of(
    r"\b(?:one of|among|so far|until|up to|almost|nearly|second|rests?|chords?|silence|leaps?)\b"
)


def most_of_all(told: Told) -> Iterator[Untrue]:
    """A bar that has fewer notes than another (or more), by any way to count them."""
    for match in MOST.finditer(told.text):
        bar = _bar(told)
        if bar is None or UNSURE.search(told.text):
            continue
        others = shown_bars(told) if OF_THESE.search(match[0]) else told.music.full_bars
        way = 1 if match["most"] else -1
        beyond = [each for each in others if all(more > 0 for more in _beyond(told, bar, each, way))]
        if beyond and told.music.line_in(beyond[0]):
            played = [each for each in beyond if told.music.line_in(each)]
            furthest = max(played, key=lambda each: _beyond(told, bar, each, way))
            what = f"{told.music.said(furthest)} has {len(told.music.line_in(furthest))}"
            yield Untrue(*match.span(), what, "say it of that bar, or of fewer bars")


def _bar(told: Told) -> Span | None:
    """The one bar that a sentence speaks of."""
    named = list(dict.fromkeys(bar for each in bars_told(told) for bar in each.bars))
    bars = named if len(named) == 1 else shown_bars(told)
    return bars[0] if len(bars) == 1 else None


def _beyond(told: Told, bar: Span, other: Span, way: int) -> tuple[int, int]:
    """How many notes more another bar has, or fewer, as they are struck and as they sound."""
    struck = [len(told.music.line_in(each)) for each in (bar, other)]
    held = [told.music.sounding_at(each.start) is not None for each in (bar, other)]
    return (struck[1] - struck[0]) * way, (struck[1] + held[1] - struck[0] - held[0]) * way
