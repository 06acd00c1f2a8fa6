"""Progress a person can read: what is being done, how far, and how long it will still take."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, field
from typing import TextIO

__all__ = ["Progress"]

REDRAW_S = 0.2
WIDTH = 78


@dataclass
class Progress:
    """One line that is redrawn on a terminal, and a line a step everywhere.

    `films` is how many there will be. A film's frames are known when it is begun; those to come count as the
    mean of them. The time left follows from how fast frames have come so far.
    """

    films: int = 1
    begun: int = 0
    expected: int = 0
    done: int = 0
    stream: TextIO = field(default_factory=lambda: sys.stderr)
    began_s: float = field(default_factory=time.monotonic)
    drawn_s: float = 0.0

    def step(self, text: str) -> None:
        """Say what is being done now."""
        self.clear()
        print(text, file=self.stream, flush=True)

    def listening(self, lesson: str, recording: str) -> None:
        """Say that a recording of a lesson is being listened to."""
        self.step(f"{lesson}: listening to {recording}")

    def expect(self, frames: int) -> None:
        """A film of so many frames is begun; the clock starts with the first one."""
        if not self.begun:
            self.began_s = time.monotonic()
        self.begun += 1
        self.expected += frames

    @property
    def total(self) -> float:
        """The frames of all films, those to come guessed."""
        return self.expected * max(1.0, self.films / max(1, self.begun))

    def advance(self, frames: int) -> None:
        """Frames have been made."""
        self.done += frames
        now = time.monotonic()
        if self.stream.isatty() and now - self.drawn_s >= REDRAW_S:
            self.drawn_s = now
            print(f"\r{self.line(now)[:WIDTH]:<{WIDTH}}", end="", file=self.stream, flush=True)

    def line(self, now_s: float) -> str:
        """How far, and the time left."""
        share = self.done / self.total if self.total else 0.0
        left = f", {clock(self.left_s(now_s))} left" if self.done else ""
        return f"{share:4.0%} of the pictures{left}"

    def left_s(self, now_s: float) -> float:
        """Seconds left at the speed so far."""
        return (now_s - self.began_s) * (self.total - self.done) / self.done

    def clear(self) -> None:
        """Wipe the redrawn line."""
        if self.stream.isatty():
            print("\r" + " " * WIDTH + "\r", end="", file=self.stream, flush=True)


def clock(seconds: float) -> str:
    """Minutes and seconds."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02}"
