"""Which way something is said to go: "it leaps up to the B", where it falls; "the line ascends", where it descends.

Common practice, no source. False only where no note that may be meant goes that way to any that it may go to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.move_words import COMPARED, ONE_MOVE
from lessonmaker.script.plain.crosscheck.moves import (
    Move,
    Thing,
    goals_of,
    moves_said,
    speaks_of_a_chord,
    things_in,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue

__all__ = ["OTHER_SUBJECT", "ways"]

FAR, FEWEST = 3, 3
OCTAVE_AWAY = 9  # semitones of a step that may be heard as one the other way, put into another octave
# What somebody lets fall or raises: "drops a quick arpeggio".
SOMETHING = pattern_of(
    r" (?:in )?an? (?:[\w-]+ )?(?:arpeggio|chord|figure|hint|lick|line|note|phrase|riff|run|triad|triplet)\b"
)
# What goes some way: the line, or (OTHER_SUBJECT) what is no line.
# After a row of notes: it is what comes next that goes so.
GOES_ON = pattern_of(r"\b(?:from|then|next|before|until|after|finally|last|end\w*|it|which|where)\b")
IS_A = pattern_of(r"\b(?:is|are|was|'s|with|has|makes) (?:an?|the|one|our)\b")
OTHER_SUBJECT = pattern_of(
    r"(?:chords?|harmon\w+|bass|roots?|keys?|dominants?|changes|progression|tension|energy|volume|dynamics?|centre|center|sub"
    r"|intervals?|fingers?|hands?|tempo|sounds?|temperature|heat|mood|dust|curtain|brightness|register|two[ -]five\w*)"
)
SUBJECT = pattern_of(
    rf"\b({OTHER_SUBJECT.pattern}|line|melody|phrase|we|you|i|it|bar|measure|run|figure|solo|lick|tune|notes?)\b"
)


IT = pattern_of(r"\b(?:it|we|you|i|he|she|they|line|melody|tune|phrase)\b")
ALL = pattern_of(r"\b(?:(?<!it )all|both|they|these|those|each|everything)\b")
THEN = pattern_of(r"\b(?:then|next|after|before|until|from there|finally|now)\b")


def ways(told: Told) -> Iterator[Untrue]:
    """The words that say that something goes one way, where all that they may be said of goes the other way."""
    for move in moves_said(told):
        found = None if SOMETHING.match(told.text, move.last) else _against(told, move)
        if found is None:
            continue
        one, other = found
        goes = "up" if other.sounding.midi > one.sounding.midi else "down"
        at = [told.music.position(each) for each in found]
        what = f"the {one.written.name} at {at[0]} goes {goes} to the {other.written.name} at {at[1]}"
        yield Untrue(move.first, move.last, what, "say which way it goes", sure=False)


def _against(told: Told, move: Move) -> tuple[Note, Note] | None:
    """Two notes that go the other way, where none goes the way that is said."""
    pairs = _pairs(told, move)
    if not pairs or any(_step(pair) * move.way > 0 or _is_displaced(told, pair) for pair in pairs):
        return None
    return next((pair for pair in pairs if _step(pair)), None)


def _is_displaced(told: Told, pair: tuple[Note, Note]) -> bool:
    """Whether a step may be heard as one the other way, put into another octave."""
    return abs(_step(pair)) >= OCTAVE_AWAY and told.next_note(pair[0]) == pair[1]


def _step(pair: tuple[Note, Note]) -> int:
    return pair[1].sounding.midi - pair[0].sounding.midi


def _pairs(told: Told, move: Move) -> list[tuple[Note, Note]]:
    """All pairs of notes of which it may be said that the first goes to the second."""
    source, goal = move.source, move.goal
    if source is None:
        *_, subject = ("", *SUBJECT.findall(told.text, move.begin, move.first))
        if OTHER_SUBJECT.fullmatch(subject) or speaks_of_a_chord(told, move.begin, move.first):
            return []
        return _to(told, goal) if goal is not None and goal.notes else _along(told, move)
    if ALL.search(told.text, move.begin, move.first) and source.last <= move.begin:
        return _of_all(told, move)
    if len(source.lit) > 1:
        return _of_row(told, move, source)
    if not source.notes:
        return []
    pairs = [(note, after) for note in source.notes for after in goals_of(told, note)]
    if source.last <= move.begin:
        pairs += _of_what_goes_on(told, move, pairs)
    if IS_A.search(told.text, source.last, move.first):  # it, or what leads there
        pairs += _beside(told, [(note, note) for note in source.notes])
    if goal is not None:
        later = [(note, other) for note in source.notes for other in goal.notes if other.onset > note.onset]
        pairs = later + (pairs if not later else _beside(told, later))
    return pairs


def _of_all(told: Told, move: Move) -> list[tuple[Note, Note]]:
    """The first and the last of the notes that are lit before words that are said of all of them."""
    notes = [each.notes[0] for each in told.shown if each.last <= move.begin and each.notes]
    return [(notes[0], notes[-1])] if len(notes) > 1 else []


def _of_what_goes_on(told: Told, move: Move, pairs: Sequence[tuple[Note, Note]]) -> list[tuple[Note, Note]]:
    """What else goes on in a later part: all that "it" may be, and after a "then" what comes next."""
    words = told.text[move.begin : move.first]
    found: list[tuple[Note, Note]] = []
    if IT.search(words):
        notes = [each.notes[-1] for each in told.may_be_it(move.begin)]
        found += [(note, after) for note in notes for after in goals_of(told, note)]
    if THEN.search(words):
        found += [(after, later) for _, after in (*pairs, *found) for later in goals_of(told, after)]
    return found


def _beside(told: Told, pairs: Sequence[tuple[Note, Note]]) -> list[tuple[Note, Note]]:
    """The steps with which the second notes of some pairs are reached."""
    found = [(told.note_before(note), note) for _, note in pairs]
    return [(before, note) for before, note in found if before is not None]


def _to(told: Told, goal: Thing) -> list[tuple[Note, Note]]:
    """The notes from which the line may be said to go to one: those before it in sight, and the one next to it."""
    notes = told.notes_in(told.spans)
    found = [(each, note) for note in goal.notes for each in notes if each.onset < note.onset]
    return [*found, *_beside(told, [(note, note) for note in goal.notes])]


def _of_row(told: Told, move: Move, source: Thing) -> list[tuple[Note, Note]]:
    """The way of a row of notes: as a whole, by most of its steps, and on to what comes next."""
    if COMPARED.search(told.text, source.first, move.last):
        return []  # of its statements, and not of its notes: "a sequence going down"
    row = source.lit
    steps = [_step(pair) * move.way for pair in pairwise(row)]
    if sum(steps) > 0 or 2 * sum(step < 0 for step in steps) <= len(steps):
        return []
    later = source.last <= move.begin  # in a part of its own, which may be of what comes then
    goes_on = move.goal is not None or later or GOES_ON.search(told.text, source.last, move.last)
    after = told.next_note(row[-1]) if source.first < move.first and goes_on else None
    last = [(row[-1], after)] if after is not None else []
    if move.goal is not None:
        last += [(row[-1], note) for note in move.goal.notes if note.onset > row[-1].onset]
    return [(row[0], row[-1]), *last]


def _along(told: Told, move: Move) -> list[tuple[Note, Note]]:
    """The first and last note of the bars that are spoken of, where most steps of each go the other way."""
    named = any(move.begin <= each.first < move.end for each in things_in(told))
    if named or COMPARED.search(told.text) or ONE_MOVE.match(told.text, move.last):
        return []
    found = []
    for bar in told.music.bars_in(told.spans_at(move.first)):
        notes = told.music.line_in(Span(bar.start, bar.end))
        steps = [_step(pair) * move.way for pair in pairwise(notes)]
        against = sum(step < 0 for step in steps)
        if len(notes) < FEWEST or sum(steps) > -FAR or against <= 2 * sum(step > 0 for step in steps):
            return []
        found.append((notes[0], notes[-1]))
    return found
