"""Files and folders that are whole or not there, and the digest of what a file holds."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from platform import node

__all__ = ["file_digest", "finished_file", "finished_folder", "remove_abandoned"]

ENDING = ".part"
OWNER = re.compile(rf"\.(?P<host>[0-9a-f]{{8}})-(?P<process>\d+){re.escape(ENDING)}$")


def file_digest(path: Path) -> str:
    """The SHA-256 digest of a file's bytes, in hexadecimal.

    Raises:
        OSError: it cannot be read.
    """
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


@contextmanager
def finished_file(path: Path, durable: bool = True) -> Iterator[Path]:
    """A temporary name beside `path`, renamed to it on success and removed on any failure.

    Args:
        path: the file to write; its folder exists.
        durable: whether its bytes reach the disk before its name does, so that a power cut leaves no empty file.
    """
    fragment = fragment_of(path)
    try:
        yield fragment
        if durable:
            flush_to_disk(fragment)
        fragment.replace(path)
    finally:
        fragment.unlink(missing_ok=True)


@contextmanager
def finished_folder(path: Path) -> Iterator[Path]:
    """A new folder beside `path`, renamed to it on success and removed with all it holds on any failure.

    Args:
        path: the folder to make; the one it lies in exists.

    Raises:
        OSError: there is a folder of that name that holds something, or it cannot be written.
    """
    fragment = fragment_of(path)
    fragment.mkdir()
    try:
        yield fragment
        for file in fragment.rglob("*"):
            if file.is_file():
                flush_to_disk(file)
        fragment.replace(path)
    finally:
        shutil.rmtree(fragment, ignore_errors=True)


def fragment_of(path: Path) -> Path:
    """The temporary name of what is being written: it tells whose it is."""
    return path.with_name(f".{path.name}.{host()}-{os.getpid()}{ENDING}")


def flush_to_disk(path: Path) -> None:
    """Have the system write a file's bytes out."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def host() -> str:
    """This machine in eight characters: folders may be shared between several."""
    return f"{zlib.crc32(node().encode()):08x}"


def remove_abandoned(folder: Path) -> int:
    """Remove the fragments in a folder and below it whose process on this machine has ended.

    Returns:
        The bytes that were freed.
    """
    freed = 0
    for path in sorted(folder.rglob(f".*{ENDING}")):
        owner = OWNER.search(path.name)
        if owner is None or (owner["host"] == host() and not is_running(int(owner["process"]))):
            freed += remove(path)
    return freed


def remove(path: Path) -> int:
    """Remove a file, or a folder with all it holds; the bytes that were in it.

    One that somebody else has removed meanwhile is none.
    """
    try:
        inside = path.rglob("*") if path.is_dir() else (path,)
        size = sum(file.stat().st_size for file in inside if file.is_file())
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()
    except FileNotFoundError:
        return 0
    return size


def is_running(process: int) -> bool:
    """Whether a process of this number is there; where the system does not tell without touching it, it may be."""
    if os.name == "nt":  # signal 0 is Ctrl-C there
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
