"""`check`: read everything, report every fault."""

from __future__ import annotations

import argparse
from pathlib import Path

from lessonmaker.build.check import check_one
from lessonmaker.build.order import Order, find_order
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.faults import Fault, MaterialError
from lessonmaker.script.model import CheckedLesson

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Check the lessons asked for; every lesson's faults are raised together."""
    order = find_order(arguments.lessons)
    checked = check_all(order)
    remarks = tuple(remark for lesson in checked for remark in lesson.remarks)
    if arguments.json:
        print_json({"faults": [], "remarks": [fault_json(remark) for remark in remarks]})
        return 0
    print_remarks(remarks)
    for lesson in checked:
        print(f"{lesson.lesson.path}: {lesson.lesson.title}: {len(lesson.cues)} cues, no faults")
    return 0


def check_all(order: Order) -> list[CheckedLesson]:
    """Every lesson of an order, checked.

    Raises:
        MaterialError: the faults of all of them.
    """
    faults: list[Fault] = []
    checked: list[CheckedLesson] = []
    for path in order.lessons:
        try:
            checked.append(check_one(Path(path), order.book, order.editions))
        except MaterialError as error:
            faults.extend(error.faults)
    if faults:
        raise MaterialError(faults)
    return checked
