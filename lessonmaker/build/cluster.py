"""Workers on other machines: a Dask distributed scheduler hands them tasks, each with all the bytes it needs.

Workers need no disk in common with this process, but the same version of this program and its libraries: that is
compared before the first task, and again by each worker, as one may come later. The scheduler only passes tasks on and
need not have the program. A worker that is lost has its tasks done by another. Whoever runs a scheduler or a worker may
run code of theirs here, and the other way round: tasks and results are pickled.
"""

from __future__ import annotations

import asyncio
import logging
import pickle
import time
import warnings
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import CancelledError, Executor, Future
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any, TypeVar

from lessonmaker.build.stamp import tools_digest, tools_versions
from lessonmaker.faults import Fault, MaterialError, UsageError
from lessonmaker.picture.faces import FontFile, fonts_not_here

try:
    from distributed import Client, Security, get_worker, rpc
    from distributed.scheduler import KilledWorker
    from distributed.versions import VersionMismatchWarning
except ImportError as error:
    raise UsageError(
        "the package for work on a cluster is not installed; install it: pip install 'lessonmaker[cluster]'"
    ) from error

__all__ = ["Cluster", "cluster_pool"]

ANSWER_S = 5.0
LONELY_S = 60.0
LOOK_S = 1.0
"""How long a scheduler may take to answer, workers may stay away, and a count of them holds."""

WORKER_BYTES = 600_000_000
"""Less memory is not enough for a worker (see the bench's table of the most memory)."""

KEPT_WHOLE = "what was finished before is whole"
LOGGERS = ("distributed", "distributed.client", "tornado", "asyncio")

Worker = Mapping[str, Any]
Result = TypeVar("Result")


@dataclass(frozen=True)
class Sent:
    """A task on its way: to unpickle it is to do it, so nobody on the way there needs this program."""

    tools: str
    work: bytes

    def __reduce__(self) -> tuple[Callable[[str, bytes], Any], tuple[str, bytes]]:
        """Do it."""
        return done_here, (self.tools, self.work)


def done_here(tools: str, work: bytes) -> Any:
    """Do a task in a worker.

    Raises:
        MaterialError: this worker has another version than the process that sent the task.
    """
    if tools_digest() != tools:
        raise MaterialError(other_version(get_worker().address, tools_versions()))
    return pickle.loads(work)()  # from the process that sent the task, not from a file


class Cluster(Executor):
    """The workers of a scheduler as an executor."""

    def __init__(self, client: Client, address: str) -> None:
        self.client, self.address = client, address
        self.pool = client.get_executor(pure=False)
        self.count, self.looked_s, self.seen_s = 0, -LOOK_S, time.monotonic()

    def submit(self, work: Callable[[], Result]) -> Future[Result]:  # type: ignore[override]
        """Send a task with its bytes."""
        sent = pickle.dumps(Sent(tools_digest(), pickle.dumps(work)))
        with connection_to(self.address):
            found: Future[Result] = self.pool.submit(pickle.loads, sent)
        return found

    def width(self) -> int:
        """How many workers there are now; 1 for a while where there are none.

        Raises:
            MaterialError: there have been none for a minute, or the scheduler is gone.
        """
        now_s = time.monotonic()
        if now_s - self.looked_s >= LOOK_S:
            self.count, self.looked_s = len(self.ready()), now_s
        if self.count:
            self.seen_s = now_s
        elif now_s - self.seen_s >= LONELY_S:
            what = f"the scheduler at {self.address} has had no worker that takes work for {LONELY_S:.0f} s"
            todo = f"start some with `dask worker {self.address} --nthreads 1`, with enough memory"
            raise MaterialError(Fault(what, f"{todo}, and build again; {KEPT_WHOLE}"))
        return max(1, self.count)

    def workers(self) -> Mapping[str, Worker]:
        """The workers there are, by address."""
        with connection_to(self.address):
            found: Mapping[str, Worker] = self.client.scheduler_info(n_workers=-1)["workers"]
        return found

    def ready(self) -> Mapping[str, Worker]:
        """The workers that take work: those that run out of memory pause."""
        return {
            address: one
            for address, one in self.workers().items()
            if one.get("status", "running") == "running"
        }

    def require_fit(self) -> None:
        """Look at all workers before the first task.

        Raises:
            MaterialError: some are of another version, have too little memory, or do several tasks at a time.
        """
        with connection_to(self.address):
            found = self.client.run(tools_digest, on_error="return")
        versions = [
            other_version(address, self.versions(address))
            for address, tools in found.items()
            if tools != tools_digest()
        ]
        unfit = [unfit_worker(address, self.address, one) for address, one in self.workers().items()]
        faults = [*versions, *(fault for fault in unfit if fault is not None)]
        if faults:
            raise MaterialError(faults)

    def require_fonts(self, files: Sequence[FontFile]) -> None:
        """Look whether all workers there are now have some font files.

        Raises:
            MaterialError: some have not, or of another version.
        """
        with connection_to(self.address):
            found = self.client.run(fonts_not_here, tuple(files), on_error="return")
        faults = [without_fonts(worker, packages) for worker, packages in found.items() if packages]
        if faults:
            raise MaterialError(faults)

    def versions(self, worker: str) -> Mapping[str, str]:
        """The versions that a worker has; none where it has not this program."""
        found = self.client.run(tools_versions, workers=[worker], on_error="return").get(worker)
        return found if isinstance(found, dict) else {}


