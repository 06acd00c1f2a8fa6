"""`check`: read everything, report every fault; explain what was understood; listen; say what is to be recorded."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from itertools import product
from typing import TYPE_CHECKING, Any

from lessonmaker.build.check import OneExamined, examine_order, faults_of, unused_look
from lessonmaker.build.order import Order, find_order
from lessonmaker.cli.explain import explained, mention_json, question_json, questions
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.faults import Fault, MaterialError
from lessonmaker.script.model import CheckedLesson

if TYPE_CHECKING:
    from lessonmaker.build.to_record import Recorded

__all__ = ["run"]

FEW_SIGNS = 2  # things to be shown by one cue that have room in any case


def run(arguments: argparse.Namespace) -> int:
    """Check the lessons asked for; every lesson's faults are reported together."""
    order = find_order(arguments.lessons)
    examined = examine_order(order)
    faults = faults_of(order, examined)
    checked = tuple(one.checked for one in examined if one.checked is not None)
    if arguments.explain and not arguments.json:
        print("\n\n".join(explained(lesson) for lesson in checked))
    if faults and not arguments.json:
        print_remarks([remark for lesson in checked for remark in lesson.remarks])
        raise MaterialError(faults)
    listens = (arguments.listen or arguments.to_record) and not faults
    spoken = [
        lesson for lesson in checked if lesson.lesson.path in order.lessons
    ]  # what a film tells is read
    heard = listened(order, spoken) if listens else ()
    remarks = [remark for lesson in checked for remark in lesson.remarks]
    remarks += [] if faults else remarks_on_look(order, checked)
    remarks += [remark for lesson in heard for remark in lesson.remarks]
    remarks += [] if faults else remarks_on_signs(order, checked)
    if arguments.listen:
        remarks += [one.remark for lesson in heard for one in lesson.misreadings]
    if arguments.json:
        print_json(as_json(examined, faults, remarks) | (recordings_json(heard) if heard else {}))
        return 1 if faults else 0
    print_remarks(remarks)
    if arguments.to_record:
        from lessonmaker.cli.readingsheet import sheet_lines

        print("\n".join(sheet_lines(heard)))
    elif not arguments.explain:
        for lesson in checked:
            print(f"{lesson.lesson.path}: {lesson.lesson.title}: {cues(len(lesson.cues))}, no faults")
        for overlay in order.overlays:
            print(f"{overlay.film}: {overlay.name}: a film, no faults")
    return 0


def remarks_on_look(order: Order, checked: Sequence[CheckedLesson]) -> list[Fault]:
    """What is noteworthy of the book's own look, and what does not fit into it."""
    if order.book.look is None:
        return unused_look(order.book)
    from lessonmaker.build import book_look  # half a second to import, for books that have one

    return list(book_look.remarks_on_look(order, checked))


def remarks_on_signs(order: Order, checked: Sequence[CheckedLesson]) -> list[Fault]:
    """Which signs a page has no room for, of the lessons that ask for many."""
    lessons = [lesson for lesson in checked if shows_signs(lesson)]
    if not lessons:
        return []
    from lessonmaker.build.book_look import in_shape, look_of  # half a second to import, for signs only
    from lessonmaker.build.crowded import crowded

    look = look_of(order.book).look
    return [
        fault
        for lesson, book in product(lessons, order.book.in_sizes)
        for fault in in_shape(book.shape, crowded(lesson, order.editions, look, book.size))
    ]


def shows_signs(lesson: CheckedLesson) -> bool:
    """Whether a cue of a lesson asks for so many signs that a page may have no room for them."""
    named = (
        len(cue.cue.show) + sum(bool(mention.device or mention.scale) for mention in cue.mentions)
        for cue in lesson.cues
    )
    return max(named, default=0) > FEW_SIGNS


def as_json(
    examined: Sequence[OneExamined], faults: Sequence[Fault], remarks: Sequence[Fault]
) -> dict[str, Any]:
    """Everything that was found, as plain data; a lesson's mentions are there even where it has faults.

    A question is no remark as well.
    """
    checked = [one.checked for one in examined if one.checked is not None]
    asked = {question for lesson in checked for question in questions(lesson)}
    return {
        "faults": [fault_json(fault) for fault in faults],
        "questions": [question for lesson in checked for question in question_json(lesson)],
        "remarks": [fault_json(remark) for remark in remarks if remark not in asked],
        "mentions": [mention for lesson in checked for mention in mention_json(lesson)],
    }


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
