"""The command line: parse, call, report. Each command's work is imported only when it runs."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from concurrent.futures import BrokenExecutor

from lessonmaker.cli.parser import parse
from lessonmaker.cli.report import report_failure
from lessonmaker.faults import Fault, LessonmakerError, MaterialError

__all__ = ["main"]

INTERRUPTED = 130
LOST_WORKER = MaterialError(
    Fault(
        "a process that encodes pictures was ended from outside",
        "see whether memory ran out, and build again",
    )
)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Returns:
        The exit status: 0 on success, 1 on a fault in the user's material, 2 on wrong usage, 130 when interrupted.
    """
    arguments = parse(argv)
    try:
        return int(arguments.run(arguments))
    except LessonmakerError as error:
        report_failure(error, arguments.json)
        return error.exit_status
    except BrokenExecutor:
        report_failure(LOST_WORKER, arguments.json)
        return 1
    except OSError as error:
        report_failure(system_fault(error), arguments.json)
        return 1
    except KeyboardInterrupt:
        print("Stopped. What was finished before is whole.", file=sys.stderr)
        return INTERRUPTED


def system_fault(error: OSError) -> LessonmakerError:
    """What the operating system refused, as a fault of the material."""
    from lessonmaker.cli.report import fault_of_system

    return fault_of_system(error)
