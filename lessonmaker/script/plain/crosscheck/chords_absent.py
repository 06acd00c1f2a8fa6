"""Triads that are named and not there: "C, E, G, so that's an A major triad", "a C minor triad sitting on B flat".

Common practice, no source. A triad is there where its three notes are; it may as well be the chord of some bar.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from lessonmaker.script.plain.chord_shapes import CHORD_SHAPE, TRIADS, steps_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.letters import pitch_class, rows
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.theory.chord import chord_tones, readings, transpose_chord

__all__ = ["chords_absent"]

SIZE = 3
OVER = re.compile(r"\b(?:over|against|above|on|of|for|under|in|from|like|to)(?: an?| the| that| this)? $")
A_TRIAD = re.compile(rf"(?<!\b[b-g] )(?<!flat )(?<!sharp )\b(?P<kind>{'|'.join(TRIADS)}) triad\b")
# What is said of notes before their chord: "the triplet outlines a C major triad".
MAKES = re.compile(
    r" ?(?:\w+ ){0,2}(?:outlines?|spells?|arpeggiates?|is|makes?|forms?|gives us|traces?|draws?)(?: out| up)?"
    r"(?: just| really| nothing but)?(?: an?| the| that)? ?"
)
NAMES = ("C", "D flat", "D", "E flat", "E", "F", "F sharp", "G", "A flat", "A", "B flat", "B")


def chords_absent(told: Told) -> Iterator[Untrue]:
    """The triads of a sentence that the notes named beside them, what is lit for these, or the bars have not got."""
    for claim in _shapes(told):
        false = _false_triad(told, claim) if claim.detail in TRIADS else None
        if false is None and claim.names and claim.detail:
            false = _not_there(told, claim, _tones(claim))
        if false is not None:
            yield false


def _shapes(told: Told) -> list[Claim]:
    """The chords that the line is said to spell out, and triads that are named by their kind alone."""
    found = [claim for claim in told.named if claim.kind == "device" and claim.name == CHORD_SHAPE]
    for match in A_TRIAD.finditer(told.text):
        if not any(claim.first < match.end() and match.start() < claim.last for claim in found):
            found.append(Claim("device", *match.span(), CHORD_SHAPE, (), match["kind"]))
    return found


def _false_triad(told: Told, claim: Claim) -> Untrue | None:
    """A triad that is another one than what is named or lit beside it."""
    tones = _tones(claim)
    return _not_of_letters(told, claim, tones) or _not_of_subject(told, claim, tones)


def _tones(claim: Claim) -> frozenset[int]:
    """The pitch classes of a chord that is named by its root; none where it is not."""
    if not claim.names:
        return frozenset()
    root = named_note(claim.names[0]).pitch_class
    return frozenset((root + step) % 12 for step in steps_of(claim.detail)[0])


def _called(tones: Collection[int]) -> str:
    """The name of a triad: "A minor"; nothing where the notes are none."""
    for root in tones:
        for kind, steps in TRIADS.items():
            if {(root + step) % 12 for step in steps} == set(tones):
                return f"{NAMES[root]} {kind}"
    return ""


def _is_other(claim: Claim, tones: frozenset[int], own: Collection[int]) -> bool:
    """Whether three notes are another triad than the one that is named, or of another kind."""
    if len(own) != SIZE or not _called(own):
        return False
    kinds = {_kind_on(root, own) for root in own}
    return set(own) != tones if tones else claim.detail not in kinds


def _kind_on(root: int, own: Collection[int]) -> str:
    """The kind of triad that some notes are on one of them."""
    return next(
        (kind for kind, steps in TRIADS.items() if {(root + step) % 12 for step in steps} == set(own)), ""
    )


def _untrue(claim: Claim, own: Collection[int], what: str) -> Untrue:
    called = _called(own)
    return Untrue(claim.first, claim.last, f"{what} are {called}", f"write {called}")


def _not_of_letters(told: Told, claim: Claim, tones: frozenset[int]) -> Untrue | None:
    """A triad that the three letters beside it do not make."""
    if OVER.search(told.text[: claim.first]):
        return None
    for row in rows(told):
        own = {pitch_class(name) for name in row.names}
        if len(row.names) == SIZE and _is_other(claim, tones, own):
            return _untrue(claim, own, told.sentence.words(row.first, row.last))
    return None


def _not_of_subject(told: Told, claim: Claim, tones: frozenset[int]) -> Untrue | None:
    """A triad that the notes lit just before it, which are said to make it, do not make."""
    shown = told.shown_before(claim.first)
    if shown is None or not MAKES.fullmatch(told.text[shown.last : claim.first]):
        return None
    own = {note.written.name.pitch_class for note in shown.notes}
    if _is_other(claim, tones, own):
        return _untrue(claim, own, told.sentence.words(shown.first, shown.last))
    return None


def _not_there(told: Told, claim: Claim, tones: frozenset[int]) -> Untrue | None:
    """A triad of which some note is not in the bars that are spoken of."""
    if told.shown_at(claim.first, claim.last) is not None:
        return None
    spans = told.spans_at(claim.first)
    notes = told.notes_in(spans)
    there = {note.written.name.pitch_class for note in notes}
    missing = tones - there - {note.written.name.pitch_class for note in told.notes_beside(spans, 1)}
    if not notes or len(missing) < max(1, len(tones) - SIZE + 1) or _is_a_chord(told, claim, tones):
        return None
    names = " and ".join(NAMES[each] for each in sorted(missing))
    words = told.sentence.words(claim.first, claim.last)
    what = f"{words} would have {names}, which is not there"
    return Untrue(claim.first, claim.last, what, "name what is there")


def _is_a_chord(told: Told, claim: Claim, tones: frozenset[int]) -> bool:
    """Whether a triad is that of a chord in sight or near it."""
    root = named_note(claim.names[0]).pitch_class
    written = (transpose_chord(chord, told.music.score.transposition) for chord in told.chords_near)
    return any(
        chord.root.pitch_class == root and tones <= set(chord_tones(readings(chord)[0])) for chord in written
    )
