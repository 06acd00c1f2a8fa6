"""`check`: read everything, report every fault; on request listen to the recordings, or say what is to be recorded."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from lessonmaker.build.check import check_order
from lessonmaker.build.order import Order, find_order
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.script.model import CheckedLesson

if TYPE_CHECKING:
    from lessonmaker.build.to_record import Recorded

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Check the lessons asked for; every lesson's faults are raised together."""
    order = find_order(arguments.lessons)
    checked = check_order(order)
    heard = listened(order, checked) if arguments.listen or arguments.to_record else ()
    remarks = [remark for lesson in checked for remark in lesson.remarks]
    remarks += [remark for lesson in heard for remark in lesson.remarks]
    if arguments.listen:
        remarks += [one.remark for lesson in heard for one in lesson.misreadings]
    if arguments.json:
        said = {"faults": [], "remarks": [fault_json(remark) for remark in remarks]}
        print_json(said | (recordings_json(heard) if heard else {}))
        return 0
    print_remarks(remarks)
    if arguments.to_record:
        from lessonmaker.cli.readingsheet import sheet_lines

        print("\n".join(sheet_lines(heard)))
        return 0
    for lesson in checked:
        print(f"{lesson.lesson.path}: {lesson.lesson.title}: {cues(len(lesson.cues))}, no faults")
    return 0


def listened(order: Order, checked: Sequence[CheckedLesson]) -> tuple[Recorded, ...]:
    """How far each lesson is recorded."""
    from lessonmaker.build.progress import Progress
    from lessonmaker.build.to_record import recorded  # takes a second to import, for recordings only

    return tuple(recorded(order, checked, Progress().listening))


def recordings_json(heard: Sequence[Recorded]) -> dict[str, Any]:
    """How far the lessons are recorded, as plain data."""
    from lessonmaker.cli.readingsheet import misreading_json, to_record_json

    return {
        "to_record": [one for lesson in heard for one in to_record_json(lesson)],
        "misreadings": [misreading_json(one) for lesson in heard for one in lesson.misreadings],
        "estimated_seconds": round(sum(lesson.seconds for lesson in heard), 1),
    }


def cues(count: int) -> str:
    """A number of cues in words."""
    return "1 cue" if count == 1 else f"{count} cues"
