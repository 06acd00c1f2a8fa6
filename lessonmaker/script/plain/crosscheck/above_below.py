"""Which of two notes lies above the other, and how far: "the D is a fourth above the G", "it towers over the C".

Common practice, no source. False only where no two notes that may be meant lie so; whatever octaves lie between count
as none where a step or an interval is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.move_words import UNSURE
from lessonmaker.script.plain.crosscheck.moves import Thing
from lessonmaker.script.plain.crosscheck.noted import DISPLACED, MOVED_AGAIN, Pair, far_said, noted
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import INTERVAL, is_as_far

__all__ = ["above_below"]

SIZE = (
    r"(?:(?:just |only |exactly )?(?:an?|the|one) (?:(?:bare|little|mere|single|tiny|whole(?! step| tone)|full) )?"
    rf"(?P<size>half[- ]step|semitone|whole[- ](?:step|tone)|step|(?:minor |major )?second|{INTERVAL}) )"
)
UP, DOWN = r"(?:higher than|above|on top of)", r"(?:lower than|below|beneath|underneath)"
RELATION = pattern_of(
    rf"(?<![\w-]){SIZE}?(?P<just>(?:just|right|directly|immediately) )?"
    rf"(?:(?P<up>{UP})|(?P<down>{DOWN})|(?P<over>over)|(?P<under>under)"
    r"|(?P<tops>towers? (?:over|above)|overtops|tops|looks down on)|looks up (?:at|to))(?![\w-])"
)
THE = r"(?:the|that|this|our|its|your)(?: (?:low|high|long|first|last|held|opening|final|little))*"
OF_IT = pattern_of(rf" (?:{THE} )?")
IT = pattern_of(r" (?:it|that|this|him)\b")
# Notes on both sides of another: an enclosure.
ABOVE, BELOW = r"\b(?:above|over|on top|higher)\b", r"\b(?:below|beneath|under|underneath|lower)\b"
BOTH = pattern_of(rf"{ABOVE}.*{BELOW}|{BELOW}.*{ABOVE}")
SUBJECT = pattern_of(r"\b(?:it|that|this|which)\b")
OTHERS = pattern_of(
    r"\b(?:chords?|harmon\w+|bass(?:es)?|keys?|staff|stave|ledger|concert|written|sounds?|voic\w+"
    r"|octaves? (?:up|down|apart)|each|every|both|neither|nor|nothing|never|none|no)\b"
)
NEAR = 12  # notes of the line between the two


def above_below(told: Told) -> Iterator[Untrue]:
    """Notes that are said to lie above or below others, or so far from them, and do not."""
    moved = MOVED_AGAIN.search(told.text.replace(" than ", " "))
    if moved or BOTH.search(told.text) or OTHERS.search(told.text):
        return
    things = noted(told)
    for match in RELATION.finditer(told.text):
        one, other = _two(told, things, match)
        unsure = UNSURE.search(told.text, told.part_of(match.start())[0], match.start())
        if one is None or other is None or unsure or not _is_said(match):
            continue
        way = 1 if match["up"] or match["over"] or match["tops"] else -1
        pairs = _pairs(told, one, other)
        if pairs and not any(_lies(pair, way, match["size"]) for pair in pairs):
            yield Untrue(*match.span(), far_said(told, pairs[0]), "say where it lies")


def _is_said(match: re.Match[str]) -> bool:
    """Whether "over" or "under" is how notes lie, and not what sounds together."""
    return not (match["over"] or match["under"]) or bool(match["size"] or match["just"])


def _two(told: Told, things: list[Thing], match: re.Match[str]) -> tuple[Thing | None, Thing | None]:
    """What is said to lie somewhere, and of what it is said: "the F just above it" has that named before."""
    of = OF_IT.match(told.text, match.end())
    after = next(
        (each for each in things if of is not None and each.first in (of.end(), match.end() + 1)), None
    )
    before = [each for each in things if each.last <= match.start()]
    begin = told.part_of(match.start())[0]
    if not before:
        return None, None
    apart = before[-1].last <= begin and told.text[before[-1].last : match.start()] != ", "
    if apart and not SUBJECT.search(told.text, begin, match.start()):
        return None, None
    if after is not None:
        return (before[-1], after) if len(before[-1].lit) <= 1 and len(after.lit) <= 1 else (None, None)
    if IT.match(told.text, match.end()) and len(before) > 1 and before[-1].last == match.start() - 1:
        return before[-1], before[-2]
    return None, None


def _pairs(told: Told, one: Thing, other: Thing) -> list[Pair]:
    """The pairs that may be meant, those that are lit first; each with its second note as where it is counted from."""
    line = {note.id: at for at, note in enumerate(told.music.line)}

    def is_near(a: Note, b: Note) -> bool:
        return a.id != b.id and abs(line.get(a.id, -NEAR) - line.get(b.id, -NEAR)) <= NEAR

    lit = [(b, a) for a in one.lit for b in other.lit if a.id != b.id]
    return [*lit, *((b, a) for a in one.notes for b in other.notes if is_near(a, b) and (b, a) not in lit)]


def _lies(pair: Pair, way: int, size: str | None) -> bool:
    away = (pair[1].sounding.midi - pair[0].sounding.midi) * way
    if size is None:
        return away > 0
    return is_as_far(*pair, size.replace("-", " ")) and (away > 0 or away <= -DISPLACED)
