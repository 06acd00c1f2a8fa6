"""The bars that a sentence sets beside each other, one by one: by number, counted, before another, or shown.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.stretch_words import Reference, references_in
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["MODEL", "Named", "Pair", "bars_told", "durations", "model_and_copy", "pair_told", "shown_bars"]


@dataclass(frozen=True)
class Named:
    """Bars, one span each, that are named at [first, last) of a sentence."""

    first: int
    last: int
    bars: tuple[Span, ...]


@dataclass(frozen=True)
class Pair:
    """Two bars that are set beside each other: the one something is said of, and the `other`."""

    one: Span
    other: Span


def shown_bars(told: Told) -> tuple[Span, ...]:
    """The full bars that the cue shows, one by one."""
    return tuple(Span(bar.start, bar.end) for bar in told.music.bars_in(told.spans) if bar.start >= 0)


@lru_cache(maxsize=1)  # of a sentence that many checks ask of
def bars_told(told: Told) -> list[Named]:
    """The bars that a sentence names, in its order."""
    found: list[Named] = []
    for each in references_in(told.text):
        bars = tuple(_bars(told, each, found))
        if bars and not _is_no_number(told, each):
            found.append(Named(each.first, each.last, bars))
    return _one_of_two(told, _with_places(told, found))


ONE_AND_OTHER = pattern_of(r"\bone\b(?=.*\bthe other\b)")


def _is_no_number(told: Told, each: Reference) -> bool:
    """Whether "one" is one of two, and not the first bar: "one starts long and the other starts short"."""
    return each.last - each.first == len("one") and bool(ONE_AND_OTHER.match(told.text, each.first))


def _with_places(told: Told, found: list[Named]) -> list[Named]:
    """The bars that are named, with those that only the places of the sentence have."""
    places = [place for place in told.places if place.level == "bar" and place.spans and not place.pointed]
    free = [
        place
        for place in places
        if pattern_of(NUMBER).search(told.text[place.first : place.last])
        and not any(place.first < each.last and each.first < place.last for each in found)
    ]
    more = [
        Named(
            place.first,
            place.last,
            tuple(Span(bar.start, bar.end) for bar in told.music.bars_in(place.spans)),
        )
        for place in free
    ]
    return sorted([*found, *more], key=lambda each: each.first)


# "Of these two bars it's the first that has the higher top note."
OF_TWO = pattern_of(
    r"\bof (?:the|these|those|our) two(?: bars| measures)?\b|\bof (?:the|this) pair\b"
    r"|\b(?:these|the|both|two|in both) (?:two )?(?:bars|measures)\b.*\bthe (?:first|second"
    r"|other)(?: one)?(?=\W*$| \w+s\b)"
)
ONE_OF_TWO = pattern_of(
    r"\bthe (?P<which>first|second|other|former|latter)(?: (?:one|bar|measure))?(?=\W*$|[,.;]| (?:\w+ )?\w+)"
)
SECOND = ("second", "other", "latter")


def _one_of_two(told: Told, found: list[Named]) -> list[Named]:
    """The bars that are named, and the one that is counted out of the two that are shown."""
    two, shown = OF_TWO.search(told.text), shown_bars(told)
    one = ONE_OF_TWO.search(told.text)
    if two is None or one is None or len(shown) != 2:
        return found
    bar = shown[1 if one["which"] in SECOND else 0]
    left = [each for each in found if each.bars != shown and each.first != one.start()]
    return sorted([*left, Named(*one.span(), (bar,))], key=lambda each: each.first)


def _bars(told: Told, each: Reference, found: list[Named]) -> Iterator[Span]:
    every = told.music.full_bars
    numbers = {bar.number: Span(bar.start, bar.end) for bar in told.music.score.bars if bar.start >= 0}
    shown = shown_bars(told)
    match each.kind:
        case "bars":
            yield from (numbers[str(number)] for number in each.numbers if str(number) in numbers)
        case "shown":
            yield from shown
        case "nth" | "ordinal" if len(shown) > 1 and 0 < abs(each.nth) <= len(shown) and each.count < 2:
            yield shown[each.nth - 1 if each.nth > 0 else -1]
        case "before":
            first = found[-1].bars[0] if found else shown[0] if shown else None
            earlier = [bar for bar in every if first is not None and bar.end <= first.start]
            yield from earlier[-max(each.count, 1) :]
        case _:
            return


def pair_told(told: Told, at: int, than: int) -> Pair | None:
    """The bar that words at a character are said of, and the other one, if a sentence speaks of just two.

    Args:
        told: what is said.
        at: where it is said of the one.
        than: where the words begin after which the other is named ("than eleven"), or -1 where there are none.
    """
    named = [each for each in bars_told(told) if len(each.bars) == 1]
    shown = shown_bars(told)
    bars = list(dict.fromkeys(each.bars[0] for each in named))
    if len(bars) == 2:
        after = [each.bars[0] for each in named if 0 <= than <= each.first]
        before = [each for each in named if each.first < at]
        nearest = (before or named)[-1 if before else 0]
        other = after[0] if after else next(bar for bar in bars if bar != nearest.bars[0])
        return Pair(next(bar for bar in bars if bar != other), other)
    if len(bars) != 1:
        return None
    others = [bar for bar in shown if bar != bars[0]]
    if len(others) != 1 or len(shown) > 2:
        return None
    is_other = than >= 0 and named[0].first >= than
    return Pair(others[0], bars[0]) if is_other else Pair(bars[0], others[0])


MODEL = pattern_of(
    r"\b(?:than|as|of|like|from|cop(?:y|ies)|repeats?|echo(?:es)?|answers?|imitates?|restates?|whatever"
    r"|what|is (?:just |simply"
    r" |really |only )*|takes?|matches|mirrors?|below|above|under|over)(?: in| the| bar| measure)* $"
)


def model_and_copy(told: Told) -> Pair | None:
    """Two bars of which the one is the other's copy: the later one, where no words before it make it the model."""
    named = [each for each in bars_told(told) if len(each.bars) == 1]
    pair = pair_told(told, len(told.text), -1)
    if pair is None:
        return None
    early, late = sorted((pair.one, pair.other), key=lambda bar: bar.start)
    for each in named:
        if each.bars[0] == late and MODEL.search(told.text[: each.first]):
            return Pair(early, late)
    return Pair(late, early)


def durations(told: Told, bar: Span) -> tuple[tuple[object, object], ...]:
    """When the notes that are struck in a bar begin, counted from its first beat, and how long they sound in it."""
    notes: tuple[Note, ...] = told.music.line_in(bar)
    return tuple((note.onset - bar.start, min(note.held, bar.end - note.onset)) for note in notes)
