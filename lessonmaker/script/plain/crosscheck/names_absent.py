"""Notes that are named by their letters, and are nowhere near: "you end on a G" where no G is struck or sounds.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.score.model import Note
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import named_note

__all__ = ["names_absent"]

NEAR = 2  # notes of the line before and after the bars in sight that may be spoken of


def names_absent(told: Told) -> Iterator[Untrue]:
    """The letters of notes that no note in sight, nor the next ones, is called by in any spelling.

    The roots of the chords there may be spoken of as such.
    """
    there = {note.sounding.name.pitch_class for note in _near(told)}
    there |= {note.written.name.pitch_class for note in _near(told)}
    there |= {chord.root.pitch_class for chord in told.chords_near}
    for name in told.notes_named:
        if named_note(name.name).pitch_class not in there and told.shown_at(name.first, name.last) is None:
            words = told.sentence.words(name.first, name.last)
            yield Untrue(name.first, name.last, f"there is no {words} in sight", "name a note that is there")


def _near(told: Told) -> list[Note]:
    """The notes in sight and those next to them."""
    notes, line = told.notes_in(told.spans), told.music.line
    if not notes:
        return []
    before = [note for note in line if note.onset < notes[0].onset][-NEAR:]
    after = [note for note in line if note.onset > notes[-1].onset][:NEAR]
    return [*before, *notes, *after]
