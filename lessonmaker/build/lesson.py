"""A lesson made ready: read, checked, its take fitted; what all its editions share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from lessonmaker.build.fits import KeptFits, Wanted
from lessonmaker.build.takes import TakeFile
from lessonmaker.build.workshop import Task
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import file_digest
from lessonmaker.score.model import Score
from lessonmaker.script.model import CheckedLesson, Lesson, PinnedPlace
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Anchor, Fit
from lessonmaker.sound.read import read_audio, require_take, sound_seconds
from lessonmaker.sound.takereport import unsure_bars

__all__ = [
    "ReadyLesson",
    "anchors_of",
    "fit_lesson",
    "fit_of",
    "fit_task",
    "ready_lesson",
    "wanted_of",
    "with_fit",
]

FITTED_S, AFTER_S = 0.015, 20.0
"""About how long a second of a take takes to fit, and a film from there on."""


@dataclass(frozen=True)
class ReadyLesson:
    """A checked lesson with its take, how long that lasts, and its fit; no take, no fit."""

    checked: CheckedLesson
    take: TakeFile | None = None
    take_seconds: float = 0.0
    fit: Fit | None = None

    @property
    def lesson(self) -> Lesson:
        """The lesson script."""
        return self.checked.lesson

    @property
    def name(self) -> str:
        """The lesson's name: its script's, without the ending."""
        return self.lesson.path.stem


def silently() -> None:
    """Say nothing."""


def ready_lesson(
    checked: CheckedLesson, kept: KeptFits | None = None, fitting: Callable[[], None] = silently
) -> ReadyLesson:
    """A checked lesson with its take fitted, or with the kept fit of it.

    Args:
        checked: the lesson.
        kept: the fits that are kept, if any are.
        fitting: called where the take is fitted anew.

    Raises:
        MaterialError: the take cannot be read, or is not of this score.
    """
    if checked.lesson.take is None:
        return ReadyLesson(checked)
    return with_fit(checked, *fit_of(wanted_of(checked), kept, fitting))


def wanted_of(checked: CheckedLesson) -> Wanted:
    """The fit that a lesson with a take wants."""
    take = checked.lesson.take
    assert take is not None
    return Wanted(checked.lesson.path.stem, checked.score, take, anchors_of(checked.pinned))


def with_fit(checked: CheckedLesson, fit: Fit, said: tuple[Fault, ...]) -> ReadyLesson:
    """A lesson with the fit of its take, and what is to be said of that.

    Raises:
        MaterialError: the take is not of this score.
    """
    take = checked.lesson.take
    assert take is not None
    if not fit.accepted:
        raise MaterialError(
            Fault(
                f"this recording does not seem to be of {checked.lesson.score.name} (confidence {fit.confidence:.0%})",
                "look whether the take belongs to this score, and at what is heard of it: "
                f"lessonmaker sync {checked.lesson.path} --plot take.png",
                checked.lesson.places.get("take", Place(take)),
            )
        )
    said += unsure_remarks(checked, fit)
    checked = replace(checked, remarks=(*checked.remarks, *said))
    return ReadyLesson(checked, TakeFile(take, file_digest(take)), sound_seconds(take), fit)


def unsure_remarks(checked: CheckedLesson, fit: Fit) -> tuple[Fault, ...]:
    """What is said of bars whose light may be off."""
    bars = list(unsure_bars(checked.score, fit))
    if not bars:
        return ()
    which = f"bar {bars[0]}" if len(bars) == 1 else f"bars {', '.join(bars)}"
    what = f"the take may be out of time in {which}: few of the notes there are heard"
    todo = f"look with `lessonmaker sync {checked.lesson.path} --plot take.png`, and pin a place with `sync:`"
    return (Fault(what, todo, checked.lesson.places.get("take", Place(checked.lesson.take))),)


def fit_of(
    wanted: Wanted, kept: KeptFits | None, fitting: Callable[[], None]
) -> tuple[Fit, tuple[Fault, ...]]:
    """A fit, kept or new, and what is to be said of the kept one.

    Raises:
        MaterialError: the take cannot be read, is too short, or is silent.
    """

    def make() -> Fit:
        fitting()
        return fit_lesson(wanted.score, wanted.take, wanted.anchors)

    return (make(), ()) if kept is None else kept.fit(wanted, make)


def fit_task(wanted: Wanted, files_reach: bool) -> Task:
    """A fit to be made by a worker; the take travels with it where the worker has not got the author's files.

    Raises:
        MaterialError: the take cannot be read.
    """
    take = wanted.take if files_reach else CarriedFile(wanted.take)
    seconds = FITTED_S * sound_seconds(wanted.take)
    return Task(
        digest_of("fit", wanted.lesson, wanted.origin),
        partial(fitted, wanted, take),
        "fit",
        seconds,
        AFTER_S,
        passing=True,
    )


def fitted(wanted: Wanted, take: Path | CarriedFile) -> bytes:
    """A fit as it is kept.

    Raises:
        MaterialError: the take cannot be read, is too short, or is silent.
    """
    return wanted.text(fit_lesson(wanted.score, take, wanted.anchors)).encode()


def anchors_of(pinned: Sequence[PinnedPlace]) -> tuple[Anchor, ...]:
    """What a script pins, as the aligner takes it."""
    return tuple(Anchor(place.bar, place.visit, place.quarters, place.time_s) for place in pinned)


def fit_lesson(score: Score, take: Path | CarriedFile, anchors: Sequence[Anchor] = ()) -> Fit:
    """A take fitted to its score; anchors pin places to times.

    Raises:
        MaterialError: the take cannot be read, is too short, or is silent.
    """
    # A second to import, for takes that are fitted anew only.
    from lessonmaker.sound.align.features import RATE
    from lessonmaker.sound.align.fit import fit_take

    audio = read_audio(take, RATE)
    require_take(audio, take.path if isinstance(take, CarriedFile) else take)
    return fit_take(score, audio, anchors)
