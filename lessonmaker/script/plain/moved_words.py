"""How far something is said to be moved: "a fourth higher", "down a step", "only lower", "in a new key".

Common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.verbs import FALLING, RISING, inflected

__all__ = ["DOWN", "INTERVAL", "SHIFTED", "SIZE", "UP", "Moved", "compiled", "moved_in"]

QUALITY = r"(?:perfect|major|minor|augmented|diminished|diatonic|scale|good|whole|chromatic)"
SIZE = (
    r"(?:half[- ]step|whole[- ]step|half a step|semitone|whole[- ]tone|tone|step|fret|notch"
    r"|degree"
    r"|scale step|second|third|fourth|fifth|sixth|seventh|octave|tritone"
    r"|(?:scale )?note(?= (?:further |farther )?(?:higher|lower|up|down)))s?"
)
INTERVAL = (
    rf"(?:(?:by )?(?:an?|one|another|exactly an?|just an?) |by )?(?P<size>(?:{QUALITY} )?{SIZE})(?![\w-])"
)
UP = r"(?:up(?:wards?)?|higher|above|sharper|further up|up the (?:neck|scale)|upstairs|north)"
DOWN = (
    r"(?:down(?:wards?)?|lower|below|beneath|underneath|under|deeper|further down|down the (?:neck|scale)"
    r"|downstairs|south)"
)
WAY = rf"(?:(?P<up>{UP})|(?P<down>{DOWN}))"
SHIFTED = inflected(
    "move, shift, nudge, bump, hike, shove, push, lift, raise, kick, drop, lower, transpose, slide, slip, pull, "
    "take, bring, sit, lie, stand, put, carry, step, crank, ratchet, jack, knock, drag, go, come, start, "
    "begin, fall, rise, climb, sink, hang, stay"
)
RAISED = rf"(?:{RISING}|{inflected('lift, raise, climb, hike, jack')})"
SUNK = rf"(?:{FALLING}|{inflected('drop, lower, sink, fall, descend, dip, slip')})"
IT = r"(?: (?:it|them|that|this|everything|the (?:whole|entire) (?:thing|lot|shape|idea)|all of it))?"
GOING = rf"(?:(?P<up>{RAISED})|(?P<down>{SUNK})){IT}"
MOVES = (
    rf"{INTERVAL}(?: (?:further|farther|or so))? {WAY}\b",
    rf"{WAY},? {INTERVAL}",
    rf"{GOING}(?: (?:up|down|away|off))? {INTERVAL}",
    rf"{GOING}(?: (?:up|down))? (?:by|in) "
    r"(?P<size>(?:half[- ]|whole[- ])?(?:step|tone)|semitone|third|fourth|fifth)s?\b",
    r"(?:by|in) (?P<size>(?:half[- ]|whole[- ])?steps?|semitones?|thirds?|fourths?|fifths?)"
    rf"(?: {WAY})?",
    rf"{INTERVAL} apart(?P<up>(?!))?(?P<down>(?!))?",
)
ONLY_WAY = (
    rf"(?:just|only|but|{SHIFTED}|now|each time|every time|again|a bit|a little|one chord|one)"
    rf"(?: (?:moved|shifted|pushed|further|a bit|a little))? {WAY}\b"
    r"|(?:(?P<up2>higher|up)|(?P<down2>lower|down)) (?:again|still|each time|every time)\b"
    rf"|(?:(?P<up3>{RAISED})|(?P<down3>{SUNK}))\b"
)
SOMEWHERE = (
    r"transpos(?:ed|ition|es|ing)\b|in (?:a|an|the)? ?(?:new|different|another|other) key\b|sequenced\b"
    r"|(?:for|over|on|in) (?:the |an? )?[a-g](?: flat| sharp|[b#])?(?: (?:minor|major|seven(?:th)?"
    r"|diminished|alt\w*))*"
    r"(?: chord| half)?(?=[,.;:!?]|$| (?:now|this time|instead)\b)"
)
OTHER_SIZES = {
    **dict.fromkeys(("half a step", "fret"), "half step"),
    **dict.fromkeys(("notch", "degree", "scale step", "note", "scale note"), "step"),
}


@dataclass(frozen=True)
class Moved:
    """How far something is said to be moved at [first, last): `way` is 1 for up, -1 for down, 0 not said.

    An empty `interval` is not said; others are names that `interval_sizes` knows.
    """

    first: int
    last: int
    way: int
    interval: str = ""


@lru_cache(maxsize=256)
def compiled(pattern: str) -> re.Pattern[str]:
    """What finds a pattern from the beginning of a word on."""
    return pattern_of(rf"(?<![\w-])(?:{pattern})")


def moved_in(text: str, with_way_only: bool) -> Moved | None:
    """How far a sentence says that something is moved; the way alone counts only where that is asked for."""
    for pattern in MOVES:
        match = compiled(pattern).search(text)
        if match is not None:
            way = 1 if match["up"] else -1 if match["down"] else 0
            return Moved(match.start(), match.end(), way, _interval(match["size"]))
    match = compiled(ONLY_WAY).search(text) if with_way_only else None
    if match is not None:
        up = any(match[name] for name in ("up", "up2", "up3"))
        return Moved(match.start(), match.end(), 1 if up else -1)
    match = compiled(SOMEWHERE).search(text)
    return Moved(match.start(), match.end(), 0) if match is not None else None


def _interval(size: str) -> str:
    plain = size.replace("-", " ").removesuffix("s")
    plain = pattern_of(r"^(?:(?:diatonic|good|chromatic|scale) |whole (?=third|fourth|fifth|octave))").sub(
        "", plain
    )
    return OTHER_SIZES.get(plain, plain)
