"""Progress a person can read, and a program: what is being done, how far, and how long it will still take."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TextIO

from lessonmaker.faults import Fault

__all__ = ["Log", "Progress", "clock"]

REDRAW_S = 0.2
TOLD_S = 1.0
WIDTH = 78
LONGEST_LOG = 1_000_000

Event = Mapping[str, object]


@dataclass
class Log:
    """A text file that says what was done when; where it cannot be written, nothing is said of it."""

    path: Path

    def begin(self) -> None:
        """Begin anew where the file has grown too long."""
        try:
            if self.path.stat().st_size > LONGEST_LOG:
                self.path.unlink()
        except OSError:
            return

    def note(self, text: str) -> None:
        """Add a line with the time of day, if the file's folder is there."""
        try:
            with self.path.open("a", encoding="utf-8") as file:
                file.write(f"{datetime.now():%Y-%m-%d %H:%M:%S}  {text}\n")
        except OSError:
            return


@dataclass
class Progress:
    """One line that is redrawn on a terminal, and a line a step everywhere.

    `films` is how many there will be. How much work a film is, in seconds of one worker, is known when it is laid out;
    those to come count as the mean of these. The time left follows from how fast the work has gone so far. `tell` is
    handed every event as plain data; `log` notes the steps.
    """

    films: int = 1
    finished_films: int = 0
    begun: int = 0
    expected: float = 0.0
    done: float = 0.0
    stream: TextIO = field(default_factory=lambda: sys.stderr)
    tell: Callable[[Event], None] | None = None
    log: Log | None = None
    began_s: float | None = None
    drawn_s: float = 0.0
    told_s: float = 0.0

    def step(self, text: str) -> None:
        """Say what is being done now."""
        self.clear()
        print(text, file=self.stream, flush=True)
        self.note(text)
        if self.tell is not None:
            self.tell({"event": "step", "text": text})

    def note(self, text: str) -> None:
        """Put a line into the log."""
        if self.log is not None:
            self.log.note(text)

    def remark(self, remark: Fault) -> None:
        """Say what is worth a look."""
        self.step(f"remark: {remark}")

    def listening(self, lesson: str, recording: str) -> None:
        """Say that a recording of a lesson is being listened to."""
        self.step(f"{lesson}: listening to {recording}")

    def begin(self) -> None:
        """A film is laid out: the work for it has been found."""
        self.begun += 1

    def finished(self) -> None:
        """A film is finished."""
        self.finished_films += 1
        self.clear()

    def expect(self, seconds: float) -> None:
        """Work of so many seconds has been found; the clock starts with the first."""
        if self.began_s is None:
            self.began_s = time.monotonic()
        self.expected += seconds

    @property
    def total(self) -> float:
        """The work of all films, those to come guessed."""
        return self.expected * max(1.0, self.films / max(1, self.begun))

    def advance(self, seconds: float) -> None:
        """Work of so many seconds has been done."""
        self.done += seconds
        now = time.monotonic()
        if self.stream.isatty() and now - self.drawn_s >= REDRAW_S:
            self.drawn_s = now
            print(f"\r{self.line(now)[:WIDTH]:<{WIDTH}}", end="", file=self.stream, flush=True)
        if self.tell is not None and now - self.told_s >= TOLD_S:
            self.told_s = now
            self.tell(self.event(now))

    def event(self, now_s: float) -> Event:
        """How far, and the seconds left, as plain data."""
        return {
            "event": "progress",
            "films_done": self.finished_films,
            "films": self.films,
            "share": round(self.done / self.total, 4),
            "left_s": round(self.left_s(now_s), 1),
        }

    def line(self, now_s: float) -> str:
        """How far, and the time left."""
        films = f"{self.finished_films} of {self.films} film{'s' if self.films != 1 else ''}"
        share = self.done / self.total if self.total else 0.0
        left = f", {clock(self.left_s(now_s))} left" if self.done else ""
        return f"{films}, {share:4.0%} of the work{left}"

    def left_s(self, now_s: float) -> float:
        """Seconds left at the speed so far."""
        began_s = now_s if self.began_s is None else self.began_s
        return (now_s - began_s) * (self.total - self.done) / self.done

    def clear(self) -> None:
        """Wipe the redrawn line."""
        if self.stream.isatty():
            print("\r" + " " * WIDTH + "\r", end="", file=self.stream, flush=True)


def clock(seconds: float) -> str:
    """Minutes and seconds."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02}"
