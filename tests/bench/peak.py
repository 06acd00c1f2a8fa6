"""What a worker holds in memory, asked in the worker itself."""

from __future__ import annotations

import resource
import sys
from fractions import Fraction
from pathlib import Path

from lessonmaker.picture.painter import Painter
from lessonmaker.video.encode import Format, Run, encode_run

__all__ = ["peak_megabytes"]

KIBIBYTE = 1024


def peak_megabytes(painter: Painter, rate: Fraction, frames: int) -> float:
    """The most memory this process has held after encoding the first frames of a film."""
    encode_run(painter, Format(*painter.size, rate), Run(0, frames))
    return most_held() / 1e6


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
