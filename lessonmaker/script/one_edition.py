"""Words that are true in one edition only: bare note and chord names, fingerings, places on the staff.

In another key the note has another name, another fingering and stands on another line. Names inside braces follow
the edition; a bare one is pointed at with a remark. Common practice, no source: the lists of words.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from lessonmaker.faults import Fault
from lessonmaker.script.commentary import plain_pieces
from lessonmaker.script.model import Cue

__all__ = ["one_edition_words"]

SIGN = r"(?:[♭♯#b]|[ -](?:flat|sharp|natural)\b)"
QUALITY = (
    r"(?:(?:maj|min|dim|aug|sus|alt|add|m|M|Δ|ø|°|\+|-)*[0-9]{1,2}(?:[b#♭♯]?[0-9]{1,2}|sus|alt)*"
    r"|maj|min|m|dim|aug|sus|alt|Δ|ø|°)(?:/[A-G][b#♭♯]?)?(?![\w])"
)
SPOKEN_QUALITY = r" (?:major|minor|dominant|diminished|augmented|half-diminished|altered|seven(?:th)?|sus)\b"
REGISTER = r"(?i:low|high|middle|top|bottom|written|concert)"
SMALL_WORD = r"(?i:the|a|an|to|from|on)"
# "A flat nine" is an article and a degree; "E flat nine" is a chord.
ARTICLE = r"(?!A (?:flat|sharp) (?:one|two|five|six|seven|nine|eleven|thirteen|third|fifth|sixth|seventh|ninth|[0-9]))"
NOTE_ENDS = r"(?![\w'’♭♯#&/]|-[a-z]|\.[\w])"
NAME_TODO = "name it by its place, so that each edition has its own: {chord 3} or {note 12.3}"
STAFF_TODO = "each edition stands elsewhere on the staff: name the note, as in {note 12.3}"
FINGER_TODO = "each instrument fingers it otherwise: leave it out, or say it in an edition of its own"
COUNT = r"(?i:one|two|three|four|five|six)"
WHICH = r"(?i:first|second|third|fourth|fifth|top|bottom|middle|ledger)"
FINGERING = (
    r"(?i:fingerings?|(?:octave|side|palm|register|thumb) key|alternate position|open string"
    r"|(?:first|second|third|fourth) (?:finger|valve|position))"
)
MAYBE_SECTION = "the name of a note"
# What to look for, what it is, and what to do; the group "name" is what the remark quotes.
PATTERNS: tuple[tuple[re.Pattern[str], str, str], ...] = tuple(
    (re.compile(rf"\b(?:{pattern})"), what, todo)
    for pattern, what, todo in (
        (rf"(?P<name>[A-G]{SIGN}?{QUALITY})", "a chord's name", NAME_TODO),
        (rf"{ARTICLE}(?P<name>[A-G]{SIGN}?{SPOKEN_QUALITY})", "a chord's or key's name", NAME_TODO),
        (rf"{ARTICLE}(?P<name>[A-G]{SIGN}){NOTE_ENDS}", "a note's name", NAME_TODO),
        (rf"{REGISTER} (?P<name>[A-G]){NOTE_ENDS}", "a note's name", NAME_TODO),
        (rf"{SMALL_WORD} (?P<name>[B-G]){NOTE_ENDS}", MAYBE_SECTION, NAME_TODO),
        (rf"(?P<name>{COUNT} (?:flats|sharps))\b", "a key signature", "write {key}"),
        (rf"(?P<name>{WHICH} (?:line|space|ledger line)s?)\b", "a place on the staff", STAFF_TODO),
        (r"(?P<name>(?i:above|below) the staff)\b", "a place on the staff", STAFF_TODO),
        (rf"(?P<name>{FINGERING})\b", "a fingering", FINGER_TODO),
    )
)


def one_edition_words(cue: Cue, sections: Collection[str]) -> list[Fault]:
    """A remark for each thing in a cue's commentary that holds in one edition only.

    A letter that is one of the score's `sections` (rehearsal marks) is taken for it: "on to B".
    """
    if cue.say is None:
        return []
    return [
        Fault(f"{name!r} is {what} in one edition only", todo, cue.say.place_at(piece.start + at))
        for piece in plain_pieces(cue.say)
        for at, name, what, todo in found_in(piece.text)
        if what != MAYBE_SECTION or name not in sections
    ]


def found_in(text: str) -> Iterator[tuple[int, str, str, str]]:
    """(offset, words, what they are, what to do), each stretch of text once and in order."""
    flat = text.replace("\n", " ")
    taken: list[tuple[int, int]] = []
    found = []
    for pattern, what, todo in PATTERNS:
        for match in pattern.finditer(flat):
            start, end = match.span("name")
            if all(end <= first or start >= last for first, last in taken):
                taken.append((start, end))
                found.append((start, match["name"], what, todo))
    yield from sorted(found)
