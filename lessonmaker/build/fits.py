"""Fits that are kept beside the films, so that an unchanged take is not fitted again."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.build.outputs import safe_name
from lessonmaker.faults import Fault, Place
from lessonmaker.score.model import Score
from lessonmaker.sound.fitfile import DamagedFitError, Origin, fit_text, parse_fit
from lessonmaker.sound.model import Anchor, Fit
from lessonmaker.video.film import finished_file

__all__ = ["FOLDER", "KeptFits"]

FOLDER = "sync"
CHANGES = {
    "take": "the take has changed",
    "notes": "the score's notes have changed",
    "pins": "the pins have changed",
    "aligner": "another version of lessonmaker made it",
}
MADE_ANEW = "it is made anew"


@dataclass(frozen=True)
class KeptFits:
    """The kept fits of a book's lessons: one file a lesson, in a folder that is made when it is needed."""

    folder: Path

    def path(self, lesson: str) -> Path:
        """Where a lesson's fit is kept."""
        return self.folder / f"{safe_name(lesson)}.fit.json"

    def fit(
        self,
        lesson: str,
        score: Score,
        take: Path,
        anchors: Sequence[Anchor],
        make: Callable[[], Fit],
    ) -> tuple[Fit, tuple[Fault, ...]]:
        """The kept fit of a lesson, or a new one, which is kept where it is accepted.

        Args:
            lesson: The lesson's name.
            score: Its score.
            take: Its take, a file that is there.
            anchors: What the author pinned.
            make: Fits the take.

        Returns:
            The fit, and what is to be said of the kept one.
        """
        origin = Origin.of(score, file_digest(take), anchors)
        kept, said = self.kept(lesson, score, origin)
        if kept is not None:
            return kept, ()
        fit = make()
        if not fit.accepted:
            return fit, said
        about = f"When each bar and note of {score.title or lesson} sounds in {take.name}."
        text = fit_text(score, fit, origin, f"{about} {HOW_TO_CHANGE}")
        said += self.keep(lesson, text)
        as_kept, _ = parse_fit(text, score, origin)  # its times are rounded: the next run has no others
        return as_kept or fit, said

    def kept(self, lesson: str, score: Score, origin: Origin) -> tuple[Fit | None, tuple[Fault, ...]]:
        """The kept fit, or None and why it is not used."""
        path = self.path(lesson)
        try:
            fit, changed = parse_fit(path.read_text(encoding="utf-8"), score, origin)
        except FileNotFoundError:
            return None, ()
        except (OSError, UnicodeDecodeError, DamagedFitError):
            return None, (Fault("the kept fit is damaged or was edited", MADE_ANEW, Place(path)),)
        why = ", ".join(CHANGES[name] for name in changed)
        return fit, (Fault(f"the kept fit is not used: {why}", MADE_ANEW, Place(path)),) if changed else ()

    def keep(self, lesson: str, text: str) -> tuple[Fault, ...]:
        """Write a fit whole or not at all; where that cannot be, the next run has to fit again."""
        path = self.path(lesson)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            with finished_file(path) as fragment:
                fragment.write_text(text, encoding="utf-8")
        except OSError as error:
            what = f"the fit of the take cannot be kept ({error.strerror})"
            return (Fault(what, "the next run fits the take again", Place(path)),)
        return ()


HOW_TO_CHANGE = (
    "Made by lessonmaker, and made anew when needed: pin places with `sync:` in the lesson script."
)


def file_digest(path: Path) -> str:
    """The SHA-256 of a file's bytes, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
