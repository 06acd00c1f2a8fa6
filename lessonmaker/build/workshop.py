"""The workshop: tasks whose results are kept, done by workers, many films at once.

What a film needs is told by a *line*: a generator that asks for some tasks, is handed their parts, goes on, and in the
end returns what was made. A task whose part is kept is not done again; one that two lines ask for is done once. Of the
tasks that wait, that with the longest way still before it goes first.
"""

from __future__ import annotations

import heapq
import os
import signal
from collections import Counter, defaultdict
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from multiprocessing import active_children, get_context, parent_process
from threading import Thread, current_thread, main_thread
from time import monotonic
from typing import Generic, Protocol, TypeAlias, TypeVar

from lessonmaker.build.store import Store

__all__ = ["JOIN_S", "Line", "Part", "Task", "Told", "Workshop", "processors", "worker_pool"]

Made = TypeVar("Made")
Result = TypeVar("Result")
QUEUED_A_WORKER = 2
MOST_DEATHS = 2
"""How often a task's worker may die, of what this task or one beside it does, before that is a fault."""
JOIN_S = 1.0
"""About how long the way is from the last parts of a film to the film."""
LOOK_S = 2.0
"""How long to wait for a result before looking whether there are workers still."""


@dataclass(frozen=True)
class Task:
    """A piece of work.

    Attributes:
        key: the digest of all that its result depends on.
        work: makes the result; it is sent to a worker.
        kind: what kind of work it is, for whoever measures how long such work takes.
        seconds: about how long that takes.
        after_s: about how long the longest way from its result to a finished film is.
        passing: whether its result is of no use once this work is done.
    """

    key: str
    work: Callable[[], bytes]
    kind: str
    seconds: float
    after_s: float = 0.0
    passing: bool = False


@dataclass(frozen=True)
class Part:
    """A task's result: in the store, or held here where that could not take it."""

    task: Task
    store: Store
    data: bytes | None = None

    def read(self) -> bytes:
        """The result; where its entry turns out to be damaged, it is made anew here."""
        if self.data is not None:
            return self.data
        kept = self.store.get(self.task.key)
        if kept is not None:
            return kept
        made = self.task.work()
        self.store.put(self.task.key, made)
        return made


Line: TypeAlias = Generator[Sequence[Task], Sequence[Part], Made]


@dataclass(frozen=True)
class Timed:
    """A task's work, to be done with a look at the clock."""

    work: Callable[[], bytes]

    def __call__(self) -> tuple[bytes, float]:
        """Its result, and how many seconds it took."""
        begun_s = monotonic()
        made = self.work()
        return made, monotonic() - begun_s


class Told(Protocol):
    """Whoever wants to know how far the work is; lines are counted from 0, as they are opened."""

    def found(self, line: int, task: Task) -> None:
        """A line asks for a task that has to be done."""

    def spent(self, line: int, seconds: float) -> None:
        """A line has done something itself for so many seconds."""

    def done(self, task: Task, seconds: float) -> None:
        """A task has been done by a worker in so many seconds."""


@dataclass(eq=False)
class Batch(Generic[Made]):
    """What a line waits for, and the how-manieth line it is."""

    line: Line[Made]
    number: int
    tasks: Sequence[Task]
    parts: dict[str, Part]

    @property
    def complete(self) -> bool:
        """Whether every part is there."""
        return all(task.key in self.parts for task in self.tasks)


