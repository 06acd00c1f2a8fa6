"""python -m tests.bench.fit_peak SCORE TAKE: what a process holds that reads both, fits them and does nothing else."""

from __future__ import annotations

import sys
from pathlib import Path

from lessonmaker.score.read import read_score
from lessonmaker.sound.align import fit_take
from lessonmaker.sound.read import read_audio
from tests.bench.memory import most_held

MEGABYTE = 1e6


def main() -> None:
    """Print the most memory held, and before the take was read."""
    score = read_score(Path(sys.argv[1]))
    before = most_held() / MEGABYTE
    accepted = fit_take(score, read_audio(Path(sys.argv[2]))).accepted
    said = "accepted" if accepted else "refused"
    print(f"{most_held() / MEGABYTE:4.0f} MB, {before:.0f} MB before it reads the take; {said}")


if __name__ == "__main__":
    main()
