"""Progress a person can read, and a program: what is being done, how far, and how long it will still take."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, TextIO

from lessonmaker.build.forecast import WHOLE, Expected, Forecast
from lessonmaker.faults import Fault

if TYPE_CHECKING:  # the workshop tells it
    from lessonmaker.build.workshop import Task

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
    """Says what is done; on a terminal also how far it is, on one line that is redrawn.

    `forecast` keeps the account of the films, so many unless one is given, and says how long they still take, with
    as many workers as `width` tells. `tell` is handed every event as plain data; `log` notes the steps.
    """

    films: int = 1
    forecast: Forecast = field(default_factory=lambda: Forecast.of([]))
    width: Callable[[], int] = lambda: 1
    finished_films: int = 0
    begun: int = 0
    stream: TextIO = field(default_factory=lambda: sys.stderr)
    tell: Callable[[Event], None] | None = None
    log: Log | None = None
    since_s: float = 0.0
    drawn_s: float = 0.0
    told_s: float = 0.0

    def __post_init__(self) -> None:
        if not self.forecast.films:
            self.forecast = Forecast.of([Expected(shared=False)] * self.films)

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

    def begin(self, film: int | None = None) -> None:
        """A film is laid out: the work for it has been found. It is the next one, unless one is named."""
        self.forecast.laid(self.begun if film is None else film)
        self.begun += 1

    def finished(self, film: int | None = None) -> None:
        """A film is finished."""
        self.forecast.finished(self.finished_films if film is None else film)
        self.finished_films += 1
        self.clear()

    def found(self, line: int, task: Task) -> None:
        """A film asks for a task that has to be done."""
        self.forecast.found(line, task.kind, task.seconds)

    def spent(self, line: int, seconds: float) -> None:
        """The main process has spent some time on a film."""
        self.forecast.spent(line, seconds)

    def done(self, task: Task, seconds: float) -> None:
        """A worker has done a task in so many seconds."""
        self.forecast.done(task.kind, task.seconds, seconds)
        self.show()

    def expect(self, amount: float) -> None:
        """The next film's work, which is done here: seconds, or frames."""
        self.forecast.found(self.begun, WHOLE, amount)
        self.since_s = monotonic()

    def advance(self, amount: float) -> None:
        """So much of the work that is done here has been done."""
        now_s = monotonic()
        self.forecast.done(WHOLE, amount, now_s - self.since_s)
        self.since_s = now_s
        self.show()

    def show(self) -> None:
        """Say how far it is, where that was not said just now."""
        now_s = monotonic()
        if self.stream.isatty() and now_s - self.drawn_s >= REDRAW_S:
            self.drawn_s = now_s
            print(f"\r{self.line[:WIDTH]:<{WIDTH}}", end="", file=self.stream, flush=True)
        if self.tell is not None and now_s - self.told_s >= TOLD_S:
            self.told_s = now_s
            self.tell(self.event)

    @property
    def event(self) -> Event:
        """How far, and the seconds left, as plain data."""
        return {
            "event": "progress",
            "films_done": self.finished_films,
            "films": self.films,
            "share": round(self.forecast.share, 4),
            "left_s": round(self.forecast.left_s(self.width()), 1),
        }

    @property
    def line(self) -> str:
        """How far, and the time left."""
        films = f"{self.finished_films} of {self.films} film{'s' if self.films != 1 else ''}"
        left_s = self.forecast.left_s(self.width())
        return f"{films}, {self.forecast.share:4.0%} of the work, {clock(left_s)} left"

    def clear(self) -> None:
        """Wipe the redrawn line."""
        if self.stream.isatty():
            print("\r" + " " * WIDTH + "\r", end="", file=self.stream, flush=True)


def clock(seconds: float) -> str:
    """Minutes and seconds."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02}"
