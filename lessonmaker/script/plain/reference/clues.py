"""What speaks for a name meaning a note, for its meaning none, and for one note after another: short texts.

The weight of each is learned. A clue joins what is so in the score ("first of bar") with words of the sentence
("begins on"), so that no letter's or number's own name matters: labels are the same in every edition.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.reference.facts import ENDS, Facts
from lessonmaker.script.plain.reference.names import Name
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import CARDINALS

__all__ = ["Clues"]

WORD = pattern_of(r"[a-z#']+|\d+|[,;:.]")
BREAK = pattern_of(r"[;:,.]")
COMMON = frozenset(
    (
        "the",
        "a",
        "an",
        "of",
        "is",
        "it",
        "its",
        "and",
        "to",
        "that",
        "this",
        "in",
        "on",
        "at",
        ",",
        ".",
        ";",
        ":",
    )
)
MANY = 4  # notes that fit, and no more
NEAR = 4  # words on either side of a name
SHORT = 6  # words between two names
LONG = 8


def words_in(text: str) -> list[str]:
    """The words and marks of a text, with one and the same for all numbers."""
    return ["N" if word in CARDINALS or word.isdecimal() else word for word in WORD.findall(text)]


@dataclass(frozen=True)
class Around:
    """A name with the words around it: nearest first `before` it, `after` it, and those of its `clause`."""

    name: Name
    before: Sequence[str]
    after: Sequence[str]
    clause: frozenset[str]


@dataclass(frozen=True)
class Clues:
    """The clues of a sentence with its names and places; `facts` are those of the notes in sight.

    `inside` has for each place the places in the line of the notes that are there.
    """

    sentence: Sentence
    names: Sequence[Name]
    places: Sequence[Place]
    inside: Sequence[frozenset[int]]
    facts: Facts

    @cached_property
    def _around(self) -> list[Around]:
        return [self._words_around(name) for name in self.names]

    def _words_around(self, name: Name) -> Around:
        text, first, last = self.sentence.text, name.claim.first, name.claim.last
        before, after = words_in(text[:first])[-NEAR:][::-1], words_in(text[last:])[:NEAR]
        start = max((match.end() for match in BREAK.finditer(text, 0, first)), default=0)
        end = BREAK.search(text, last)
        clause = f"{text[start:first]} {text[last : end.start() if end else len(text)]}"
        return Around(name, before, after, frozenset(words_in(clause)) - COMMON)

    # Of no note ---------------------------------------------------------------------------------------------

    def of_none(self, which: int) -> Iterator[str]:
        """What speaks for a name's meaning no note that is to be lit."""
        around = self._around[which]
        name, before, after, kind = around.name, around.before, around.after, around.name.kind
        words = self.sentence.text[name.claim.first : name.claim.last]
        signed = "signed" if " " in words else "plain"
        fits = min(len(name.notes), MANY)
        yield from (f"none {kind}", f"none {kind} {fits} {signed}")
        yield f"none asked {self.sentence.is_question}"
        yield f"none of {'one' if len(self.names) == 1 else 'many'}"
        yield from (f"none chord {name.of_chord}", f"none plain {kind} {name.plain}")
        yield f"none plain {kind} {name.plain} {fits}"
        yield f"none number {words}" if kind != "letter" else f"none letter {signed}"
        yield from (f"none {at} before {kind} {word}" for at, word in enumerate(before[:3]))
        yield from (f"none {at} after {kind} {word}" for at, word in enumerate(after[:3]))
        yield f"none before {kind} {' '.join(before[:2])}"
        yield f"none after {kind} {' '.join(after[:2])}"
        yield f"none between {' '.join(before[:1])}_{' '.join(after[:1])}"
        yield from (f"none with {word}" for word in self._all_words)
        yield from (f"none in {other} {kind}" for other in name.kinds)

    @cached_property
    def _all_words(self) -> frozenset[str]:
        return frozenset(words_in(self.sentence.text))

    # Of a note ----------------------------------------------------------------------------------------------

    def of_note(self, which: int, index: int) -> Iterator[str]:
        """What speaks for a name's meaning the note at a place of the line."""
        around = self._around[which]
        name, kind = around.name, around.name.kind.split()[0]
        several = len(name.notes) > 1
        yield from (f"note {kind}", f"note {kind} {min(len(name.notes), MANY)}")
        yield from self._in_places(which, index)
        for fact in self.facts.of(index):
            yield f"note is {fact}"
            yield f"note {kind} {several} is {fact}"
            yield from (f"note is {fact} before {word}" for word in around.before)
            yield from (f"note is {fact} after {word}" for word in around.after)
            if fact.startswith(ENDS):
                yield from (f"note is {fact} with {word}" for word in around.clause)
        if several:
            rank = f"{index == name.notes[0]} {index == name.notes[-1]}"
            yield f"note rank {rank}"
            yield from (f"note rank {rank} before {word}" for word in around.before[:2])
            yield from (f"note rank {rank} after {word}" for word in around.after[:2])

    def _in_places(self, which: int, index: int) -> Iterator[str]:
        """Whether a note is in the places that are named about a name."""
        for label, inside in self._places_of[which]:
            yield f"note {label} {index in inside}"

    @cached_property
    def _places_of(self) -> list[list[tuple[str, frozenset[int]]]]:
        return [[*self._bars(name), *self._others(name)] for name in self.names]

    def _bars(self, name: Name) -> Iterator[tuple[str, frozenset[int]]]:
        """The bars that are named last before a name or first after it, and those that its clause goes on to."""
        text, first, last = self.sentence.text, name.claim.first, name.claim.last
        bars = [(p, i) for p, i in zip(self.places, self.inside, strict=True) if p.level == "bar" and p.spans]
        before = [pair for pair in bars if pair[0].last <= first]
        after = [pair for pair in bars if pair[0].first >= last]
        if before:
            place, inside = before[-1]
            yield f"bar before {min(len(words_in(text[place.last : first])) // 4, 3)}", inside
        elif after:
            place, inside = after[0]
            only = "only" if len(after) == 1 else "first"
            yield f"{only} bar after {min(len(words_in(text[last : place.first])) // 4, 3)}", inside
        if after and not BREAK.search(text, last, after[0][0].first):
            yield "bar of clause", after[0][1]

    def _others(self, name: Name) -> Iterator[tuple[str, frozenset[int]]]:
        """Beats and chords that are named beside a name."""
        first, last = name.claim.first, name.claim.last
        for place, inside in zip(self.places, self.inside, strict=True):
            after = place.first >= last
            if place.level == "bar" or not (after or place.last <= first):
                continue
            start, end = (last, place.first) if after else (place.last, first)
            gap = self.sentence.text[start:end]
            parted = any(start <= n.claim.first and n.claim.last <= end for n in self.names)
            count = len(words_in(gap))
            far = "beside" if count <= 1 else "near" if count <= NEAR else "far"
            side = "after" if after else "before"
            yield f"{place.level} {side} {far} {parted} {bool(BREAK.search(gap))}", inside

    # Of one note after another --------------------------------------------------------------------------------

    def of_pair(self, one: int, index: int, other: int, later: int) -> Iterator[str]:
        """What speaks for the name `other` meaning the note `later`, where `one` before it means the note `index`."""
        relation, chord = self.facts.relation(index, later), self.facts.chords_apart(index, later)
        yield from (f"pair {relation}", f"pair chord {chord} {relation}")
        interval = self.facts.interval(index, later)
        yield f"pair {interval}"
        words, told = self._between[one, other]
        if self.facts.is_resolution(index, later):
            yield "pair resolution"
            yield from (f"pair resolution by {word}" for word in words)
        yield from (f"pair {relation} {each}" for each in told)
        for word in words:
            yield from (f"pair {relation} by {word}", f"pair chord {chord} by {word}")
            yield from (f"pair {interval} by {word}", f"pair {relation} {self._kinds(one, other)} by {word}")
        yield from (f"pair {relation} before {word}" for word in self._around[one].before[:2])
        yield from (f"pair {relation} after {word}" for word in self._around[other].after[:2])
        yield from (f"pair chord {chord} after {word}" for word in self._around[other].after)

    def _kinds(self, one: int, other: int) -> str:
        return f"{self.names[one].kind}, {self.names[other].kind}"

    @cached_property
    def _between(self) -> dict[tuple[int, int], tuple[Sequence[str], Sequence[str]]]:
        """For each two names the words between them, once each, and what is to be said of these together."""
        count = len(self.names)
        return {(one, other): self._told(one, other) for other in range(count) for one in range(other)}

    def _told(self, one: int, other: int) -> tuple[Sequence[str], Sequence[str]]:
        words = words_in(self.sentence.text[self.names[one].claim.last : self.names[other].claim.first])
        kinds = self._kinds(one, other)
        told = [kinds, f"{other - one} on", f"{min(len(words), LONG)} words"]
        if len(words) <= SHORT:
            told += [f"by all {' '.join(words)}", f"by all {kinds} {' '.join(words)}"]
        if words:
            told += [f"by first {' '.join(words[:2])}", f"by last {' '.join(words[-2:])}"]
        return sorted(set(words)), told
