"""An executor that does each task as it is handed over, in this process: for tests that are not about processes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future
from contextlib import contextmanager

import pytest

from lessonmaker.build import workers

__all__ = ["AtOnce", "at_once", "in_one_process"]


class AtOnce(Executor):
    """Does a task when it is handed over."""

    def submit(self, work: Callable[[], bytes]) -> Future[bytes]:  # type: ignore[override]
        """The task, done."""
        future: Future[bytes] = Future()
        try:
            future.set_result(work())
        except Exception as error:
            future.set_exception(error)
        return future


@contextmanager
def at_once(_width: int, _ready: Sequence[Callable[[], object]]) -> Iterator[Executor]:
    """In place of a pool of workers."""
    yield AtOnce()


@contextmanager
def in_one_process() -> Iterator[None]:
    """Have every part of a build made in this process."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workers, "worker_pool", at_once)
        yield
