"""A book's voice for what is spoken: recordings taken whole, and the draft voice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from lessonmaker.script.model import Book
from lessonmaker.sound.model import Narration
from lessonmaker.sound.narration import narrate
from lessonmaker.sound.pronunciation import read_pronunciations
from lessonmaker.sound.voice import DEFAULT_VOICE, VoiceSettings

__all__ = ["Voice"]


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
