"""What is said of the roots of chords: the claim, and the words that tell it. Common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, ChordSaid, whole_words
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.root_intervals import INTERVAL
from lessonmaker.script.plain.verbs import FALLING, RISING

__all__ = ["A_NOTE_OF_IT", "INTERVAL_WORDS", "OF_THE_LINE", "ROOT", "ROOTS", "ROUND", "RootsClaim"]

INTERVAL_WORDS, ROOT = whole_words(INTERVAL), pattern_of(ROOT_NAME)
# A chord that the line goes up or down: "three, five, seven, nine, straight up the chord".
NO_PATH = "".join(
    rf"(?<!\b{way} {which} )"
    for way in ("up", "down", "through", "along", "over", "across")
    for which in ("the", "this", "that")
)
# What has roots: these words, or chords by their names.
ROOTS = pattern_of(
    r"\b(?:(?P<root>root(?! (?:of|note))|bass(?: note| line)?)|roots|bass notes"
    rf"|{NO_PATH}(?<!change of )chords?|harmon(?:y|ies)"
    r"|chord changes|progression|cycle|circle"
    r"|the whole thing|the whole (?:harmony|progression|chord)|everything|it all|dominants)\b"
)
# What the line does, or a note of a chord: "the line drops a half step".
OF_THE_LINE = pattern_of(
    rf"\b(?:i|you|he|she|the (?:line|melody|horn|tune|voice)) (?:\w+ ){{0,2}}?"
    rf"(?:{FALLING}|{RISING}|leaps?|jumps?|skips?)\b"
    r"|\b(?:approach\w*|sharp eleven|flat nine|from (?:the |a )?half[ -]step (?:above|below))\b"
    r"|\b(?:third|fifth|seventh|ninth|eleventh|thirteenth) of (?:the |that )?$"
)
# A note of a chord, which goes so far where the root stays.
A_NOTE_OF_IT = pattern_of(
    r"\b(?:third|fifth|sixth|seventh|ninth|eleventh|thirteenth|(?:flat|sharp) (?:five|nine|eleven|thirteen))\b"
)
# The circle of fifths within a key has a diminished one: F to B in C major.
ROUND = pattern_of(r"\b(?:circle|cycle) of $")


@dataclass(frozen=True)
class RootsClaim(Claim):
    """A claim of how roots move: by one of `steps`, semitones up; `name` is how the chords are told.

    `one` and `other` are the chords that are named; `count` how many such steps follow each other.
    """

    steps: tuple[int, ...] = ()
    one: ChordSaid | None = None
    other: ChordSaid | None = None
    anchor: str = ""
