"""A book's voice for what is spoken: recordings taken whole, and the draft voice; what was told once is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.files import file_digest
from lessonmaker.script.model import Book
from lessonmaker.sound.model import Narration
from lessonmaker.sound.narration import narrate
from lessonmaker.sound.pronunciation import read_pronunciations
from lessonmaker.sound.read import CarriedFile
from lessonmaker.sound.spoken import narration_bytes, parse_narration
from lessonmaker.sound.voice import DEFAULT_VOICE, VoiceSettings

__all__ = ["Voice", "load_voice"]

WORD_S, AFTER_S = 0.02, 12.0
"""About how long the draft voice takes for a word, and a film from there on."""

Words = tuple[str, ...]


@dataclass
class Voice:
    """The voice of a lesson, which says the same words only once."""

    settings: VoiceSettings
    said: dict[tuple[Words, Path | None], Narration] = field(default_factory=dict)

    @classmethod
    def of(cls, book: Book) -> Voice:
        """The book's voice with its pronunciations.

        Raises:
            MaterialError: the pronunciations are faulty.
        """
        own = book.folder / "shared" / "pronunciations.yaml"
        words = read_pronunciations(own) if own.is_file() else {}
        return cls(VoiceSettings(voice=book.voice or DEFAULT_VOICE, own=words))

    def narrate(self, words: Sequence[str], recording: Path | None) -> Narration:
        """A cue's narration: the author's recording, else the draft voice."""
        key = (tuple(words), recording)
        if key not in self.said:
            self.said[key] = narrate(words, recording, self.settings)
        return self.said[key]

    def task(self, words: Sequence[str], recording: Path | None) -> Task:
        """A cue's narration, to be made by a worker."""
        heard = recording and file_digest(recording)
        key = digest_of("narration", tools_digest(), tuple(words), heard, self.settings)
        sent = None if recording is None else CarriedFile(recording)
        return Task(key, partial(told, tuple(words), sent, self.settings), WORD_S * len(words), AFTER_S)

    def take(self, words: Sequence[str], recording: Path | None, part: Part) -> None:
        """Take a narration that a worker has made."""
        self.said[tuple(words), recording] = parse_narration(part.read())


def load_voice() -> None:
    """Load the draft voice and what times its words: the first word takes a second."""
    told(("one.",), None, VoiceSettings())


def told(words: Words, recording: CarriedFile | None, settings: VoiceSettings) -> bytes:
    """A narration, to be kept."""
    return narration_bytes(narrate(words, recording, settings))
