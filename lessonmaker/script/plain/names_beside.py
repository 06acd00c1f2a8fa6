"""Names of notes that were read as nothing, between or beside some that are lit: they are the notes that stand there.

"We land on G flat, and in the next bar it has become F", "flat nine, with fifth and third before it": in the order in
which they are told, the names are those of the only notes between two that are known, or of those right after or right
before one. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import Decided
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.rows import COUNTING, loose_names
from lessonmaker.script.plain.told_chains import APPOSED, NOT_OF_IT, SAME_NOTE
from lessonmaker.script.plain.told_names import names_said
from lessonmaker.script.plain.verbs import way_of

__all__ = ["names_beside"]

OF_NOTES = ("degree", "note", "resolves", "set")
LONGEST = 80  # characters from one name to the next
FAR = 8  # notes between two that are known
# What parts two notes that stand side by side in the line as little as in the sentence.
APART = pattern_of(
    r"\b(?:like|than|between|both|twice|around|round|against|unlike|because|if|or|from|earlier|later|again(?!,)|belongs?"
    r"|relat\w+|compared?|close to|next to|called|means?|namely|listen|key|keys|letter|section|edition"
    r"|interval|apart|endings?|back to (?:bar|measure))\b|[?!\x01]"
)
# What a letter is the name of that is no note: where the harmony goes.
HARMONY = pattern_of(
    r"\b(?:chords?|dominants?|harmon\w+|major|minor|tonic|tonality|modulat\w+|changes|bass|roots?|home|turns? into"
    r"|progression|cadence|two[- ]five\w*|points?|prepares?|way|on|towards?)(?: (?:the|an?|our))? *$"
    r"|\b(?:chords?|dominants?|harmon\w+|tonality|modulat\w+|changes|bass|roots?|progression|cadence|two[- ]five\w*)\b"
)
OF_CHORD = pattern_of(r"\b(?:of|in|over|under|against|for|key) (?:(?:the|an?|our) )?$")
INDEFINITE = pattern_of(r"\b(?:an?|another|every|each|any|some|no) $")
THE = pattern_of(r"\bthe $")
IS_A_NOTE = pattern_of(
    r" (?:we|i|you|he|she|they|it|the|our|this|that|everything|becom\w+|turns?|(?:has|have) become)\b"
)
# From a name to one that was heard before it: "comes after the C"; "a C before it", "before the D we hear a C".
COMES_AFTER = pattern_of(r"\b(?:after|follow\w*|preceded|out of|left by|prepared)\b")
BEFORE_IT = pattern_of(
    r"^(?: right| just)?,? (?:before|ahead of|in front of)(?: (?:it|that|this|them)\b)?(?! (?:the|we|i)\b)"
)
BEFORE = pattern_of(r"\b(?:before|until|ahead of)(?: (?:the|that|our|this))? $", re.IGNORECASE)
FROM = pattern_of(r"^\s*from (?:(?:the|an?|that|our) )?$")
CLAUSE = pattern_of(r"[,;:]|\b(?:and|but|while|so)\b")
NO_NOTES = (-1, -1)


@dataclass(frozen=True)
class Known:
    """What was read at [first, last) of a sentence, with the first and last of its notes in the line; -1 for none."""

    first: int
    last: int
    notes: tuple[int, int]

    @property
    def is_note(self) -> bool:
        """Whether it names notes of the line."""
        return self.notes[0] >= 0


@dataclass(frozen=True)
class Unread:
    """The names of one note that were read as nothing."""

    claims: tuple[Claim, ...]

    @property
    def first(self) -> int:
        """Where its words begin."""
        return self.claims[0].first

    @property
    def last(self) -> int:
        """Where its words end."""
        return self.claims[-1].last


def names_beside(
    ground: Ground, claims: Sequence[Claim], decided: Sequence[Decided], read: Sequence[Claim]
) -> list[Claim]:
    """The names of a sentence that were read as nothing, with the notes that they have beside those that are lit.

    Args:
        ground: what is said, and of what.
        claims: what was read.
        decided: what each of them came to.
        read: the names that were read beside them.
    """
    sentence = ground.sentence
    if not read and not any(each.mention for each in decided):
        return []
    if sentence.is_question or NOT_OF_IT.search(sentence.text) or any(each.what for each in decided):
        return []
    return list(Beside(ground, claims, decided, read).found())


class Beside:
    """Finds the notes of what is unread in a sentence from those of what is known."""

    def __init__(
        self, ground: Ground, claims: Sequence[Claim], decided: Sequence[Decided], read: Sequence[Claim]
    ) -> None:
        self.ground, self.text, self.music = ground, ground.sentence.text, ground.music
        self.line = list(ground.music.line)
        self.at = {note.id: index for index, note in enumerate(self.line)}
        self.known = sorted(
            [*self._known(claims, decided), *(self._of(claim, claim.at) for claim in read)],
            key=lambda each: each.first,
        )
        self.claims = claims

    def found(self) -> Iterator[Claim]:
        """The claims of the names whose notes are found."""
        for name, index in list(self._named_twice()):
            yield from self._taken([name], [index])
        for run in list(self._runs()):
            yield from self._taken(run, self._notes(run))

    def _taken(self, run: Sequence[Unread], notes: Sequence[int]) -> Iterator[Claim]:
        """The claims of some names with their notes, which are known from now on."""
        for name, index in zip(run, notes, strict=False):
            for claim in name.claims:
                yield self.ground.set_of(claim.first, claim.last, [self.line[index]])
        self.known.append(Known(run[0].first, run[-1].last, (notes[0], notes[-1]) if notes else NO_NOTES))
        self.known.sort(key=lambda each: each.first)

    def _named_twice(self) -> Iterator[tuple[Unread, int]]:
        """The names that are said of a note that is known by another: "F, which is the five"."""
        single = [each for each in self.known if each.notes[0] == each.notes[1] >= 0]
        for name in self._unread():
            same = [each.notes[0] for each in single if self._is_told_of(name, each)]
            if same:
                yield name, same[0]

    def _is_told_of(self, name: Unread, known: Known) -> bool:
        """Whether a name is said of a note that is known, and is its name."""
        first, last = min(known.last, name.last), max(known.first, name.first)
        return self._fits(name, known.notes[0]) and _is_same(self.text[first:last])

    def _known(self, claims: Sequence[Claim], decided: Sequence[Decided]) -> Iterator[Known]:
        for claim, each in zip(claims, decided, strict=True):
            if each.says:
                ids = [lit.note for lit in each.mention.notes] if each.mention is not None else []
                yield self._of(claim, ids if claim.kind in OF_NOTES else ())

    def _of(self, claim: Claim, ids: Sequence[str]) -> Known:
        lit = [self.at[each] for each in ids if each in self.at]
        return Known(claim.first, claim.last, (lit[0], lit[-1]) if lit else NO_NOTES)

    # What is unread -----------------------------------------------------------------------------------------

    def _runs(self) -> Iterator[list[Unread]]:
        """The unread names, those together between which nothing else is told of."""
        run: list[Unread] = []
        others = [each.first for each in self.known]
        others += [each.first for each in chord_names(self.ground.sentence)]
        for name in self._unread():
            apart = any(run and run[-1].last <= each < name.first for each in others)
            if run and (apart or not self._is_near(run[-1].last, name.first)):
                yield run
                run = []
            run.append(name)
        if run:
            yield run

    def _unread(self) -> list[Unread]:
        """The names that were read as nothing, those of one note together."""
        found: list[Unread] = []
        for claim in self._names():
            between = self.text[found[-1].last : claim.first] if found else ""
            own = found[-1].claims if found else ()
            if len(own) == 1 and own[0].kind != claim.kind and _is_same(between):
                found[-1] = Unread((*own, claim))
            else:
                found.append(Unread((claim,)))
        return found

    def _names(self) -> list[Claim]:
        """The words that may name a note and were read as nothing."""
        sentence, places = self.ground.sentence, self.ground.places
        names = names_said(sentence, self.claims, places)
        numbers = [each for each in loose_names(sentence, self.claims, places) if each.detail == COUNTING]
        names += [
            each
            for each in numbers
            if THE.search(self.text[: each.first]) and IS_A_NOTE.match(self.text, each.last)
        ]
        names = [each for each in names if not (self._is_any(each) or self._is_other(each))]
        left = [c for c in names if not any(c.first < k.last and k.first < c.last for k in self.known)]
        return sorted(left, key=lambda each: each.first)

    def _is_any(self, name: Claim) -> bool:
        """Whether a degree may be an interval, or any such note: "a third"."""
        plain = name.kind == "degree" and self.text[name.first : name.last].isalpha()
        return plain and INDEFINITE.search(self.text[: name.first]) is not None

    def _is_other(self, name: Claim) -> bool:
        """Whether a letter is that of a chord or a key, or a word names beat or chord one."""
        if name.kind == "note":
            return OF_CHORD.search(self.text[: name.first]) is not None
        return self.text[name.first : name.last] in ("one", "1", "tonic")

    # Where it is --------------------------------------------------------------------------------------------

    def _notes(self, run: Sequence[Unread]) -> Sequence[int]:
        """Where in the line the notes of a run are; nothing where that is not sure."""
        before = [each for each in self.known if each.last <= run[0].first][-1:]
        after = [each for each in self.known if each.first >= run[-1].last][:1]
        left = before[0] if before and self._leads(before[0], before[0].last, run[0].first) else None
        right = after[0] if after and self._leads(after[0], run[-1].last, after[0].first) else None
        if self._is_told_already(run, left, right):
            return ()
        ways: list[tuple[int, ...]] = []
        if left is not None and right is not None:
            ways = self._between(run, left.notes[1], right.notes[0])
        ways = ways or [*self._after(run, left), *(self._start(run) or self._before(run, right))]
        ways = [way for way in dict.fromkeys(ways) if self._is_there(run, way, left, right)]
        return ways[0] if len(ways) == 1 else ()

    def _leads(self, known: Known, first: int, last: int) -> bool:
        return known.is_note and self._is_near(first, last)

    def _is_near(self, first: int, last: int) -> bool:
        """Whether the words between two names do not part them."""
        return last - first <= LONGEST and not APART.search(self.text, first, last)

    def _is_told_already(self, run: Sequence[Unread], left: Known | None, right: Known | None) -> bool:
        """Whether a name is that of a note that is known, by another name."""
        known = [each for each in (left, right) if each is not None]
        return any(
            self._fits(name, index) for name in (run[0], run[-1]) for each in known for index in each.notes
        )

    def _between(self, run: Sequence[Unread], first: int, last: int) -> list[tuple[int, ...]]:
        """The ways in which the notes of a run may follow one another between two that are known."""
        inside = range(first + 1, last)
        if len(inside) > FAR:
            return []
        ways: list[tuple[int, ...]] = [()]
        for name in run:
            ways = [
                (*way, index)
                for way in ways
                for index in inside
                if (not way or index > way[-1]) and self._fits(name, index)
            ]
        return ways

    def _after(self, run: Sequence[Unread], left: Known | None) -> list[tuple[int, ...]]:
        """The notes right after what is named before a run; those right before it where that is said."""
        if left is None or self._is_harmony(run, left):
            return []
        turned = COMES_AFTER.search(self.text, left.last, run[0].first) or BEFORE_IT.match(
            self.text[run[-1].last :]
        )
        if turned or BEFORE.search(self.text[: left.first]):
            return self._beside(run, left.notes[0] - len(run))
        return self._beside(run, left.notes[1] + 1)

    def _before(self, run: Sequence[Unread], right: Known | None) -> list[tuple[int, ...]]:
        """The notes right before what is named after a run; those right after it where that is said."""
        if right is None:
            return []
        if BEFORE_IT.match(self.text[run[-1].last :]):
            return []
        if COMES_AFTER.search(self.text, run[-1].last, right.first):
            return self._beside(run, right.notes[1] + 1)
        return self._beside(run, right.notes[0] - len(run))

    def _start(self, run: Sequence[Unread]) -> list[tuple[int, ...]]:
        """The note right before all that are known, where what is told of comes from it: "from C we climb"."""
        notes = [each.notes[0] for each in self.known if each.is_note]
        from_it = FROM.search(self.text[: run[0].first]) and len(run) == 1
        return self._beside(run, min(notes) - 1) if from_it and notes else []

    def _beside(self, run: Sequence[Unread], first: int) -> list[tuple[int, ...]]:
        way = tuple(range(first, first + len(run)))
        fits = first >= 0 and way[-1] < len(self.line)
        return [way] if fits and all(map(self._fits, run, way)) else []

    def _is_harmony(self, run: Sequence[Unread], left: Known) -> bool:
        """Whether a letter may be that of a chord or a key."""
        lettered = any(claim.kind == "note" for name in run for claim in name.claims)
        chords = any(left.last <= each.first < run[0].first for each in chord_names(self.ground.sentence))
        return lettered and (chords or HARMONY.search(self.text[left.last : run[0].first]) is not None)

    def _fits(self, name: Unread, index: int) -> bool:
        note = self.line[index]
        shown = any(span.start <= note.onset < span.end for span in self.ground.shown)
        return shown and all(Named(claim).fits(note, self.music) for claim in name.claims)

    def _is_there(
        self, run: Sequence[Unread], way: tuple[int, ...], left: Known | None, right: Known | None
    ) -> bool:
        """Whether notes go the way that is said, and are where the places beside their names are."""
        told = [
            *([(left.first, left.last, left.notes[1])] if left is not None else []),
            *((name.first, name.last, index) for name, index in zip(run, way, strict=True)),
            *([(right.first, right.last, right.notes[0])] if right is not None else []),
        ]
        clause = CLAUSE.search(self.text, told[-1][1])
        end = clause.start() if clause is not None else len(self.text)
        links = pairwise([*told, (end, end, told[-1][2])])
        return all(
            self._goes(one[2], other[2], self.text[one[1] : other[0]])
            and all(self._is_at(place, (one[2], other[2])) for place in self._places(one[1], other[0]))
            for one, other in links
        )

    def _goes(self, one: int, other: int, words: str) -> bool:
        step = self.line[other].sounding.midi - self.line[one].sounding.midi
        return one >= other or way_of(words) * step >= 0

    def _places(self, first: int, last: int) -> list[Place]:
        return [place for place in self.ground.places if first <= place.first and place.last <= last]

    def _is_at(self, place: Place, notes: Sequence[int]) -> bool:
        """Whether a place is that of one of the notes between whose names it is named."""
        if place.test is not None:
            return any(place.test(self.line[index], self.music) for index in notes)
        return not place.spans or any(
            span.start <= self.line[index].onset < span.end for index in notes for span in place.spans
        )


def _is_same(between: str) -> bool:
    """Whether words from a letter to a degree, or from that to a letter, say that they are one note."""
    return (SAME_NOTE.fullmatch(between) or APPOSED.fullmatch(between)) is not None
