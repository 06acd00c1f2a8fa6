"""From places in the score to seconds in the take, along the order in which the take was played."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.score.model import Score
from lessonmaker.score.position import Span, bars_in
from lessonmaker.sound.model import Fit, NoteTime

__all__ = ["Passage", "TakeClock"]


@dataclass(frozen=True)
class Passage:
    """A stretch of the take: places first..last in the playing order, and from when to when (seconds)."""

    first: int
    last: int
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

    def notes_in(self, passage: Passage) -> list[NoteTime]:
        """The notes that begin in a passage."""
        visits = {(bar.bar, bar.visit) for bar in self.fit.bars[passage.first : passage.last + 1]}
        whole = (
            passage.start_s <= self.starts_s[passage.first],
            passage.end_s >= self.bar_s(passage.last)[1],
        )
        return [
            note
            for note in self.fit.notes
            if (self.bar_of[note.note], note.visit) in visits
            and (whole[0] or note.time_s >= passage.start_s - 0.03)
            and (whole[1] or note.time_s < passage.end_s - 0.03)
        ]
