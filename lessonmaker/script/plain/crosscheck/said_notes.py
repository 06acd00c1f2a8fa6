"""Notes as a sentence names them, by letter or degree, wherever the words around make plain that a note is meant.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.model import Change, Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import bears
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.note_names import OF_OTHERS

__all__ = ["called_so", "is_called", "said_notes"]

# Of another key or chord than the one that sounds: "the fifth of the key", "the third of B flat".
OF_ANOTHER = pattern_of(
    r"(?:(?: note| tone)? (?:of|in|from) (?!(?:the|this|that|our|its) (?:chord|bar|measure|phrase|line|run|arpeggio)\b"
    r"|(?:bar|measure) )"
    r"|,? (?:below|above|away|apart|higher|lower|up|down|from|leaps?|drops?|jumps?|falls?|skips?|steps?)\b)"
)
OF_A_CHORD = pattern_of(r" (?:of|in|on|over) (?:(?:the|that|this|our|an?) )?")
NO_DEGREE = pattern_of(r"\b(?:an?|one|two|three|four|five|six|of|in|every|each|by|up|down) (?:[a-z]+ )?$")
IN_TURN = pattern_of(r" (?:first|second)(?=[,.;:]| and\b)")  # "D sharp first and F second"
SOON = Fraction(3, 2)  # quarters: how far ahead a note may be heard over the next chord


def said_notes(told: Told) -> list[Claim]:
    """The notes and single degrees that are named, in the order of the words."""
    found = [*_letters(told), *_degrees(told)]
    return sorted(found, key=lambda claim: claim.first)


def _letters(told: Told) -> Iterator[Claim]:
    for letter in letters_in(told.sentence):
        counted = IN_TURN.match(told.text, letter.last)
        if counted or not OF_OTHERS.match(told.sentence.written, letter.last):
            yield letter


def _degrees(told: Told) -> Iterator[Claim]:
    for claim in told.named:
        if claim.kind != "degree" or claim.count or not claim.names:
            continue
        before, after = told.text[: claim.first], told.text[claim.last :]
        bare = not pattern_of(r"flat|sharp|root|tonic|[b#]").search(told.text[claim.first : claim.last])
        of_another = OF_ANOTHER.match(after) and _root_said(told, claim) is None
        if not of_another and not (bare and NO_DEGREE.search(before)):
            yield replace(claim, which=0)


def _root_said(told: Told, claim: Claim) -> int | None:
    """The root, as it is written, of a chord in sight as whose degree a note is named: "the fifth of A7"."""
    of = OF_A_CHORD.match(told.text, claim.last)
    if of is None or claim.kind != "degree":
        return None
    near = {change.written.root.pitch_class for change in _changes(told, told.spans) if change.written}
    roots = (name.root.pitch_class for name in told.chords_named if name.first == of.end())
    return next((root for root in roots if root in near), None)


def _changes(told: Told, spans: Iterable[Span]) -> list[Change]:
    return [change for span in spans for change in told.music.changes_in(span)]


def is_called(told: Told, claim: Claim, note: Note) -> bool:
    """Whether a note is what a claim names: by any of its names, over any chord it is heard with or soon will be."""
    root = _root_said(told, claim)
    if root is not None:
        near = _changes(told, [Span(note.onset, note.onset + max(note.held, SOON))])
        over_it = any(change.written and change.written.root.pitch_class == root for change in near)
        return over_it and bears(note, claim, told, {root})
    return bears(note, claim, told)


def _kind_of_name(told: Told, claim: Claim, note: Note) -> str:
    """A note as a claim would name it: by its letter, or by its degree if it has one."""
    degree = told.music.finding(note).degree
    return f"{note.written.name}" if claim.kind == "note" or degree is None else f"the {degree}"


def called_so(told: Told, claim: Claim, note: Note) -> str:
    """A note and its place, as a claim would name it: "the b9 at 4.3"."""
    return f"{_kind_of_name(told, claim, note)} at {told.music.position(note)}"
