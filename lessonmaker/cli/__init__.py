"""The command line: parse, call, report. Each command's work is imported only when it runs."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import NoReturn

from lessonmaker.cli.parser import parse

__all__ = ["main", "program"]

FAILED = 1
INTERRUPTED = 130


def program() -> NoReturn:
    """Run the command that this process was started for, and end the process with its status."""
    status = main()
    if status == INTERRUPTED:
        with suppress(OSError):
            sys.stdout.flush()
        # Nothing is left to be done, and to take down all that is imported may take a second.
        os._exit(status)
    sys.exit(status)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Returns:
        The exit status: 0 on success, 1 on a fault in the user's material, 2 on wrong usage, 130 when interrupted.
    """
    print_any_character()
    try:
        status = run(parse(argv))
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("Stopped. What was finished before is whole.", file=sys.stderr)
        return INTERRUPTED
    except OSError as error:
        give_up_output(error)
        return FAILED
    return status


def give_up_output(error: OSError) -> None:
    """Standard output takes no more; nothing is wrong where only its reader has seen enough, as `head` does."""
    if not isinstance(error, BrokenPipeError):
        print(f"standard output: {error.strerror}", file=sys.stderr)
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def print_any_character() -> None:
    """Let a terminal that has no flat sign show its number instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


def run(arguments: argparse.Namespace) -> int:
    """Run a parsed command; whatever fails is said in one place.

    Raises:
        BrokenPipeError: nobody reads standard output any more.
        KeyboardInterrupt: the user stopped it.
    """
    try:
        return int(arguments.run(arguments))
    except BrokenPipeError:
        raise
    except Exception as error:
        from lessonmaker.cli.failure import failure_of
        from lessonmaker.cli.report import report_failure

        failure = failure_of(error)
        report_failure(failure, arguments.json)
        return failure.exit_status
