"""In which edition's words a sentence was read, where a recording may hold any of them.

Editions differ in a name or two, and the recogniser is asked for all their wordings at once. A reading that
says a name otherwise than its wording is another edition's: the other wordings are then tried on that stretch alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TypeAlias

from lessonmaker.script.sentences import Sentence, Wording
from lessonmaker.sound.longread import read_sentences
from lessonmaker.sound.model import Audio, SentenceRead

__all__ = ["Asked", "Reads", "in_own_words"]

ASTRAY = ("left out", "said otherwise")
ABOUT_S = 1.2
"""Seconds about a reading that are tried with it: a name that was left out may stand before or after it."""


@dataclass(frozen=True)
class Asked:
    """A sentence in one of its wordings."""

    sentence: Sentence
    wording: Wording


Reads: TypeAlias = Mapping[Asked, SentenceRead]
Reading: TypeAlias = tuple[Asked, SentenceRead]


def in_own_words(found: Reads, audio: Audio, own: Mapping[str, str]) -> dict[Asked, SentenceRead]:
    """Readings by the wording that fits each best; a stretch of a recording is read in one wording only.

    Args:
        found: what the recogniser took for readings of the wordings.
        audio: the recording.
        own: the author's pronunciations.
    """
    kept: dict[Asked, SentenceRead] = {}
    for sentence, several in groupby(found, key=lambda one: one.sentence):
        readings: list[Reading] = []
        for one in several:
            if says_what_differs(sentence, found[one]):
                readings.append((one, found[one]))
            else:
                others = [Asked(sentence, wording) for wording in sentence.wordings if wording != one.wording]
                readings += tried_on(stretch_about(found[one], audio), others, own)
        kept |= last_ones(apart(readings))
    return kept


@dataclass(frozen=True)
class Stretch:
    """A part of a recording, and where it begins in it."""

    audio: Audio
    start_s: float


def stretch_about(read: SentenceRead, audio: Audio) -> Stretch:
    """The part of a recording that a reading lies in."""
    first = round(max(read.start_s - ABOUT_S, 0.0) * audio.rate)
    last = round((read.end_s + ABOUT_S) * audio.rate)
    return Stretch(Audio(audio.samples[first:last], audio.rate), first / audio.rate)


def tried_on(stretch: Stretch, others: Sequence[Asked], own: Mapping[str, str]) -> Iterator[Reading]:
    """The wordings that a stretch may be read in, up to the first that fits wholly."""
    for one in others:
        (read,) = read_sentences(stretch.audio, [one.wording.words], own)
        if read is not None and says_what_differs(one.sentence, read):
            yield one, later(read, stretch.start_s)
            if not read.differences:
                return


def later(read: SentenceRead, by_s: float) -> SentenceRead:
    """A reading with all its times put off."""
    return replace(
        read,
        start_s=read.start_s + by_s,
        end_s=read.end_s + by_s,
        words=tuple(
            replace(word, start_s=word.start_s + by_s, end_s=word.end_s + by_s) for word in read.words
        ),
        differences=tuple(replace(one, time_s=one.time_s + by_s) for one in read.differences),
    )


def apart(readings: Sequence[Reading]) -> list[Reading]:
    """Readings of which no two are one stretch: those that fit best; as good ones by the order of the editions."""
    kept: list[Reading] = []
    for one, read in sorted(readings, key=lambda each: (words_astray(each[1]), edition_order(each[0]))):
        if not any(overlap(read, other) for _, other in kept):
            kept.append((one, read))
    return kept


def edition_order(one: Asked) -> int:
    """The place of a wording among those of its sentence."""
    return one.sentence.wordings.index(one.wording)


def last_ones(readings: Sequence[Reading]) -> dict[Asked, SentenceRead]:
    """Of each wording the last complete reading, or that with the fewest words astray."""
    kept: dict[Asked, SentenceRead] = {}
    for one, read in sorted(readings, key=lambda each: each[1].start_s):
        before = kept.get(one)
        if before is None or words_missing(read) <= words_missing(before):
            kept[one] = read
    return kept


def says_what_differs(sentence: Sentence, read: SentenceRead) -> bool:
    """Whether the words that differ between the editions are said as in this wording, where they do differ."""
    if len(sentence.wordings) == 1:
        return True
    spoken = [wording.words for wording in sentence.wordings]
    differ = {index for index, words in enumerate(zip(*spoken, strict=True)) if len(set(words)) > 1}
    astray = {word for one in read.differences if one.kind in ASTRAY for word in range(one.first, one.last)}
    return not differ & astray


def words_astray(read: SentenceRead) -> int:
    """How many words of a reading are not as the script has them."""
    return sum(max(one.last - one.first, 1) for one in read.differences)


def words_missing(read: SentenceRead) -> int:
    """How many words of the script a reading does not have."""
    return sum(one.last - one.first for one in read.differences if one.kind in ASTRAY)


def overlap(one: SentenceRead, other: SentenceRead) -> bool:
    """Whether two readings are the same stretch of a recording."""
    return one.start_s < other.end_s and other.start_s < one.end_s
