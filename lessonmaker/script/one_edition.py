"""Words that are true in one edition only: bare note and chord names, fingerings, places on the staff.

In another key the note has another name, another fingering and stands on another line. Names inside braces follow
the edition; a bare one is pointed at with a remark. Common practice, no source: the lists of words.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence

from lessonmaker.faults import Fault
from lessonmaker.script.commentary import plain_pieces
from lessonmaker.script.model import Cue, Understood
from lessonmaker.script.pattern_store import pattern_of

__all__ = ["one_edition_words"]

SIGN = r"(?:[♭♯#b]|[ -](?:double[ -])?(?:flat|sharp|natural)\b)"
QUALITY = (
    r"(?:(?:maj|min|dim|aug|sus|alt|add|m|M|Δ|ø|°|\+|-)*[0-9]{1,2}(?:[b#♭♯]?[0-9]{1,2}|sus|alt)*"
    r"|maj|min|m|dim|aug|sus|alt|Δ|ø|°)(?:/[A-G][b#♭♯]?)?(?![\w])"
)
SPOKEN_QUALITY = (
    r" (?:major|minor|dominant|diminished|augmented|half[- ]diminished|altered|alt|seven(?:th)?|sus)\b"
)
REGISTER = (
    r"(?i:low|high|middle|top|bottom|written|concert|open|long|short|held|repeated"
    r"|plain|single|lone|big|fat|soft|loud|accented|sustained|ghosted|staccato|tied)"
)
BEFORE_NOTE = r"(?:[Tt]he|an?|An|[Tt]o|[Ff]rom|[Oo]n|[Ii]n|of|notes?|[Bb]etween|that|this|hit)"
# At the start of a sentence "A flat nine" and "A minor third" are an article and an interval; elsewhere a capital A
# is a name. What follows a name there is a verb or a small word.
START = r"(?:(?<![^\n])|(?<=[.!?:;] )|(?<=[\"“(]))"
AFTER_NAME = (
    r"(?:is|was|to|over|in|on|and|or|at|for|with|then|here|there|goes|comes|falls|moves|resolves|sounds"
    r"|major|minor)"
)
DEGREE = r"(?:one|two|five|six|seven|nine|eleven|thirteen|third|fifth|sixth|seventh|ninth|[0-9]+)"
DESCRIBED = (
    r"(?:flat|sharp|natural|major|minor|dominant|diminished|augmented|half-diminished|altered|suspended)"
)
ARTICLE = rf"(?!{START}A (?:(?:flat|sharp) {DEGREE}\b|seventh\b|{DESCRIBED} (?!{AFTER_NAME}\b)[a-z]))"
NOTE_ENDS = r"(?![\w'’♭♯#&/]|-[a-z]|\.[\w]| (?:[A-G]|section|part|theme|strain|form)\b)"
NO_SECTION = r"(?<!\bback )(?<!\bletter [A-G] )(?<!\bsection [A-G] )"
NAME_TODO = "name it by its place, so that each edition has its own: {chord 3} or {note 12.3}"
STAFF_TODO = "each edition stands elsewhere on the staff: name the note, as in {note 12.3}"
FINGER_TODO = "each instrument fingers it otherwise: leave it out, or say it in an edition of its own"
COUNT = r"(?i:one|two|three|four|five|six)"
STAFF_LINE = (
    r"(?i:(?:first|second|third|fourth|fifth|ledger|middle) (?:ledger )?(?:line|space)s?|ledger lines?)"
)
SPELT = r"(?=[A-G, and]*[E-G])[A-G](?:, [A-G])+,? and [A-G]"  # letters to D alone may be sections
OUTER_LINE = r"(?i:top|bottom) (?:line|space)"
FINGERING = (
    r"(?i:fingerings?|(?:octave|side|palm|register|thumb|pinky) keys?|alternate position|half[- ]hole|overblow\w*"
    r"|open strings?|(?:first|second|third|fourth) (?:finger|valve|position)(?! (?:of|you|we|I|that)\b)|pinky"
    r"|(?:index|middle|ring|little) finger|(?:left|right) hand|frets?|valves?"
    r"|half[- ]valve|slide position|(?:over|across) the break"
    r"|lip (?:it|the note) (?:up|down))|(?:open )?[A-G] strings?(?! of\b)"
)
MAYBE_SECTION = "the name of a note"
SHAPE = r"(?:scale|arpeggio|triad|chord|pentatonic|blues|mode)s?\b"
# What to look for, what it is, and what to do; the group "name" is what the remark quotes.
PATTERNS: tuple[tuple[re.Pattern[str], str, str], ...] = tuple(
    (pattern_of(rf"\b(?:{pattern})"), what, todo)
    for pattern, what, todo in (
        (rf"(?P<name>{FINGERING})\b", "a fingering", FINGER_TODO),
        (r"(?P<name>[A-G][b#♭♯]?[1-58])(?![\w/(])", "a note's name", NAME_TODO),
        (rf"(?P<name>[A-G]{SIGN}?{QUALITY})", "a chord's name", NAME_TODO),
        (rf"{ARTICLE}(?P<name>[A-G]{SIGN}?{SPOKEN_QUALITY})", "a chord's or key's name", NAME_TODO),
        (rf"{ARTICLE}(?P<name>[A-G]{SIGN}){NOTE_ENDS}", "a note's name", NAME_TODO),
        (rf"{BEFORE_NOTE} (?P<name>[A-G]) {SHAPE}", "a chord's or key's name", NAME_TODO),
        (rf"{REGISTER} (?P<name>[A-G]){NOTE_ENDS}", "a note's name", NAME_TODO),
        (rf"{NO_SECTION}{BEFORE_NOTE} (?P<name>[A-G]){NOTE_ENDS}", MAYBE_SECTION, NAME_TODO),
        (rf"(?P<name>{SPELT}){NOTE_ENDS}", "the names of notes", NAME_TODO),
        (rf"(?P<name>[A-G]{SIGN}? over [A-G]{SIGN}?){NOTE_ENDS}", "a chord's name", NAME_TODO),
        (rf"(?P<name>{COUNT} (?:flats|sharps))\b", "a key signature", "write {key}"),
        (
            r"(?P<name>(?i:one|no) (?:flats?|sharps?))(?= (?:or (?:flats|sharps) )?in the key)",
            "a key signature",
            "write {key}",
        ),
        (rf"(?<!\ba )(?P<name>{STAFF_LINE})\b(?! of (?!the staff))", "a place on the staff", STAFF_TODO),
        (rf"(?:on|in|above|below) the (?P<name>{OUTER_LINE})\b", "a place on the staff", STAFF_TODO),
        (r"(?P<name>(?i:top|bottom) space)\b", "a place on the staff", STAFF_TODO),
        (r"(?P<name>(?i:ledger lines?))\b", "a place on the staff", STAFF_TODO),
        (r"(?P<name>(?i:above|below|on top of) the staff)\b", "a place on the staff", STAFF_TODO),
        (r"(?P<name>(?i:bass|treble|tenor|alto) clef)\b", "a clef", STAFF_TODO),
    )
)


def one_edition_words(
    cue: Cue, sections: Collection[str], understood: Sequence[Understood] = ()
) -> list[Fault]:
    """A remark for each thing in a cue's commentary that holds in one edition only.

    A letter that is one of the score's `sections` (rehearsal marks) is taken for it, "on to B", where it was not
    `understood` as a note.
    """
    if cue.say is None:
        return []
    return [
        Fault(f"{name!r} is {what} in one edition only", todo, cue.say.place_at(piece.start + at))
        for piece in plain_pieces(cue.say)
        for at, name, what, todo in found_in(piece.text)
        if what != MAYBE_SECTION or name not in sections or _is_lit(piece.start + at, understood)
    ]


def _is_lit(at: int, understood: Sequence[Understood]) -> bool:
    """Whether the letter at an offset lights a note."""
    return any(each.status == "lit" and (each.first, each.last) == (at, at + 1) for each in understood)


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
