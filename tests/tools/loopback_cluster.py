"""A scheduler and workers on this machine's loopback, each a process of its own, as on machines of their own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from distributed import Client

__all__ = ["LoopbackCluster", "loopback_cluster"]

QUIET = ("--no-dashboard",)
PATIENCE_S = 60


@dataclass
class LoopbackCluster:
    """A scheduler's address, its process, and its workers' by their addresses; `folder` is where they run."""

    folder: Path
    address: str
    scheduler: subprocess.Popen[bytes]
    workers: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)

    def add_worker(self, *options: str, path: Path | None = None) -> str:
        """Start a worker, and wait until the scheduler knows it; its address.

        Args:
            options: the worker's; one task at a time where there are none.
            path: where it looks for modules first.
        """
        with Client(self.address, set_as_default=False) as client:
            before = set(client.nthreads())
            line = ("distributed.cli.dask_worker", self.address, *QUIET, *(options or ("--nthreads", "1")))
            process = begun(self.folder, *line, "--no-nanny", path=path)
            last_s = time.monotonic() + PATIENCE_S
            while not (new := set(client.nthreads()) - before):
                assert time.monotonic() < last_s, "the worker did not come"
                time.sleep(0.05)
        (found,) = new
        self.workers[found] = process
        return found

    def busy(self) -> list[str]:
        """The workers that have something to do."""
        with Client(self.address, set_as_default=False) as client:
            return [worker for worker, tasks in client.processing().items() if tasks]

    def kill(self, worker: str) -> None:
        """End a worker as a power cut does."""
        end(self.workers.pop(worker))

    def end(self) -> None:
        """End them all."""
        for process in (*self.workers.values(), self.scheduler):
            end(process)


@contextmanager
def loopback_cluster(folder: Path, workers: Sequence[Sequence[str]] = ((), ())) -> Iterator[LoopbackCluster]:
    """A cluster, with a worker for each set of options; it runs in a new `folder`."""
    folder.mkdir()
    file = folder / "scheduler.json"
    options = ("--host", "127.0.0.1", "--port", "0", "--scheduler-file", str(file), *QUIET)
    process = begun(folder, "distributed.cli.dask_scheduler", *options)
    try:
        cluster = LoopbackCluster(folder, address_in(file), process)
        try:
            for one in workers:
                cluster.add_worker(*one)
            yield cluster
        finally:
            cluster.end()
    finally:
        end(process)


def begun(folder: Path, module: str, *options: str, path: Path | None = None) -> subprocess.Popen[bytes]:
    """A process that runs a module; what it says goes to a file."""
    line = [sys.executable, "-m", module, *options]
    places = [str(path)] if path else []
    places += filter(None, [os.environ.get("PYTHONPATH")])
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(places)}
    with (folder / f"{module}.log").open("ab") as log:
        return subprocess.Popen(line, cwd=folder, stdout=log, stderr=log, env=environment)


def address_in(file: Path) -> str:
    """The scheduler's address, once it has written it down."""
    last_s = time.monotonic() + PATIENCE_S
    while True:
        assert time.monotonic() < last_s, "the scheduler did not come"
        try:
            return str(json.loads(file.read_text())["address"])
        except (FileNotFoundError, ValueError):
            time.sleep(0.05)


def end(process: subprocess.Popen[bytes]) -> None:
    """End a process of ours at once."""
    process.kill()
    process.wait()
