"""What a build has to do: which films are as they should be, and which are to be made, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from lessonmaker.build.order import Order, editions_of, editions_said, interval_of
from lessonmaker.build.outputs import Outputs, outputs_for, safe_name
from lessonmaker.build.reasons import bar_digests, reasons, share_to_make
from lessonmaker.build.record import Record, Sources, load_record, record_path, sources_of
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.edition import Edition
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book, Lesson
from lessonmaker.theory.pitch import Interval

__all__ = ["Planned", "plan_of", "seconds_to_make"]

FILM_S, START_S = 45.0, 4.0
"""About what a film of which nothing is known costs one worker, and the workers' start."""


@dataclass(frozen=True, eq=False)
class Planned:
    """A film of an order.

    Attributes:
        lesson: its script, loaded.
        edition: its edition.
        outputs: where its files go.
        record: where it is kept what it was made from.
        before: how it was made, if it was.
        now: what it would be made from.
        whole: whether its files lie there as they were written.
    """

    book: Book
    lesson: Lesson
    edition: Edition
    outputs: Outputs
    record: Path
    before: Record | None
    now: Sources
    whole: bool

    @property
    def name(self) -> str:
        """The lesson's name."""
        return self.lesson.path.stem

    @property
    def is_done(self) -> bool:
        """Whether it is as it should be."""
        return self.before is not None and self.before.sources.same(self.now) and self.whole

    @property
    def why(self) -> list[str]:
        """What has changed since it was made.

        Raises:
            MaterialError: its score cannot be read.
        """
        return reasons(self.before, self.now, self.bars, self.whole)

    @property
    def bars(self) -> Mapping[str, str]:
        """A digest of each bar of its score as it is now."""
        if self.before is None or self.before.sources.digests["score"] == self.now.digests["score"]:
            return self.before.bars if self.before else {}
        interval = interval_of(self.lesson.written_for, editions_of(self.book))
        return bars_of(self.lesson.score, self.lesson.part, interval)


@cache
def bars_of(score: Path, part: str | None, interval: Interval | None) -> Mapping[str, str]:
    """The bars of a score file; its editions read it once."""
    from lessonmaker.score.read import read_score  # takes a while to import, for changed scores only

    return bar_digests(read_score(score, part, interval))


def plan_of(order: Order, output: Path) -> list[Planned]:
    """What is known of the films of an order, lesson by lesson.

    Raises:
        MaterialError: a script is faulty, or two lessons would be made under one name.
        OSError: a file cannot be read.
    """
    refuse_same_names(order.lessons)
    said = [edition.id for edition in editions_said(order)]
    planned = []
    for path in order.lessons:
        lesson = load_lesson(path)
        for edition in order.editions:
            record = record_path(output / STORE, edition.id, path.stem)
            before = load_record(record)
            now = sources_of(lesson, order.book, edition, said, before)
            outputs = outputs_for(output, edition.id, path.stem)
            whole = before is not None and before.is_whole(outputs)
            planned.append(Planned(order.book, lesson, edition, outputs, record, before, now, whole))
    return planned


def refuse_same_names(lessons: Sequence[Path]) -> None:
    """Two lessons whose files would have one name would overwrite each other.

    Raises:
        MaterialError: there are such lessons.
    """
    by_name: dict[str, Path] = {}
    for path in lessons:
        other = by_name.setdefault(safe_name(path.stem), path)
        if other != path:
            what = f"{path.name} and {other.name} would both be made as {safe_name(path.stem)}.mp4"
            raise MaterialError(Fault(what, "rename one of the two", Place(path)))


def seconds_to_make(planned: Sequence[Planned], width: int) -> float:
    """About how long it takes to make what is not as it should be, with so many workers."""
    known = [one.before.work_s for one in planned if one.before is not None]
    usual = sum(known) / len(known) if known else FILM_S
    work = [
        share_to_make(one.before, one.now, one.why) * (one.before.work_s if one.before else usual)
        for one in planned
        if not one.is_done
    ]
    return START_S + sum(work) / width if work else 0.0
