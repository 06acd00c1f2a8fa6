"""Faults in the user's material: how they are placed, said, collected and raised.

A `Fault` is one message with a place and what to do about it. Every expected failure is a
`MaterialError` (exit status 1) or a `UsageError` (exit status 2); the command line turns either
into short messages. Nothing else may reach the user as a traceback.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

__all__ = ["Fault", "LessonmakerError", "MaterialError", "Place", "UsageError", "nearest", "nearest_file"]


@dataclass(frozen=True)
class Place:
    """Where something stands: a file, and a line and column in it, both counted from 1."""

    path: Path | None = None
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        parts = [str(part) for part in (self.path, self.line, self.column) if part is not None]
        return ":".join(parts)


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong (or, as a remark, noteworthy): what, where, and what to do."""

    what: str
    todo: str = ""
    place: Place = field(default_factory=Place)

    def __str__(self) -> str:
        where = f"{self.place}: " if str(self.place) else ""
        return f"{where}{self.what}" + (f"; {self.todo}" if self.todo else "")


class LessonmakerError(Exception):
    """The base of every failure that is the user's to mend."""

    exit_status = 1


class MaterialError(LessonmakerError):
    """Something in the user's material is wrong: one fault or many."""

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[MaterialError], tuple[tuple[Fault, ...]]]:
        """Keep the faults when the error comes back from a worker process."""
        return type(self), (self.faults,)


class UsageError(LessonmakerError):
    """The command was called wrongly."""

    exit_status = 2


def nearest(name: str, known: Iterable[str]) -> str:
    """The nearest known name, as a question to be added to what is wrong; nothing where none is near."""
    found = get_close_matches(name, list(known), 1)
    return f" (did you mean {found[0]!r}?)" if found else ""


def nearest_file(path: Path) -> str:
    """The nearest name of a file of its kind in the folder where one is not, as a question; nothing where none is."""
    with suppress(OSError):
        files = (one for one in path.parent.iterdir() if one.suffix == path.suffix and one.is_file())
        return nearest(path.name, sorted(one.name for one in files))
    return ""
