"""The sheet to read from: what is to be recorded, by lesson, edition and cue, for people and for programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from lessonmaker.build.misreadings import Misreading
from lessonmaker.build.to_record import Recorded, ToRecord
from lessonmaker.script.pins import clock_text

__all__ = ["misreading_json", "sheet_lines", "to_record_json"]

ESTIMATE = "lengths are estimated, at the draft voice's pace"


def sheet_lines(lessons: Sequence[Recorded]) -> Iterator[str]:
    """The sheet of some lessons, line by line."""
    for lesson in lessons:
        yield from lesson_lines(lesson)
    to_record = [one for lesson in lessons for one in lesson.to_record]
    if to_record:
        whole = clock_text(round(sum(lesson.seconds for lesson in lessons)))
        yield f"{sentences(len(to_record))} to record, about {whole}; {ESTIMATE}."
    else:
        yield "Everything is recorded."


def lesson_lines(lesson: Recorded) -> Iterator[str]:
    """What is to be recorded of one lesson, and what is recorded in other words."""
    head = f"{lesson.checked.lesson.path}: {lesson.checked.lesson.title}: "
    length = f"{sentences(len(lesson.to_record))} to record, about {clock_text(round(lesson.seconds))}"
    yield head + (length if lesson.to_record else "everything is recorded")
    for edition, found in groupby(lesson.to_record, key=lambda one: one.edition):
        several = list(found)
        seconds = sum(one.wording.seconds for one in several)
        yield f"  {heading(edition, several)}, about {clock_text(round(seconds))}"
        for cue, of_cue in groupby(several, key=lambda one: one.sentence.cue):
            yield f"    {cue_name(lesson, cue)}"
            for one in of_cue:
                yield from sentence_lines(one)
    missing = {one.sentence.place for one in lesson.to_record}
    other = [one for one in lesson.misreadings if one.other_words and one.place not in missing]
    if other:
        yield "  recorded in other words (again only if it matters)"
    yield from (f"    {misread.place.line:>5}  {misread.remark.what}" for misread in other)


def heading(edition: str, several: Sequence[ToRecord]) -> str:
    """For which editions a part of the sheet is."""
    differing = [one for one in several if len(one.sentence.wordings) > 1]
    if not differing:
        return "for every edition"
    return f"for {edition}" if len(differing) == len(several) else f"for every edition, read as for {edition}"


def cue_name(lesson: Recorded, cue: int) -> str:
    """A cue's number and title."""
    title = lesson.checked.cues[cue].cue.title
    return f"cue {cue + 1}" + (f", {title}" if title else "")


def sentence_lines(one: ToRecord) -> Iterator[str]:
    """A sentence with its line in the script and its length; below it what is recorded instead."""
    editions = f"  [{', '.join(one.wording.editions)}]" if len(one.sentence.wordings) > 1 else ""
    yield f"    {one.sentence.place.line:>5}  {one.wording.seconds:4.1f} s  {one.wording.printed}{editions}"
    if one.recorded is not None:
        yield f"{'':19}{one.recorded.recording.path.name} has: {one.recorded.wording.printed}"


def sentences(count: int) -> str:
    """A number of sentences in words."""
    return "1 sentence" if count == 1 else f"{count} sentences"


def to_record_json(lesson: Recorded) -> list[dict[str, Any]]:
    """The sentences of a lesson to be recorded as plain data, in the order of the sheet."""
    return [
        {
            "lesson": lesson.checked.lesson.path.stem,
            "file": str(lesson.checked.lesson.path),
            "line": one.sentence.place.line,
            "column": one.sentence.place.column,
            "cue": one.sentence.cue + 1,
            "editions": list(one.wording.editions),
            "text": one.wording.printed,
            "words": " ".join(one.wording.words),
            "estimated_seconds": round(one.wording.seconds, 1),
            "recorded": None
            if one.recorded is None
            else {
                "text": one.recorded.wording.printed,
                "editions": list(one.recorded.wording.editions),
                "recording": str(one.recorded.recording.path),
                "start_s": round(one.recorded.read.start_s, 3),
            },
        }
        for one in lesson.to_record
    ]


def misreading_json(one: Misreading) -> dict[str, Any]:
    """Where a recording leaves the script, as plain data."""
    return {
        "file": str(one.place.path),
        "line": one.place.line,
        "column": one.place.column,
        "cue": one.cue,
        "kind": one.kind,
        "words": one.words,
        "heard": one.heard,
        "lit": list(one.lit),
        "recording": str(one.recording),
        "time_s": round(one.time_s, 3),
    }
