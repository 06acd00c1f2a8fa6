"""Faults put to a build on purpose, and what became of its films: `python -m tests.bench faults`.

A small book is built undisturbed once. Then its builds are killed at random instants, entries of its store are damaged,
its disk is full, two builds of it run at once; after each the next build must end with the very same files. Mounting a
small disk takes the rights of the superuser; without them that part is left out, and said to be.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from lessonmaker.build.fits import FOLDER as FITS
from lessonmaker.build.record import FOLDER as RECORDS
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.build.store import Store
from lessonmaker.files import file_digest
from tests.tools.tiny_book import make_book

__all__ = ["add_fault_options", "print_faults"]

REPOSITORY = Path(__file__).parents[2]
DAMAGED, FULL = "a kept part is damaged", "the disk is full"
ENDS_WITHIN_S = 30.0
TOLD_EVERY = 25
DISKS = (0.02, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95)
"""How much of what a build takes the small disks hold."""


def add_fault_options(parser: argparse.ArgumentParser) -> None:
    """The options of this table."""
    parser.add_argument("--kills", type=int, default=200, help="how often a build is killed")
    parser.add_argument("--damages", type=int, default=50, help="how many entries are damaged")
    parser.add_argument("--pairs", type=int, default=5, help="how often two builds run at once")
    parser.add_argument("--seed", type=int, default=1, help="of all that is random")


def print_faults(options: argparse.Namespace) -> None:
    """Print the table.

    Raises:
        SystemExit: something was lost, or a film was another one.
    """
    with tempfile.TemporaryDirectory() as name:
        trial = Trial(make_book(Path(name) / "book"), random.Random(options.seed))
        print(f"\nA book of two films, built undisturbed in {trial.full_s:.1f} s", flush=True)
        trial.killed(options.kills)
        trial.damaged(options.damages)
        trial.on_full_disks()
        trial.two_at_once(options.pairs)
        for what in trial.amiss:
            print(f"  AMISS: {what}", flush=True)
        raise SystemExit(1 if trial.amiss else 0)


@dataclass
class Trial:
    """A book, what its files are when nothing disturbs its build, and what went amiss so far."""

    book: Path
    chance: random.Random
    amiss: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        begun = time.monotonic()
        self.finish("undisturbed")
        self.full_s = time.monotonic() - begun
        self.right = files_in(self.out)

    @property
    def out(self) -> Path:
        """Where the book's films are made."""
        return self.book / "out"

    def killed(self, times: int) -> None:
        """Kill builds: the whole family of processes at once, or the main one alone, whose workers must end too."""
        kills = finished = orphans = 0
        while kills < times:
            shutil.rmtree(self.out)
            while kills < times and (build := self.still_at_work()) is not None:
                alone = self.chance.random() < 0.5
                kill(build, alone)
                orphans += not ended(build)
                kills += 1
                if kills % TOLD_EVERY == 0:
                    self.row("killed so far", f"{kills} times")
            self.finish(f"killed {kills} times")
            finished += 1
            self.compare(f"after {kills} kills")
        if orphans:
            self.amiss.append(f"{orphans} builds left workers behind")
        self.row("killed at random", f"{kills} times, {finished} books finished")

    def damaged(self, entries: int) -> None:
        """Damage entries that films are put together from, a few a time, and take the films away."""
        done = told = 0
        used = self.used_again()
        while done < entries:
            chosen = self.chance.sample(used, min(5, entries - done))
            for number, path in enumerate(chosen, done):
                data = path.read_bytes()
                path.write_bytes(DAMAGES[number % len(DAMAGES)](data, self.chance.randrange(len(data))))
            said = self.again("some of its parts damaged").count(DAMAGED)
            if said != len(chosen):
                self.amiss.append(f"{len(chosen)} damaged, {said} told of")
            done, told = done + len(chosen), told + said
            self.compare(f"after {done} damaged entries")
        self.row("entries damaged", f"{done}, {told} told of")

    def again(self, state: str) -> str:
        """Build the films once more, from what is kept; what is said."""
        shutil.rmtree(self.out / "concert")
        shutil.rmtree(self.out / "e-flat")
        return self.finish(state)

    def used_again(self) -> list[Path]:
        """The entries that it takes to build the films once more; others, such as systems, are only painted from."""
        begun_s = time.time()
        self.again("undisturbed")
        entries = Store(self.out / STORE).entries()
        return sorted(entry.path for entry in entries if entry.used_s >= begun_s)

    def on_full_disks(self) -> None:
        """Build on disks that are too small, then make them larger and go on."""
        needed = sum(path.stat().st_size for path in self.out.rglob("*") if path.is_file())
        shutil.rmtree(self.out)
        told = 0
        for share in DISKS:
            with small_disk(self.out, round(share * needed)) as resized:
                if not resized:
                    self.row("full disks", "left out: mounting takes the rights of the superuser")
                    break
                ended_with, said = run(self.book)
                told += FULL in said
                if "Traceback" in said or (ended_with and FULL not in said):
                    self.amiss.append(f"on a disk of {share:.0%}: {ended_with}, {said}")
                resized(4 * needed)
                self.finish(f"full at {share:.0%}")
                self.compare(f"after a disk of {share:.0%} of what is needed")
        else:
            self.row("full disks", f"{len(DISKS)}, {told} told of")

    def two_at_once(self, times: int) -> None:
        """Two builds of the book, the second begun while the first is at work."""
        for _ in range(times):
            shutil.rmtree(self.out, ignore_errors=True)
            first = self.begun_and_waited(0.5 * self.full_s)
            second = begin(self.book)
            for build in (first, second):
                said = build.communicate()[0]
                if build.returncode:
                    self.amiss.append(f"one of two at once: {build.returncode}, {said}")
            self.compare("after two at once")
        self.row("two at once", f"{times} times")

    def begun_and_waited(self, most_s: float) -> subprocess.Popen[str]:
        """A build that has been at work for a while."""
        build = begin(self.book)
        with suppress(subprocess.TimeoutExpired):
            build.wait(self.chance.uniform(0.0, most_s))
        return build

    def still_at_work(self) -> subprocess.Popen[str] | None:
        """A build that has been at work for a while; None where it had ended by then, which must be well."""
        build = self.begun_and_waited(self.full_s)
        if build.poll() is None:
            return build
        said = build.communicate()[0]
        if build.returncode:
            self.amiss.append(f"not killed: {build.returncode}, {said}")
        return None

    def finish(self, after: str) -> str:
        """Build to the end; what it said."""
        ended_with, said = run(self.book)
        if ended_with or "Traceback" in said:
            self.amiss.append(f"{after}: {ended_with}, {said}")
        return said

    def compare(self, after: str) -> None:
        """Note where the files are not those of the undisturbed build."""
        if files_in(self.out) != self.right:
            self.amiss.append(f"{after} the files are other ones")
        if left := [path.name for path in self.out.rglob(".*.part")]:
            self.amiss.append(f"{after} there are {left}")

    def row(self, what: str, value: str) -> None:
        """Print how a part of the trial went."""
        print(f"  {what:24}  {value}; {len(self.amiss)} amiss so far", flush=True)


