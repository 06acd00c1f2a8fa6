"""`analyse`: what each note is to its chord."""

from __future__ import annotations

import argparse

from lessonmaker.analysis.report import analysis_json, report_text
from lessonmaker.analysis.whole import analyse
from lessonmaker.build.order import interval_of
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.score.read import read_score

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Analyse a score and print the findings."""
    score = read_score(arguments.score, arguments.part, interval_of(arguments.written_for))
    analysis = analyse(score)
    if arguments.json:
        remarks = [fault_json(remark) for remark in score.remarks]
        print_json(analysis_json(score, analysis) | {"remarks": remarks})
    else:
        print_remarks(score.remarks)
        print(report_text(score, analysis))
    return 0
