"""Files that are whole or not there, and the digest of what a file holds."""

from __future__ import annotations

import hashlib
import os
import re
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from platform import node

__all__ = ["file_digest", "finished_file", "remove_abandoned"]

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
    fragment = path.with_name(f".{path.name}.{host()}-{os.getpid()}{ENDING}")
    try:
        yield fragment
        if durable:
            flush_to_disk(fragment)
        fragment.replace(path)
    finally:
        fragment.unlink(missing_ok=True)


def flush_to_disk(path: Path) -> None:
    """Have the system write a file's bytes out."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def host() -> str:
    """This machine in eight characters: folders may be shared between several."""
    return f"{zlib.crc32(node().encode()):08x}"


def remove_abandoned(folder: Path) -> None:
    """Remove the fragments in a folder and below it whose process on this machine has ended."""
    for path in folder.rglob(f".*{ENDING}"):
        owner = OWNER.search(path.name)
        if owner is None or (owner["host"] == host() and not is_running(int(owner["process"]))):
            path.unlink(missing_ok=True)


def is_running(process: int) -> bool:
    """Whether a process of this number is there."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
