"""How commands speak: faults and remarks for people on standard error, or JSON on standard output."""

from __future__ import annotations

import errno
import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from lessonmaker.faults import Fault, LessonmakerError, MaterialError, Place

__all__ = ["fault_json", "fault_of_system", "print_json", "print_remarks", "report_failure"]

CAIRO_TODO = (
    "install it: `apt install libcairo2` on Debian and Ubuntu, `dnf install cairo` on Fedora, "
    "`brew install cairo` on macOS, the GTK runtime on Windows"
)
SYSTEM_FAULTS = {
    errno.ENOSPC: ("the disk is full", "free some space and build again; what was finished before is whole"),
    errno.EACCES: (
        "this may not be read or written",
        "give yourself the right to it, or choose another place",
    ),
    errno.EROFS: ("this disk can only be read", "choose another output folder"),
    errno.ENOTDIR: ("a file stands where a folder is needed", "move it away, or choose another place"),
    errno.EEXIST: ("something of that name is there already", "move it away, or choose another place"),
    errno.EISDIR: ("a folder stands where a file is needed", "name a file"),
    errno.ENOENT: ("there is no such file or folder", "look at the path"),
}


def fault_of_system(error: OSError) -> MaterialError:
    """What the operating system refused, with what to do about it."""
    if "cairo" in str(error) and error.errno is None:
        return MaterialError(Fault("the cairo library is not installed", CAIRO_TODO))
    what, todo = SYSTEM_FAULTS.get(
        error.errno or 0, (error.strerror or str(error), "see to it and try again")
    )
    place = Place(Path(error.filename)) if isinstance(error.filename, str) else Place()
    return MaterialError(Fault(what, todo, place))


def report_failure(error: LessonmakerError, as_json: bool) -> None:
    """Say why a command failed."""
    faults = error.faults if isinstance(error, MaterialError) else (Fault(str(error)),)
    if as_json:
        print_json({"faults": [fault_json(fault) for fault in faults]})
        return
    for fault in faults:
        print(fault, file=sys.stderr)


def print_remarks(remarks: Iterable[Fault]) -> None:
    """Say what is noteworthy but no fault."""
    for remark in remarks:
        print(f"remark: {remark}", file=sys.stderr)


def fault_json(fault: Fault) -> dict[str, Any]:
    """A fault or remark as plain data."""
    place = fault.place
    return {
        "file": str(place.path) if place.path else None,
        "line": place.line,
        "column": place.column,
        "what": fault.what,
        "todo": fault.todo,
    }


def print_json(data: Any) -> None:
    """Print plain data as JSON."""
    json.dump(data, sys.stdout, ensure_ascii=False, indent=2)
    sys.stdout.write("\n")