@dataclass
class Workshop(Generic[Made]):
    """Does the tasks of lines.

    `workers` are where they are done; `width` tells how many of them there are now, and raises where that is the end of
    it. At most `under_way` lines are open at a time. `meanwhile` is done here once, when workers have
    something to do.
    """

    workers: Executor
    width: Callable[[], int]
    store: Store
    told: Told
    under_way: int
    meanwhile: Callable[[], None] = lambda: None
    ready: list[tuple[float, int, Task]] = field(default_factory=list)
    running: dict[Future[tuple[bytes, float]], Task] = field(default_factory=dict)
    asking: dict[str, list[Batch[Made]]] = field(default_factory=lambda: defaultdict(list))
    deaths: Counter[str] = field(default_factory=Counter)
    passing: set[str] = field(default_factory=set)
    open_lines: int = 0
    lines: Iterator[int] = field(default_factory=count)
    numbers: Iterator[int] = field(default_factory=count)

    def work(self, lines: Iterable[Line[Made]]) -> Iterator[Made]:
        """Work through lines, and give what each returns as it is finished.

        Raises:
            Exception: whatever a line or a task raised; what was begun is called off.
        """
        waiting = iter(lines)
        try:
            yield from self.open_more(waiting)
            self.submit()
            self.meanwhile()
            while self.open_lines:
                self.submit()
                for future in wait(self.running, LOOK_S, FIRST_COMPLETED).done:
                    yield from self.take(future)
                yield from self.open_more(waiting)
        finally:
            for future in self.running:
                future.cancel()
            for key in self.passing:
                self.store.drop(key)

    def open_more(self, waiting: Iterator[Line[Made]]) -> Iterator[Made]:
        """Open lines until enough are under way and the workers have enough to do."""
        while self.open_lines < self.under_way or len(self.ready) + len(self.running) < self.width():
            line = next(waiting, None)
            if line is None:
                return
            self.open_lines += 1
            yield from self.go_on(line, next(self.lines), None)

    def go_on(self, line: Line[Made], number: int, parts: Sequence[Part] | None) -> Iterator[Made]:
        """Hand a line its parts, and take what it asks for next, until it has to wait or is finished."""
        try:
            while True:
                begun_s = monotonic()
                try:
                    tasks = next(line) if parts is None else line.send(parts)
                finally:
                    self.told.spent(number, monotonic() - begun_s)
                batch = Batch(line, number, tasks, {})
                self.ask(batch)
                if not batch.complete:
                    return
                parts = [batch.parts[task.key] for task in tasks]
        except StopIteration as finished:
            self.open_lines -= 1
            yield finished.value

    def ask(self, batch: Batch[Made]) -> None:
        """Find what is kept of a batch, and put the rest in the queue."""
        for task in batch.tasks:
            if task.key in batch.parts:
                continue
            if task.key not in self.asking and self.store.holds(task.key):
                batch.parts[task.key] = Part(task, self.store)
                continue
            if task.key not in self.asking:
                self.queue(task)
                self.told.found(batch.number, task)
            if batch not in self.asking[task.key]:
                self.asking[task.key].append(batch)

    def queue(self, task: Task) -> None:
        """Have a task wait for its turn."""
        way = task.seconds + task.after_s
        heapq.heappush(self.ready, (-way, next(self.numbers), task))

    def submit(self) -> None:
        """Give the workers what goes first."""
        most = QUEUED_A_WORKER * self.width()
        while self.ready and len(self.running) < most:
            task = heapq.heappop(self.ready)[2]
            with interrupts_held():
                self.running[self.workers.submit(Timed(task.work))] = task

    def take(self, future: Future[tuple[bytes, float]]) -> Iterator[Made]:
        """Keep a result, and let the lines go on that waited for it alone; a task whose worker died is done again."""
        task = self.running.pop(future)
        try:
            data, seconds = future.result()
        except BrokenExecutor:
            self.deaths[task.key] += 1
            if self.deaths[task.key] > MOST_DEATHS:
                raise
            self.queue(task)
            return
        kept = self.store.put(task.key, data)
        if task.passing:
            self.passing.add(task.key)
        self.told.done(task, seconds)
        part = Part(task, self.store, None if kept else data)
        for batch in self.asking.pop(task.key):
            batch.parts[task.key] = part
            if batch.complete:
                yield from self.go_on(batch.line, batch.number, [batch.parts[one.key] for one in batch.tasks])


def processors() -> int:
    """How many processors this process may use."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1


class Processes(Executor):
    """Worker processes on this machine, in the place of which new ones come where one has died.

    The first starts at once and makes itself ready in the first way, so that the first tasks do not wait for its
    imports; the others start with the tasks, and make themselves ready in the ways that are left.
    """

    def __init__(self, width: int, ready: Sequence[Callable[[], object]]) -> None:
        self.width, self.ready = width, ready
        self.pool = self.new_pool()

    def new_pool(self) -> ProcessPoolExecutor:
        """So many processes."""
        self.left = list(self.ready[1 : self.width])
        pool = ProcessPoolExecutor(self.width, mp_context=get_context("spawn"), initializer=prepare_worker)
        with interrupts_held():
            pool.submit(self.ready[0])
        return pool

    def submit(self, work: Callable[[], Result]) -> Future[Result]:  # type: ignore[override]
        """Have a task done."""
        for _ in range(MOST_DEATHS):
            try:
                return self.hand(work)
            except BrokenExecutor:
                self.shutdown()
                self.pool = self.new_pool()
        return self.hand(work)

    def hand(self, work: Callable[[], Result]) -> Future[Result]:
        """Give the pool a task.

        A pool that finds a worker dead while another is being started closes the pipe that this one is to have: an
        error of the pipe's own, without the number that all have that the system refuses.
        """
        try:
            while self.left:
                self.pool.submit(self.left.pop())
            return self.pool.submit(work)
        except OSError as error:
            if error.errno is None:
                raise BrokenExecutor("a process died while another was being started") from error
            raise

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End the processes when they have done what they are at."""
        self.pool.shutdown(wait=wait, cancel_futures=cancel_futures)


@contextmanager
def worker_pool(width: int, ready: Sequence[Callable[[], object]]) -> Iterator[Executor]:
    """Processes on this machine. In the end, and on any failure, they are ended, with what waits for them."""
    others = set(active_children())
    pool = Processes(width, ready)
    try:
        yield pool
    finally:
        for worker in (
            set(active_children()) - others
        ):  # which have nothing to do now, or nothing that is wanted
            worker.terminate()
        pool.shutdown(wait=True, cancel_futures=True)


def prepare_worker() -> None:
    """Leave Ctrl-C to the main process, and end when that ends, however it does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=end_with_parent, daemon=True).start()


def end_with_parent() -> None:
    """Wait for the main process; a worker that waits for work would not notice its end."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


@contextmanager
def interrupts_held() -> Iterator[None]:
    """Have Ctrl-C wait: no process is left half started, and none hears it while it is still importing."""
    if current_thread() is not main_thread():  # which alone hears it
        yield
        return
    heard: list[int] = []
    handler = signal.signal(signal.SIGINT, lambda number, _frame: heard.append(number))
    try:
        with interrupts_blocked():
            yield
    finally:
        signal.signal(signal.SIGINT, handler)
        if heard:
            signal.raise_signal(signal.SIGINT)


@contextmanager
def interrupts_blocked() -> Iterator[None]:
    """Start processes in which Ctrl-C is blocked, where a system can do that."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
