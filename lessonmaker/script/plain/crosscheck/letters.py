"""The letters of notes in a sentence as it was read: which are surely notes, which stand in a row, and what is there.

Common practice, no source. A letter may as well be the root of a chord, a key's tonic or a bass note; it is a note for
sure where something says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.note_names import OF_OTHERS, NoteWord, named_note

__all__ = ["IN_BAR", "is_surely_a_note", "letters", "pitch_class", "pitch_classes", "rows", "tonics"]

ON_A_BEAT = (
    r" (?:up |down |right |there |here |just )?(?:on|at) "
    r"(?:beat|the (?:and|off-?beat|down-?beat)|one\b|two\b|three\b|four\b)"
)
# A name with its sign, which is a note's by what follows or comes before it.
SIGNED = r"(?<![\w'#])[A-G](?:b|#|[ -](?:flat|sharp|natural))(?![\w#'-])"
ALSO = pattern_of(SIGNED)
# What stands before or after a note, and hardly ever before or after a chord's root.
BEFORE_A_NOTE = pattern_of(
    r"\b(?:an?|high|low|top|bottom|long|short|tied|held|repeated|single|note|pitch|lonely|lone|passing|that)"
    r"(?: (?:little|plain|nice|big|long|high|low|single|lone))? $"
)
AFTER_A_NOTE = pattern_of(rf"{ON_A_BEAT}| (?:above|below|underneath)\b")
BETWEEN = pattern_of(r"(?:, |,? and |,? then |,? and then |,? to | up to | down to |-| )")
# What makes a note that after which nothing is said of it: "from D to A, C is the peak".
AIMED_AT = pattern_of(
    r"\b(?:from|to|of|with|through|into|at|between|around|up|down|on|over|off|via|past)(?: (?:the|an?))? $"
)
OF_THE_BASS = pattern_of(
    r"\b(?:bass(?:es)?|roots?|chords?|harmon\w+|left hand|pedal|changes|keys?|form|dominants?|centres?|centers?)\b"
)

# Before what is a key by its tonic.
OF_A_KEY = pattern_of(r"\b(?:key|centre|center) (?:of|is|to) $")
# Letters of other things than the line: sections, the alphabet, strings, the roots of chords.
NO_NOTES = pattern_of(
    r"\bform\b|\b(?:simple|easy) as\b|\bstrings?\b"
    r"|\broots? (?:just |only )?(?:go|move|walk|run)(?:e?s)?\b|\broots are\b"
)


# A bar in which something is, by what stands before its name.
IN_BAR = pattern_of(r"(?:^|[,;:]|\b(?:in|of|and|but|while|through|during|where))\s*$")


@dataclass(frozen=True)
class Row:
    """Letters that are named one after the other, in their order."""

    names: tuple[NoteWord, ...]

    @property
    def first(self) -> int:
        """Where it begins in its sentence."""
        return self.names[0].first

    @property
    def last(self) -> int:
        """Where it ends in its sentence."""
        return self.names[-1].last


def pitch_class(name: NoteWord | Claim) -> int:
    """The pitch class of a letter, with its sign."""
    return named_note(name.name).pitch_class


def pitch_classes(notes: Iterable[Note]) -> set[int]:
    """Those of notes, by what is on the score's page and by how they sound."""
    notes = list(notes)
    return {note.written.name.pitch_class for note in notes} | {
        note.sounding.name.pitch_class for note in notes
    }


def letters(told: Told) -> list[NoteWord]:
    """The notes that are named by their letters, in the order of the words."""
    if NO_NOTES.search(told.text):
        return []
    found = list(told.notes_named)
    for match in ALSO.finditer(told.sentence.written):
        first, last = match.span()
        if OF_OTHERS.match(told.sentence.written, last) or OF_A_KEY.search(told.text[:first]):
            continue
        if not any(each.first < last and first < each.last for each in found):
            found.append(NoteWord(first, last, match[0]))
    chords = [(chord.first, chord.last) for chord in told.chords_named]
    return sorted(
        (
            each
            for each in found
            if not any(first <= each.first and each.last <= last - 2 for first, last in chords)
        ),
        key=lambda each: each.first,
    )


def rows(told: Told) -> Iterator[Row]:
    """The rows of two letters or more."""
    for row in _listed(told):
        yield from _without_subject(told, row)


def _without_subject(told: Told, row: Row) -> Iterator[Row]:
    """A row, without the names after a comma of which the next clause speaks: "from D to A, C is the peak"."""
    if told.does_something(row.last) and AIMED_AT.search(told.text[: row.first]):
        parted = [
            at
            for at in range(1, len(row.names))
            if "," in told.text[row.names[at - 1].last : row.names[at].first]
        ]
        parts = (row.names[: parted[-1]], row.names[parted[-1] :]) if parted else (row.names,)
        yield from (Row(part) for part in parts if len(part) > 1)
    else:
        yield row


def _listed(told: Told) -> Iterator[Row]:
    """The rows with nothing but commas and joining words between their names."""
    row: list[NoteWord] = []
    for name in letters(told):
        between = told.text[row[-1].last : name.first] if row else ""
        starts = between == " " and told.text.startswith("the ", name.first)  # "over E flat the G's"
        if row and (starts or not BETWEEN.fullmatch(between)):
            if len(row) > 1:
                yield Row(tuple(row))
            row = []
        row.append(name)
    if len(row) > 1:
        yield Row(tuple(row))


def is_surely_a_note(told: Told, name: NoteWord) -> bool:
    """Whether a letter can be no chord's root: by its sign, by what stands beside it, or among notes that are lit."""
    if name.name.endswith("natural"):
        return True
    if AFTER_A_NOTE.match(told.text, name.last) or BEFORE_A_NOTE.search(told.text[: name.first]):
        return True
    if OF_THE_BASS.search(told.text):
        return False
    row = next((row for row in rows(told) if name in row.names), None)
    return row is not None and any(
        told.shown_at(each.first, each.last) is not None for each in row.names if each is not name
    )


def tonics(told: Told) -> set[int]:
    """What a letter may be that is no note: roots and basses of chords in sight and near, and tonics of keys."""
    shown = hull(told.spans)
    near = {chord.root.pitch_class for chord in told.chords_near}
    near |= {chord.bass.pitch_class for chord in told.chords_near if chord.bass is not None}
    near |= {chord.root.pitch_class for chord in told.chords_named}
    keys = told.music.analysis.keys
    return near | {
        key.tonic.pitch_class for key in keys if key.span.start < shown.end and shown.start < key.span.end
    }
