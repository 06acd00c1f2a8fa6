"""How many notes a loop or a group has that comes again and again, and which. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.letters import pitch_class, pitch_classes
from lessonmaker.script.plain.crosscheck.loose_letters import letter_rows
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.vocabulary import CARDINAL, NUMBER, number_of

__all__ = ["cells_counted"]

CELL = r"(?:loops?|cells?|groups?|groupings?|figures?|patterns?|motifs?|units?|ostinatos?|shapes?)"
LOOPS = pattern_of(
    r"\b(?:loop\w*|cycl\w*|ostinato|going round|goes round|coming round|comes round|round and round|over and over"
    r"|again and again|back and forth|in (?:twos|threes|fours|fives|sixes)"
    r"|keeps? (?:repeating|going|coming)|kept|alternat\w*|groups? of)\b"
)
SIZED = (
    pattern_of(
        rf"\b{CELL},?(?: (?:that's|that is|which is|is|of|just|only))* (?P<size>{NUMBER})[ -]"
        r"(?:notes?|pitches|eighths|eighth notes)(?: long)?\b"
    ),
    pattern_of(rf"(?<![\w-])(?P<size>{NUMBER})[- ](?:note|pitch) {CELL}\b"),
    pattern_of(rf"\bgroups? of (?P<size>{NUMBER})\b(?! (?:beats?|bars?|measures?|chords?|quarters?)\b)"),
)
COUNTED = pattern_of(
    rf"(?<![\w-])(?P<count>{CARDINAL}) (?:\w+ )?groups of (?P<size>{NUMBER})\b(?! (?:beats?|bars?)\b)"
)
IN_THREES = pattern_of(r"\b(?:in|by) (?P<size>twos|threes|fours|fives|sixes)\b")
SAID = {"twos": 2, "threes": 3, "fours": 4, "fives": 5, "sixes": 6}
LONGEST = 8  # notes of a group
EIGHTH = Fraction(1, 2)
MOSTLY = Fraction(3, 5)  # how many of the notes in sight a loop takes up at least


@dataclass(frozen=True)
class Loop:
    """Notes that come again after `size` notes, from `first` on, so many."""

    size: int
    first: int
    count: int


def cells_counted(told: Told) -> Iterator[Untrue]:
    """Groups that have another number of notes, or other notes, than is said."""
    if LOOPS.search(told.text) is not None:
        yield from _sized(told)
        yield from _too_many(told)
        yield from _named(told)


def _loop(notes: Sequence[Note], *, exact: bool = False) -> Loop | None:
    """The shortest group that comes again for most of some notes, note for note or else by its ways up and down."""
    pitches = [note.sounding.midi for note in notes]
    found = [loop for loop in (_longest(pitches, size, 2) for size in range(2, LONGEST + 1)) if loop]
    ways = [_longest(_steps(pitches), size, 3) for size in range(3, LONGEST + 1) if not exact]
    found += [Loop(loop.size, loop.first, loop.count + 1) for loop in ways if loop]
    filling = [loop for loop in found if loop.count >= MOSTLY * len(notes)]
    return min(filling, key=lambda loop: loop.size, default=None)


def _steps(pitches: Sequence[int]) -> list[int]:
    return [(later > one) - (later < one) for one, later in pairwise(pitches)]


def _longest(values: Sequence[int], size: int, times: int) -> Loop | None:
    """The longest stretch in which values come again after so many, if it is more than `times` groups long."""
    best, start = None, 0
    for at in range(size, len(values) + 1):
        if at < len(values) and values[at] == values[at - size]:
            continue
        length = at - start
        group = values[start : start + size]
        if (
            length > times * size - (times > 2)
            and len(set(group)) > 1
            and (best is None or length > best.count)
        ):
            best = Loop(size, start, length)
        start = at - size + 1
    return best


def _sized(told: Told) -> Iterator[Untrue]:
    """The sizes that are said of groups and fit none."""
    for pattern in (*SIZED, IN_THREES):
        for match in pattern.finditer(told.text):
            notes, size = told.line_at(match.start()), SAID.get(match["size"]) or number_of(match["size"])
            loop = _loop(notes)
            if loop is None:
                continue
            fitting = _sizes(notes, loop)
            if not pattern_of(r"notes?|pitch|eighth").search(match[0]):
                fitting |= _beats(told, notes, loop)
            if size in fitting or size % loop.size == 0 or size < 2 or _may_be(notes, size):
                continue
            words = told.sentence.words(*match.span())
            what = f"“{words}”: what comes again there is {number_words(loop.size)} notes long"
            fact = told.is_fact(*match.span())
            yield Untrue(*match.span(), what, "say how many notes it has", meant=fact)


def _too_many(told: Told) -> Iterator[Untrue]:
    """More groups than there is room for, one that is cut short being counted as well: "seven groups of three"."""
    for match in COUNTED.finditer(told.text):
        lit = told.shown_at(*match.span())
        size, count = number_of(match["size"]), number_of(match["count"])
        loop = _loop(lit.notes) if lit is not None else None
        if lit is None or loop is None or loop.size != size:
            continue
        room = -(-len(lit.notes) // size)
        if count > room:
            words = told.sentence.words(*match.span())
            what = f"“{words}”: there is room for {number_words(room)} at most"
            yield Untrue(*match.span(), what, "say how many there are", meant=told.is_fact(*match.span()))


def _sizes(notes: Sequence[Note], loop: Loop) -> set[int]:
    """What the length of a loop may be called: its notes, those that differ, and how many eighths it lasts."""
    group = notes[loop.first : loop.first + loop.size]
    after = notes[loop.first + loop.size : loop.first + loop.size + 1]
    eighths = {int((note.onset - group[0].onset) / EIGHTH) for note in after}
    return {loop.size, len({note.sounding.midi for note in group})} | eighths


def _beats(told: Told, notes: Sequence[Note], loop: Loop) -> set[int]:
    """How many beats a loop lasts: "in twos"."""
    group = notes[loop.first : loop.first + loop.size + 1]
    unit = told.music.score.bars[group[0].bar].metre.unit_quarters
    lasts = (group[-1].onset - group[0].onset) / unit
    return {int(lasts)} if len(group) > loop.size and lasts.denominator == 1 else set()


def _may_be(notes: Sequence[Note], size: int) -> bool:
    """Whether something comes again after so many notes, by ways or by rhythm, at least once."""
    pitches = [note.sounding.midi for note in notes]
    lengths = [int((later.onset - one.onset) * 24) for one, later in pairwise(notes)]
    rows: list[Sequence[int]] = [_steps(pitches), lengths, pitches]
    return any(_longest(row, size, 2) is not None for row in rows if len(set(row)) > 1)


def _named(told: Told) -> Iterator[Untrue]:
    """Notes that are named as those that come again, of which one is another."""
    for row in letter_rows(told.sentence):
        notes = told.line_at(row[0].first)
        loop = _loop(notes, exact=True)
        if loop is None:
            continue
        group = notes[loop.first : loop.first + loop.size]
        own = pitch_classes(group)
        names = list(dict.fromkeys(f"{note.written.name}" for note in group))
        other = [letter for letter in row if pitch_class(letter) not in own]
        if len(row) != len(names) or len(other) != 1:
            continue
        words = told.sentence.words(other[0].first, other[0].last)
        what = f"“{words}”: the notes that come again there are {', '.join(names)}"
        yield Untrue(other[0].first, other[0].last, what, "name the notes that are there")
