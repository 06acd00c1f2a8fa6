"""Where a phrase is said to begin or to end "here": "the phrase ends here", "this is where a new idea starts".

Common practice, no source. It is the note with which the one phrase begins or ends that does so in sight; where
several do, nothing is lit.
"""

from __future__ import annotations

import re

from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.verbs import ENDING, STARTING

__all__ = ["PHRASE_EDGES"]

PHRASE = r"(?:(?:an?|the|this|that|our) (?:[\w-]+ ){0,2}?)(?:phrase|idea|sentence|statement|thought)"
OVER = rf"(?:{ENDING}|comes to (?:an end|a close|rest|a stop)|is over)"
HERE = r"(?: (?:right|just))? here(?=[,.;:!?]|$| and\b)"
SHOWN = r"(?:that's|that is|this is|here's|here is|and so)"
ENDS = (
    rf"{PHRASE} {OVER}{HERE}|here {PHRASE} {OVER}(?=[,.;:!?]|$)|{SHOWN} (?:where {PHRASE} {OVER}|the end of {PHRASE})"
    r"(?=[,.;:!?]|$)"
)
BEGINS = (
    rf"{PHRASE} (?:{STARTING}){HERE}|here {PHRASE} (?:{STARTING})(?=[,.;:!?]|$)"
    rf"|{SHOWN} (?:where {PHRASE} (?:{STARTING})|the (?:start|beginning) of {PHRASE})(?=[,.;:!?]|$)"
)


def _edge(match: re.Match[str], passage: Passage) -> Verdict:
    """The note at the one edge of a phrase that lies in a passage."""
    at = -1 if match["ends"] else 0
    edges = {phrase.notes[at] for phrase in passage.music.analysis.phrases}
    notes = tuple(note for note in passage.notes if note.id in edges)
    return Verdict(notes) if len(notes) == 1 else UNKNOWN


PHRASE_EDGES: tuple[Saying, ...] = (
    Saying(said(rf"(?:(?P<ends>{ENDS})|{BEGINS})"), _edge, aside=True, by_bar=False),
)
"""What a sentence says of where a phrase begins or ends."""
