"""The workers of a build: processes on this machine, or those of a cluster.

Nothing here takes long to import: the first worker starts, and makes itself ready, while the main process imports.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from lessonmaker.build.progress import Progress
from lessonmaker.build.workshop import processors, worker_pool
from lessonmaker.files import remove_abandoned

if TYPE_CHECKING:
    from lessonmaker.picture.faces import FontFile

__all__ = ["Workers", "leaving_nothing", "workers_of"]

VOICE = "lessonmaker.build.voice"
SHOWN_AND_HEARD = ("lessonmaker.build.sounds", "lessonmaker.build.pictures")
"""What takes long to import and nearly every film's parts need."""


@dataclass(frozen=True)
class Workers:
    """Who does the tasks.

    Attributes:
        executor: takes them.
        width: how many workers there are now; raises where that is the end of it.
        here: whether they are on this machine, with the author's files.
        require_fonts: raises where one of them has not some font files; None where they are sure to have them.
    """

    executor: Executor
    width: Callable[[], int]
    here: bool = True
    require_fonts: Callable[[Sequence[FontFile]], None] | None = None


@contextmanager
def leaving_nothing(output: Path) -> Iterator[None]:
    """Where work is broken off, remove what workers had begun to write: they were ended in the midst of it."""
    try:
        yield
    except BaseException:
        remove_abandoned(output)
        raise


@contextmanager
def workers_of(cluster: str | None, progress: Progress) -> Iterator[Workers]:
    """The workers of a build.

    Args:
        cluster: the address of a scheduler whose workers make the parts; None means processes on this machine.
        progress: told where workers are waited for.

    Raises:
        MaterialError: the cluster is not there, not fit, or lost.
        UsageError: the cluster's address is none.
    """
    if cluster is None:
        with worker_pool(processors(), (ready_to_speak, ready_to_film)) as pool:
            yield Workers(pool, processors)
        return
    from lessonmaker.build.cluster import cluster_pool  # an extra, and a second to import

    def waiting() -> None:
        progress.step(f"waiting for workers at {cluster}")

    with cluster_pool(cluster, waiting) as found:
        yield Workers(found, found.width, here=False, require_fonts=found.require_fonts)


def ready_to_speak() -> None:
    """Have a worker import and load what speaks: a film begins with its words."""
    import_module(VOICE).load_voice()


def ready_to_film() -> None:
    """Have a worker import what makes pictures and sound."""
    for name in SHOWN_AND_HEARD:
        import_module(name)
