"""Rows of letters of which one is wrong: "D, F and A keep going round", where it is D, F and G.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from lessonmaker.script.plain.crosscheck.letters import Row, pitch_class, rows, tonics
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import NoteWord
from lessonmaker.theory.chord import chord_tones, readings, transpose_chord

__all__ = ["rows_absent"]

# What comes more than once.
LOOPING = re.compile(
    r"\b(?:back and forth|over and over|again and again|round and round"
    r"|keeps? (?:going|coming|cycling|circling|turning|looping|repeating|rolling|alternating)"
    r"|cycl(?:es|ing)|loop(?:s|ing|ed)?|alternat\w+|repeat(?:s|ed|ing)|rotat\w+|oscillat\w+)\b"
)
FEWEST = 3  # letters of a row that is held against some notes


def rows_absent(told: Told) -> Iterator[Untrue]:
    """The letters of rows that are not among the notes that the rest of their row is of."""
    for row in rows(told):
        yield from _not_repeated(told, row)
        if len(row.names) >= FEWEST:
            yield from _not_of_the_figure(told, row)
            yield from _not_in_a_row(told, row)


def _untrue(told: Told, name: NoteWord, what: str) -> Untrue:
    words = told.sentence.words(name.first, name.last)
    return Untrue(
        name.first, name.last, f"{words} is not one of the notes there: {what}", "name the note that is there"
    )


def _spelt(names: Sequence[str]) -> str:
    return " ".join(dict.fromkeys(names))


def _not_repeated(told: Told, row: Row) -> Iterator[Untrue]:
    """A letter of a row that is said to come again and again, and comes once at most where the others do."""
    if not LOOPING.search(told.text):
        return
    line = [note for span in told.spans for note in told.music.line_in(span)]
    times = Counter(note.written.name.pitch_class for note in line)
    seldom = [name for name in row.names if times[pitch_class(name)] < 2]
    if len(seldom) == 1 and len(line) > len(row.names):
        often = [str(note.written.name) for note in line if times[note.written.name.pitch_class] > 1]
        yield _untrue(told, seldom[0], _spelt(often))


def _not_of_the_figure(told: Told, row: Row) -> Iterator[Untrue]:
    """A letter of a row that is no note of what the sentence lights beside it, which has as many, the others too."""
    own = {pitch_class(name) for name in row.names}
    if len(own) < len(row.names) or _is_lit(told, row):
        return
    for shown in told.shown:
        there = {note.written.name.pitch_class for note in shown.notes}
        if len(there) == len(own) and len(own - there) == 1:
            odd = next(name for name in row.names if pitch_class(name) not in there)
            if told.shown_at(odd.first, odd.last) is not None:
                continue  # it is a note beside the figure
            yield _untrue(told, odd, _spelt([str(note.written.name) for note in shown.notes]))


def _is_lit(told: Told, row: Row) -> bool:
    """Whether a row was lit as such."""
    shown = told.shown_at(row.first, row.last)
    return shown is not None and len(shown.notes) >= len(row.names)


def _not_in_a_row(told: Told, row: Row) -> Iterator[Untrue]:
    """A letter of a row that is found as notes one after the other but for this one, and nowhere as it is named."""
    own = [pitch_class(name) for name in row.names]
    line = [note for span in told.spans_at(row.first) for note in told.music.line_in(span)]
    there = [note.written.name.pitch_class for note in line]
    if _is_lit(told, row) or _come_in_order(own, there) or set(own) <= tonics(told) or _is_shared(told, own):
        return
    size = len(own)
    windows = [range(at, at + size) for at in range(len(there) - size + 1)]
    if any(set(own) == {there[at] for at in window} for window in windows):
        return
    for window in windows:
        wrong = [k for k, at in enumerate(window) if there[at] != own[k]]
        if len(wrong) == 1 and told.shown_at(row.names[wrong[0]].first, row.names[wrong[0]].last) is None:
            odd = row.names[wrong[0]]
            yield _untrue(told, odd, _spelt([str(line[at].written.name) for at in window]))
            return


def _is_shared(told: Told, own: Sequence[int]) -> bool:
    """Whether some pitch classes are what two chords in sight have in common, so that no row of notes may be meant."""
    shift = told.music.score.transposition
    chords = {change.chord for span in told.spans for change in told.music.changes_in(span)}
    tones = [
        set(chord_tones(readings(transpose_chord(each, shift))[0])) for each in chords if each is not None
    ]
    return sum(set(own) <= each for each in tones) > 1


def _come_in_order(wanted: Sequence[int], there: Sequence[int]) -> bool:
    """Whether some pitch classes come one after the other, with or without others between them."""
    rest = iter(there)
    return all(any(each == pitch for each in rest) for pitch in wanted)
