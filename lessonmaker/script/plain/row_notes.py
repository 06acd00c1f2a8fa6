"""The notes that a row of degrees may be: side by side in the line, in one place only, or over a note that stays.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.analysis.model import Finding
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.motion import goes_against
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.place import Test
from lessonmaker.script.plain.plain_numbers import is_named
from lessonmaker.script.plain.verbs import MOVING

__all__ = ["MANY", "Named", "Row", "notes_of", "reach_of", "ways_of"]

MANY = 3
NEAR = 6  # notes
# What a plain number in a row may be as well: "nine, seven, five, three" of a chord with a flat nine.
COLOURS = {"9": ("b9", "#9"), "11": ("#11", "4"), "13": ("b13", "6")}


@dataclass(frozen=True)
class Named:
    """A degree that is named, and tests of the note that it may be.

    It is `coloured` where a plain number may be one that its chord alters.
    """

    claim: Claim
    tests: tuple[Test, ...] = ()
    coloured: bool = False

    def fits(self, note: Note, music: Music) -> bool:
        """Whether a note may be it."""
        if self.claim.kind == "note":
            same = note.written.name == named_note(self.claim.name)
            return same and all(test(note, music) for test in self.tests)
        return self._is_named(music.finding(note)) and all(test(note, music) for test in self.tests)

    def _is_named(self, finding: Finding) -> bool:
        """Whether it names the degree of a note."""
        more = COLOURS.get(self.claim.names[0], ()) if self.coloured else ()
        return is_named(tuple(dict.fromkeys((*self.claim.names, *more))), finding)


@dataclass(frozen=True)
class Row:
    """Degrees in their order; `strict` says for each but the first whether it follows the one before directly.

    `between` are the words from each to the next. A `tight` row is one only where its notes stand side by side; in one
    that `moves` the first note is said to go to the next; of one that is `late` only the last may be in its bar.
    """

    named: tuple[Named, ...]
    between: tuple[str, ...]
    strict: tuple[bool, ...]
    spans: tuple[Span, ...]
    located: bool
    tight: bool = False
    moves: bool = False
    late: bool = False

    @property
    def degrees(self) -> tuple[tuple[str, ...], ...]:
        """The names of each."""
        return tuple(each.claim.names for each in self.named)


def notes_of(row: Row, music: Music) -> list[Note]:
    """The notes of a row, if the line has them in one place only, near enough to each other."""
    line = music.line
    ways = [way for span in row.spans for way in ways_of(row, span, line, music)]
    if not ways:
        return _notes_over_pedal(row, music)
    least = min(reach_of(way) for way in ways)
    best = {way for way in ways if reach_of(way) == least}
    steps = next(iter(best))
    close = sum(second - first == 1 for first, second in pairwise(steps))
    known = row.located or row.tight or len(steps) >= MANY or row.moves
    enough = close == len(steps) - 1 and bool(known)
    if row.tight:
        return [line[index] for index in steps] if len(best) == 1 and enough else []
    enough = enough or (row.located and len(steps) >= MANY and close > 0)
    return [line[index] for index in steps] if len(best) == 1 and enough else []


def _notes_over_pedal(row: Row, music: Music) -> list[Note]:
    """The notes of a row between which one and the same note is struck over and over."""
    if len(row.named) < MANY or not all(row.strict):
        return []
    found: list[list[Note]] = []
    for first in (0, 1):
        voice, other = music.line[first::2], music.line[1 - first :: 2]
        for way in (way for span in row.spans for way in ways_of(row, span, voice, music)):
            notes = [voice[index] for index in way]
            between = [note for note in other if notes[0].onset < note.onset < notes[-1].onset]
            if reach_of(way) == len(way) - 1 and len({note.sounding.midi for note in between}) == 1:
                found.append(notes)
    return found[0] if len(found) == 1 else []


def _motion(words: str) -> str:
    """What is said of a motion, from its verb on."""
    verb = pattern_of(rf"\b{MOVING}\b").search(words)
    return words[verb.start() :] if verb is not None else words.strip()


def reach_of(way: Sequence[int]) -> int:
    """How far in the line the last note of a row stands from its first."""
    return way[-1] - way[0]


def ways_of(row: Row, span: Span, line: Sequence[Note], music: Music) -> list[tuple[int, ...]]:
    """The ways in which a row's degrees may follow each other in a span; the last may be the note after it.

    Where one note is said to go to the next, the first may be the note before the span.
    """
    inside = [
        i for i, note in enumerate(line) if note.onset < span.end and note.onset + note.held > span.start
    ]
    if not inside:
        return []
    ways = _ways_from(row, inside, inside, line, music)
    if ways or not row.located:
        return ways
    if row.late:
        starts = range(max(inside[0] - len(row.named) + 1, 0), inside[0])
        ways = _ways_from(row, starts, inside, line, music)
        return [way for way in ways if way[-2] < inside[0] <= way[-1]]
    return _ways_from(row, [inside[0] - 1], inside, line, music) if row.moves and inside[0] > 0 else []


def _ways_from(
    row: Row, starts: Sequence[int], inside: Sequence[int], line: Sequence[Note], music: Music
) -> list[tuple[int, ...]]:
    ends = range(min((*starts, inside[0])), min(inside[-1] + 2, len(line)))
    ways: list[tuple[int, ...]] = [(index,) for index in starts if row.named[0].fits(line[index], music)]
    for named, strict, words in zip(row.named[1:], row.strict, row.between, strict=True):
        last = named is row.named[-1] and (
            len(row.named) >= MANY or bool(named.tests) or (row.moves and row.located)
        )
        ways = [
            (*way, index)
            for way in ways
            for index in range(way[-1] + 1, way[-1] + (2 if strict else NEAR))
            if index in ends and (last or index <= inside[-1]) and named.fits(line[index], music)
            if not goes_against(_motion(words), line[way[-1]], line[index])
        ]
    return ways
