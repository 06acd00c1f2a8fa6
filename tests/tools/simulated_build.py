"""A build in simulated time: the workshop's own order of work, with tasks, workers and a clock that are made up."""

from __future__ import annotations

import heapq
import random
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from functools import partial
from itertools import count

import pytest

from lessonmaker.build import workshop
from lessonmaker.build.forecast import Forecast
from lessonmaker.build.store import Store
from lessonmaker.build.workshop import Line, Task, Timed, Workshop
from lessonmaker.digest import digest_of

__all__ = ["Machine", "MadeUpFilm", "Telling", "simulate"]

UNDER_WAY = 4


@dataclass
class Machine:
    """What a made-up machine takes for a nominal second of each kind of work, and for the main process's steps.

    `scatter` is how far, as a share, a single task may be from that.
    """

    width: int
    rates: dict[str, float]
    laying_s: float = 0.7
    joining_s: float = 0.2
    start_s: float = 4.0
    scatter: float = 0.2


@dataclass(frozen=True)
class MadeUpFilm:
    """A film by the nominal seconds of its tasks, of each kind, those that come before it is laid out and the others.

    Kinds in `shared` are the same in all films of its lesson.
    """

    lesson: str
    before: dict[str, Sequence[float]]
    after: dict[str, Sequence[float]]
    shared: tuple[str, ...] = ("fit", "speech", "sound")


@dataclass(frozen=True)
class Telling:
    """What was told at a time, in seconds from the beginning."""

    at_s: float
    left_s: float


@dataclass
class Workers(Executor):
    """Workers in simulated time; each takes the next task as soon as it is free."""

    machine: Machine
    chance: random.Random
    now_s: float = 0.0
    free_s: list[float] = field(default_factory=list)
    running: list[tuple[float, int, Future[tuple[bytes, float]], float]] = field(default_factory=list)
    numbers: Iterator[int] = field(default_factory=count)

    def __post_init__(self) -> None:
        self.now_s = self.machine.start_s
        self.free_s = [self.now_s] * self.machine.width

    def submit(self, work: Timed) -> Future[tuple[bytes, float]]:  # type: ignore[override]
        """Have a task done: it takes what its kind takes, more or less."""
        kind, seconds = work.work.args  # type: ignore[attr-defined]
        scatter = self.machine.scatter
        took_s = seconds * self.machine.rates[kind] * self.chance.uniform(1 - scatter, 1 + scatter)
        end_s = max(self.now_s, heapq.heappop(self.free_s)) + took_s
        heapq.heappush(self.free_s, end_s)
        future: Future[tuple[bytes, float]] = Future()
        heapq.heappush(self.running, (end_s, next(self.numbers), future, took_s))
        return future

    def wait(self, *_: object) -> Done:
        """Let time pass until a task is done."""
        self.now_s = max(self.now_s, self.running[0][0])
        done = []
        while self.running and self.running[0][0] <= self.now_s:
            _, _, future, took_s = heapq.heappop(self.running)
            future.set_result((b"", took_s))
            done.append(future)
        return Done(done)

    def clock(self) -> float:
        """The simulated time."""
        return self.now_s


@dataclass(frozen=True)
class Done:
    """What has been done, as `concurrent.futures.wait` says it."""

    done: list[Future[tuple[bytes, float]]]


@dataclass
class Teller:
    """Hears what the workshop does, and asks the forecast after each task."""

    forecast: Forecast
    workers: Workers
    told: list[Telling] = field(default_factory=list)

    def found(self, line: int, task: Task) -> None:
        self.forecast.found(line, task.kind, task.seconds)

    def spent(self, line: int, seconds: float) -> None:
        self.forecast.spent(line, seconds)

    def done(self, task: Task, seconds: float) -> None:
        self.forecast.done(task.kind, task.seconds, seconds)
        self.told.append(Telling(self.workers.now_s, self.forecast.left_s(self.workers.machine.width)))


def simulate(
    machine: Machine, films: Sequence[MadeUpFilm], forecast: Forecast, store: Store, seed: int = 1
) -> tuple[float, list[Telling]]:
    """Build films; the seconds that it takes, and what is told meanwhile."""
    workers = Workers(machine, random.Random(seed))
    teller = Teller(forecast, workers)
    shop: Workshop[int] = Workshop(workers, lambda: machine.width, store, teller, UNDER_WAY)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workshop, "wait", workers.wait)
        patch.setattr(workshop, "monotonic", workers.clock)
        list(shop.work(line(number, film, forecast, workers) for number, film in enumerate(films)))
    return workers.now_s, teller.told


def line(number: int, film: MadeUpFilm, forecast: Forecast, workers: Workers) -> Line[int]:
    """A film's line: what comes before it is laid out, then the rest; the main process takes its time for both."""
    for kind, tasks in film.before.items():
        yield made_up(number, film, kind, tasks)
    workers.now_s += workers.machine.laying_s
    forecast.laid(number)
    yield [task for kind, tasks in film.after.items() for task in made_up(number, film, kind, tasks)]
    yield made_up(number, film, "film", [0.4])
    workers.now_s += workers.machine.joining_s
    forecast.finished(number)
    return number


def made_up(number: int, film: MadeUpFilm, kind: str, tasks: Sequence[float]) -> list[Task]:
    """Tasks of a kind."""
    whose = film.lesson if kind in film.shared else number
    return [
        Task(digest_of(whose, kind, at), partial(never, kind, seconds), kind, seconds, 1.0)
        for at, seconds in enumerate(tasks)
    ]


def never(_kind: str, _seconds: float) -> bytes:
    """What no simulated worker does."""
    raise AssertionError
