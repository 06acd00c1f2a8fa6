"""A take and its score brought together for a look: from two files, or from a lesson of a book."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.build.check import pins_beyond_the_take
from lessonmaker.build.fits import FOLDER, KeptFits, Wanted
from lessonmaker.build.lesson import anchors_of, fit_lesson, fit_of
from lessonmaker.build.order import Order, editions_of, find_order, interval_of
from lessonmaker.faults import Fault, LessonmakerError, MaterialError, Place, UsageError
from lessonmaker.files import finished_file
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book
from lessonmaker.script.music import Findings
from lessonmaker.script.pins import pinned_places
from lessonmaker.sound.model import Anchor, Fit
from lessonmaker.sound.read import read_audio

__all__ = ["Synced", "draw", "sync_files", "sync_lesson"]

DRAWN_RATE = 11_025


@dataclass(frozen=True)
class Synced:
    """A take fitted to its score.

    Attributes:
        title: The etude's.
        score: As read.
        take: The recording.
        anchors: What the lesson pins.
        fit: The fit.
        remarks: What is to be said of a kept fit.
        instead: Of a refused take, the lesson of the book that it is of.
    """

    title: str
    score: Score
    take: Path
    anchors: tuple[Anchor, ...]
    fit: Fit
    remarks: tuple[Fault, ...] = ()
    instead: Path | None = None


def sync_files(score: Path, take: Path, part: str | None, written_for: str | None) -> Synced:
    """Fit a take to a score, without a lesson.

    Raises:
        MaterialError: one of them cannot be read.
        UsageError: `written_for` is neither an edition nor an interval.
    """
    read = read_score(score, part, interval_of(written_for))
    return Synced(read.title or score.stem, read, take, (), fit_lesson(read, take))


def sync_lesson(names: Sequence[str], fitting: Callable[[str], None]) -> Synced:
    """Fit the take of a lesson, pinned as the lesson says; what its cues claim is not looked at.

    Args:
        names: what names the lesson, as for `find_order`.
        fitting: told what is being done where it takes a while.

    Raises:
        MaterialError: the script, its score or its take is faulty.
        UsageError: the names are not of one lesson.
    """
    order = find_order(names)
    lesson = load_lesson(one_lesson(order))
    if lesson.take is None:
        todo = "add one, as in `take: ../media/etude.flac`"
        raise MaterialError(Fault("the lesson has no take", todo, Place(lesson.path)))
    interval = interval_of(lesson.written_for, editions_of(order.book))
    score = read_score(lesson.score, lesson.part, interval)
    findings = Findings()
    anchors = anchors_of(pinned_places(lesson, score, findings))
    if faults := [*findings.faults, *pins_beyond_the_take(lesson)]:
        raise MaterialError(faults)
    kept = KeptFits(order.book.folder / "out" / FOLDER)
    wanted = Wanted(lesson.path.stem, score, lesson.take, anchors)
    fit, said = fit_of(wanted, kept, lambda: fitting(f"{lesson.path.stem}: fitting the take"))
    instead = None if fit.accepted else lesson_of(lesson.take, order.book, lesson.path, fitting)
    return Synced(lesson.title, score, lesson.take, anchors, fit, said, instead)


def lesson_of(take: Path, book: Book, tried: Path, told: Callable[[str], None]) -> Path | None:
    """The lesson of a book that a take is of, other than the one tried; faulty lessons are passed over."""
    for path in book.lessons:
        if path.resolve() == tried.resolve():
            continue
        told(f"{path.stem}: trying the take")
        try:
            lesson = load_lesson(path)
            score = read_score(lesson.score, lesson.part, interval_of(lesson.written_for, editions_of(book)))
            if fit_lesson(score, take).accepted:
                return path
        except LessonmakerError:
            continue
    return None


def one_lesson(order: Order) -> Path:
    """The only lesson of an order.

    Raises:
        UsageError: there are several, or a film is named.
    """
    if order.overlays and not order.lessons:
        film = order.overlays[0]
        how = f"to look at its sound: lessonmaker sync SCORE {film.film}"
        raise UsageError(f"{film.name} is a film, not a lesson; {how}")
    if len(order.lessons) != 1:
        listed = ", ".join(lesson.stem for lesson in order.lessons)
        raise UsageError(f"sync looks at one take at a time: name one of {listed}")
    return order.lessons[0]


def draw(synced: Synced, path: Path) -> None:
    """Draw what was found, as SVG where the name ends so, else as PNG.

    Raises:
        OSError: the file cannot be written.
    """
    from lessonmaker.picture.fitplot import draw_fit_png, draw_fit_svg  # half a second to import
    from lessonmaker.picture.fitview import FitPlot

    take = read_audio(synced.take, DRAWN_RATE)
    plot = FitPlot(synced.title, synced.take.name, synced.score, synced.fit, take, synced.anchors)
    drawn = (draw_fit_svg if path.suffix.lower() == ".svg" else draw_fit_png)(plot)
    with finished_file(path) as fragment:
        fragment.write_bytes(drawn)
