"""`overlay`: lay the lit score over a film of its performance."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonmaker.build.order import chosen_edition, interval_of
from lessonmaker.build.outputs import safe_name
from lessonmaker.build.progress import Progress
from lessonmaker.cli.report import fault_json, print_json, print_remarks
from lessonmaker.faults import UsageError
from lessonmaker.score.edition_table import EDITIONS
from lessonmaker.score.read import read_score
from lessonmaker.script.pins import TIME_EXAMPLE, clock_seconds

if TYPE_CHECKING:
    from lessonmaker.build.overlay import Overlaid
    from lessonmaker.picture.look import Look

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Fit the film, lay the score over it, say where it is."""
    edition = chosen_edition(arguments.edition, EDITIONS)
    interval = interval_of(arguments.written_for)
    if arguments.layer and arguments.beside:
        raise UsageError(
            "--beside makes the film smaller, and a --layer holds no film; leave one of them out"
        )
    start_s, end_s = seconds_of(arguments.start), seconds_of(arguments.end)
    score = read_score(arguments.score, arguments.part, interval)
    from lessonmaker.build.layer import make_layer
    from lessonmaker.build.overlay import Overlay, OverlayStyle, fitted_film, make_overlay
    from lessonmaker.video.layer import LAYER_ENDINGS
    from lessonmaker.video.overlay import container_for

    progress = Progress()
    name = arguments.film.name

    def fitting() -> None:
        progress.step(f"{name}: fitting its sound")

    fitted = fitted_film(arguments.film, arguments.score, score, fitting=fitting)
    style = OverlayStyle(
        side=arguments.side,
        beside=arguments.beside,
        systems=arguments.systems,
        paper=arguments.paper / 100,
        form=arguments.form,
        labels=arguments.labels,
        chords=arguments.chords,
    )
    ending = f"-layer{LAYER_ENDINGS[0]}" if arguments.layer else container_for(fitted.footage)
    output = arguments.output or Path(f"{safe_name(arguments.film.stem)}-{safe_name(edition.id)}{ending}")
    order = Overlay(
        film=arguments.film,
        score=arguments.score,
        edition=edition,
        output=output,
        style=style,
        start_s=start_s or 0.0,
        end_s=end_s,
        code=arguments.code,
        bar_chapters=arguments.bar_chapters,
        look=look_in(arguments.look),
    )
    made = (make_layer if arguments.layer else make_overlay)(order, fitted, progress)
    if arguments.json:
        print_json(overlay_json(made))
        return 0
    print_remarks(made.remarks)
    print(f"{made.film} ({made.seconds:.0f} s)\n{made.bars}\n{made.chapters}")
    return 0


def look_in(path: Path | None) -> Look:
    """The look of a file, or the standard one.

    Raises:
        MaterialError: the file has faults.
    """
    from lessonmaker.picture.look import standard_look
    from lessonmaker.picture.own_look import read_own_look

    return standard_look() if path is None else read_own_look(path, path.absolute().parent.parent, {}).look


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
    return {
        "film": str(made.film),
        "bars": str(made.bars),
        "chapters": str(made.chapters),
        "seconds": round(made.seconds, 3),
        "remarks": [fault_json(remark) for remark in made.remarks],
    }
