"""Time told apart by what it is spent on, each moment counted once."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any

__all__ = ["Stopwatch", "seconds_of"]


class Stopwatch:
    """Seconds by name, by the clock and of the processor. While an inner name runs, the outer one stands still."""

    def __init__(self) -> None:
        self.seconds: Counter[str] = Counter()
        self.processor_seconds: Counter[str] = Counter()
        self.running: list[str] = []
        self.since = self.processor_since = 0.0

    @contextmanager
    def on(self, name: str) -> Iterator[None]:
        """Count the time of a block under a name."""
        self.book()
        self.running.append(name)
        try:
            yield
        finally:
            self.book()
            self.running.pop()

    def book(self) -> None:
        """Credit the time since the last change to what runs now."""
        now, busy = time.perf_counter(), time.process_time()
        if self.running:
            self.seconds[self.running[-1]] += now - self.since
            self.processor_seconds[self.running[-1]] += busy - self.processor_since
        self.since, self.processor_since = now, busy

    @contextmanager
    def watching(self, *places: tuple[object, str, str]) -> Iterator[None]:
        """Count each call of (owner, function) under (name) while in the block."""
        originals = [(owner, function, getattr(owner, function)) for owner, function, _ in places]
        for owner, function, name in places:
            setattr(owner, function, self.watched(getattr(owner, function), name))
        try:
            yield
        finally:
            for owner, function, original in originals:
                setattr(owner, function, original)

    def watched(self, function: Callable[..., Any], name: str) -> Callable[..., Any]:
        """The function, its time counted."""

        @wraps(function)
        def call(*args: Any, **names: Any) -> Any:
            with self.on(name):
                return function(*args, **names)

        return call


def seconds_of(work: Callable[[], object]) -> float:
    """How long a piece of work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
