"""What made a command fail, as a fault with what to do about it."""

from __future__ import annotations

import errno
import tempfile
import traceback
from concurrent.futures import BrokenExecutor
from pathlib import Path

from lessonmaker.faults import Fault, LessonmakerError, MaterialError, Place

__all__ = ["failure_of"]

CAIRO = Fault(
    "the cairo library is not installed",
    "install it: `apt install libcairo2` on Debian and Ubuntu, `dnf install cairo` on Fedora, "
    "`brew install cairo` on macOS, the GTK runtime on Windows",
)
LOST_WORKER = Fault(
    "processes that make films were ended from outside, three times for one part",
    "see whether memory ran out, and build again; what was finished before is whole",
)
NO_MEMORY = Fault("memory ran out", "close other programs, and try again; what was finished before is whole")
SYSTEM_FAULTS = {
    errno.ENOSPC: ("the disk is full", "free some space and build again; what was finished before is whole"),
    errno.EDQUOT: ("your share of the disk is full", "free some space and build again"),
    errno.EACCES: (
        "this may not be read or written",
        "give yourself the right to it, or choose another place",
    ),
    errno.EROFS: ("this disk can only be read", "choose another output folder"),
    errno.ENOTDIR: ("a file stands where a folder is needed", "move it away, or choose another place"),
    errno.EEXIST: ("something of that name is there already", "move it away, or choose another place"),
    errno.ENOTEMPTY: ("something of that name is there already", "move it away, or choose another place"),
    errno.EISDIR: ("a folder stands where a file is needed", "move it away, or choose another place"),
    errno.ENOENT: ("there is no such file or folder", "look at the path"),
}


def failure_of(error: Exception) -> LessonmakerError:
    """The failure to report for whatever a command raised."""
    if isinstance(error, LessonmakerError):
        return error
    if isinstance(error, BrokenExecutor):
        return MaterialError(LOST_WORKER)
    if isinstance(error, MemoryError):
        return MaterialError(NO_MEMORY)
    if isinstance(error, OSError):
        return MaterialError(system_fault(error))
    return MaterialError(own_fault(error))


def system_fault(error: OSError) -> Fault:
    """What the operating system refused."""
    if error.errno is None and "cairo" in str(error):
        return CAIRO
    what, todo = SYSTEM_FAULTS.get(
        error.errno or 0, (error.strerror or str(error), "see to it and try again")
    )
    name = error.filename2 or error.filename
    return Fault(what, todo, Place(Path(name)) if isinstance(name, str) else Place())


def own_fault(error: Exception) -> Fault:
    """A mistake in lessonmaker: the message stays short, the particulars go to a file."""
    with tempfile.NamedTemporaryFile(
        "w", prefix="lessonmaker-failure-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        traceback.print_exception(error, file=file)
    what = f"lessonmaker itself failed ({type(error).__name__}: {error})".replace("\n", " ")
    return Fault(what, f"please report it together with {file.name}")
