"""A place that a sentence names, and what places are counted from."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

from lessonmaker.score.model import Bar, Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of

__all__ = ["AND", "Context", "Place", "Test", "words_of_place"]

Test = Callable[[Note, Music], bool]
Level = Literal["bar", "beat", "chord"]
AND = r"(?:\s*,\s*|\s+(?:and|or|&)\s+|\s*,\s*and\s+)"


@dataclass(frozen=True)
class Place:
    """A place named at [first, last) of a sentence: spans that it may be (level "bar"), or a test of notes.

    Where `parts` are given it is all of the spans and not one of them ("bars 4 and 28"); each part is where the
    sentence names its span.
    """

    level: Level
    first: int
    last: int
    spans: tuple[Span, ...] = ()
    test: Test | None = None
    pointed: bool = False
    parts: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class Context:
    """What places are counted from: the bars in sight, and the last bar spoken of before."""

    music: Music
    spans: Sequence[Span]
    before: Span | None

    @cached_property
    def bars(self) -> list[Bar]:
        """The full bars in sight."""
        bars = self.music.bars_in(self.spans)
        return [bar for bar in bars if bar.start >= 0] or bars


@lru_cache(maxsize=256)
def words_of_place(pattern: str) -> re.Pattern[str]:
    """What finds the words of a place by a pattern, as whole words."""
    return pattern_of(rf"(?<![\w])(?:{pattern})(?!\w)")
