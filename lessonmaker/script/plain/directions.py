"""Which way a line is said to go as a whole: "bar twelve climbs", "a descending line". False where it does not.

Common practice, no source. A line that does neither plainly, or first one and then the other, may be heard as either.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["DIRECTIONS", "comes_from_elsewhere"]

FEWEST, FAR = 3, 3  # notes of a line that has a direction, and semitones that it goes at least
GOES = inflected(
    "go, head, move, run, walk, work its way, wind its way, travel, step, keep going, come, sweep, scurry"
)
RISES = (
    rf"(?:{inflected('rise, ascend, climb, soar')}|{GOES} (?:\w+ly )?(?:up|upwards?)|is going up|heads north)"
)
FALLS = rf"(?:{inflected('descend, fall, drop, sink, tumble')}|{GOES} (?:\w+ly )?(?:down|downwards?)|is going down)"
UP = pattern_of(rf"\b(?:{RISES}|up|upwards?|ascending|rising|climbing|higher)\b")
DOWN = pattern_of(rf"\b(?:{FALLS}|down|downwards?|descending|falling|lower)\b")
SUBJECT = pattern_of(
    rf"(?:\b(?:bar|measure) (?:{NUMBER})|\b(?:the|this|that|our|its|whole) (?:\w+ )?(?:bar|measure|line|melody|phrase"
    r"|tune|music|lick|run|figure|solo|half|triplets?|sixteenths?|semiquavers|arpeggio)"
    r"|\b(?:it|everything|we|you)(?: all)?)"
    r"(?: (?:\w+ly|just|all|then|only|always))* $"
)
# What may follow: the end of the part, how, or where; no goal and no other sense ("falls on beat two").
ALONE = (
    r"(?=\s*(?:[,;:!?.]|$)| (?:all the way(?! (?:up |down )?(?:to|into|from)\b)"
    r"|throughout|steadily|gently|slowly|smoothly|the whole (?:time|way)"
    r"|from start to finish|and (?:up|down)|by step|in (?:bar|measure))\b)"
)
A_LINE = r"(?:line|run|scale|passage|melody|bar|measure|sweep|gesture|contour)"


def _goes_other_way(notes: Sequence[Note], way: int) -> bool:
    """Whether some notes plainly go down (for 1) or up (for -1): in the end, and by most of their steps."""
    steps = [(after.sounding.midi - before.sounding.midi) * way for before, after in pairwise(notes)]
    against = sum(step < 0 for step in steps)
    return sum(steps) <= -FAR and against > 2 * sum(step > 0 for step in steps)


def _direction(match: re.Match[str], passage: Passage) -> Verdict:
    """A line that goes one way; what is true has no notes of its own to light."""
    way = 1 if UP.search(match[0]) else -1
    both = UP.search(match.string) and DOWN.search(match.string)
    notes = passage.notes
    if both or len(notes) < FEWEST or passage.after is not None or not passage.named:
        return UNKNOWN
    goes = "down" if way > 0 else "up"
    return Verdict(is_there=f"the line goes {goes}") if _goes_other_way(notes, way) else UNKNOWN


def _at_the_end(match: re.Match[str], passage: Passage) -> Verdict:
    """A line that goes one way with its last step; what is true has no notes of its own to light."""
    notes = passage.music.struck_between(passage.span.start, passage.span.end)
    if len(notes) < FEWEST or not passage.named:
        return UNKNOWN
    step = notes[-1].sounding.midi - notes[-2].sounding.midi
    is_there = f"the last step goes {'up' if step > 0 else 'down'}" if step else "the last note is repeated"
    return UNKNOWN if (step > 0) == bool(UP.search(match[0])) and step else Verdict(is_there=is_there)


# Before a note that a line is said to go up or down to: "the line climbs up to the ".
TO_A_NOTE = pattern_of(
    rf"\b(?:line|melody|it|phrase|we|you|i|run|arpeggio|figure|bar [\w-]+|measure [\w-]+)"
    rf"(?: (?:\w+ly|just|then|now|always))? (?:(?P<up>{RISES})|(?P<down>{FALLS}))"
    r"(?: (?:up|down|all the way|right|straight|again|back|steadily|from there))* (?:in)?to (?:the|its|a|that|our) "
    r"(?:(?:high|low|top) )?$"
)


def comes_from_elsewhere(before: str, note: Note, line: Sequence[Note]) -> str:
    """From where a note is reached, if a line is said to go up or down to it and all that leads there lies beyond it.

    Args:
        before: the words before the note's name.
        note: the note.
        line: the notes of the line, in time.
    """
    goes = TO_A_NOTE.search(before)
    at = line.index(note) if note in line else 0
    steps = [note.sounding.midi - other.sounding.midi for other in line[max(at - FEWEST, 0) : at]]
    if goes is None or len(steps) < FEWEST - 1:
        return ""
    if goes["up"]:
        return "above" if all(step < 0 for step in steps) else ""
    return "below" if all(step > 0 for step in steps) else ""


DIRECTIONS: tuple[Saying, ...] = (
    Saying(
        said(
            rf"(?:{RISES}|{FALLS})(?: again| back)? (?:(?:right )?at the (?:very )?end|with (?:its|the) last step)"
        ),
        _at_the_end,
        after=SUBJECT,
        alone=True,
    ),
    Saying(said(rf"(?:{RISES}|{FALLS}){ALONE}"), _direction, after=SUBJECT, alone=True),
    Saying(
        said(
            rf"(?:is|are|'s|has|have|there's|here's|just|only) an? (?:\w+ )?"
            rf"(?:rising|ascending|climbing|falling|descending) {A_LINE}"
        ),
        _direction,
        alone=True,
    ),
)
