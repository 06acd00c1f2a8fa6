"""Fits that are kept beside the films, so that an unchanged take is not fitted again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from lessonmaker.build.outputs import safe_name
from lessonmaker.faults import Fault, Place
from lessonmaker.files import file_digest, finished_file
from lessonmaker.score.model import Score
from lessonmaker.sound.fitfile import DamagedFitError, Origin, fit_text, parse_fit
from lessonmaker.sound.model import Anchor, Fit

__all__ = ["FOLDER", "KeptFits", "Wanted"]

FOLDER = "sync"
CHANGES = {
    "take": "the take has changed",
    "notes": "the score's notes have changed",
    "pins": "the pins have changed",
    "aligner": "another version of lessonmaker made it",
}
MADE_ANEW = "it is made anew"


@dataclass(frozen=True)
class Wanted:
    """A fit that is wanted: of a lesson by its name, of which take to which score, with what the author pinned."""

    lesson: str
    score: Score
    take: Path
    anchors: tuple[Anchor, ...]

    @cached_property
    def origin(self) -> Origin:
        """What it is made of.

        Raises:
            OSError: the take cannot be read.
        """
        return Origin.of(self.score, file_digest(self.take), self.anchors)

    @property
    def about(self) -> str:
        """What a reader of the kept fit should know first."""
        sounds = f"When each bar and note of {self.score.title or self.lesson} sounds in {self.take.name}."
        return f"{sounds} {HOW_TO_CHANGE}"

    def text(self, fit: Fit) -> str:
        """A fit as it is kept."""
        return fit_text(self.score, fit, self.origin, self.about)


@dataclass(frozen=True)
class KeptFits:
    """The kept fits of a book's lessons: one file a lesson, in a folder that is made when it is needed."""

    folder: Path

    def path(self, lesson: str) -> Path:
        """Where a lesson's fit is kept."""
        return self.folder / f"{safe_name(lesson)}.fit.json"

    def fit(
        self, wanted: Wanted, make: Callable[[], Fit], others: Sequence[str] = ()
    ) -> tuple[Fit, tuple[Fault, ...]]:
        """The kept fit, or a new one that `make` makes, which is kept where it is accepted.

        Args:
            wanted: the fit.
            make: makes it.
            others: the names of what may have the same take and score; a fit of theirs that is of the same serves too.

        Returns:
            The fit, and what is to be said of the kept one.
        """
        kept, said = self.kept(wanted)
        same = (fit for name in others if (fit := self.read(wanted, name)[0]) is not None)
        kept = kept or next(same, None)
        if kept is not None:
            return kept, ()
        made = make()
        if not made.accepted:
            return made, said
        fit, more = self.made(wanted, wanted.text(made))
        return fit, said + more

    def kept(self, wanted: Wanted) -> tuple[Fit | None, tuple[Fault, ...]]:
        """The kept fit, or None and why it is not used."""
        return self.read(wanted, wanted.lesson)

    def read(self, wanted: Wanted, name: str) -> tuple[Fit | None, tuple[Fault, ...]]:
        """The fit that is kept under a name, or None and why it is not what is wanted."""
        path = self.path(name)
        try:
            fit, changed = parse_fit(path.read_text(encoding="utf-8"), wanted.score, wanted.origin)
        except FileNotFoundError:
            return None, ()
        except (OSError, UnicodeDecodeError, DamagedFitError):
            return None, (Fault("the kept fit is damaged or was edited", MADE_ANEW, Place(path)),)
        why = ", ".join(CHANGES[name] for name in changed)
        return fit, (Fault(f"the kept fit is not used: {why}", MADE_ANEW, Place(path)),) if changed else ()

    def made(self, wanted: Wanted, text: str) -> tuple[Fit, tuple[Fault, ...]]:
        """A new fit from its text, as the next run will read it, and what is to be said where it cannot be kept."""
        fit, _ = parse_fit(text, wanted.score, wanted.origin)
        assert fit is not None  # the text is of this origin
        return fit, self.keep(wanted.lesson, text) if fit.accepted else ()

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
