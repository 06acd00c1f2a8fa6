"""Which films that a score is laid over are as they should be, and which are to be made, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from lessonmaker.build.order import Order, Scored, scored_of
from lessonmaker.build.outputs import OverlayOutputs, ending_of, safe_name
from lessonmaker.build.plan import PlannedFilm
from lessonmaker.build.record import (
    Record,
    Sources,
    existing,
    fonts_of,
    load_record,
    logo_of,
    record_path,
    script_digests,
    states_of,
)
from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.store import FOLDER as STORE
from lessonmaker.digest import digest_of
from lessonmaker.score.edition import Edition
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Book, BookOverlay, Lesson

__all__ = ["PlannedOverlay", "overlays_of"]

FILM_S = 60.0
"""About how long a film of which nothing is known takes."""


@dataclass(frozen=True, eq=False)
class PlannedOverlay(PlannedFilm):
    """A film that a score is laid over, in an edition; `lesson` is the script that is told in it, loaded."""

    outputs: OverlayOutputs
    overlay: BookOverlay
    lesson: Lesson | None

    kind, by_workers = "overlay", False

    @property
    def name(self) -> str:
        """The film's name in the book."""
        return self.overlay.name

    @property
    def scored(self) -> Scored:
        """The score that is laid over it."""
        return scored_of(self.overlay, self.lesson)

    @property
    def usual_s(self) -> float:
        """It is known when the film is read."""
        return FILM_S

    @property
    def share(self) -> float:
        """A film is made whole or not at all."""
        return 0.0 if self.is_done else 1.0


def overlays_of(order: Order, output: Path) -> list[PlannedOverlay]:
    """What is known of the films of an order that a score is laid over, film by film.

    Raises:
        MaterialError: a lesson script is faulty.
        OSError: a file cannot be read.
    """
    planned = []
    for overlay in order.overlays:
        lesson = None if overlay.lesson is None else load_lesson(overlay.lesson)
        for edition in order.editions:
            record = record_path(output / STORE, edition.id, overlay.name)
            before = load_record(record)
            outputs = outputs_of(overlay, output / safe_name(edition.id), lesson)
            now = overlay_sources(overlay, lesson, order.book, edition, before)
            whole = before is not None and before.is_whole(outputs.files)
            planned.append(
                PlannedOverlay(order.book, edition, outputs, record, before, now, whole, overlay, lesson)
            )
    return planned


def outputs_of(overlay: BookOverlay, folder: Path, lesson: Lesson | None) -> OverlayOutputs:
    """Where a film goes."""
    film = folder / f"{safe_name(overlay.name)}{ending_of(overlay)}"
    poster = None if overlay.layer else film.with_suffix(".png")
    return OverlayOutputs(film, captioned=lesson is not None, poster=poster)


def overlay_sources(
    overlay: BookOverlay, lesson: Lesson | None, book: Book, edition: Edition, before: Record | None
) -> Sources:
    """What a film would be made from now.

    Raises:
        OSError: a file cannot be read.
    """
    settings = {
        "edition": digest_of(edition),
        "part": overlay.part or "",
        "written_for": overlay.written_for or "",
        "from": str(overlay.start_s),
        "to": str(overlay.end_s or ""),
        "layer": str(overlay.layer),
        "container": overlay.container or "",
        "code": overlay.code or "",
        "fonts": fonts_of(book.look) if book.look else "",
        **{name: str(value) for name, value in asdict(overlay.style).items()},
    }
    files = states_of(overlay_material(overlay, lesson, book), book.folder, before)
    script = {} if lesson is None else script_digests(lesson.path)
    return Sources(files, settings, script, tools_digest())


def overlay_material(
    overlay: BookOverlay, lesson: Lesson | None, book: Book
) -> Iterator[tuple[str, list[Path]]]:
    """The files that a film is made from."""
    yield "script", [] if lesson is None else [lesson.path]
    yield "score", [scored_of(overlay, lesson).path]
    yield "film", [overlay.film]
    yield "editions", existing(book.folder / "shared" / "editions.yaml")
    yield "look", [book.look, *logo_of(book.look)] if book.look else []
