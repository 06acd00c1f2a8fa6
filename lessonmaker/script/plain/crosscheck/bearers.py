"""The notes that bear what a sentence calls them: a letter, or a degree of any chord they sound over.

A name is taken as widely as anybody would take it: enharmonic letters, a number without a sign in each of its
qualities, the chord that comes next for a note that lasts until it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.theory.chord import Chord, readings
from lessonmaker.theory.kinds import DEGREE_SEMITONES

__all__ = ["NAMES", "bears", "chords_at", "notes_near"]

NAMES = ("note", "degree")
"""The kinds of claims that name notes."""
NEAR = 2  # notes of the line before and after the bars in sight that may be spoken of
# The semitones that a number without a sign may be above the root.
ANY_QUALITY = {
    frozenset({"9"}): {1, 2, 3},
    frozenset({"4", "11"}): {5, 6},
    frozenset({"6", "13"}): {8, 9},
}
SIGNED = pattern_of(
    r"\b(?:flat|sharp|natural|minor|major|perfect|raised|lowered|flattened|sharpened)\b|[b#]\d"
)


@lru_cache(maxsize=1)  # of a sentence that many checks ask of
def notes_near(told: Told) -> list[Note]:
    """The notes in sight, and those of the line next to them."""
    found = {*told.notes_in(told.spans), *told.notes_beside(told.spans, NEAR)}
    return sorted(found, key=lambda note: note.onset)


def bears(note: Note, claim: Claim, told: Told, roots: Collection[int] = ()) -> bool:
    """Whether a note is what a claim names: by its letter in any spelling, or as a degree of a chord it sounds over.

    Args:
        note: the note.
        claim: a "note" or a "degree".
        told: the sentence.
        roots: pitch classes, as they are written, above which the degree is counted instead, where there are any.
    """
    written = note.written.name.pitch_class
    if claim.kind == "note":
        named = named_note(claim.name).pitch_class
        return named in (written, note.sounding.name.pitch_class)
    said = _semitones_said(claim, told)
    if roots:
        return any((written - root) % OCTAVE in said for root in roots)
    sounding = note.sounding.name.pitch_class
    of_chords = {
        (sounding - reading.root.pitch_class) % OCTAVE
        for chord in chords_at(note, told)
        for reading in (chord, *readings(chord))
    }
    return bool(of_chords & said)


def _semitones_said(claim: Claim, told: Told) -> set[int]:
    """The semitones above the root that a degree may mean, up to an octave."""
    said = {DEGREE_SEMITONES[name] for name in claim.names if name in DEGREE_SEMITONES}
    if not SIGNED.search(told.text[claim.first : claim.last]):
        said |= ANY_QUALITY.get(frozenset(claim.names), set())
    return said


def chords_at(note: Note, told: Told) -> list[Chord]:
    """The chords that a note sounds over, as they are heard or printed, and the one that comes as it ends."""
    music = told.music
    until = note.onset + max(note.held, INSTANT)
    printed = [change.chord for change in music.changes_in(Span(note.onset, until))]
    heard = music.finding(note).chord
    return [chord for chord in (heard, *printed) if chord is not None]
