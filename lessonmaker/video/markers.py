"""Markers for an editor: when each bar begins, as a table.

A time code counts frames at the nearest whole rate (SMPTE ST 12-1, from memory). At 30000/1001 frames a second it may
leave out the numbers 0 and 1 of every minute but each tenth, and four at twice the rate, so as to keep to the clock on
the wall; it is then written with a semicolon before the frames.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lessonmaker.timeline.model import TICKS_PER_SECOND

__all__ = ["BarMark", "CodeError", "Timecode", "bar_table", "even_rate", "frame_at"]

CODE = re.compile(r"(?P<h>\d\d):(?P<m>\d\d):(?P<s>\d\d)(?P<drop>[:;.])(?P<f>\d\d)", re.ASCII)
EXAMPLE = "as in 01:00:00:00"
MINUTE, DAY, TENTH = 60, 24, 10
DROP_RATES = (Fraction(30000, 1001), Fraction(60000, 1001))
USUAL_RATES = (*map(Fraction, (24, 25, 30, 48, 50, 60)), Fraction(24000, 1001), *DROP_RATES)
NEAR = Fraction(1, 50)  # an uneven rate is taken for the usual one that is so near
FINEST = 1001
SHORT = Fraction(1, 1000)  # of a frame: so much a time in decimals may fall short of the frame it means
DROPS_ONE_IN = 15


class CodeError(ValueError):
    """A text that is no time code at a rate: what is wrong with it, and what is right (`todo`)."""

    def __init__(self, what: str, todo: str) -> None:
        super().__init__(what)
        self.todo = todo


@dataclass(frozen=True)
class BarMark:
    """A bar as it is played: its printed number, which time round, and from when to when, in ticks."""

    number: str
    visit: int
    start: int
    end: int


@dataclass(frozen=True)
class Timecode:
    """A clock that counts frames: the rate, the frame it begins with, and whether numbers are dropped."""

    rate: Fraction
    first: int = 0
    drop: bool = False

    @property
    def whole_rate(self) -> int:
        """The frames that make a second of time code."""
        return max(round(self.rate), 1)

    @property
    def dropped(self) -> int:
        """The numbers left out at the start of a minute: none, two, or four at twice the rate."""
        return self.whole_rate // DROPS_ONE_IN if self.drop else 0

    @classmethod
    def usual(cls, rate: Fraction) -> Timecode:
        """A clock that begins at nothing, as is usual for a rate."""
        return cls(rate, drop=rate in DROP_RATES)

    @classmethod
    def starting(cls, text: str, rate: Fraction) -> Timecode:
        """A clock that begins at a time code as written.

        Raises:
            CodeError: it is no time code at this rate.
        """
        match = CODE.fullmatch(text)
        if not match:
            raise CodeError(
                f"{text!r} is no time code", f"write hours, minutes, seconds and frames, {EXAMPLE}"
            )
        hours, minutes, seconds, frames = (int(match[name]) for name in ("h", "m", "s", "f"))
        clock = cls(rate, drop=match["drop"] != ":")
        if clock.drop and rate not in DROP_RATES:
            raise CodeError(
                f"{text!r} drops numbers, as is done at 29.97 frames a second and twice that only",
                f"write {text[: match.start('drop')]}:{match['f']}",
            )
        whole = clock.whole_rate
        if hours >= DAY or minutes >= MINUTE or seconds >= MINUTE or frames >= whole:
            raise CodeError(
                f"{text!r} is no time code at {whole} frames a second",
                f"write hours up to {DAY - 1}, minutes and seconds up to {MINUTE - 1}, frames up to {whole - 1}",
            )
        if frames < clock.dropped and not seconds and minutes % TENTH:
            raise CodeError(
                f"{text!r} is a number that is dropped",
                f"write {text[: match.start('f')]}{clock.dropped:02} or later",
            )
        minute = hours * MINUTE + minutes
        skipped = clock.dropped * (minute - minute // TENTH)
        return replace(clock, first=(minute * MINUTE + seconds) * whole + frames - skipped)

    def at(self, tick: int) -> str:
        """The time code of the frame in sight at a tick."""
        number = self.numbered(self.first + int(tick * self.rate / TICKS_PER_SECOND))
        seconds, frame = divmod(number, self.whole_rate)
        minutes, second = divmod(seconds, MINUTE)
        hour, minute = divmod(minutes, MINUTE)
        return f"{hour % DAY:02}:{minute:02}:{second:02}{';' if self.drop else ':'}{frame:02}"

    def numbered(self, frame: int) -> int:
        """The number of a frame counted from midnight, with those that are dropped counted in."""
        if not self.drop:
            return frame
        first = self.whole_rate * MINUTE  # a minute that drops nothing, and nine that do
        others = first - self.dropped
        tens, rest = divmod(frame, first + (TENTH - 1) * others)
        minutes = 0 if rest < first else 1 + (rest - first) // others
        return frame + self.dropped * ((TENTH - 1) * tens + minutes)

    def later(self, seconds: Fraction) -> Timecode:
        """The clock of a part that begins later."""
        return replace(self, first=self.first + frame_at(seconds, self.rate))


def frame_at(seconds: Fraction, rate: Fraction) -> int:
    """The number of the frame in sight at a second."""
    return int(seconds * rate + SHORT)


def even_rate(rate: Fraction) -> Fraction:
    """The even rate that an editor takes a film for: the usual one that its rate on average is near, if any."""
    nearest = min(USUAL_RATES, key=lambda usual: abs(usual - rate))
    return nearest if abs(nearest - rate) < NEAR * rate else rate.limit_denominator(FINEST)


def bar_table(marks: Sequence[BarMark], clock: Timecode) -> str:
    """The bars as CSV (RFC 4180): number, time round, start and end in seconds, time code."""
    text = io.StringIO()
    table = csv.writer(text)
    table.writerow(["bar", "time_round", "start_s", "end_s", "timecode"])
    for mark in marks:
        times = [f"{ticks / TICKS_PER_SECOND:.3f}" for ticks in (mark.start, mark.end)]
        table.writerow([mark.number, mark.visit, *times, clock.at(mark.start)])
    return text.getvalue()
