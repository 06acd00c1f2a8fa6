"""Which way, and how far, a note that was just named is said to go: "the ninth moves up", "it jumps up a fourth".

Common practice, no source. A note goes to what it resolves to, or to the next other note of the line. There is nothing
to light, as the note itself is; what goes the other way, or another distance, is false. A leap of more than a tritone
may be the same step in another octave, and is no contradiction of a way.
"""

from __future__ import annotations

import re

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.intervals import INTERVAL, TRITONE, interval_sizes
from lessonmaker.script.plain.motion import reached_from
from lessonmaker.script.plain.passage import Passage, Saying, Verdict, said
from lessonmaker.script.plain.verbs import FALLING, GOING, RISING, way_of
from lessonmaker.script.plain.vocabulary import ORDINALS

__all__ = ["DEPARTURES", "departed"]

SOFTLY = r"(?:right|straight|back|gently|slowly|quietly|only)"
WAY = r"(?:up|upwards?|down|downwards?)"
SIZE = (
    rf"(?:(?:half|whole)[ -](?:step|tone)s?|semitone|(?:whole )?tone|step|{INTERVAL})"
    r"(?! (?:lower|higher|below|above|apart|each|away)\b)"
)
# What it goes to instead is another claim's, or a thing that does not move: "falls on beat two", "goes down well".
ENDS = (
    r"(?=\s*(?:[,;:!?]|\.(?!\.)|$)|,? (?:and|but|so|then|here|there|in|into|to|onto|at|by|instead|rather|again|when|as"
    r"|over|across|of course|before|after|from|with|like|where|which|now|without|just|for)\b)"
    r"(?! (?:in|into) (?:place|line|time|tune|step|it)\b)"
)

# "The same third to ninth climb": a noun.
NO_NOUN = r"(?!(?<=(?:th|rd|ot|en|ne|ve) )(?:climb|dip|drop|fall|leap|lift|jump|rise|slide|slip|step|walk)\b)"
# A note that may be what is said to go.
A_NOTE = pattern_of(
    rf"\b(?:root|{'|'.join(list(ORDINALS)[2:13])}|three|five|seven|nine|eleven|thirteen|[a-g]|note|tone|it|flat|sharp)\b"
)


def _goes(before: Note, after: Note, way: int, sizes: tuple[int, ...]) -> bool:
    """Whether a note goes on as is said; what is not said, and another octave, is no contradiction."""
    step = after.sounding.midi - before.sounding.midi
    far = abs(step) > TRITONE and not sizes
    return (not way or step * way > 0 or far) and (not sizes or abs(step) in sizes)


def departed(note: Note, way: int, sizes: tuple[int, ...], music: Music) -> str:
    """Where a note goes, if that is not as is said; nothing where it is, or where it goes nowhere."""
    reached = [each for each in reached_from(note, music) if each.sounding != note.sounding]
    if not reached or not (way or sizes) or any(_goes(note, each, way, sizes) for each in reached):
        return ""
    places = [format_position(music.score, each.onset) for each in (note, reached[0])]
    verb = "rises" if reached[0].sounding.midi > note.sounding.midi else "falls"
    return f"the {note.written.name} at {places[0]} {verb} to the {reached[0].written.name} at {places[1]}"


def _departs(match: re.Match[str], passage: Passage) -> Verdict:
    """Where the note that was spoken of goes, if that is another way, or another distance, than is said."""
    way = way_of(match[0])
    sizes = interval_sizes(match["size"]) if match["size"] else ()
    there = departed(passage.subject, way, sizes, passage.music) if passage.subject is not None else ""
    return Verdict(is_there=there, is_sure=True)


DEPARTURES: tuple[Saying, ...] = (
    Saying(
        said(
            rf"(?<!\ba )(?<!\ban )(?<!\bthe )(?<!\bone ){NO_NOUN}(?!turn\w* up\b)"
            rf"(?:(?:{RISING}|{FALLING}|{GOING} (?:{SOFTLY} )?{WAY})"
            rf"|{GOING}(?= (?:by )?(?:an?|one) ))(?: (?:{SOFTLY}|just|by|{WAY}))*"
            rf"(?: (?:an?|one) (?P<size>{SIZE}))?(?: {WAY})?{ENDS}"
        ),
        _departs,
        after=A_NOTE,
    ),
)
