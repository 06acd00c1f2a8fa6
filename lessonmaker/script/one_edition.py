"""Words that are true in one edition only: note and chord names outside braces, fingerings, places on the staff.

The patterns are the trade's ways of saying them; common practice, no source.
"""

from __future__ import annotations

import re

from lessonmaker.faults import Fault
from lessonmaker.script.commentary import plain_pieces
from lessonmaker.script.model import Cue

__all__ = ["one_edition_remarks"]

ACCIDENTAL = r"(?:[ -]?(?:flat|sharp|natural)|[b#♭♯♮])"
QUALITY = r"(?:maj|min|m|dim|aug|sus|alt|[Δø°+])*\d*(?:[b#♭♯]\d+)*"
PATTERNS = (
    (re.compile(rf"\b[A-G]{ACCIDENTAL}(?![\w-])"), "a note name", "{note 12.3} or {chord 3}"),
    (re.compile(rf"\b[A-G](?:[b#♭♯])?(?=[mMdsa\d]){QUALITY}(?![\w-])"), "a chord name", "{chord 3}"),
    (
        re.compile(r"\b[A-G] (?:major|minor|dominant|seven(?:th)?|diminished|augmented)\b"),
        "a chord name",
        "{chord 3}",
    ),
    (re.compile(r"\b(?:low|middle|high|top|the note) [A-G]\b(?! section)"), "a note name", "{note 12.3}"),
    (
        re.compile(
            r"\b(?:first|second|third|fourth|fifth|top|bottom|middle) (?:line|space)\b", re.IGNORECASE
        ),
        "a place on the staff",
        "a position such as [this note](12.3)",
    ),
    (
        re.compile(
            r"\b(?:fingering|(?:octave|side|palm) key|(?:first|second|third) valve|(?:open|[A-G]) string|"
            r"(?:first|second|third|fourth|fifth|sixth|seventh) position)\b",
            re.IGNORECASE,
        ),
        "a fingering",
        "words that hold for every instrument",
    ),
)


def one_edition_remarks(cue: Cue) -> list[Fault]:
    """A remark for each such word of a cue's commentary."""
    if cue.say is None:
        return []
    remarks = []
    for piece in plain_pieces(cue.say):
        for pattern, kind, instead in PATTERNS:
            for match in pattern.finditer(piece.text):
                what = f"{match[0]!r} is {kind} that is true in one edition only"
                remarks.append(Fault(what, f"write {instead}", cue.say.place_at(piece.start + match.start())))
    return remarks
