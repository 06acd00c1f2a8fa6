"""What a worker holds in memory, asked in the worker itself."""

from __future__ import annotations

from fractions import Fraction

from lessonmaker.picture.painter import Painter
from lessonmaker.video.encode import Format, Run, encode_run
from tests.bench.memory import most_held

__all__ = ["peak_megabytes"]


def peak_megabytes(painter: Painter, rate: Fraction, frames: int) -> float:
    """The most memory this process has held after encoding the first frames of a film."""
    encode_run(painter, Format(*painter.size, rate), Run(0, frames))
    return most_held() / 1e6
