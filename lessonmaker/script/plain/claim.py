"""A claim: what some words of a sentence say of the music."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.shape import SHAPELESS, Shape
from lessonmaker.script.plain.vocabulary import (
    CARDINALS,
    ORDINALS,
    degree_names,
    number_of,
    ordinal_of,
)

__all__ = ["Claim", "Stance", "counted", "named_degrees", "number_said", "words_like"]

Kind = Literal[
    "degree",
    "note",
    "set",
    "device",
    "role",
    "scale",
    "resolves",
    "symbol",
    "entry",
    "line",
    "beats",
    "extent",
    "member",
    "standout",
    "alike",
    "changes",
    "roots",
    "key",
    "progression",
    "form",
]
Stance = Literal["stated", "found", "handled", "touched", "denied", "shared"]


@dataclass(frozen=True)
class Claim:
    """Something claimed at [first, last) of a sentence.

    `names` are the degrees it may mean, likeliest first ("degree"), or the numbers of a set in order ("set"); `name`
    is the kind of device, the role, the scale, or a note's name as written ("note"); a "triad" that is named by its
    root has that in `names`. A chord symbol ("symbol") has its root, if any, in `name` and its families in `names`;
    the `name` of an "entry" is "first" or "last", that of a "line" its row in the table of sayings,
    that of a "member" what every note is, that of a "standout" what sets its note apart;
    the `names` of an "extent" are the first bar and the last.
    `which` is an ordinal ("the second flat nine"; -1 the last); `count` how many are claimed (0: not said; many and
    uncounted: -1). `sure` is False for words that often mean something else, which are read only where a place or
    another claim stands by them. `shape` is what is said of a device's; `parts` are the degrees of a row one by one.
    A `stance` of "touched" is that of what is recommended or asked of the player: it is lit where it is, and never
    false; "handled" is that of what is spoken of as known, which is false only of a bar that is named; "denied" is
    false where it is there; "found" is so plainly there that it is spoken of, however the sentence is put.
    What is "shared" is said of each of several, and lit only where each has it.
    `at` are the ids of the notes that its degrees were found to be.
    """

    kind: Kind
    first: int
    last: int
    name: str = ""
    names: tuple[str, ...] = ()
    detail: str = ""
    which: int = 0
    count: int = 0
    sure: bool = True
    shape: Shape = SHAPELESS
    parts: tuple[Claim, ...] = ()
    stance: Stance = "stated"
    at: tuple[str, ...] = ()


@lru_cache(maxsize=512)
def words_like(pattern: str) -> re.Pattern[str]:
    """What finds whole words by a pattern."""
    return pattern_of(rf"(?<![\w#])(?:{pattern})(?!\w)")


def number_said(text: str) -> int:
    """The number that a figure, a cardinal or an ordinal says."""
    if text in CARDINALS:
        return number_of(text)
    if text in ORDINALS or not text.isdecimal():
        return ordinal_of(text)
    return int(text)


def named_degrees(text: str) -> tuple[str, ...]:
    """The degrees that words may mean: "flat nine", "its third"."""
    *sign, number = pattern_of(r"[ -]").split(text)
    if number == "tonic":
        return ("1",)  # "the minor tonic": of a minor key
    return degree_names(" ".join(sign), 1 if number == "root" else number_said(number))


# What is one thing by its plural.
BY_NATURE = (
    r"(?:cycle|chain|string|row|circle) of |groups? of |[\w-]+ group(?:ing)?s"
    r"|(?:(?:every|each) )?(?:three|five|[35]) (?:eighth|quaver)"
)


AN_ADJECTIVE = (
    r"(?!(?:and|are|as|at|by|for|from|in|is|like|more|not|of|on|or|over|plus|than|that|then|times|to|was|were|with"
    r"|notes|beats|bars|one|two|three|four|five|six|seven|eight|nine)\b)[a-z]+"
)


def counted(text: str, first: int, words: str) -> tuple[int, int]:
    """(which, how many) of something: from the words before it and its plural."""
    before = text[:first].rstrip()
    ordinal = pattern_of(
        r"\b(first|second|third|fourth|last|final|next|other)"
        r"(?: (?:of (?:the|these|those)(?: (?:two|three|four))?|long|short|little|big))?$"
    ).search(before)
    which = 0
    if ordinal is not None and ordinal[1] not in ("next", "other"):
        which = -1 if ordinal[1] in ("last", "final") else ordinal_of(ordinal[1])
    number = pattern_of(
        r"\b(?<!\bbar )(?<!\bbeat )(?<!\bmeasure )(two|three|four|five|six|seven|eight|both|all|several|\d)"
        rf"(?: (?:of the|of these|of them|the|(?:sets|pairs|groups|bursts|lots) of|{AN_ADJECTIVE}))?$"
    ).search(before)
    plural = bool(pattern_of(r"[^s']s$|(?:es)$").search(words)) and not pattern_of(
        r"(?:sides?|slips|goes|moves|sequences|encloses|surrounds|anticipates|arpeggiates|displaces"
        r"|circles|encircles|wraps|orbits|brackets|frames|flanks|straddles|neighbou?rs"
        r"|(?:in|by|into) (?:twos|threes|fives|sevens))$"
    ).search(words)
    plural = plural and not pattern_of(BY_NATURE).match(words)
    plural = plural or (words.endswith("sequences") and bool(number))
    if not plural:
        return which, 0
    if number is None or number[1] in ("all", "several"):
        return which, -1
    return which, {"both": 2}.get(number[1]) or number_of(number[1])
