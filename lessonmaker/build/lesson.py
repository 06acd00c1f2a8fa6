"""A lesson made ready: read, checked, its take fitted; what all its editions share.

Narration is made once for each wording: editions whose sentences are spoken alike share one recording.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.model import Score
from lessonmaker.script.model import Book, CheckedLesson, Lesson, PinnedPlace
from lessonmaker.sound.align.fit import fit_take
from lessonmaker.sound.model import Anchor, Audio, Fit, Narration
from lessonmaker.sound.narration import narrate
from lessonmaker.sound.pronunciation import read_pronunciations
from lessonmaker.sound.read import read_audio, require_take
from lessonmaker.sound.voice import DEFAULT_VOICE, VoiceSettings

__all__ = ["ReadyLesson", "Voice", "fit_lesson", "ready_lesson"]

SOUND_RATE = 48_000


@dataclass
class Voice:
    """The draft voice of a book, which says the same words only once."""

    settings: VoiceSettings
    said: dict[tuple[tuple[str, ...], Path | None], Narration] = field(default_factory=dict)

    @classmethod
    def of(cls, book: Book) -> Voice:
        """The book's voice with its pronunciations."""
        own = book.folder / "shared" / "pronunciations.yaml"
        words = read_pronunciations(own) if own.is_file() else {}
        return cls(VoiceSettings(voice=book.voice or DEFAULT_VOICE, own=words))

    def narrate(self, words: Sequence[str], recording: Path | None) -> Narration:
        """A cue's narration: the author's recording, else the draft voice."""
        key = (tuple(words), recording)
        if key not in self.said:
            self.said[key] = narrate(words, recording, self.settings)
        return self.said[key]


@dataclass(frozen=True)
class ReadyLesson:
    """A checked lesson with its take: `take` is stereo at 48 kHz, None where the lesson has none."""

    checked: CheckedLesson
    take: Audio | None
    fit: Fit | None

    @property
    def lesson(self) -> Lesson:
        """The lesson script."""
        return self.checked.lesson

    @property
    def name(self) -> str:
        """The lesson's name: its script's, without the ending."""
        return self.lesson.path.stem


def ready_lesson(checked: CheckedLesson) -> ReadyLesson:
    """A checked lesson with its take fitted.

    Raises:
        MaterialError: the take cannot be read, or is not of this score.
    """
    if checked.lesson.take is None:
        return ReadyLesson(checked, None, None)
    fit = fit_lesson(checked.score, checked.lesson.take, anchors_of(checked.pinned))
    if not fit.accepted:
        raise MaterialError(
            Fault(
                f"this recording does not seem to be of {checked.lesson.score.name} (confidence {fit.confidence:.0%})",
                "look whether the take belongs to this score, and try it alone: lessonmaker sync SCORE TAKE",
                checked.lesson.places.get("take", Place(checked.lesson.take)),
            )
        )
    return ReadyLesson(checked, read_audio(checked.lesson.take, SOUND_RATE, mono=False), fit)


def anchors_of(pinned: Sequence[PinnedPlace]) -> tuple[Anchor, ...]:
    """What a script pins, as the aligner takes it."""
    return tuple(Anchor(place.bar, place.visit, place.quarters, place.time_s) for place in pinned)


def fit_lesson(score: Score, take: Path, anchors: Sequence[Anchor] = ()) -> Fit:
    """A take fitted to its score; anchors pin places to times.

    Raises:
        MaterialError: the take cannot be read, is too short, or is silent.
    """
    audio = read_audio(take)
    require_take(audio, take)
    return fit_take(score, audio, anchors)
