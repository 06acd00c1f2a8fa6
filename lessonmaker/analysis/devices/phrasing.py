"""Phrases as devices: where they begin and land, and those that go on over a section's bar line."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from fractions import Fraction

from lessonmaker.analysis.etude import Etude, connected, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import chord_words, degree_words, number_words
from lessonmaker.score.model import Bar, Score

__all__ = ["phrasing_of"]

GROUP_OF_BARS = 4
LONG = Fraction(1)
NUMBER_OF_BARS = {Fraction(1, 2): "half a bar", Fraction(1): "a bar", Fraction(3, 2): "a bar and a half"}


def phrasing_of(etude: Etude) -> tuple[Device, ...]:
    """Phrases, the notes they land on, and phrases over the bar line of a section or of four bars."""
    edges = _edges(etude.score)
    phrases = [tuple(etude.heard_by_id[name] for name in phrase.notes) for phrase in etude.phrases]
    return tuple(device for notes in phrases for device in _of_phrase(notes, edges))


def _of_phrase(notes: tuple[Heard, ...], edges: tuple[Bar, ...]) -> Iterator[Device]:
    yield device_of("phrase", notes, f"A phrase of {_length(notes)}{_lands(notes[-1])}.", 0.8)
    if notes[-1].degree is not None:
        yield _landing(notes[-1])
    yield from _over(notes, edges)


def _length(notes: tuple[Heard, ...]) -> str:
    bars = (notes[-1].end - notes[0].note.onset) / notes[0].bar.metre.bar_quarters
    halves = Fraction(max(round(2 * bars), 1), 2)
    if halves in NUMBER_OF_BARS:
        return NUMBER_OF_BARS[halves]
    whole, half = divmod(halves, 1)
    return f"{number_words(whole)}{' and a half' if half else ''} bars"


def _lands(last: Heard) -> str:
    if last.degree is None:
        return ""
    return f" that lands on the {degree_words(last.degree)} of {chord_words(last.chord)}"


def _landing(last: Heard) -> Device:
    text = f"The phrase lands on the {degree_words(last.degree or '')} of {chord_words(last.chord)}."
    sure = 0.75 if last.note.held >= LONG else 0.5
    return device_of("landing note", (last,), text, sure, detail=last.degree or "")


def _edges(score: Score) -> tuple[Bar, ...]:
    """Bars that begin a section, or four bars counted from its beginning (or from the first full bar)."""
    edges: list[Bar] = []
    since = 0
    for bar in score.bars:
        if bar.start < 0:
            continue
        if bar.section:
            since = 0
        if since % GROUP_OF_BARS == 0 and bar.start > 0:
            edges.append(bar)
        since += 1
    return tuple(edges)


def _over(notes: tuple[Heard, ...], edges: tuple[Bar, ...]) -> Iterator[Device]:
    """A phrase under way for a bar and more that goes on past such a bar line without stopping."""
    for edge in edges:
        first = bisect_left(notes, edge.start, key=lambda heard: heard.note.onset)
        before, after = notes[:first], notes[first:]
        if not before or edge.start - before[0].note.onset < edge.metre.bar_quarters:
            continue
        tied = before[-1].end > edge.start
        goes_on = len(after) > 1 and connected(before[-1], after[0])
        if goes_on and (tied or edge.section) and after[-1].end - edge.start >= edge.metre.bar_quarters / 2:
            what = "a section" if edge.section else "four bars"
            how = "holds a note over" if tied else "goes on over"
            text = f"The phrase {how} the bar line where {what} {'begins' if edge.section else 'end'}."
            yield device_of("over-the-barline phrase", notes, text, 0.75 if tied else 0.55, [before, after])
            return