def other_version(worker: str, theirs: Mapping[str, str]) -> Fault:
    """What is said of a worker of another version."""
    differ = [
        f"{name} {theirs.get(name, 'none')} (here {own})"
        for name, own in tools_versions().items()
        if theirs and theirs.get(name) != own
    ]
    which = ", ".join(differ) or ("lessonmaker's own files differ" if theirs else "it has not this program")
    todo = "install the same version of lessonmaker with the same libraries there, and start it again"
    return Fault(f"the worker {worker} would make other films: {which}", todo)


def without_fonts(worker: str, packages: object) -> Fault:
    """What is said of a worker that has not the fonts of the look; it may be lost before it can say."""
    which = " ".join(packages) if isinstance(packages, list) else str(packages)
    todo = "install the fonts' packages there as they are here (pip install), and build again"
    return Fault(f"the worker {worker} has not the fonts of the look: {which}", todo)


def unfit_worker(worker: str, scheduler: str, told: Worker) -> Fault | None:
    """What is said of a worker that cannot do its work."""
    if told.get("nthreads", 1) != 1:
        what = f"the worker {worker} does {told['nthreads']} tasks at a time in one process"
        return Fault(
            what, f"start it with `dask worker {scheduler} --nthreads 1 --nworkers {told['nthreads']}`"
        )
    limit = told.get("memory_limit") or WORKER_BYTES
    if limit < WORKER_BYTES:
        what = (
            f"the worker {worker} may use {limit / 1e6:.0f} MB of memory, and needs {WORKER_BYTES / 1e6:.0f}"
        )
        return Fault(what, "start it with a higher --memory-limit")
    return None


@contextmanager
def cluster_pool(address: str, waiting: Callable[[], None]) -> Iterator[Cluster]:
    """The workers of the scheduler at an address such as tcp://10.0.0.5:8786; what they have not done is called off.

    Args:
        address: the scheduler's.
        waiting: called where there is no worker yet.

    Raises:
        UsageError: it is no address.
        MaterialError: no scheduler answers there, it has no workers, or some that are not fit; later on, it or all of
            its workers are lost, or a task ends every worker that tries it.
    """
    for name in LOGGERS:  # what it would tell the terminal is told as a fault
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)
    warnings.simplefilter("ignore", VersionMismatchWarning)  # the versions that count are compared here
    require_scheduler(address)
    with connection_to(address):
        client = Client(address, timeout=ANSWER_S, set_as_default=False)
    try:
        cluster = Cluster(client, address)
        wait_for_workers(cluster, waiting)
        cluster.require_fit()
        yield cluster
    except CancelledError:
        raise MaterialError(lost(address)) from None
    except KilledWorker as killed:
        tried = killed.allowed_failures + 1
        what = f"a part was given up: {tried} workers, one after the other, ended while they made it"
        todo = f"see whether they have enough memory (`dask worker --memory-limit`), and build again; {KEPT_WHOLE}"
        raise MaterialError(Fault(what, todo)) from None
    finally:
        with suppress(Exception):  # a scheduler that is gone need not be told
            client.close(timeout=1)


def wait_for_workers(cluster: Cluster, waiting: Callable[[], None]) -> None:
    """Wait until there is a worker, for a minute."""
    if not cluster.ready():
        waiting()
    while cluster.width() and not cluster.count:
        time.sleep(LOOK_S / 4)


def require_scheduler(address: str) -> None:
    """Ask who is there.

    Raises:
        UsageError: that is no address, or one that needs certificates where none are known.
        MaterialError: nobody answers, or something else.
    """
    try:
        found = asyncio.run(identity_of(address))
    except ValueError as error:
        raise UsageError(
            f"{address!r} is no address of a scheduler ({error}); it is written as tcp://HOST:PORT"
        ) from None
    except TypeError:  # so says Dask where it knows no certificates
        raise UsageError(
            f"{address} needs certificates; name them in Dask's configuration, under distributed.comm.tls"
        ) from None
    except OSError:
        what = f"no scheduler answers at {address}"
        todo = (
            "look at the address, whether `dask scheduler` runs there, and whether a firewall is in between"
        )
        raise MaterialError(Fault(what, todo)) from None
    if found.get("type") != "Scheduler":
        what = f"what answers at {address} is a {str(found.get('type')).lower()}, no scheduler"
        raise MaterialError(Fault(what, "give the scheduler's address"))


async def identity_of(address: str) -> Mapping[str, Any]:
    """What a server says of itself; one that speaks another protocol says nothing in time."""
    async with asyncio.timeout(ANSWER_S):
        async with rpc(address, connection_args=Security().get_connection_args("client")) as server:
            found: Mapping[str, Any] = await server.identity()
            return found


@contextmanager
def connection_to(address: str) -> Iterator[None]:
    """Say of a connection that fails what it means."""
    try:
        yield
    except OSError:
        raise MaterialError(lost(address)) from None


def lost(address: str) -> Fault:
    """What is said of a scheduler that is gone."""
    return Fault(f"the connection to the scheduler at {address} was lost", f"build again; {KEPT_WHOLE}")
