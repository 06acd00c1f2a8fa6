"""The values that notes are said to have: "D, B and C are three equal eighths", "the G at the end is a quarter".

A value that stands with notes, and is no rest and no distance, is theirs: as printed, as they sound, or until the next.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.spoken_of import (
    BESIDE_IT,
    GIVEN,
    IS,
    Subject,
    subject_after,
    subject_before,
    subjects,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import TODO, ValueWord, is_long, value_words
from lessonmaker.script.plain.verbs import MOVING

__all__ = ["values_said"]

# What stands between notes and a value that is of something else.
NOT_BETWEEN = pattern_of(
    r"\b(?:rest(?:s|ed|ing)?(?! on\b)|silen\w+|after\w*|before|early|late\w*|ahead|wait\w*|within|every"
    r"|per|by|apart"
    r"|another|others?|next|last|first|second|third|final|above|below|anticipat\w+|push\w*|until|till"
    r"|around|into|over|across"
    r"|less|more|than|except|but|not|no|nothing|to|from|via|with|pulse|grid|beats?|bars?|against|behind"
    r"|follow\w*|come|comes"
    rf"|tied|ties|plus|like|down|up|through|below|above|then|starts?|begins?|opens?|ends?|ending"
    rf"|{MOVING})\b"
)
IN_VALUES = pattern_of(
    r"\bin (?:straight |even |plain |steady |all |slow |quick |running |nothing but |pure )*$"
)
IN_MOTION = pattern_of(r"\b(?:in|as) (?:[a-z]+ ){0,2}$|\bgo(?:es)? (?:by|past)\b")
NOT_AFTER = pattern_of(
    r"[ -](?:early|late|later|earlier|ahead|behind|away|off|out|rests?|of|pulse|grid|feel"
    r"|lead|pick-?ups?|anticipations?"
    r"|apart|too|in advance|tones?|sooner|equals?|worth|tempo|subdivi\w+|value|to spare|times?|figures?"
    r"|runs?|or|tied|from|below"
    r"|above|higher|lower)\b"
)
# "Everything is an eighth, even the E flat".
EVEN = pattern_of(r",? (?:even|including) (?:(?:the|that|this|our) )?")


def values_said(told: Told) -> Iterator[Untrue]:
    """Notes that are said to have a value, where one of them has it by no name."""
    found = subjects(told)
    for word in value_words(told.text):
        if NOT_AFTER.match(told.text, word.last):
            continue
        subject = _subject(told, word, found)
        named = subject is not None and not subject.lit
        wrong = _not_so(told, subject, word) if subject is not None and named else _none_in(told, word)
        if wrong:
            yield Untrue(word.named, word.last, is_long(wrong[0], told), TODO)


def _not_so(told: Told, subject: Subject, word: ValueWord) -> list[Note]:
    """The notes that have not the value that each of some is said to have."""
    return [notes[0] for notes in subject.notes if not any(_has_value(told, word, note) for note in notes)]


def _none_in(told: Told, word: ValueWord) -> list[Note]:
    """The notes that were lit in the same part of a sentence, and go "in quarters", where none has that value."""
    first = told.part_of(word.first)[0]
    if word.count or not IN_VALUES.search(told.text[first : word.first]):
        return []
    lit = [each for each in told.shown if first <= each.first and each.last <= word.first]
    notes = [note for each in lit if each.device is None for note in each.notes]
    return notes if not any(_has_value(told, word, note) for note in notes) else []


def _subject(told: Told, word: ValueWord, found: Sequence[Subject]) -> Subject | None:
    """The notes that a value is said of: those before it, else those right after."""
    before = subject_before(told, word.first, found)
    if before is not None:
        between = told.text[before.last : word.first]
        several = word.count < 2 or word.count == len(before.notes)
        if BESIDE_IT.match(told.text, word.last) and not IS.search(between):
            return None
        said = not NOT_BETWEEN.search(GIVEN.sub(" ", IN_MOTION.sub(" ", between))) and len(between) > 1
        return before if said and several and between.strip() != "," else None
    after = next((each for each in found if EVEN.fullmatch(told.text, word.last, each.first)), None)
    if after is not None:
        return after if all(after.notes) else None
    after = subject_after(told, word.last, found)
    return after if after is not None and word.count in (0, len(after.notes)) else None


def _has_value(told: Told, word: ValueWord, note: Note) -> bool:
    """Whether a note, or what is tied to it, has a value."""
    tied = (
        each
        for each in told.music.score.notes
        if each.tied_on
        and each.sounding.midi == note.sounding.midi
        and note.onset < each.onset < note.onset + note.held
    )
    return any(word.fits(each, told) for each in (note, *tied))