def files_in(out: Path) -> dict[str, str]:
    """The digests of the finished files, by name."""
    kept = {STORE, FITS, RECORDS}
    paths = (path for path in out.rglob("*") if path.is_file() and path.relative_to(out).parts[0] not in kept)
    return {str(path.relative_to(out)): file_digest(path) for path in paths if path.suffix != ".log"}


def begin(book: Path) -> subprocess.Popen[str]:
    """A build, begun."""
    return subprocess.Popen(
        [sys.executable, "-m", "lessonmaker", "build", str(book)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=REPOSITORY,
        start_new_session=True,
    )


def run(book: Path) -> tuple[int, str]:
    """How a build ended, and what it said."""
    build = begin(book)
    said = build.communicate()[0]
    return build.returncode, said


def kill(build: subprocess.Popen[str], alone: bool) -> None:
    """Kill a build's main process, alone or with its workers."""
    (os.kill if alone else os.killpg)(build.pid, signal.SIGKILL)
    build.wait()
    if build.stdout:
        build.stdout.close()


def ended(build: subprocess.Popen[str]) -> bool:
    """Whether the family of a build's processes ends in time."""
    until = time.monotonic() + ENDS_WITHIN_S
    while time.monotonic() < until:
        try:
            os.killpg(build.pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    os.killpg(build.pid, signal.SIGKILL)
    return False


def flipped(data: bytes, at: int) -> bytes:
    """One bit the other way."""
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


DAMAGES: tuple[Callable[[bytes, int], bytes], ...] = (
    flipped,
    lambda data, at: data[:at],
    lambda _data, _at: b"",
    lambda data, _at: bytes(len(data)),
    lambda data, at: data + data[at:],
)


@contextmanager
def small_disk(folder: Path, size: int) -> Iterator[Callable[[int], None] | None]:
    """A disk of so many bytes at a folder, and what makes it another size; None where it cannot be mounted."""
    folder.mkdir()
    if mount("-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)):
        yield None
        return
    try:
        yield lambda wanted: resize(folder, wanted)
    finally:
        subprocess.run(["umount", str(folder)], check=True)
        folder.rmdir()


def resize(folder: Path, size: int) -> None:
    """Make a mounted disk another size."""
    if mount("-o", f"remount,size={size}", str(folder)):
        raise SystemExit("the small disk cannot be made larger")


def mount(*words: str) -> int:
    """How the system's command for it ended."""
    return subprocess.run(["mount", *words], capture_output=True, check=False).returncode
