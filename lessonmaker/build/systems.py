"""The systems of a film as tasks: a set of rows a task, each known by all that the engraver is told.

So a system is engraved once, whichever films, sizes and workers show it, and whatever else changes on its page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from lessonmaker.build.painters import painter_of
from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.picture.engraver import RowSet
from lessonmaker.picture.painter import Painter
from lessonmaker.score.system import System, parse_systems, systems_bytes

__all__ = ["FilmSystems", "parsed"]

ROW_S, AFTER_S = 0.03, 3.0
"""About how long a row takes to engrave, and a film from there on."""
COMPARED_S = 0.15
"""About how long two rows take whose beats are compared."""


@dataclass(eq=False)
class FilmSystems:
    """The systems of a film's pages; `sent` is its painter, as it is sent to workers, `there` those that are there."""

    painter: Painter
    sent: bytes
    there: dict[str, bytes] = field(default_factory=dict)
    keys: dict[int, Mapping[str, RowSet]] = field(default_factory=dict)

    def tasks(self, pages: Iterable[int]) -> list[Task]:
        """What is shown on some pages, to be engraved."""
        wanted = {key: (page, rows) for page in sorted(pages) for key, rows in self.sets(page).items()}
        return [self.task(key, *one) for key, one in wanted.items()]

    def task(self, key: str, page: int, rows: RowSet) -> Task:
        """A set of a page's rows, to be engraved."""
        seconds = ROW_S if len(rows) == 1 else COMPARED_S
        return Task(key, partial(engraved, self.sent, page, rows), "engraving", seconds, AFTER_S)

    def sets(self, page: int) -> Mapping[str, RowSet]:
        """The sets of a page's rows, by all that they are engraved from."""
        if page not in self.keys:
            engraver, shown = self.painter.engraver, self.painter.timeline.pages[page]
            self.keys[page] = {
                digest_of("systems", tools_digest(), engraver.content(shown, rows)): rows
                for rows in engraver.sets(shown)
            }
        return self.keys[page]

    def take(self, parts: Sequence[Part]) -> None:
        """Take what workers have engraved, or what is kept of it."""
        self.there |= {part.task.key: part.read() for part in parts}

    def on(self, pages: Iterable[int]) -> list[bytes]:
        """What is there of some pages."""
        wanted = dict.fromkeys(key for page in sorted(pages) for key in self.sets(page))
        return [self.there[key] for key in wanted if key in self.there]


def engraved(sent: bytes, page: int, rows: RowSet) -> bytes:
    """A set of a page's rows, to be kept."""
    painter = painter_of(sent)
    return systems_bytes(painter.engraver.systems(painter.timeline.pages[page], rows))


def parsed(kept: Iterable[bytes]) -> dict[str, System]:
    """Systems that were kept, by their contents."""
    return {content: system for data in kept for content, system in parse_systems(data).items()}
