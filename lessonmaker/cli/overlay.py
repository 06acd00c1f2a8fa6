"""`overlay`: lay the lit score over a film of its performance."""

from __future__ import annotations

import argparse
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonmaker.build.check import check_order
from lessonmaker.build.order import chosen_edition, find_order, interval_of
from lessonmaker.build.outputs import safe_name
from lessonmaker.build.progress import Progress
from lessonmaker.cli.report import (
    decisions_json,
    fault_json,
    print_decisions,
    print_json_line,
    print_remarks,
)
from lessonmaker.faults import Fault, MaterialError, Place, UsageError
from lessonmaker.score.edition_table import EDITIONS, Edition
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.model import Book, CheckedLesson
from lessonmaker.script.overlay_style import OverlayStyle
from lessonmaker.script.pins import TIME_EXAMPLE, clock_seconds

if TYPE_CHECKING:
    from lessonmaker.build.overlay import Overlaid
    from lessonmaker.picture.look import Look
    from lessonmaker.sound.model import Fit

__all__ = ["run"]

SCRIPTS = (".yaml", ".yml")


def run(arguments: argparse.Namespace) -> int:
    """Fit the film, lay the score over it, say where it is."""
    if arguments.layer and arguments.beside:
        raise UsageError(
            "--beside makes the film smaller, and a --layer holds no film; leave one of them out"
        )
    start_s, end_s = seconds_of(arguments.start), seconds_of(arguments.end)
    if arguments.output is not None:
        refuse_no_folder(arguments.output)
    chosen = chosen_lesson(arguments) if is_script(arguments.score) else chosen_score(arguments)
    from lessonmaker.build.layer import make_layer
    from lessonmaker.build.lesson import fit_lesson
    from lessonmaker.build.overlay import (
        Overlay,
        fitted_film,
        make_versions,
        pins_in,
        refuse_order,
        refuse_unfit,
    )
    from lessonmaker.video.layer import LAYER_ENDINGS
    from lessonmaker.video.overlay import container_for

    film, edition = arguments.film, chosen.edition
    footage = refuse_unfit(film, chosen.path, chosen.score)
    ending = f"-layer{LAYER_ENDINGS[0]}" if arguments.layer else container_for(footage)
    order = Overlay(
        film=film,
        score=chosen.path,
        edition=edition,
        output=arguments.output or Path(f"{safe_name(film.stem)}-{safe_name(edition.id)}{ending}"),
        style=OverlayStyle(**{one.name: getattr(arguments, one.name) for one in fields(OverlayStyle)}),
        start_s=start_s or 0.0,
        end_s=end_s,
        code=arguments.code,
        bar_chapters=arguments.bar_chapters,
        look=look_in(arguments.look, chosen.book),
        lesson=chosen.lesson,
        layer=arguments.layer,
    )
    refuse_order(order, footage)
    progress = Progress(tell=print_json_line if arguments.json else None)
    anchors = () if chosen.lesson is None else pins_in(film, chosen.lesson)

    def fit_film() -> tuple[Fit, tuple[Fault, ...]]:
        progress.step(f"{film.name}: fitting its sound")
        return fit_lesson(chosen.score, film, anchors), ()

    fitted = fitted_film(footage, chosen.path, chosen.score, fit_film, end_s)
    progress.step(f"{film.name}, {edition.label}: laying the score over it")
    if order.layer:
        made = make_layer(order, fitted, progress)
    else:
        (made,) = make_versions([order], fitted, progress)
    if arguments.json:
        print_json_line(overlay_json(made))
        return 0
    print_remarks(made.remarks)
    print_decisions(film.name, edition, made.decisions)
    written, *others = made.outputs.files
    print("\n".join([f"{written} ({made.seconds:.0f} s)", *map(str, others)]))
    return 0


@dataclass(frozen=True)
class Chosen:
    """What is laid over a film: a score, in an edition, and perhaps the lesson that names it, with its book."""

    path: Path
    score: Score
    edition: Edition
    lesson: CheckedLesson | None = None
    book: Book | None = None


def refuse_no_folder(output: Path) -> None:
    """A film goes into a folder that is there.

    Raises:
        MaterialError: it is not.
    """
    if not output.parent.is_dir():
        todo = "make it, or name another with --output"
        raise MaterialError(Fault("there is no such folder", todo, Place(output.parent)))


def is_script(path: Path) -> bool:
    """Whether a file is a lesson script, by its name."""
    return path.suffix.lower() in SCRIPTS


def chosen_score(arguments: argparse.Namespace) -> Chosen:
    """A score by itself."""
    interval = interval_of(arguments.written_for)
    edition = chosen_edition(arguments.edition, EDITIONS)
    return Chosen(arguments.score, read_score(arguments.score, arguments.part, interval), edition)


def chosen_lesson(arguments: argparse.Namespace) -> Chosen:
    """A lesson of a book, checked.

    Raises:
        MaterialError: it is faulty.
        UsageError: the book has no such edition, or what the script says is asked for otherwise.
    """
    if arguments.part is not None or arguments.written_for is not None:
        raise UsageError("--part and --written-for go with a score; a lesson script has them as keys")
    order = find_order([str(arguments.score)], [arguments.edition])
    (checked,) = check_order(order)
    return Chosen(checked.lesson.score, checked.score, order.editions[0], checked, order.book)


def look_in(path: Path | None, book: Book | None) -> Look:
    """The look of a file, else of a lesson's book, else the standard one.

    Raises:
        MaterialError: the file has faults.
    """
    from lessonmaker.build.book_look import look_of
    from lessonmaker.picture.look import standard_look
    from lessonmaker.picture.own_look import read_own_look

    if path is not None:
        return read_own_look(path, path.absolute().parent.parent, {}).look
    return standard_look() if book is None else look_of(book).look


def seconds_of(text: str | None) -> float | None:
    """A time as it is written in lesson scripts.

    Raises:
        UsageError: it is none.
    """
    if text is None:
        return None
    seconds = clock_seconds(text)
    if seconds is None:
        raise UsageError(f"{text!r} is no time; write {TIME_EXAMPLE}")
    return seconds


def overlay_json(made: Overlaid) -> dict[str, Any]:
    """A finished film as plain data."""
    outputs = made.outputs
    return {
        "event": "film",
        "film": str(outputs.film),
        "bars": str(outputs.bars),
        "chapters": str(outputs.chapters),
        "timeline": str(outputs.timeline),
        "captions": [str(path) for path in outputs.captions],
        "seconds": round(made.seconds, 3),
        "remarks": [fault_json(remark) for remark in made.remarks],
        "decisions": decisions_json(made.decisions),
    }
