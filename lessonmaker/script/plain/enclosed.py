"""Notes on both sides of one that a sentence names: "we circle the third", "the A sits between its two neighbours".

Common practice, no source. Where a note is named, the two before it that lie around it are heard as an enclosure,
though the analysis may not count them as one (a long way round, over the bar line, or to a note that is left at once).
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.plain_numbers import is_named
from lessonmaker.script.plain.text import Sentence

__all__ = ["enclosed_in", "is_called", "named_goal"]

WHOLE_TONE = 2  # semitones
APART = r"(?!(?:and|then|but|before|after|with|plus|while|from|is|are|was)\b)[\w']+"
AFTER = pattern_of(rf"(?: {APART}){{0,3}} ")  # "circles [around] the third"
BEFORE = pattern_of(  # "the fifth of the chord is approached from both sides"
    r"(?: (?!(?:and|then|but|before|after|with|plus|while|from)\b)[\w']+){0,6} "
)
TAKES_ONE = pattern_of(r"\b(?:of|a?round)$")


def named_goal(sentence: Sentence, claims: Sequence[Claim], index: int) -> Claim | None:
    """The degree or note right beside a claim of an enclosure that it is said to enclose, if one is named."""
    claim = claims[index]
    for other in claims[index + 1 : index + 2]:
        if other.kind in ("degree", "note") and AFTER.fullmatch(sentence.text[claim.last : other.first]):
            return other
    if TAKES_ONE.search(sentence.words(claim.first, claim.last)):
        return None
    for other in claims[max(index - 1, 0) : index]:
        if other.kind in ("degree", "note") and BEFORE.fullmatch(sentence.text[other.last : claim.first]):
            return other
    return None


def is_called(claim: Claim, note: Note, music: Music) -> bool:
    """Whether a note has the name or the degree of a claim."""
    if claim.kind == "note":
        return note.written.name == named_note(claim.name)
    return is_named(claim.names, music.finding(note))


def enclosed_in(line: Sequence[Note], goal: Claim, music: Music) -> list[list[Note]]:
    """The notes of a line that are called as is said, each with the two before it, a step or less above and below.

    Where one of them is reached by a half step, those that lie a whole step off on both sides are none.
    """
    found = [
        [first, second, third]
        for first, second, third in zip(line, line[1:], line[2:], strict=False)
        if is_called(goal, third, music) and _lie_around(first, second, third)
    ]
    close = [notes for notes in found if any(abs(_step(note, notes[-1])) == 1 for note in notes)]
    return close or found


def _lie_around(first: Note, second: Note, goal: Note) -> bool:
    below, above = sorted(_step(note, goal) for note in (first, second))
    return -WHOLE_TONE <= below < 0 < above <= WHOLE_TONE


def _step(note: Note, goal: Note) -> int:
    return note.sounding.midi - goal.sounding.midi
