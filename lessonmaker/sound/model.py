"""What the sound room hands on: samples, a take fitted to its score, narration with its word times.

Conventions: samples are float32 in -1..1, shape (frames,) mono or (frames, 2) stereo; times are seconds
from the start of the file as floats (measured values); the timeline turns them into integer ticks once.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, Literal, Protocol

import numpy as np
import numpy.typing as npt

from lessonmaker.digest import digest_of

__all__ = [
    "Anchor",
    "Audio",
    "BarTime",
    "Departure",
    "Difference",
    "Fit",
    "Narration",
    "NoteTime",
    "SentenceRead",
    "Sound",
    "WordTime",
]


class Sound(Protocol):
    """Samples and their rate as `Audio` has them, or what knows where they are to be read."""

    @property
    def samples(self) -> npt.NDArray[np.float32]:
        """Samples (frames,) or (frames, channels), float32."""

    @property
    def rate(self) -> int:
        """Their rate in Hz."""

    @property
    def content(self) -> str:
        """A digest of what is heard: equal ones mean equal samples."""

    def part(self, first: int, last: int) -> Sound:
        """Frames [first, last) of it, as many of them as there are."""


@dataclass(frozen=True)
class Audio:
    """Samples (frames,) or (frames, channels), float32, and their rate in Hz."""

    samples: npt.NDArray[np.float32]
    rate: int

    @cached_property
    def content(self) -> str:
        """A digest of it: equal ones mean equal samples."""
        return digest_of(self.samples, self.rate)

    def part(self, first: int, last: int) -> Audio:
        """Frames [first, last) of it, as many of them as there are."""
        return (
            self if first == 0 and last >= len(self.samples) else Audio(self.samples[first:last], self.rate)
        )

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return len(self.samples) / self.rate


@dataclass(frozen=True)
class BarTime:
    """When a bar starts in the take: `bar` is an index into Score.bars, `visit` the time round from 1.

    `sure` (0 to 1) is how well its notes were heard at their places.
    """

    bar: int
    visit: int
    time_s: float
    sure: float = 1.0


@dataclass(frozen=True)
class NoteTime:
    """When a struck note starts in the take; `end_s` when it stops or the next one starts."""

    note: str
    visit: int
    time_s: float
    end_s: float


@dataclass(frozen=True)
class Anchor:
    """A place that the author pinned: `place` quarters into a bar (as in `BarTime`) sounds at `time_s`."""

    bar: int
    visit: int
    place: Fraction
    time_s: float


@dataclass(frozen=True)
class Departure:
    """Where the player left the page, in a bar as in `BarTime`.

    Attributes:
        kind: "wrong" another pitch sounds, "octave" the same pitch in another octave, "missing" nothing
            sounds, "added" a note that the score does not have.
        note: The printed note's id; None for an added one.
        heard: The sounding MIDI pitch, at the take's own transposition taken back; None where it is missing.
    """

    kind: Literal["wrong", "octave", "missing", "added"]
    bar: int
    visit: int
    time_s: float
    note: str | None
    heard: int | None


@dataclass(frozen=True)
class Fit:
    """A take against its score. `bars` are in playing order; `end_s` is where the last bar ends."""

    accepted: bool
    confidence: float
    bars: tuple[BarTime, ...]
    notes: tuple[NoteTime, ...]
    end_s: float
    swing: float
    details: dict[str, Any]
    departures: tuple[Departure, ...] = ()


@dataclass(frozen=True)
class WordTime:
    """A spoken word's place in its file; `guessed` where it was filled in between its neighbours."""

    word: str
    start_s: float
    end_s: float
    guessed: bool = False


@dataclass(frozen=True)
class Difference:
    """Where the voice left the script.

    Attributes:
        kind: "left out" words of the script that are not said, "said otherwise" other words in their place,
            "said twice" words begun or said before and said again, "added" words between two of the script.
        first: The first word of the script concerned, an index into the words asked for.
        last: One past the last one; equal to `first` where words are added before it.
        heard: What was said instead, as far as it was understood.
        time_s: Where, in the recording as it was read.
    """

    kind: Literal["left out", "said otherwise", "said twice", "added"]
    first: int
    last: int
    heard: str
    time_s: float


@dataclass(frozen=True)
class SentenceRead:
    """The reading of a sentence that counts: where it lies in its recording, its words' times, what is amiss."""

    start_s: float
    end_s: float
    words: tuple[WordTime, ...]
    differences: tuple[Difference, ...]


@dataclass(frozen=True)
class Narration:
    """One cue's narration: mono samples, and a time for each spoken word asked for, in order."""

    audio: Audio
    words: tuple[WordTime, ...]
    draft: bool
    differences: tuple[Difference, ...] = ()
