"""A book's voice for what is spoken: recordings taken whole, and the draft voice, breath by breath.

What was told once is kept: a sentence that another cue or edition says too, and the others of a cue in which one is
changed, are not spoken again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.files import file_digest
from lessonmaker.sound.breaths import DEFAULT_VOICE, VoiceSettings, breaths, in_one_go
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Narration
from lessonmaker.sound.spoken import narration_bytes, parse_narration

if TYPE_CHECKING:  # a tenth of a second to import
    from lessonmaker.script.model import Book

__all__ = ["Saying", "Voice", "load_voice", "sayings"]

WORD_S, AFTER_S = 0.02, 12.0
"""About how long the draft voice takes for a word, and a film from there on."""

Words = tuple[str, ...]
Saying: TypeAlias = tuple[Words, Path | None]
"""Words that are said in one go: with the recording that they are taken from, else by the draft voice."""


def sayings(words: Sequence[str], recording: Path | None) -> list[Saying]:
    """What a cue's narration is made of: its recording, or each breath of the draft voice."""
    if recording is not None:
        return [(tuple(words), recording)]
    return [(tuple(words[first:last]), None) for first, last in breaths(words)]


@dataclass
class Voice:
    """The voice of a lesson, which says the same words only once: `said` in one go, `told` as a cue."""

    settings: VoiceSettings
    said: dict[Saying, Narration] = field(default_factory=dict)
    told: dict[Saying, Narration] = field(default_factory=dict)

    @classmethod
    def of(cls, book: Book) -> Voice:
        """The book's voice with its pronunciations.

        Raises:
            MaterialError: the pronunciations are faulty.
        """
        own = book.folder / "shared" / "pronunciations.yaml"
        words: dict[str, str] = {}
        if own.is_file():
            from lessonmaker.sound.pronunciation import read_pronunciations  # half a second to import

            words = read_pronunciations(own)
        return cls(VoiceSettings(voice=book.voice or DEFAULT_VOICE, own=words))

    def narrate(self, words: Sequence[str], recording: Path | None) -> Narration:
        """A cue's narration: the author's recording, else the draft voice."""
        key = (tuple(words), recording)
        if key not in self.told:
            said = [self.say(one) for one in sayings(words, recording)]
            self.told[key] = in_one_go(said) if recording is None else said[0]
        return self.told[key]

    def say(self, saying: Saying) -> Narration:
        """What is said in one go."""
        if saying not in self.said:
            self.said[saying] = parse_narration(spoken(*saying, self.settings))
        return self.said[saying]

    def task(self, saying: Saying) -> Task:
        """What is said in one go, to be made by a worker."""
        words, recording = saying
        heard = recording and file_digest(recording)
        key = digest_of("narration", tools_digest(), words, heard, self.settings)
        sent = None if recording is None else CarriedFile(recording)
        return Task(key, partial(spoken, words, sent, self.settings), "speech", WORD_S * len(words), AFTER_S)

    def take(self, saying: Saying, part: Part) -> None:
        """Take what a worker has made."""
        if saying not in self.said:
            self.said[saying] = parse_narration(part.read())


def load_voice() -> None:
    """Load the draft voice and what times its words: the first word takes a second."""
    spoken(("one.",), None, VoiceSettings())


def spoken(words: Words, recording: Path | CarriedFile | None, settings: VoiceSettings) -> bytes:
    """A narration, to be kept."""
    from lessonmaker.sound.narration import narrate  # half a second to import, for what is told anew only

    return narration_bytes(narrate(words, recording, settings))
