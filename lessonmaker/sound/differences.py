"""What was said instead of the script, word by word, and where the words that were said lie.

What free listening heard otherwise is only a suspicion: the recogniser then chooses between the script and what was
heard instead, in the same stretch of sound, and the script has the benefit of the doubt.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal, TypeAlias

from lessonmaker.sound.hearing import Choice, Heard, Samples, choose, known, sounds_like
from lessonmaker.sound.model import Audio, Difference, WordTime
from lessonmaker.sound.passes import Item
from lessonmaker.sound.recogniser import RECOGNISER_RATE
from lessonmaker.sound.words import time_words

__all__ = ["Part", "Telling", "told"]

Kind: TypeAlias = Literal["left out", "said otherwise", "said twice", "added"]

BEFORE_S, AFTER_S = 0.15, 0.25
"""Silence listened to about a stretch of speech."""

SHORTEST_ADDED_S = 0.2
"""Shorter words that seem to be added are breaths and mouth sounds."""


@dataclass(frozen=True)
class Part:
    """A spoken word of the script: its name in the dictionary, and the written word it belongs to, by index."""

    name: str
    owner: int


@dataclass(frozen=True)
class Slot:
    """Parts [first, last) of the script, and what was heard there; `twice` where it is said again afterwards.

    Where it is, `first` and `last` are the parts that are said again, and nothing of the script is said here.
    """

    first: int
    last: int
    heard: tuple[Heard, ...]
    twice: bool = False
    as_written: bool = False


@dataclass(frozen=True)
class Telling:
    """Script words as they were told: a time for each, and where the voice left the script."""

    words: tuple[WordTime, ...]
    differences: tuple[Difference, ...]

    @property
    def complete(self) -> bool:
        """Whether every word of the script was said."""
        return self.missing == 0

    @property
    def missing(self) -> int:
        """How many written words were left out or said otherwise."""
        astray = (one for one in self.differences if one.kind in ("left out", "said otherwise"))
        return sum(one.last - one.first for one in astray)


def told(
    speech: Samples,
    words: Sequence[str],
    parts: Sequence[Part],
    heard: Sequence[Heard],
    items: Sequence[Item],
    own: Mapping[str, str] | None,
) -> Telling:
    """How a stretch of script was told.

    Args:
        speech: The recording, as `at_hearing_rate` gives it.
        words: The written words of the stretch.
        parts: What is to be said for them.
        heard: What was heard in the recording.
        items: Which of it stands for which part, in order of time; not empty.
        own: The author's own pronunciations.
    """
    start_s = max(0.0, heard[items[0].heard].start_s - BEFORE_S)
    end_s = heard[items[-1].heard].end_s + AFTER_S
    stretch = speech[round(start_s * RECOGNISER_RATE) : round(end_s * RECOGNISER_RATE)]
    slots = list(_slots(parts, heard, items))
    if not all(slot.as_written for slot in slots):
        slots = _judged(stretch, parts, slots)
    times = _times(stretch, start_s, words, parts, slots, own)
    return Telling(times, tuple(_differences(parts, slots, times)))


def _slots(parts: Sequence[Part], heard: Sequence[Heard], items: Sequence[Item]) -> Iterator[Slot]:
    """The stretch as slots in order of time: parts as written one by one, and between them all that is not."""
    at = 0
    other: list[Heard] = []
    for twice, group in groupby(items, key=lambda item: item.twice):
        run = list(group)
        if twice:
            yield from _slot(at, at, other)
            other = []
            yield _repeated(run, heard)
            continue
        for item in run:
            word = heard[item.heard]
            if item.word is None or not _alike(parts[item.word], word):
                other.append(word)
                continue
            yield from _slot(at, item.word, other)
            yield Slot(item.word, item.word + 1, (word,), as_written=True)
            at, other = item.word + 1, []
    yield from _slot(at, len(parts), other)


def _slot(first: int, last: int, heard: Sequence[Heard]) -> Iterator[Slot]:
    if first < last or heard:
        yield Slot(first, last, tuple(heard))


def _repeated(run: Sequence[Item], heard: Sequence[Heard]) -> Slot:
    """What is said again later; a run without words of the script is part of one that has some."""
    said = [item.word for item in run if item.word is not None]
    return Slot(min(said), max(said) + 1, tuple(heard[item.heard] for item in run), twice=True)


def _alike(part: Part, heard: Heard) -> bool:
    return sounds_like(part.name) == sounds_like(heard.name)


# The contest --------------------------------------------------------------------------------------------


def _judged(stretch: Samples, parts: Sequence[Part], slots: Sequence[Slot]) -> list[Slot]:
    """The slots as they are after the script has had the benefit of the doubt."""
    choices = [_choice(parts, slot) for slot in slots]
    names = [word.name for word in choose(stretch, choices)]
    taken = _taken(names, choices)
    if taken is None:
        return list(slots)
    return [one for slot, other in zip(slots, taken, strict=True) for one in _settled(slot, other)]


def _choice(parts: Sequence[Part], slot: Slot) -> Choice:
    script = () if slot.twice else tuple(part.name for part in parts[slot.first : slot.last])
    return Choice(script, script if slot.as_written else tuple(word.name for word in slot.heard))


def _settled(slot: Slot, other: bool) -> list[Slot]:
    """A slot that stays as it was heard, or is as the script has it."""
    if other or slot.as_written:
        return [slot]
    if slot.twice:
        return []
    return [Slot(part, part + 1, slot.heard, as_written=True) for part in range(slot.first, slot.last)]


def _taken(names: Sequence[str], choices: Sequence[Choice]) -> list[bool] | None:
    """Which choices went to their other reading, by the words that were heard; None if no way gives these words."""
    ways: dict[int, list[bool]] = {0: []}
    for choice in choices:
        onward: dict[int, list[bool]] = {}
        for at, path in ways.items():
            for other, said in ((False, choice.likely), (True, choice.other)):
                if tuple(names[at : at + len(said)]) == said:
                    onward.setdefault(at + len(said), [*path, other])
        ways = onward
    return ways.get(len(names))


# Times --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Said:
    """A word as it was said, for timing: its text, and the written word it belongs to; None for none.

    `instead` where it stands in that word's place.
    """

    text: str
    owner: int | None
    instead: bool = False


def _times(
    stretch: Samples,
    start_s: float,
    words: Sequence[str],
    parts: Sequence[Part],
    slots: Sequence[Slot],
    own: Mapping[str, str] | None,
) -> tuple[WordTime, ...]:
    """A time for each written word: all that was said is timed together, what was not is filled in."""
    said = _transcript(words, parts, slots)
    timed = time_words(Audio(stretch, RECOGNISER_RATE), [one.text for one in said], own)
    spans: list[WordTime | None] = [None] * len(words)
    for one, time in zip(said, timed, strict=True):
        if one.owner is not None:
            spans[one.owner] = _united(
                spans[one.owner],
                words[one.owner],
                replace(time, guessed=time.guessed or one.instead),
                start_s,
            )
    return tuple(_filled(words, spans, start_s))


def _united(span: WordTime | None, word: str, time: WordTime, start_s: float) -> WordTime:
    first = time.start_s + start_s if span is None else span.start_s
    guessed = time.guessed or (span is not None and span.guessed)
    return WordTime(word, first, time.end_s + start_s, guessed)


def _transcript(words: Sequence[str], parts: Sequence[Part], slots: Sequence[Slot]) -> list[Said]:
    """What was said in order; a written word of which all parts are said stands as it is written."""
    as_written = {slot.first for slot in slots if slot.as_written}
    broken = {part.owner for index, part in enumerate(parts) if index not in as_written}
    said: list[Said] = []
    for slot in slots:
        if not slot.as_written:
            said += _instead(parts, slot)
            continue
        owner = parts[slot.first].owner
        if owner in broken:
            said.append(Said(parts[slot.first].name.partition("=")[0], owner))
        elif not said or said[-1].owner != owner or said[-1].instead:
            said.append(Said(words[owner], owner))
    return said


def _instead(parts: Sequence[Part], slot: Slot) -> Iterator[Said]:
    """What was said besides the script; in the place of its words, where there are some."""
    owners = [] if slot.twice else sorted({part.owner for part in parts[slot.first : slot.last]})
    for index, word in enumerate(slot.heard):
        yield Said(word.text, owners[min(index, len(owners) - 1)] if owners else None, instead=True)


def _filled(words: Sequence[str], spans: Sequence[WordTime | None], start_s: float) -> Iterator[WordTime]:
    """The words that were not said lie, as guesses, where the one before them ends or the first one starts."""
    at = next((span.start_s for span in spans if span is not None), start_s)
    for word, span in zip(words, spans, strict=True):
        yield span or WordTime(word, at, at, guessed=True)
        at = span.end_s if span else at


# Report -------------------------------------------------------------------------------------------------


def _differences(
    parts: Sequence[Part], slots: Sequence[Slot], times: Sequence[WordTime]
) -> Iterator[Difference]:
    for slot in slots:
        kind = None if slot.as_written else _kind(parts, slot)
        if kind is None:
            continue
        first, last = _owners(parts, slot, len(times))
        time_s = slot.heard[0].start_s if slot.heard else times[first].start_s
        yield Difference(kind, first, last, " ".join(word.text for word in slot.heard), time_s)


def _kind(parts: Sequence[Part], slot: Slot) -> Kind | None:
    """What happened; None where it is not sure enough to be told."""
    if slot.twice:
        return "said twice"
    if slot.first == slot.last:
        long = sum(word.end_s - word.start_s for word in slot.heard) >= SHORTEST_ADDED_S
        return "added" if long else None
    if not slot.heard:
        return "left out"
    guesswork = not any(known(part.name) for part in parts[slot.first : slot.last])
    return None if guesswork else "said otherwise"


def _owners(parts: Sequence[Part], slot: Slot, count: int) -> tuple[int, int]:
    """The written words [first, last) that a slot concerns."""
    first = parts[slot.first].owner if slot.first < len(parts) else count
    return first, parts[slot.last - 1].owner + 1 if slot.last > slot.first else first
