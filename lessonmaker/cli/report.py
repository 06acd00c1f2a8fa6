"""How commands speak: faults and remarks for people on standard error, or JSON on standard output."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from lessonmaker.faults import Fault, LessonmakerError, MaterialError

if TYPE_CHECKING:
    from lessonmaker.score.edition import Decision, Edition

__all__ = [
    "decisions_json",
    "fault_json",
    "print_decisions",
    "print_json",
    "print_json_line",
    "print_remarks",
    "report_failure",
    "size_text",
]

UNITS = ((10**12, "TB"), (10**9, "GB"), (10**6, "MB"), (10**3, "kB"))


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


def print_decisions(name: str, edition: Edition, decisions: Iterable[Decision]) -> None:
    """Say what the copyist decided for a film's edition."""
    for decision in decisions:
        print(f"remark: {name}, {edition.label}: {bars_of(decision)}: {decision.text}", file=sys.stderr)


def bars_of(decision: Decision) -> str:
    """The bars of a decision, in words."""
    return f"bar {decision.bars}" if decision.bars.isdecimal() else f"bars {decision.bars}"


def decisions_json(decisions: Iterable[Decision]) -> list[dict[str, Any]]:
    """What the copyist decided, as plain data."""
    return [
        {"kind": one.kind, "bars": one.bars, "notes": list(one.notes), "text": one.text} for one in decisions
    ]


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


def print_json_line(data: Any) -> None:
    """Print plain data as one line of JSON, at once."""
    print(json.dumps(data, ensure_ascii=not prints_unicode()), flush=True)


def size_text(size: int) -> str:
    """A size in bytes, in the decimal unit (SI) that suits it."""
    unit, name = next(((unit, name) for unit, name in UNITS if size >= unit), (1, "bytes"))
    return f"{size / unit:.{1 if unit > 1 else 0}f} {name}"


def prints_unicode() -> bool:
    """Whether standard output has any character."""
    return (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"


def print_json(data: Any) -> None:
    """Print plain data as JSON, in characters that standard output has."""
    json.dump(data, sys.stdout, ensure_ascii=not prints_unicode(), indent=2)
    sys.stdout.write("\n")
