"""Which accidentals are printed.

Rules: an accidental holds for its own staff place to the end of the bar; a tie carries it over the bar line
for the tied note only. Courtesy accidentals stand where the same letter was altered in the bar before, or in
another octave of this bar (both common practice, no source).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from lessonmaker.score.model import Bar, Note
from lessonmaker.theory.pitch import NoteName, Pitch

__all__ = ["key_alter", "printed_accidentals"]


@dataclass
class _Heard:
    """What a reader has in mind within a bar.

    `places` are the alterations in force by staff place, `letters` all those seen on a letter, `last` the last
    note at each place, tied on or not.
    """

    places: dict[int, int] = field(default_factory=dict)
    letters: dict[str, set[int]] = field(default_factory=dict)
    last: dict[int, Pitch] = field(default_factory=dict)


def key_alter(step: str, key_fifths: int) -> int:
    """How a key signature alters a letter: -1, 0 or 1."""
    return (
        1 if NoteName(step).fifths < key_fifths - 1 else -1 if NoteName(step).fifths > key_fifths + 5 else 0
    )


def printed_accidentals(
    bars: Sequence[Bar], notes: Sequence[Note], also: Collection[str] = ()
) -> dict[str, int]:
    """The alterations printed before noteheads, by note id; a note without one is absent.

    Args:
        bars: the bars, with the key signatures printed.
        notes: the notes, with the pitches printed.
        also: ids of notes that carry their accidental whether they need it or not.
    """
    printed: dict[str, int] = {}
    before: dict[str, set[int]] = {}
    by_bar = sorted(notes, key=lambda note: (note.bar, note.onset))
    last_bar = -1
    for number, group in groupby(by_bar, key=lambda note: note.bar):
        heard = _Heard()
        remembered = before if number == last_bar + 1 else {}
        for note in group:
            if _needs(note, bars[number].key.fifths, heard, remembered) or note.id in also:
                printed[note.id] = note.written.alter
            _remember(note, heard, remembered)
        before, last_bar = _altered(heard, bars[number].key.fifths), number
    return printed


def _needs(note: Note, key: int, heard: _Heard, before: dict[str, set[int]]) -> bool:
    pitch = note.written
    if note.tied_on:
        return False
    in_force = heard.places.get(pitch.diatonic)
    if in_force is not None:
        return in_force != pitch.alter
    if key_alter(pitch.step, key) != pitch.alter:
        return True
    return bool((before.get(pitch.step, set()) | heard.letters.get(pitch.step, set())) - {pitch.alter})


def _remember(note: Note, heard: _Heard, before: dict[str, set[int]]) -> None:
    pitch = note.written
    heard.letters.setdefault(pitch.step, set()).add(pitch.alter)
    heard.last[pitch.diatonic] = pitch
    if not note.tied_on:
        heard.places[pitch.diatonic] = pitch.alter
        before.pop(pitch.step, None)


def _altered(heard: _Heard, key: int) -> dict[str, set[int]]:
    """The letters that were left other than the key signature has them."""
    found: dict[str, set[int]] = {}
    for pitch in heard.last.values():
        if pitch.alter != key_alter(pitch.step, key):
            found.setdefault(pitch.step, set()).add(pitch.alter)
    return found
