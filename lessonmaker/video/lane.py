"""Work done in a thread of its own, in the order it is handed over, while the one who hands it over goes on."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from types import TracebackType

__all__ = ["Lane"]

WAITING = 3  # pieces of work that may wait: enough to even out, few enough to hold in memory


class Lane:
    """Does pieces of work one after the other. What fails is raised where the work is handed over, or at `wait`."""

    def __init__(self) -> None:
        self.worker = ThreadPoolExecutor(1)
        self.under_way: deque[Future[None]] = deque()

    def __enter__(self) -> Lane:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Give up what has not been begun, and wait for what has."""
        self.worker.shutdown(cancel_futures=True)

    def do(self, work: Callable[[], None]) -> None:
        """Have a piece of work done; waits while too many are waiting."""
        while len(self.under_way) >= WAITING:
            self.under_way.popleft().result()
        self.under_way.append(self.worker.submit(work))

    def wait(self) -> None:
        """Wait until all is done."""
        while self.under_way:
            self.under_way.popleft().result()
