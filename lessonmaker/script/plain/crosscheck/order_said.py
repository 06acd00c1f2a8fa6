"""Notes that are said to come one after the other, and do not: "the third, and right after it comes the nine".

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.said_notes import called_so, is_called, root_said, said_notes
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.stance_words import DENIALS

__all__ = ["order_said"]

AT_ONCE = r"(?:right|straight|directly|immediately|just|straight away|right away)"
ARTICLE = (
    r"(?: (?:the|an?|its|our|that|another))?(?: (?:high|low|long|short|plain|little|big|lovely|nice))? ?"
)
FOLLOWED = re.compile(
    rf",? (?:(?:is|are|was|gets?|which is|and is) )?(?:{AT_ONCE} )*(?:followed|answered) (?:{AT_ONCE} )?by{ARTICLE}"
    rf"|,? and (?:{AT_ONCE} )?after (?:it|that|this),? (?:comes?|is|you get|we get|there's|we play|you play)?"
    rf"{ARTICLE}"
    rf"|,? (?:and )?(?:the )?(?:very )?next(?: note| one| pitch)? (?:is|comes|up is){ARTICLE}"
)
THEN = re.compile(rf",? (?:and )?then(?: comes| we get| you get| you play| we play| there's)?{ARTICLE}")
FIRST = re.compile(rf",? (?:comes |goes |played )?first,?(?: (?:and|then|and then|only then))+{ARTICLE}")
NEXT = 3  # notes: how far the one that follows may be
FEWEST = 2  # notes in sight


def order_said(told: Told) -> Iterator[Untrue]:
    """The second of two notes that are there, where none of its name comes after any of the first's."""
    near = _in_sight(told)
    line = [note for note in told.music.line if note in near]
    if len(line) < FEWEST:
        return
    for one, other in pairwise(said_notes(told)):
        between = told.text[one.last : other.first]
        reach = NEXT if FOLLOWED.fullmatch(between) else len(line) if _in_turn(between) else 0
        if (
            root_said(told, one) is not None or root_said(told, other) is not None
        ):  # may be one note, of two chords
            continue
        plain = told.is_plain(one.first, other.last) and not re.search(DENIALS, between)
        if reach and plain:
            yield from _out_of_order(told, (one, other), line, reach)


def _in_turn(between: str) -> bool:
    """Whether words between two names say that the one comes before the other."""
    return THEN.fullmatch(between) is not None or FIRST.fullmatch(between) is not None


def _in_sight(told: Told) -> list[Note]:
    """The notes in sight and the first after them."""
    notes = told.notes_in(told.spans)
    after = told.next_note(notes[-1]) if notes else None
    return [*notes, *([after] if after is not None else [])]


def _out_of_order(told: Told, names: tuple[Claim, Claim], line: list[Note], reach: int) -> Iterator[Untrue]:
    """The second name, where no note of it comes up to `reach` notes after one of the first."""
    one, other = names
    firsts = [at for at, note in enumerate(line) if is_called(told, one, note)]
    later = [note for at in firsts for note in line[at + 1 : at + 1 + reach]]
    same = any(is_called(told, other, line[at]) for at in firsts)  # "they surround the root, then G itself"
    if not later or same or any(is_called(told, other, note) for note in later):
        return
    said = told.sentence.words(other.first, other.last)
    what = f"“{said}”: what comes next is {called_so(told, other, later[0])}"
    yield Untrue(other.first, other.last, what, "say what comes next", told.music.target_of(later[0]))
