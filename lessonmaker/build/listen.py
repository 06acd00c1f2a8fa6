"""What the author's recordings of a lesson hold: which sentence, in which edition's words, read where."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from lessonmaker.build.sheet import Sheet
from lessonmaker.script.model import Lesson, Recording
from lessonmaker.script.sentences import Sentence, Wording
from lessonmaker.sound.model import Audio
from lessonmaker.sound.read import read_audio

if TYPE_CHECKING:
    from lessonmaker.sound.longread import SentenceRead

__all__ = ["Found", "Listener"]

ASTRAY = ("left out", "said otherwise")


@dataclass(frozen=True)
class Asked:
    """A sentence in one of its wordings."""

    sentence: Sentence
    wording: Wording


@dataclass(frozen=True)
class Found:
    """A sentence's reading: in which words, in which recording, and where."""

    sentence: Sentence
    wording: Wording
    recording: Recording
    read: SentenceRead


Reads: TypeAlias = "Mapping[Asked, SentenceRead]"


@dataclass
class Listener:
    """Listens to a lesson's recordings, to each once.

    `own` are the author's pronunciations; `listening` is told the file's name before it is listened to.
    """

    lesson: Lesson
    sheet: Sheet
    own: Mapping[str, str]
    listening: Callable[[str], None]
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
        """Listen to a recording for the sentences of its cue, or of the whole lesson."""
        from lessonmaker.sound.longread import read_sentences

        asked = list(self.asked(recording, cue))
        audio = self.audio(recording)
        reads = read_sentences(audio, [one.wording.words for one in asked], self.own)
        found = {one: read for one, read in zip(asked, reads, strict=True) if read is not None}
        return found if recording.edition is not None else without_other_wordings(found)

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


def without_other_wordings(found: Reads) -> dict[Asked, SentenceRead]:
    """Readings without those of another edition's words: what is heard there is what fits best."""
    kept: dict[Asked, SentenceRead] = {}
    for sentence, several in groupby(found, key=lambda one: one.sentence):
        own = [one for one in several if says_what_differs(sentence, found[one])]
        taken: list[SentenceRead] = []
        for one in sorted(own, key=lambda one: words_astray(found[one])):
            if not any(overlap(found[one], other) for other in taken):
                taken.append(found[one])
                kept[one] = found[one]
    return kept


def says_what_differs(sentence: Sentence, read: SentenceRead) -> bool:
    """Whether the words that differ between the editions are said as in this wording, where they do differ."""
    if len(sentence.wordings) == 1:
        return True
    differ = {index for index, words in enumerate(zip(*spoken(sentence), strict=True)) if len(set(words)) > 1}
    astray = {word for one in read.differences if one.kind in ASTRAY for word in range(one.first, one.last)}
    return not differ & astray


def spoken(sentence: Sentence) -> Iterator[tuple[str, ...]]:
    """The words of each wording."""
    return (wording.words for wording in sentence.wordings)


def words_astray(read: SentenceRead) -> int:
    """How many words of a reading are not the script's."""
    return sum(max(one.last - one.first, 1) for one in read.differences)


def overlap(one: SentenceRead, other: SentenceRead) -> bool:
    """Whether two readings are the same stretch of a recording."""
    return one.start_s < other.end_s and other.start_s < one.end_s
