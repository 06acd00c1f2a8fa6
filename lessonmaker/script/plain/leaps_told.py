"""How wide an interval of a passage is that is told by its place: "the first jump is a tritone now".

Common practice, no source. A jump is counted among all moves of the passage, or among those wider than a whole step: it
is false where it is as wide as is said by neither count.
"""

from __future__ import annotations

import re
from itertools import pairwise

from lessonmaker.score.position import format_position
from lessonmaker.script.plain.intervals import INTERVAL, is_as_far, size_said
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.vocabulary import ORDINAL, ordinal_of

__all__ = ["LEAPS_TOLD"]

WHOLE_STEP = 2
NTH = rf"(?P<nth>{ORDINAL}|opening|last|final|closing)"
ENDS = {"opening": 1, "last": -1, "final": -1, "closing": -1}
JUMP = r"(?:jump|leap|skip|interval|hop|drop|move)"
OF_BAR = r"(?: (?:in|of|here|there|this time)(?: (?!is\b)[\w'-]+){0,3}?)?"
IS = (
    r"(?:(?:'s| is| was|,)(?: (?:now|just|only|really|always|again|suddenly|here|of))*"
    r"| (?:now |then |simply )*(?:becomes|has become|turns into|(?:shrinks|grows|opens(?: out| up)?|widens|narrows"
    r"|stretches|is stretched|expands|changes|is squeezed|closes|spreads)(?: (?:in)?to)?))(?: only| just)?"
)


def _told(match: re.Match[str], passage: Passage) -> Verdict:
    """The two notes of an interval that is counted, if it is as wide as is said."""
    moves = list(pairwise(passage.notes))
    leaps = [
        (one, other) for one, other in moves if abs(other.sounding.midi - one.sounding.midi) > WHOLE_STEP
    ]
    nth = ENDS.get(match["nth"]) or ordinal_of(match["nth"])
    at = nth - 1 if nth > 0 else nth
    counted = [pairs[at] for pairs in (moves, leaps) if -len(pairs) <= at < len(pairs)]
    found = [pair for pair in counted if is_as_far(*pair, match["size"])]
    if found:
        return Verdict(found[0])
    if not counted or not passage.named:
        return UNKNOWN
    one, other = counted[0]
    size = size_said(abs(other.sounding.midi - one.sounding.midi))
    return Verdict(is_there=f"it is {size} at {format_position(passage.music.score, one.onset)}")


LEAPS_TOLD: tuple[Saying, ...] = (
    Saying(said(rf"(?:the |its |our |that )?{NTH} {JUMP}{OF_BAR}{IS} (?:an? )?(?P<size>{INTERVAL})"), _told),
)
"""What a sentence says of an interval by its place."""
