"""Films of lessons in editions: each prepared here, its pictures encoded by workers, then written.

Two films are under way at a time: while the workers encode one, the next is prepared.
"""

from __future__ import annotations

import os
import signal
from collections import deque
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from multiprocessing import active_children, get_context, parent_process
from pathlib import Path
from threading import Thread

from lessonmaker.build.check import check_order
from lessonmaker.build.fits import FOLDER, KeptFits
from lessonmaker.build.lesson import ReadyLesson, ready_lesson
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, editions_said
from lessonmaker.build.outputs import Outputs, outputs_for, safe_name, write_texts
from lessonmaker.build.progress import Progress
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.voice import Voice
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.edition import Decision, Edition
from lessonmaker.script.model import Book
from lessonmaker.timeline.model import TICKS_PER_SECOND, Timeline
from lessonmaker.video.film import FilmInfo, StartedFilm, finish_film, start_film

__all__ = ["Made", "build_order"]

UNDER_WAY = 2
POSTER_TICKS_IN = TICKS_PER_SECOND // 2


@dataclass(frozen=True)
class Made:
    """A finished film, what was noteworthy on the way, and what the copyist decided for its edition (by its id)."""

    lesson: str
    edition: str
    outputs: Outputs
    seconds: float
    remarks: tuple[Fault, ...]
    decisions: tuple[Decision, ...]


@dataclass(frozen=True)
class UnderWay:
    """A film whose pictures are being encoded."""

    lesson: str
    edition: str
    outputs: Outputs
    scenario: Scenario
    film: StartedFilm


def build_order(order: Order, output: Path, progress: Progress) -> Iterator[Made]:
    """Make every film of an order, one after the other; all lessons are checked before the first is begun.

    Raises:
        MaterialError: a lesson is faulty; films made before stay.
        OSError: a file cannot be written.
    """
    refuse_same_names(order)
    checked = check_order(order)
    voice = Voice.of(order.book)
    kept = KeptFits(output / FOLDER)
    progress.films = len(checked) * len(order.editions)
    with worker_pool() as workers:
        waiting: deque[UnderWay] = deque()
        for one in checked:
            fitting = partial(progress.step, f"{one.lesson.path.stem}: fitting the take")
            lesson = ready_lesson(one, kept, fitting)
            listening = partial(progress.listening, lesson.name)
            pause_s = order.book.longest_pause_s
            narrator = narrator_of(one, editions_said(order), voice, listening, pause_s)
            for edition in order.editions:
                waiting.append(begin(lesson, edition, order.book, narrator, output, workers, progress))
                while len(waiting) > UNDER_WAY:
                    yield complete(waiting.popleft(), order.book, progress)
        while waiting:
            yield complete(waiting.popleft(), order.book, progress)


def refuse_same_names(order: Order) -> None:
    """Two lessons whose files would have one name would overwrite each other.

    Raises:
        MaterialError: there are such lessons.
    """
    by_name: dict[str, Path] = {}
    for path in order.lessons:
        other = by_name.setdefault(safe_name(path.stem), path)
        if other != path:
            what = f"{path.name} and {other.name} would both be made as {safe_name(path.stem)}.mp4"
            raise MaterialError(Fault(what, "rename one of the two", Place(path)))


@contextmanager
def worker_pool() -> Iterator[Executor]:
    """Processes for the encoding; on any failure they are ended, with what waits for them."""
    others = set(active_children())
    pool = ProcessPoolExecutor(
        os.cpu_count() or 1, mp_context=get_context("spawn"), initializer=prepare_worker
    )
    try:
        yield pool
    except BaseException:
        for worker in set(active_children()) - others:
            worker.terminate()
        raise
    finally:
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
    """Have Ctrl-C wait: a process started meanwhile does not hear it while it is still importing."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def begin(
    lesson: ReadyLesson,
    edition: Edition,
    book: Book,
    narrator: Narrator,
    output: Path,
    workers: Executor,
    progress: Progress,
) -> UnderWay:
    """Prepare a film and start encoding it."""
    outputs = outputs_for(output, edition.id, lesson.name)
    progress.step(f"{lesson.name}, {edition.label}: speaking, laying out")
    scenario = stage(lesson, edition, book, narrator)
    duration = scenario.timeline.duration
    with interrupts_held():
        film = start_film(
            scenario.painter, duration, book.rate, workers, os.cpu_count() or 1, progress.advance
        )
    progress.expect(film.frames)
    return UnderWay(lesson.name, edition.id, outputs, scenario, film)


def complete(under_way: UnderWay, book: Book, progress: Progress) -> Made:
    """Write a film and what goes with it."""
    timeline = under_way.scenario.timeline
    info = FilmInfo(
        f"{timeline.title} ({timeline.edition})",
        book.author or timeline.composer,
        book.title,
        timeline.duration,
        timeline.chapters,
    )
    finish_film(under_way.outputs.film, under_way.film, under_way.scenario.samples, info)
    write_texts(under_way.outputs, timeline, under_way.scenario.painter.rgb(poster_tick(timeline)))
    progress.clear()
    seconds = timeline.duration / TICKS_PER_SECOND
    scenario = under_way.scenario
    return Made(
        under_way.lesson, under_way.edition, under_way.outputs, seconds, scenario.remarks, scenario.decisions
    )


def poster_tick(timeline: Timeline) -> int:
    """An instant that shows what the lesson is: the first label in sight, else the first bar that sounds."""
    shown = [label.start for label in timeline.labels] or [light.start for light in timeline.lights]
    return min(min(shown, default=0) + POSTER_TICKS_IN, timeline.duration - 1)
