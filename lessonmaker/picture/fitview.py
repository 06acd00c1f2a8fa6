"""What the picture of a fitted take shows: its bars, jumps, pins and passages in the take, and its rows of time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position
from lessonmaker.sound.model import Anchor, Audio, Fit
from lessonmaker.sound.takereport import Passage, TakeReport, bar_label, report_take

__all__ = ["FitPlot", "PlayedBar", "Row", "row_breaks"]


@dataclass(frozen=True)
class FitPlot:
    """What is to be drawn: a take and what was found in it.

    Attributes:
        title: The etude's title.
        take_name: The recording's name.
        score: The score.
        fit: The fit, accepted or not.
        take: Its sound, mono.
        anchors: What the author pinned.
    """

    title: str
    take_name: str
    score: Score
    fit: Fit
    take: Audio
    anchors: tuple[Anchor, ...] = ()

    @cached_property
    def report(self) -> TakeReport | None:
        """The fit in words; None where nothing was found at all."""
        return report_take(self.score, self.fit, self.take.seconds) if self.fit.bars else None

    @cached_property
    def bars(self) -> tuple[PlayedBar, ...]:
        """The bars as played."""
        unsure = self.report.unsure if self.report else ()
        ends = [*(bar.time_s for bar in self.fit.bars[1:]), self.fit.end_s]
        found = []
        for bar, end_s in zip(self.fit.bars, ends[: len(self.fit.bars)], strict=True):
            label = bar_label(self.score, self.fit, bar.bar, bar.visit)
            section = self.score.bars[bar.bar].section
            found.append(PlayedBar(label, section, bar.time_s, end_s, bar.sure, label in unsure))
        return tuple(found)

    @cached_property
    def jumps(self) -> tuple[tuple[float, str], ...]:
        """Where the take leaves the printed order: the time, and from which bar to which."""
        printed = {(one.bar, other.bar) for one, other in pairwise(self.score.order)}
        return tuple(
            (other.start_s, f"{one.label} → {other.label}")
            for (before, after), (one, other) in zip(
                pairwise(self.fit.bars), pairwise(self.bars), strict=True
            )
            if (before.bar, after.bar) not in printed
        )

    @property
    def passages(self) -> tuple[Passage, ...]:
        """Where bars are something else altogether."""
        return self.report.passages if self.report else ()

    def times_of(self, passage: Passage) -> tuple[float, float]:
        """When a passage begins and ends."""
        return self.bars[passage.first].start_s, self.bars[passage.last].end_s

    def overlaps(self, passage: Passage, start_s: float, end_s: float) -> bool:
        """Whether a part of a passage lies in a stretch of the take."""
        begin_s, stop_s = self.times_of(passage)
        return begin_s < end_s and start_s < stop_s

    @cached_property
    def pins(self) -> tuple[tuple[float, str], ...]:
        """The author's pins: the time, and the place."""
        return tuple(
            (anchor.time_s, format_position(self.score, self.score.bars[anchor.bar].start + anchor.place))
            for anchor in self.anchors
        )


@dataclass(frozen=True)
class PlayedBar:
    """A bar in the take."""

    label: str
    section: str
    start_s: float
    end_s: float
    sure: float
    unsure: bool


@dataclass(frozen=True)
class Row:
    """A stretch of the take on one row whose waveform begins at `top`, and what leaves the page in it."""

    start_s: float
    end_s: float
    top: float
    left: float
    pixels_a_second: float
    kinds: tuple[str, ...]
    passages: tuple[Passage, ...]

    def x(self, time_s: float) -> float:
        """Where a moment stands."""
        return self.left + (time_s - self.start_s) * self.pixels_a_second

    def within(self, time_s: float) -> bool:
        """Whether a moment is in the row."""
        return self.start_s <= time_s < self.end_s

    def span(self, start_s: float, end_s: float) -> tuple[float, float] | None:
        """Left and right of the part of a stretch that is in the row."""
        start, end = max(start_s, self.start_s), min(end_s, self.end_s)
        return (self.x(start), self.x(end)) if end > start else None


def row_breaks(starts: Sequence[float], seconds: float, row_s: float) -> Iterator[float]:
    """Where rows begin and the last one ends: at bar starts, where one lies in the row's second half."""
    at = 0.0
    yield at
    while seconds - at > row_s + 1e-6:
        inside = [start for start in starts if at + row_s / 2 < start <= at + row_s]
        at = inside[-1] if inside else at + row_s
        yield at
    yield seconds
