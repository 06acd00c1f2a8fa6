"""When sentences are read in a film that does not wait for them.

Each stands while the bars sound that it speaks of, and is gone shortly after them. One that takes longer to read is
begun before them: what is read ahead says what to listen for, what is still read behind speaks of what is over. They
keep their order and never meet. Where there is no time for all, the first of every cue goes before the second of
any; then as many are read at ease as can be, the others faster.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from lessonmaker.timeline.captions import CHARACTERS_PER_SECOND, SHORTEST
from lessonmaker.timeline.model import TICKS_PER_SECOND

__all__ = ["AFTER", "AHEAD", "Wish", "reading_times"]

AT_EASE = 15  # characters a second, by somebody who listens and watches too (common practice, no source)
AHEAD, AFTER = 3 * TICKS_PER_SECOND, TICKS_PER_SECOND  # how far outside its bars a sentence may be read

Ticks = tuple[int, int]


@dataclass(frozen=True)
class Wish:
    """A sentence to be read: how many characters it has, and when (ticks).

    It may begin at `earliest`, should begin at `wanted`, and is over by `latest`.
    """

    characters: int
    earliest: int
    wanted: int
    latest: int


@dataclass(frozen=True)
class Reading:
    """A wish at a pace, in characters a second."""

    wish: Wish
    pace: int = CHARACTERS_PER_SECOND

    @property
    def length(self) -> int:
        """How long it takes, in ticks."""
        return max(self.wish.characters * TICKS_PER_SECOND // self.pace, SHORTEST)


def reading_times(cues: Sequence[Sequence[Wish]]) -> list[list[Ticks]]:
    """From when to when sentences are read.

    Args:
        cues: the sentences of each cue, all in the order in which they are read.

    Returns:
        For each cue the times of those of its first sentences that there is time for.
    """
    chosen = eased([[Reading(wish) for wish in some] for some in most_that_fit(cues)])
    times = iter(timed(list(chain.from_iterable(chosen))))
    return [[next(times) for _ in some] for some in chosen]


def most_that_fit(cues: Sequence[Sequence[Wish]]) -> list[Sequence[Wish]]:
    """The sentences of each cue that there is time to read fast: the first of each, then the others cue by cue."""
    counts = [0] * len(cues)
    for most in (1, max(map(len, cues), default=0)):
        for number, wishes in enumerate(cues):
            while counts[number] < min(most, len(wishes)):
                more = [*counts[:number], counts[number] + 1, *counts[number + 1 :]]
                if not fits(
                    [Reading(wish) for some, count in zip(cues, more, strict=True) for wish in some[:count]]
                ):
                    break
                counts = more
    return [wishes[:count] for wishes, count in zip(cues, counts, strict=True)]


def eased(cues: list[list[Reading]]) -> list[list[Reading]]:
    """The sentences of each cue at ease where all can be read all the same."""
    for number, some in enumerate(cues):
        slower = [*cues[:number], [Reading(one.wish, AT_EASE) for one in some], *cues[number + 1 :]]
        if fits(list(chain.from_iterable(slower))):
            cues = slower
    return cues


def fits(readings: Sequence[Reading]) -> bool:
    """Whether all can be read in order, each in its time."""
    free = 0
    for one in readings:
        free = max(free, one.wish.earliest) + one.length
        if free > one.wish.latest:
            return False
    return True


def timed(readings: Sequence[Reading]) -> Iterator[Ticks]:
    """When each is read, of such as fit: when it should be, or sooner, where it would not be over in time."""
    free = 0
    for one, last in zip(readings, latest_starts(readings), strict=True):
        start = max(free, min(one.wish.wanted, last))
        free = start + one.length
        yield start, free


def latest_starts(readings: Sequence[Reading]) -> list[int]:
    """When each has to be begun at the latest, so that it and all that follow are over in time."""
    starts: list[int] = []
    for one in reversed(readings):
        starts.append(min([one.wish.latest, *starts[-1:]]) - one.length)
    return starts[::-1]
