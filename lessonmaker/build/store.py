"""The store of finished parts: each under the digest of all that it was made from.

An entry is a file of its own, led by the digest of what it holds. It is written under a temporary name and then
renamed; one that is damaged all the same (a power cut, a bad disk) is found by its digest, told once, and made again.
A store that cannot be written to is told once too, and work goes on without it.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from lessonmaker.faults import Fault, Place
from lessonmaker.files import finished_file

__all__ = ["FOLDER", "Entry", "Store"]

FOLDER = "store"
ENDING = ".kept"
DIGEST_BYTES = 32


@dataclass(frozen=True)
class Entry:
    """A part that is kept: its file, its size in bytes, and when it was last used, in seconds since 1970."""

    path: Path
    size: int
    used_s: float


@dataclass
class Store:
    """Finished parts in a folder that is made when it is needed; `remarks` is what is to be said of it."""

    folder: Path
    remarks: list[Fault] = field(default_factory=list)
    writable: bool = True

    def path(self, key: str) -> Path:
        """Where a part is kept."""
        return self.folder / key[:2] / f"{key[2:]}{ENDING}"

    def holds(self, key: str) -> bool:
        """Whether there is an entry, damaged or not."""
        return self.path(key).is_file()

    def get(self, key: str) -> bytes | None:
        """A part, or None where it is not kept or its entry is damaged; it counts as used now."""
        path = self.path(key)
        try:
            data = path.read_bytes()
        except FileNotFoundError:
            return None
        except OSError as error:
            self.remarks.append(
                Fault(f"a kept part cannot be read ({error.strerror})", MADE_ANEW, Place(path))
            )
            return None
        if hashlib.sha256(data[DIGEST_BYTES:]).digest() != data[:DIGEST_BYTES]:
            path.unlink(missing_ok=True)
            self.remarks.append(Fault("a kept part is damaged", MADE_ANEW, Place(path)))
            return None
        with suppress(FileNotFoundError):  # it may be cleaned away meanwhile
            os.utime(path)
        return data[DIGEST_BYTES:]

    def put(self, key: str, data: bytes) -> bool:
        """Keep a part, whole or not at all.

        Returns:
            Whether it is kept.
        """
        if not self.writable:
            return False
        path = self.path(key)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            with finished_file(path, durable=False) as fragment:
                fragment.write_bytes(hashlib.sha256(data).digest() + data)
        except OSError as error:
            self.writable = False
            what = f"finished parts cannot be kept ({error.strerror})"
            self.remarks.append(
                Fault(what, "see to it, or the next build makes them again", Place(self.folder))
            )
        return self.writable

    def drop(self, key: str) -> None:
        """Keep a part no longer."""
        self.path(key).unlink(missing_ok=True)

    def entries(self) -> Iterator[Entry]:
        """All that is kept."""
        for path in self.folder.glob(f"??/*{ENDING}"):
            try:
                status = path.stat()
            except FileNotFoundError:
                continue
            yield Entry(path, status.st_size, status.st_mtime)

    def clean(self, most_bytes: int) -> int:
        """Drop what was used longest ago until no more than `most_bytes` are kept.

        Returns:
            The bytes that were freed.
        """
        kept = sorted(self.entries(), key=lambda entry: entry.used_s)
        size = sum(entry.size for entry in kept)
        freed = 0
        for entry in kept:
            if size - freed <= most_bytes:
                break
            entry.path.unlink(missing_ok=True)
            freed += entry.size
        return freed


MADE_ANEW = "it is made anew"
