"""Faults that the words beside them make doubtful: what is called false of the line may be said of a chord or a scale.

Common practice, no source. "From a flat-five two to the altered five" names no note that the line has to play; nor does
"a major scale with its fourth raised", or "a passing note, entered by step", of a bar that also leaps.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.script.model import Understood
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.text import Sentence

__all__ = ["is_doubtful", "without_doubtful"]

BY_THEMSELVES = ("degree", "note", "scale", "set")
SIGN = (
    r"(?:flat|flatted|flattened|sharp|sharpened|raised|lowered|natural|plain|minor|major|diminished|augmented|perfect"
    r"|blue)"
)
OF_A_CHORD = r"(?:five|seven|thirds?|fifths?|sevenths?)"
NUMBER = rf"(?:{OF_A_CHORD}|two|three|four|six|thirteen|seconds?|fourths?|sixths?|ninths?|thirteenths?)"
TONE = rf"(?:(?:the |its |only )?(?:(?:{SIGN}[ -])?{OF_A_CHORD}|root|tonic))"
DEGREE = rf"(?:(?:the |its |only )?(?:(?:{SIGN}[ -])?{NUMBER}(?: degree)?(?: is {SIGN})?|root))"
AND = r"(?:,? (?:and |yet |but )?(?:an? )?)"
# What is said of a place, or of what is played there, which is false where it is not so.
PLACED = pattern_of(
    r"\b(?:bars?|measures?|beats?|down-?beat|line|melody|phrase|lick|notes?|play\w*|begin\w*|begun|start\w*"
    r"|end(?:s|ed|ing)?|opens?|clos(?:es|ed|ing)|conclud\w*|finish\w*|signs off|settles?|lands?|landing"
    r"|over|hits?|holds?|held|on (?:one|two|three|four)|no|not|never|without"
    r"|avoid\w*|neither|nor)\b|n't\b"
)
# What a note is said to go to, or to be.
TO_IT = pattern_of(r"(?:\b(?:(?:in)?to|is|was)|'s) (?:the |its |a )?$")
# What speaks of the chords by their steps.
OF_STEPS = (
    r"\b(?:tonic|supertonic|subdominant|predominant|dominants?|substitut\w+|stand-in|progression|home chord"
    r"|(?:one|two|four|five|six) chord|altered five|five alt|to minor|major home|ii)\b"
)
# What speaks of a scale by its notes.
OF_A_SCALE = (
    r"\b(?:scales?|modes?|pentatonic|lydian|dorian|mixolydian|phrygian|aeolian|locrian|ionian"
    r"|(?:major|minor|that minor|a minor) with|(?:of|than) (?:the )?major)\b"
)
ALTERING = (
    r"\b(?:rais\w+|lift\w*|sharp\w*|lower\w*|flat\w*|augmented|pushed|upraised|fourth|sixth|cousin|degree|brighter"
    r"|from its own|skylight)\b"
)
# What goes by step through, round or into one note.
OF_ONE_NOTE = (
    r"\b(?:passing (?:tones?|notes?)|transit\w*|neighbou?r\w*|chord (?:tones?|notes?)|link\w*|connect\w*"
    r"|in the middle|from one side|(?:chord|harmony) (?:members?|notes?)"
    r"|both (?:ends|sides)|in-between|quitted"
    r"|thirds? and (?:the )?sevenths?|sevenths? (?:and|into)|enters?|entered)\b"
)
MANNER = (
    r"(?:all )?(?:by (?:half )?steps?|(?:half )?steps?|stepwise|scalewise|chromatic(?:ally)?|half[ -]steps|semitones"
    r"|(?:without an?|not|no) (?:skip|jump|leap)s?)"
)
# The words that are called false, and those beside them.
ROWS = (
    (rf"{TONE}(?:{AND}{TONE})*", OF_STEPS),
    (rf"{DEGREE}(?:{AND}{DEGREE})*", OF_A_SCALE),
    (r"(?:major|natural minor|minor|locrian|ionian|mixolydian)(?: (?:scale|mode))?", ALTERING),
    (MANNER, OF_ONE_NOTE),
    (r"(?:flat|b)[ -]two", r""),
    (r"sequences?", r"\bin sequence\b|\bdream[ -]sequence"),
    (r"(?:five|seven) chords(?:, each)?", r""),
    (r"(?:two|three) (?:[a-z]+ )?chords(?:, each)?", r"\b(?:stacked|on top|above|below|at once)\b"),
)
DETAIL = pattern_of(rf"{DEGREE}(?:{AND}{DEGREE})*|{MANNER}")
A_NOTE = pattern_of(OF_ONE_NOTE)
PATTERNS = tuple((pattern_of(said), pattern_of(beside)) for said, beside in ROWS)


def is_doubtful(sentence: Sentence, claim: Claim) -> bool:
    """Whether it is in doubt what a claim is said of, so that it may be true of something else.

    Notes and scales go with the words next to them, also in a long sentence.
    """
    return not (sentence.is_short or claim.kind in BY_THEMSELVES)


def without_doubtful(sentence: Sentence, found: Sequence[Understood], *, described: bool) -> list[Understood]:
    """What was understood of a sentence, without the faults that are likely to be none.

    Where it is `described` what is there, the names and the manner of notes in it are taken for parts of that.
    """
    return [each for each in found if each.status != "fault" or not _is_doubtful(sentence, each, described)]


def _is_doubtful(sentence: Sentence, fault: Understood, described: bool) -> bool:
    words = fault.words.casefold().strip()
    if described and DETAIL.fullmatch(words):
        return True
    first = sentence.text.find(words)
    beside = sentence.text.replace(words, "_" * len(words), 1) if first >= 0 else sentence.text
    placed = PLACED.search(beside) is not None or TO_IT.search(sentence.text[: max(first, 0)]) is not None
    return any(
        said.fullmatch(words) and near.search(beside) and not (placed and near is not A_NOTE)
        for said, near in PATTERNS
    )
