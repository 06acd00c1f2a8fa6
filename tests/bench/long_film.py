"""A long film from its sound to its lit bars: `python -m tests.bench long-film`.

A piece at random is played from its first bar to its last, and a small film made of that, whose picture shows its own
clock. The whole command runs in a process of its own; the bars that it lights are held against when they were played.
"""

from __future__ import annotations

import argparse
import csv
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

import numpy as np
import numpy.typing as npt

from tests.tools.clock_film import make_film
from tests.tools.scored_takes import Case, make_case

__all__ = ["add_long_options", "print_long"]

SIZE, RATE, SQUARE = (320, 180), Fraction(25), 8
PROBE_BARS = 24
AT_EACH_PLACE = 50  # bars
COMMAND = (
    "import sys; from lessonmaker.cli import main; from tests.bench.memory import most_held; "
    "status = main(sys.argv[1:]); print(most_held() / 1e6); sys.exit(status)"
)


def add_long_options(parser: argparse.ArgumentParser) -> None:
    """The options of this table."""
    parser.add_argument("--minutes", type=float, default=50, help="how long the film is, about")
    parser.add_argument("--kind", default="solo", help="the kind of take, as in the table alignment")
    parser.add_argument("--seed", type=int, default=5, help="tells one piece and its player from another")


def print_long(options: argparse.Namespace) -> None:
    """Print the table."""
    short = make_case(options.kind, options.seed, bars=PROBE_BARS)
    case = make_case(options.kind, options.seed, bars=round(PROBE_BARS * 60 * options.minutes / short.end_s))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        start = time.perf_counter()
        megabytes = overlaid(case, folder)
        took_s = time.perf_counter() - start
        print(f"\nA film of {case.audio.seconds / 60:.1f} minutes, {len(case.bars)} bars, {options.kind}")
        print(f"  made in {took_s:.0f} s, {case.audio.seconds / took_s:.1f} x real time; {megabytes:.0f} MB")
        print_errors(late_ms(case, folder / "made.bars.csv"))


def overlaid(case: Case, folder: Path) -> float:
    """Make the film and lay the score over it; the most memory that took, in megabytes."""
    score, film = folder / "score.musicxml", folder / "film.mp4"
    score.write_text(case.xml, encoding="utf-8")
    times = [number / RATE for number in range(int(case.audio.seconds * RATE))]
    make_film(film, times, SIZE, sound=case.audio.samples, rate=case.audio.rate, square=SQUARE)
    line = [
        sys.executable,
        "-c",
        COMMAND,
        "overlay",
        str(film),
        str(score),
        "--output",
        str(folder / "made.mp4"),
    ]
    said = subprocess.run(line, check=True, capture_output=True, text=True).stdout
    return float(said.splitlines()[-1])


def late_ms(case: Case, table: Path) -> npt.NDArray[np.float64]:
    """How late each bar (bars,) is lit, in milliseconds."""
    with table.open(encoding="utf-8") as file:
        found = [float(row["start_s"]) for row in csv.DictReader(file)]
    return (np.array(found) - [bar.time_s for bar in case.bars]) * 1000


def print_errors(late: npt.NDArray[np.float64]) -> None:
    """A row for the start, the middle and the end of the film, and for all of it."""
    middle = (len(late) - AT_EACH_PLACE) // 2
    places = {
        "start": late[:AT_EACH_PLACE],
        "middle": late[middle : middle + AT_EACH_PLACE],
        "end": late[-AT_EACH_PLACE:],
        "all": late,
    }
    for where, some in places.items():
        within = np.mean(np.abs(some) <= 1000 / RATE)
        print(
            f"  {where:8} median {np.median(some):5.1f} ms   worst {np.abs(some).max():5.1f} ms   "
            f"within a frame {within:.1%}"
        )
