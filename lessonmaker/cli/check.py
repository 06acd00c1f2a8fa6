"""`check`: read everything, report every fault."""

from __future__ import annotations

import argparse

from lessonmaker.build.check import check_order
from lessonmaker.build.order import find_order
from lessonmaker.cli.report import fault_json, print_json, print_remarks

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Check the lessons asked for; every lesson's faults are raised together."""
    order = find_order(arguments.lessons)
    checked = check_order(order)
    remarks = tuple(remark for lesson in checked for remark in lesson.remarks)
    if arguments.json:
        print_json({"faults": [], "remarks": [fault_json(remark) for remark in remarks]})
        return 0
    print_remarks(remarks)
    for lesson in checked:
        print(f"{lesson.lesson.path}: {lesson.lesson.title}: {cues(len(lesson.cues))}, no faults")
    return 0


def cues(count: int) -> str:
    """A number of cues in words."""
    return "1 cue" if count == 1 else f"{count} cues"
