"""From places in the score to seconds in the take, along the order in which the take was played."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from lessonmaker.score.model import Score
from lessonmaker.score.position import Span, bars_in
from lessonmaker.sound.model import Fit, NoteTime

__all__ = ["HeadTime", "Passage", "TakeClock"]

EARLY_S = 0.03  # how far before a passage a note of it may be heard


@dataclass(frozen=True)
class Passage:
    """A stretch of the take: places first..last in the playing order, and from when to when (seconds)."""

    first: int
    last: int
    start_s: float
    end_s: float


@dataclass(frozen=True)
class HeadTime:
    """A notehead, in the bar at a place of the playing order, and from when to when (seconds) its note sounds there."""

    head: str
    note: NoteTime
    place: int
    start_s: float
    end_s: float


class TakeClock:
    """When bars and notes sound in a take."""

    def __init__(self, score: Score, fit: Fit) -> None:
        self.score = score
        self.fit = fit
        self.starts_s = [bar.time_s for bar in fit.bars]
        self.bar_of = {note.id: note.bar for note in score.notes}

    def bar_s(self, place: int) -> tuple[float, float]:
        """From when to when the bar at a place of the playing order sounds."""
        following = self.starts_s[place + 1] if place + 1 < len(self.starts_s) else self.fit.end_s
        return self.starts_s[place], following

    def whole(self) -> Passage:
        """All that was played."""
        last = len(self.starts_s) - 1
        return Passage(0, last, self.starts_s[0], self.fit.end_s)

    def passage(self, span: Span) -> Passage | None:
        """The shortest stretch of the take from the span's first bar to its last; None where it was not played.

        The whole score is all that was played, with its repeats.
        """
        if span == Span(self.score.bars[0].start, self.score.bars[-1].end):
            return self.whole()
        first_bar, last_bar = self.bar_at(span.start), self.bar_before(span.end)
        found = [
            (last - first, first, last)
            for first, bar in enumerate(self.fit.bars)
            if bar.bar == first_bar and span.visit in (None, bar.visit)
            for last in self.ends_from(first, last_bar)
        ]
        if not found:
            return None
        _, first, last = min(found)
        return Passage(first, last, self.time_s(first, span.start), self.time_s(last, span.end))

    def stretches(self, span: Span) -> list[Passage]:
        """A span's passage without what is played between its bars but does not belong to them."""
        passage = self.passage(span)
        if passage is None:
            return []
        inside = set(bars_in(self.score, span))
        runs: list[list[int]] = []
        for place in range(passage.first, passage.last + 1):
            if self.fit.bars[place].bar in inside:
                runs.append([*runs.pop(), place] if runs and runs[-1][-1] == place - 1 else [place])
        return [self.cut(passage, run[0], run[-1]) for run in runs]

    def cut(self, passage: Passage, first: int, last: int) -> Passage:
        """The part of a passage from one place to another."""
        start_s = passage.start_s if first == passage.first else self.starts_s[first]
        return Passage(first, last, start_s, passage.end_s if last == passage.last else self.bar_s(last)[1])

    def ends_from(self, first: int, last_bar: int) -> list[int]:
        """The next place at or after `first` where a bar is played, if any."""
        return [place for place in range(first, len(self.fit.bars)) if self.fit.bars[place].bar == last_bar][
            :1
        ]

    def bar_at(self, onset: Fraction) -> int:
        """The bar that holds an onset."""
        return max(bisect_right(self.score.bars, onset, key=lambda bar: bar.start) - 1, 0)

    def bar_before(self, onset: Fraction) -> int:
        """The bar that an end belongs to: the one that ends there, at a bar line."""
        return max(bisect_left(self.score.bars, onset, key=lambda bar: bar.start) - 1, 0)

    def time_s(self, place: int, onset: Fraction) -> float:
        """When an onset in the bar at a place of the playing order sounds, evenly within the bar."""
        bar = self.score.bars[self.fit.bars[place].bar]
        start_s, end_s = self.bar_s(place)
        share = float((onset - bar.start) / bar.length) if bar.length else 0.0
        return start_s + (end_s - start_s) * min(max(share, 0.0), 1.0)

    def heads_in(self, passage: Passage) -> list[HeadTime]:
        """The noteheads that begin to sound in a passage, of notes tied into it as well."""
        whole = (
            passage.start_s <= self.starts_s[passage.first],
            passage.end_s >= self.bar_s(passage.last)[1],
        )
        return [
            head
            for head in self.heads
            if passage.first <= head.place <= passage.last
            and (whole[0] or head.start_s >= passage.start_s - EARLY_S)
            and (whole[1] or head.start_s < passage.end_s - EARLY_S)
        ]

    @cached_property
    def heads(self) -> tuple[HeadTime, ...]:
        """Every notehead while it sounds: a note that is tied over a bar line goes on in its head in the next bar."""
        tied = _tied_heads(self.score)
        places = {(bar.bar, bar.visit): place for place, bar in enumerate(self.fit.bars)}
        return tuple(
            head
            for note in self.fit.notes
            if (at := places.get((self.bar_of[note.note], note.visit))) is not None
            for head in self._heads_of(note, at, tied.get(note.note, {}))
        )

    def _heads_of(self, note: NoteTime, place: int, tied: Mapping[int, str]) -> Iterator[HeadTime]:
        head, start_s = note.note, note.time_s
        for after in range(place + 1, len(self.starts_s)):
            following, line_s = tied.get(self.fit.bars[after].bar), self.starts_s[after]
            if following is None or not start_s < line_s < note.end_s:
                break
            yield HeadTime(head, note, place, start_s, line_s)
            head, start_s, place = following, line_s, after
        yield HeadTime(head, note, place, start_s, note.end_s)


def _tied_heads(score: Score) -> dict[str, dict[int, str]]:
    """For each note that is tied over a bar line, its first head in each bar into which it is."""
    lines = {bar.start for bar in score.bars}
    going_on: dict[tuple[int, Fraction], str] = {}
    found: dict[str, dict[int, str]] = {}
    for note in sorted(score.notes, key=lambda note: note.onset):
        pitch = note.sounding.midi
        struck = going_on.get((pitch, note.onset), note.id) if note.tied_on else note.id
        going_on[pitch, note.onset + note.duration] = struck
        if note.tied_on and note.onset in lines:
            found.setdefault(struck, {})[note.bar] = note.id
    return found
