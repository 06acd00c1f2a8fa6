"""Who says a cue in an edition: the author, where recordings hold all of it in its words, else the draft voice.

Two voices never speak in one cue: where one of its sentences is not recorded, the draft voice speaks all of it. A
recording of a cue of its own is taken whole, with its pauses; from reads of the whole lesson, and where an edition
has its own reading of a sentence, the cue is put together sentence by sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lessonmaker.build.listen import Found, Listener, NotHeardError
from lessonmaker.build.sheet import Sheet, sheet_of
from lessonmaker.build.voice import Saying, Voice, sayings
from lessonmaker.score.edition import Edition
from lessonmaker.script.model import CheckedLesson, Recording
from lessonmaker.script.sentences import Sentence
from lessonmaker.script.words import voice_words
from lessonmaker.sound.joins import assembled, shortened
from lessonmaker.sound.model import Difference, Narration, WordTime

__all__ = ["Heard", "Narrator", "Told", "narrator_of"]


@dataclass(frozen=True)
class Heard:
    """A stretch of a recording (None: of the draft voice), timed as it was read, from the cue's token `first` on."""

    recording: Recording | None
    first: int
    words: tuple[WordTime, ...]
    differences: tuple[Difference, ...]


@dataclass(frozen=True)
class Told:
    """A cue's narration in an edition, what it was made of, and the sentences that no recording has."""

    narration: Narration
    heard: tuple[Heard, ...]
    missing: tuple[Sentence, ...]


@dataclass(frozen=True)
class Plan:
    """Where a cue's words come from: a recording taken whole, readings of all its sentences, or neither."""

    whole: Recording | None = None
    found: tuple[Found, ...] = ()
    missing: tuple[Sentence, ...] = ()


@dataclass
class Narrator:
    """The voices of a lesson; pauses of the author's are shortened to `longest_pause_s`, unless that is None."""

    sheet: Sheet
    voice: Voice
    listener: Listener
    longest_pause_s: float | None = None

    def tell(self, cue: int, edition: str) -> Told:
        """A cue, by index, in an edition.

        Raises:
            MaterialError: a recording cannot be read, or the draft voice is not there.
        """
        plan = self.plan(cue, edition)
        if plan.found:
            narration = assembled([(self.listener.audio(one.recording), one.read) for one in plan.found])
            return Told(self.paced(narration), tuple(map(heard_in, plan.found)), ())
        narration = self.at_once(plan.whole, cue, edition)
        heard = Heard(plan.whole, 0, narration.words, narration.differences)
        return Told(narration if narration.draft else self.paced(narration), (heard,), plan.missing)

    def paced(self, narration: Narration) -> Narration:
        """A narration of the author's with no longer pauses than the lesson asks for."""
        return narration if self.longest_pause_s is None else shortened(narration, self.longest_pause_s)

    def heard(self, cue: int, edition: str) -> tuple[Heard, ...]:
        """What the author says of a cue; nothing where the draft voice speaks it.

        Raises:
            MaterialError: a recording cannot be read.
        """
        plan = self.plan(cue, edition)
        if plan.whole is None:
            return tuple(map(heard_in, plan.found))
        narration = self.at_once(plan.whole, cue, edition)
        return (Heard(plan.whole, 0, narration.words, narration.differences),)

    def at_once(self, recording: Recording | None, cue: int, edition: str) -> Narration:
        """A cue from a recording of it, or from the draft voice."""
        words = voice_words(self.sheet.tokens[edition][cue])
        return self.voice.narrate(words, recording.path if recording else None)

    def asked(self, edition: str) -> list[Saying]:
        """What is said in the cues of an edition that are not put together from readings, each once."""
        tokens = self.sheet.tokens[edition]
        plans = {cue: self.plan(cue, edition) for cue in tokens}
        said = (
            sayings(voice_words(tokens[cue]), plan.whole.path if plan.whole else None)
            for cue, plan in plans.items()
            if not plan.found
        )
        return list(dict.fromkeys(one for some in said for one in some))

    def to_hear(self, edition: str) -> list[tuple[Recording, int | None]]:
        """The recordings, with their cues, to be listened to before it is known who says the cues of an edition.

        Others may be wanted, once these are heard; nothing where it is known, or where the listener listens itself.
        """
        wanted: dict[tuple[Recording, int | None], None] = {}
        for cue in self.sheet.tokens[edition]:
            try:
                self.plan(cue, edition)
            except NotHeardError as first:
                wanted[first.recording, first.cue] = None
        return list(wanted)

    def plan(self, cue: int, edition: str) -> Plan:
        """Where the words of a cue come from, without speaking them.

        Raises:
            NotHeardError: a recording has to be listened to first, by a task.
        """
        own = self.listener.own_recordings(cue, edition)
        if self.holds_all(own, cue, edition):
            return Plan(own[0])
        sentences = self.sheet.sentences[cue]
        found = [self.listener.found(sentence, edition) for sentence in sentences]
        missing = tuple(sentence for sentence, one in zip(sentences, found, strict=True) if one is None)
        readings = tuple(one for one in found if one is not None)
        if missing:
            return Plan(self.in_any_case(own, missing, edition), (), missing)
        return Plan(own[0]) if self.is_all_of(own, readings, edition) else Plan(None, readings)

    def holds_all(self, own: Sequence[Recording], cue: int, edition: str) -> bool:
        """Whether a cue's recordings are a single one, so clearly of these words that it is taken at its word."""
        if len(own) != 1:
            return False
        if own[0].edition is None:
            return all(len(sentence.wordings) == 1 for sentence in self.sheet.sentences[cue])
        return len(self.listener.ranked(cue, edition)) == 1

    def in_any_case(
        self, own: Sequence[Recording], missing: Sequence[Sentence], edition: str
    ) -> Recording | None:
        """A cue's only recording, where what is not found in it is not there in another edition's words either."""
        if len(own) != 1 or own[0].edition is not None:
            return None
        elsewhere = any(self.listener.found_otherwise(sentence, edition) for sentence in missing)
        return None if elsewhere else own[0]

    def is_all_of(self, own: Sequence[Recording], readings: Sequence[Found], edition: str) -> bool:
        """Whether a cue's only recording holds these readings of it and no other edition's words."""
        return (
            len(own) == 1
            and all(one.recording == own[0] for one in readings)
            and not any(self.listener.found_otherwise(one.sentence, edition) for one in readings)
        )


def heard_in(found: Found) -> Heard:
    """A sentence's reading as what was heard."""
    return Heard(found.recording, found.sentence.first, found.read.words, found.read.differences)


def silently(_recording: str) -> None:
    """Say nothing."""


def narrator_of(
    checked: CheckedLesson,
    editions: Sequence[Edition],
    voice: Voice,
    listening: Callable[[str], None] = silently,
    longest_pause_s: float | None = None,
    by_tasks: bool = False,
) -> Narrator:
    """The voices of a lesson.

    Args:
        checked: the lesson.
        editions: every edition whose words its recordings may hold.
        voice: the book's voice.
        listening: told a recording's name before it is listened to.
        longest_pause_s: the book's longest pause; the lesson's own counts over it.
        by_tasks: whether recordings are listened to by tasks alone (see `Narrator.to_hear`).
    """
    sheet = sheet_of(checked, editions)
    listener = Listener(checked.lesson, sheet, voice.settings.own, listening, by_tasks)
    return Narrator(sheet, voice, listener, checked.lesson.longest_pause_s or longest_pause_s)
