"""Faults in the user's material: how they are placed, said, collected and raised.

A `Fault` is one message with a place and what to do about it. Every expected failure is a
`MaterialError` (exit status 1) or a `UsageError` (exit status 2); the command line turns either
into short messages. Nothing else may reach the user as a traceback.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["Fault", "LessonmakerError", "MaterialError", "Place", "UsageError"]


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
