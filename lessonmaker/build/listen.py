"""What the author's recordings of a lesson hold: which sentence, in which edition's words, read where."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from lessonmaker.build.own_words import Asked, Reads, in_own_words
from lessonmaker.build.sheet import Sheet
from lessonmaker.build.stamp import tools_digest
from lessonmaker.build.store import Store
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault
from lessonmaker.files import file_digest
from lessonmaker.script.model import Lesson, Recording
from lessonmaker.script.sentences import Sentence, Wording
from lessonmaker.sound.longread import read_sentences
from lessonmaker.sound.model import Audio, SentenceRead
from lessonmaker.sound.read import read_audio
from lessonmaker.sound.spoken import parse_reads, reads_bytes

__all__ = ["Found", "Listener"]


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

    `own` are the author's pronunciations; `listening` is told the file's name before it is listened to; what was heard
    is kept in `store`, if there is one.
    """

    lesson: Lesson
    sheet: Sheet
    own: Mapping[str, str]
    listening: Callable[[str], None]
    store: Store | None = None
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
            self.reads[key] = self.listen(recording, cue)
        return self.reads[key]

    def listen(self, recording: Recording, cue: int | None) -> Reads:
        """What a recording holds of its cue, or of the whole lesson, kept or heard now."""
        asked = list(self.asked(recording, cue))
        if self.store is None:
            return self.hear(recording, asked)
        key = self.reads_key(recording, asked)
        kept = self.store.get(key)
        if kept is None:
            reads = self.hear(recording, asked)
            self.store.put(key, reads_bytes([reads.get(one) for one in asked]))
            return reads
        return {one: read for one, read in zip(asked, parse_reads(kept), strict=True) if read is not None}

    def reads_key(self, recording: Recording, asked: Sequence[Asked]) -> str:
        """The digest of all that a recording's readings depend on."""
        sentences = list(dict.fromkeys(one.sentence for one in asked))
        wordings = [[one.words for one in sentence.wordings] for sentence in sentences]
        wanted = [(sentences.index(one.sentence), one.wording.words) for one in asked]
        heard = file_digest(recording.path), recording.edition is None
        return digest_of("reads", tools_digest(), heard, wordings, wanted, dict(self.own))

    def hear(self, recording: Recording, asked: Sequence[Asked]) -> Reads:
        """Listen to a recording for some sentences."""
        audio = self.audio(recording)
        reads = read_sentences(audio, [one.wording.words for one in asked], self.own)
        found = {one: read for one, read in zip(asked, reads, strict=True) if read is not None}
        return found if recording.edition is not None else in_own_words(found, audio, self.own)

    def asked(self, recording: Recording, cue: int | None) -> Iterator[Asked]:
        """What a recording may hold, in the order of the script: in its edition's words, or in those of all."""
        for index, sentences in self.sheet.sentences.items():
            for sentence in sentences if cue in (None, index) else ():
                for wording in sentence.wordings:
                    if recording.edition is None or recording.edition in wording.editions:
                        yield Asked(sentence, wording)


def rank(recording: Recording, edition: str) -> int:
    """An edition's own recordings count over those for all, these over what other editions say alike."""
    if recording.edition is None:
        return 1
    return 2 if recording.edition == edition else 0
