"""What a build has to do: which films are as they should be, and which are to be made, and why."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path
from typing import ClassVar

from lessonmaker.build.forecast import Expected, Forecast, kept_costs
from lessonmaker.build.order import Order, Scored, editions_of, editions_said, interval_of
from lessonmaker.build.outputs import Outputs, OverlayOutputs, outputs_for, place_name, safe_name
from lessonmaker.build.reasons import bar_digests, reasons, share_to_make
from lessonmaker.build.record import Record, Sources, load_record, record_path, sources_of
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.edition import Edition
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book, Lesson
from lessonmaker.theory.pitch import Interval

__all__ = ["Made", "Planned", "PlannedFilm", "forecast_of", "plan_of"]

FILM_S, WORD_S = 2.0, 0.08
"""About what a film of which nothing is known costs one worker, and each word that is said in it."""


@dataclass(frozen=True, eq=False)
class PlannedFilm(ABC):
    """A film of an order: a lesson's, or one that a score is laid over.

    Attributes:
        edition: its edition.
        outputs: where its files go.
        record: where it is kept what it was made from.
        before: how it was made, if it was.
        now: what it would be made from.
        whole: whether its files lie there as they were written.
    """

    book: Book
    edition: Edition
    outputs: Outputs | OverlayOutputs
    record: Path
    before: Record | None
    now: Sources
    whole: bool

    kind: ClassVar[str]
    by_workers: ClassVar[bool]
    """What it is made of, in plain data, and whether workers make its parts."""

    @property
    @abstractmethod
    def name(self) -> str:
        """What it is called in the book."""

    @property
    @abstractmethod
    def scored(self) -> Scored:
        """Which score it shows."""

    @property
    @abstractmethod
    def usual_s(self) -> float:
        """About how long its parts take one worker, as far as that is known before it has been made."""

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
        score = self.scored
        return bars_of(score.path, score.part, interval_of(score.written_for, editions_of(self.book)))

    @property
    def share(self) -> float:
        """About which share of its parts has to be made."""
        return share_to_make(self.before, self.now, self.why)


@dataclass(frozen=True, eq=False)
class Planned(PlannedFilm):
    """A lesson's film; `lesson` is its script, loaded."""

    outputs: Outputs
    lesson: Lesson

    kind, by_workers = "lesson", True

    @property
    def name(self) -> str:
        """The lesson's name."""
        return self.lesson.path.stem

    @property
    def scored(self) -> Scored:
        """The lesson's score."""
        return Scored(self.lesson.score, self.lesson.part, self.lesson.written_for)

    @property
    def kept_apart_by(self) -> tuple[str, ...]:
        """What tells it from its lesson's other films, for people: its edition, and its size if not the first."""
        return (self.edition.label, *filter(None, (self.book.shape,)))

    @property
    def usual_s(self) -> float:
        """By the words that are said."""
        said = [piece.text for cue in self.lesson.cues if cue.say for piece in cue.say.pieces]
        return FILM_S + WORD_S * sum(len(text.split()) for text in said)


@dataclass(frozen=True)
class Made:
    """A film that has been made: what was planned of it, and what was made of that."""

    planned: PlannedFilm
    record: Record


@cache
def bars_of(score: Path, part: str | None, interval: Interval | None) -> Mapping[str, str]:
    """The bars of a score file; its editions read it once."""
    from lessonmaker.score.read import read_score  # takes a while to import, for changed scores only

    return bar_digests(read_score(score, part, interval))


def plan_of(order: Order, output: Path) -> list[Planned]:
    """What is known of the films of an order, lesson by lesson, in the book's sizes.

    Raises:
        MaterialError: a script is faulty, or two films would be made under one name.
        OSError: a file cannot be read.
    """
    refuse_same_names(order)
    said = [edition.id for edition in editions_said(order)]
    planned = []
    for path in order.lessons:
        lesson = load_lesson(path)
        for book, edition in product(order.book.in_sizes, order.editions):
            record = record_path(output / STORE, edition.id, path.stem, book.shape)
            before = load_record(record)
            now = sources_of(lesson, book, edition, said, before)
            outputs = outputs_for(output / place_name(edition.id, book.shape), path.stem)
            whole = before is not None and before.is_whole(outputs.files)
            planned.append(Planned(book, edition, outputs, record, before, now, whole, lesson))
    return planned


def refuse_same_names(order: Order) -> None:
    """Two films whose files would have one name would overwrite each other.

    Raises:
        MaterialError: there are such films.
    """
    lessons = [(path.stem, path.name, Place(path), "rename one of the two") for path in order.lessons]
    overlays = [(one.name, one.film.name, one.place, "give one a `name`") for one in order.overlays]
    by_name: dict[str, str] = {}
    for name, file, place, todo in (*lessons, *overlays):
        if safe_name(name) in by_name:
            what = f"{file} and {by_name[safe_name(name)]} would both be made as {safe_name(name)}"
            raise MaterialError(Fault(what, todo, place))
        by_name[safe_name(name)] = file
    refuse_same_places(order)


def refuse_same_places(order: Order) -> None:
    """Two editions whose films would go into one folder would overwrite each other's.

    Raises:
        MaterialError: there are such editions.
    """
    by_place: dict[str, str] = {}
    for book, edition in product(order.book.in_sizes, order.editions):
        place = place_name(edition.id, book.shape)
        what = " in ".join(filter(None, (edition.id, book.shape)))
        if place in by_place:
            both = f"{what} and {by_place[place]} would both be made in {place}"
            raise MaterialError(Fault(both, "give one edition another name", Place(order.book.path)))
        by_place[place] = what


def forecast_of(planned: Sequence[PlannedFilm], output: Path) -> Forecast:
    """How long films that are to be made take, from what earlier builds into a folder measured."""
    expected = [
        Expected(one.name, one.share * (one.before.work_s if one.before else one.usual_s), one.by_workers)
        for one in planned
    ]
    return Forecast.of(expected, kept_costs(output / STORE))
