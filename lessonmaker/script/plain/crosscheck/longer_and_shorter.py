"""Which notes are said to be longer or shorter than others: "all equally long", "short, long, long".

Common practice, no source. A note may be as long as it is printed, as it sounds, or until the next one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import TODO, is_long, measures

__all__ = ["longs_and_shorts", "notes_alike_in_length"]

ALIKE = pattern_of(
    r"(?<!phrases )(?<!bars )(?<!halves )(?<!sections )(?<!parts )(?<!groups )(?<!lines )(?<!shapes )(?<!cells )"
    r"(?<!chords )\b(?:(?:all|both|each)(?: of (?:them|these|those))? )?(?:equally long|equal(?:ly)? in length"
    r"|(?:of |have |has )?the same (?:length|duration|value|note value)|of equal (?:length|duration|value)"
    r"|as long as (?:each|one another|the others?))\b"
)
EVERY_NOTE = pattern_of(
    r"\b(?:every|all(?: of)?(?: the| these| those)?(?: (?:two|three|four|five|six|seven|eight))?) notes?\b"
)


def notes_alike_in_length(told: Told) -> Iterator[Untrue]:
    """Notes that are lit in a sentence, and are said to be as long as each other."""
    for match in ALIKE.finditer(told.text):
        notes = _said_alike(told, match.start())
        if len(notes) > 1 and not any(len(set(lengths)) == 1 for lengths in _by_each_measure(notes, told)):
            other = next(note for note in notes if note.held != notes[0].held)
            what = f"{is_long(notes[0], told)}, {is_long(other, told)}"
            yield Untrue(match.start(), match.end(), what, TODO)


def _said_alike(told: Told, at: int) -> list[Note]:
    """The notes that were lit before a character, else all of a bar where that is said."""
    lit = [each for each in told.shown if each.last <= at and not each.device]
    notes = {note.id: note for each in lit for note in each.notes}
    first = told.part_of(at)[0]
    one_bar = told.is_of_a_bar or len(told.bars) == 1
    if not notes and one_bar and EVERY_NOTE.search(told.text[first:at]):
        struck = [told.music.struck_between(span.start, span.end) for span in told.spans_at(first)]
        notes = {note.id: note for each in struck for note in each}
    return list(notes.values())


def _by_each_measure(notes: Sequence[Note], told: Told) -> Iterator[tuple[Fraction, ...]]:
    """How long some notes are, measure by measure."""
    return zip(*(measures(note, told) for note in notes), strict=True)


LONGS = pattern_of(r"\b(?:long|short)(?:(?:,| and|,? then|-|,? and then) ?(?:an? )?(?:long|short)){2,}\b")


def longs_and_shorts(told: Told) -> Iterator[Untrue]:
    """Longs and shorts in a row that no notes in sight are."""
    for match in LONGS.finditer(told.text):
        words = pattern_of(r"long|short").findall(match[0])
        notes = told.notes_in([*told.spans, *told.spans_at(match.start())])
        rows = [notes[at : at + len(words)] for at in range(len(notes) - len(words) + 1)]
        if rows and len(set(words)) > 1 and not any(_is_rhythm(row, words, told) for row in rows):
            yield Untrue(*match.span(), "the longs and shorts are others", "say how long they are")


def _is_rhythm(notes: Sequence[Note], words: Sequence[str], told: Told) -> bool:
    """Whether each of some notes that is called long is longer than each that is called short."""
    for lengths in _by_each_measure(notes, told):
        longs = [length for length, word in zip(lengths, words, strict=True) if word == "long"]
        shorts = [length for length, word in zip(lengths, words, strict=True) if word == "short"]
        if min(longs) > max(shorts):
            return True
    return False
