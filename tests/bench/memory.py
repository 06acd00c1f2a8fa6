"""The most memory that a process has held."""

from __future__ import annotations

import resource
import sys
from pathlib import Path

__all__ = ["most_held"]

KIBIBYTE = 1024


def most_held() -> int:
    """The most bytes this process has held.

    Linux is asked for the high-water mark of the program's own memory (proc(5), VmHWM): what getrusage says
    there includes the parent's, from before the program was started.
    """
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM:"))
        return int(line.split()[1]) * KIBIBYTE
    unit = 1 if sys.platform == "darwin" else KIBIBYTE
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit
