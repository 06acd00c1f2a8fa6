"""What the author's recordings of a lesson hold: which sentence, in which edition's words, read where."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from lessonmaker.build.own_words import Asked, Reads, in_own_words
from lessonmaker.build.sheet import Sheet
from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.workshop import Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault
from lessonmaker.files import file_digest
from lessonmaker.script.model import Lesson, Recording
from lessonmaker.script.sentences import Sentence, Wording
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.longread import read_sentences
from lessonmaker.sound.model import Audio, SentenceRead
from lessonmaker.sound.read import read_audio, sound_seconds
from lessonmaker.sound.spoken import parse_reads, reads_bytes

__all__ = ["Found", "Listener", "NotHeardError"]

LISTENED_S, AFTER_S = 0.17, 15.0
"""About how long a second of a recording takes to listen to, and a film from there on."""


@dataclass
class NotHeardError(Exception):
    """A recording has to be listened to first: all of it, or for one cue."""

    recording: Recording
    cue: int | None


@dataclass(frozen=True)
class Found:
    """A sentence's reading: in which words, in which recording, and where."""

    sentence: Sentence
    wording: Wording
    recording: Recording
    read: SentenceRead


@dataclass
class Listener:
    """Listens to a lesson's recordings, to each once.

    `own` are the author's pronunciations; `listening` is told the file's name before it is listened to. With `by_tasks`
    it never listens itself: it raises `NotHeardError`, and takes what a task has heard.
    """

    lesson: Lesson
    sheet: Sheet
    own: Mapping[str, str]
    listening: Callable[[str], None]
    by_tasks: bool = False
    audios: dict[Path, Audio] = field(default_factory=dict)
    reads: dict[tuple[Recording, int | None], Reads] = field(default_factory=dict)

    def audio(self, recording: Recording) -> Audio:
        """A recording's sound, mono.

        Raises:
            MaterialError: it cannot be read.
        """
        if recording.path not in self.audios:
            self.listening(recording.path.name)
            self.audios[recording.path] = read_audio(recording.path)
        return self.audios[recording.path]

    def found(self, sentence: Sentence, edition: str) -> Found | None:
        """The reading of a sentence in an edition's words that counts, if there is one.

        Raises:
            MaterialError: a recording cannot be read.
            NotHeardError: one has not been listened to, and tasks do that.
        """
        return self.found_wording(sentence, sentence.wording(edition), edition)

    def found_otherwise(self, sentence: Sentence, edition: str) -> Found | None:
        """A reading of a sentence in the words of other editions only."""
        own = sentence.wording(edition)
        others = (
            self.found_wording(sentence, wording, wording.editions[0])
            for wording in sentence.wordings
            if wording != own
        )
        return next((found for found in others if found is not None), None)

    def found_wording(self, sentence: Sentence, wording: Wording, edition: str) -> Found | None:
        """The reading of a wording that counts: the last in the recording that counts most."""
        asked = Asked(sentence, wording)
        for recording, cue in reversed(self.ranked(sentence.cue, edition)):
            read = self.reads_of(recording, cue).get(asked)
            if read is not None:
                return Found(sentence, wording, recording, read)
        return None

    @property
    def unheard(self) -> tuple[Fault, ...]:
        """A remark on each recording that was listened to in vain."""
        todo = "look whether it is the right file; the draft voice speaks meanwhile"
        return tuple(
            Fault(f"nothing of the script is heard in {recording.path.name}", todo, recording.place)
            for (recording, _), reads in self.reads.items()
            if not reads
        )

    def own_recordings(self, cue: int, edition: str) -> list[Recording]:
        """The recordings of a cue alone that may serve an edition, the one that counts most last."""
        return [
            one for one, of in self.ranked(cue, edition) if of is not None and one.edition in (None, edition)
        ]

    def ranked(self, cue: int, edition: str) -> list[tuple[Recording, int | None]]:
        """The recordings that may hold a cue, the one that counts most last; each with its cue, None for the lesson."""
        every = [
            *((recording, None) for recording in self.lesson.narration),
            *((recording, cue) for recording in self.lesson.cues[cue].narration),
        ]
        return sorted(every, key=lambda one: rank(one[0], edition))

    def reads_of(self, recording: Recording, cue: int | None) -> Reads:
        """The sentences that a recording holds."""
        key = recording, cue
        if key not in self.reads:
            if self.by_tasks:
                raise NotHeardError(recording, cue)
            asked = list(self.asked(recording, cue))
            self.reads[key] = reads_in(self.audio(recording), asked, recording.edition is None, self.own)
        return self.reads[key]

    def task(self, recording: Recording, cue: int | None) -> Task:
        """A recording to be listened to by a worker, for its cue or for the whole lesson."""
        asked = list(self.asked(recording, cue))
        work = partial(heard, CarriedFile(recording.path), asked, recording.edition is None, self.own)
        seconds = LISTENED_S * sound_seconds(recording.path)
        return Task(self.reads_key(recording, asked), work, "listening", seconds, AFTER_S)

    def take(self, recording: Recording, cue: int | None, part: Part) -> None:
        """Take what a task has heard."""
        asked, reads = self.asked(recording, cue), parse_reads(part.read())
        found = zip(asked, reads, strict=True)
        self.reads[recording, cue] = {one: read for one, read in found if read is not None}

    def reads_key(self, recording: Recording, asked: Sequence[Asked]) -> str:
        """The digest of all that a recording's readings depend on."""
        sentences = list(dict.fromkeys(one.sentence for one in asked))
        wordings = [[one.words for one in sentence.wordings] for sentence in sentences]
        wanted = [(sentences.index(one.sentence), one.wording.words) for one in asked]
        heard = file_digest(recording.path), recording.edition is None
        return digest_of("reads", tools_digest(), heard, wordings, wanted, dict(self.own))

    def asked(self, recording: Recording, cue: int | None) -> Iterator[Asked]:
        """What a recording may hold, in the order of the script: in its edition's words, or in those of all."""
        for index, sentences in self.sheet.sentences.items():
            for sentence in sentences if cue in (None, index) else ():
                for wording in sentence.wordings:
                    if recording.edition is None or recording.edition in wording.editions:
                        yield Asked(sentence, wording)


def reads_in(audio: Audio, asked: Sequence[Asked], any_edition: bool, own: Mapping[str, str]) -> Reads:
    """What a recording holds of some sentences; whether they may be in any edition's words."""
    reads = read_sentences(audio, [one.wording.words for one in asked], own)
    found = {one: read for one, read in zip(asked, reads, strict=True) if read is not None}
    return in_own_words(found, audio, own) if any_edition else found


def heard(recording: CarriedFile, asked: Sequence[Asked], any_edition: bool, own: Mapping[str, str]) -> bytes:
    """What a recording holds of some sentences, to be kept.

    Raises:
        MaterialError: it cannot be read.
    """
    reads = reads_in(read_audio(recording), asked, any_edition, own)
    return reads_bytes([reads.get(one) for one in asked])


def rank(recording: Recording, edition: str) -> int:
    """An edition's own recordings count over those for all, these over what other editions say alike."""
    if recording.edition is None:
        return 1
    return 2 if recording.edition == edition else 0
