"""Markers for an editor: when each bar begins, as a table.

A time code counts frames at the nearest whole rate (SMPTE ST 12-1, non-drop).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.timeline.model import TICKS_PER_SECOND

__all__ = ["BarMark", "Timecode", "bar_table"]

CODE = re.compile(r"(\d\d):(\d\d):(\d\d)[:;.](\d\d)")
MINUTE, HOUR = 60, 3600


@dataclass(frozen=True)
class BarMark:
    """A bar as it is played: its printed number, which time round, and from when to when, in ticks."""

    number: str
    visit: int
    start: int
    end: int


@dataclass(frozen=True)
class Timecode:
    """A clock that counts frames: the rate, and the frame it begins with."""

    rate: Fraction
    first: int = 0

    @property
    def whole_rate(self) -> int:
        """The frames that make a second of time code."""
        return max(round(self.rate), 1)

    @classmethod
    def starting(cls, text: str, rate: Fraction) -> Timecode:
        """A clock that begins at a time code as written.

        Raises:
            ValueError: it is no time code at this rate.
        """
        match = CODE.fullmatch(text)
        whole = cls(rate).whole_rate
        hours, minutes, seconds, frames = (
            (int(part) for part in match.groups()) if match else (0, 0, 0, whole)
        )
        if minutes >= MINUTE or seconds >= MINUTE or frames >= whole:
            raise ValueError(f"{text!r} is no time code at {whole} frames a second")
        return cls(rate, (hours * HOUR + minutes * MINUTE + seconds) * whole + frames)

    def at(self, tick: int) -> str:
        """The time code of the frame in sight at a tick."""
        frames = self.first + int(tick * self.rate / TICKS_PER_SECOND)
        seconds, frame = divmod(frames, self.whole_rate)
        hours, rest = divmod(seconds, HOUR)
        minutes, second = divmod(rest, MINUTE)
        return f"{hours:02}:{minutes:02}:{second:02}:{frame:02}"


def bar_table(marks: Sequence[BarMark], clock: Timecode) -> str:
    """The bars as CSV (RFC 4180): number, time round, start and end in seconds, time code."""
    text = io.StringIO()
    table = csv.writer(text)
    table.writerow(["bar", "time_round", "start_s", "end_s", "timecode"])
    for mark in marks:
        times = [f"{ticks / TICKS_PER_SECOND:.3f}" for ticks in (mark.start, mark.end)]
        table.writerow([mark.number, mark.visit, *times, clock.at(mark.start)])
    return text.getvalue()
