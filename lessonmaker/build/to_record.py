"""What the author's recordings of lessons lack: sentences in an edition's words, and where they leave the script."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from lessonmaker.build.listen import Found
from lessonmaker.build.misreadings import Misreading, misreadings
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, editions_said
from lessonmaker.build.voice import Voice
from lessonmaker.faults import Fault
from lessonmaker.script.model import CheckedLesson
from lessonmaker.script.sentences import Sentence, Wording

__all__ = ["Recorded", "ToRecord", "recorded"]


@dataclass(frozen=True)
class ToRecord:
    """A sentence to be recorded in one wording; `recorded` is its reading in other editions' words, if any."""

    sentence: Sentence
    wording: Wording
    recorded: Found | None

    @property
    def edition(self) -> str:
        """The first edition that says it so: recorded for that one, it serves the others too."""
        return self.wording.editions[0]


@dataclass(frozen=True)
class Recorded:
    """How far a lesson is recorded: what is to be recorded yet, and where what is recorded leaves the script.

    `remarks` are on recordings that were listened to in vain.
    """

    checked: CheckedLesson
    to_record: tuple[ToRecord, ...]
    misreadings: tuple[Misreading, ...]
    remarks: tuple[Fault, ...]

    @property
    def seconds(self) -> float:
        """About how long it takes to say what is to be recorded."""
        return sum(one.wording.seconds for one in self.to_record)


def recorded(
    order: Order, checked: Sequence[CheckedLesson], listening: Callable[[str, str], None]
) -> Iterator[Recorded]:
    """Listen to the recordings of lessons.

    Args:
        order: what the lessons are made for.
        checked: the lessons.
        listening: told a lesson's and a recording's name before that is listened to.

    Raises:
        MaterialError: a recording cannot be read.
    """
    editions = editions_said(order)
    names = [edition.id for edition in editions]
    voice = Voice.of(order.book)
    for one in checked:
        narrator = narrator_of(one, editions, voice, partial(listening, one.lesson.path.stem))
        to_record = sentences_to_record(narrator, names)
        misread = tuple(heard_otherwise(narrator, one, names))
        yield Recorded(one, to_record, misread, narrator.listener.unheard)


def sentences_to_record(narrator: Narrator, editions: Sequence[str]) -> tuple[ToRecord, ...]:
    """What is to be recorded, in the order to read it: once through, then what differs, edition by edition.

    Args:
        narrator: the lesson's voices.
        editions: the ids of its editions.

    Raises:
        MaterialError: a recording cannot be read.
    """
    found = list(unrecorded(narrator))
    return tuple(sorted(found, key=lambda one: editions.index(one.edition)))


def unrecorded(narrator: Narrator) -> Iterator[ToRecord]:
    """The wordings that no recording has, in the order of the script."""
    for sentences in narrator.sheet.sentences.values():
        for sentence in sentences:
            for wording in sentence.wordings:
                edition = wording.editions[0]
                if not is_recorded(narrator, sentence, edition):
                    yield ToRecord(sentence, wording, narrator.listener.found_otherwise(sentence, edition))


def is_recorded(narrator: Narrator, sentence: Sentence, edition: str) -> bool:
    """Whether a recording has a sentence in an edition's words; one taken whole has all that it does not leave out."""
    plan = narrator.plan(sentence.cue, edition)
    if plan.whole is None or plan.missing:
        return narrator.listener.found(sentence, edition) is not None
    return not any(
        one.kind == "left out" and one.first <= sentence.first and sentence.last <= one.last
        for heard in narrator.heard(sentence.cue, edition)
        for one in heard.differences
    )


def heard_otherwise(
    narrator: Narrator, checked: CheckedLesson, editions: Sequence[str]
) -> Iterable[Misreading]:
    """Where the author's recordings leave the script, each place once, in the order of the script.

    Raises:
        MaterialError: a recording cannot be read.
    """
    return dict.fromkeys(
        one
        for cue in narrator.sheet.sentences
        for edition in editions
        if (say := checked.cues[cue].cue.say) is not None
        for one in misreadings(cue, say, narrator.sheet.tokens[edition][cue], narrator.heard(cue, edition))
    )
