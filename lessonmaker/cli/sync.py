"""`sync`: fit a take to its score."""

from __future__ import annotations

import argparse

from lessonmaker.build.lesson import fit_lesson
from lessonmaker.build.order import interval_of
from lessonmaker.build.progress import Progress
from lessonmaker.cli.report import print_json
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.sound.fitfile import fit_json
from lessonmaker.sound.model import Fit

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Fit the take; status 1 where it is refused."""
    score = read_score(arguments.score, arguments.part, interval_of(arguments.written_for))
    Progress().step(f"{arguments.take.name}: fitting to {arguments.score.name}")
    fit = fit_lesson(score, arguments.take)
    if arguments.json:
        print_json(fit_json(score, fit))
    else:
        print(summary(score, fit))
    return 0 if fit.accepted else 1


def summary(score: Score, fit: Fit) -> str:
    """The fit for people: the verdict, then where each bar starts."""
    if not fit.accepted:
        return f"Refused: this recording does not seem to be of the score (confidence {fit.confidence:.0%})."
    lines = [f"Accepted, confidence {fit.confidence:.0%}; swing {fit.swing:.2f}:1. Bars start at (seconds):"]
    for bar in fit.bars:
        again = f" (time {bar.visit})" if bar.visit > 1 else ""
        lines.append(f"  bar {score.bars[bar.bar].number:>3} {bar.time_s:8.2f}{again}")
    return "\n".join(lines)
