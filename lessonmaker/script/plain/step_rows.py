"""Chords that are told by bare steps, one after the other, which may be degrees of the line: "two, flat two, one".

Common practice, no source. The music decides: they are chords where those that are shown stand on these steps, in one
place only, and the line has no such notes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import STEP, WORD
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import Decided
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.root_words import GOES_ON_TO
from lessonmaker.script.plain.symbol_words import HARMONIC
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.two_fives import (
    AFTER_A_DEGREE,
    DEGREE,
    NEXT_STEP,
    TIME,
    ProgressionClaim,
    is_in_a_two_five,
    steps_in_key,
    without_names,
)

__all__ = ["is_told_already", "step_rows"]

COUNTED = r"(?:over|under|bars?|beats?|times?|notes?|octaves?|chords)"
BY_WORD = rf"(?:(?!home (?:in)?to\b){WORD}|dominant(?! (?:seven|nine)))"
ONE = rf"(?:the |our |an? )?(?:{STEP}|{BY_WORD})(?: chord)?(?![\w'-]| {COUNTED}\b)"
NEXT = rf"(?:{NEXT_STEP}|{GOES_ON_TO.pattern})"
NO_NUMBER = r"(?<![\w'#-])(?<!bar )(?<!bars )(?<!beat )(?<!beats )"
ROW = pattern_of(rf"{NO_NUMBER}{ONE}(?:{NEXT}{ONE})+")
EACH = pattern_of(f"{NO_NUMBER}{ONE}")
LISTED = pattern_of(r",? (?:and )?|; ")
LEAST_LISTED = 3
TWO_AND_FIVE = pattern_of(r"the (?:minor )?(?:two|ii)(?: chord)? and the (?:five|v)\b")
A_LETTER = pattern_of(r"[a-g]\b")
BEFORE_A_DEGREE = pattern_of(rf"(?:,| and| then| to| the| flat| sharp)* {DEGREE}\b")


def step_rows(sentence: Sentence) -> Iterator[ProgressionClaim]:
    """The rows of steps in a sentence that may be chords; two count only where one goes to the other."""
    for match in ROW.finditer(without_names(sentence)):
        steps = list(EACH.finditer(match[0]))
        between = match[0][steps[0].end() : steps[-1].start()]
        before = sentence.text[: match.start()]
        among = AFTER_A_DEGREE.search(before) or BEFORE_A_DEGREE.match(sentence.text, match.end())
        if among or TIME.search(before) or is_in_a_two_five(sentence, match.start()):
            continue
        listed = LISTED.fullmatch(between) and not TWO_AND_FIVE.match(match[0])
        if len(steps) >= LEAST_LISTED or not listed:
            named = tuple(step[0] for step in steps)
            in_key = steps_in_key(sentence, match, named)
            yield in_key if in_key.tonic else replace(in_key, name="row")


def is_told_already(row: Claim, claims: Sequence[Claim], decided: Sequence[Decided], music: Music) -> bool:
    """Whether the words of a row were read as notes in that order; of names, whether anything is said of chords.

    In a key that is named after them, notes are only meant if its tonic's chord is theirs: "five to one in F minor".
    """
    if row.name == "names":
        return any(
            each.says and claim.kind in (*HARMONIC, "device")
            for claim, each in zip(claims, decided, strict=True)
        )
    own = [each for claim, each in zip(claims, decided, strict=True) if row.first <= claim.first < row.last]
    notes = [each.mention for each in own if each.mention is not None]
    starts = [mention.span.start for mention in notes]
    told = bool(own) and len(notes) == len(own) and starts == sorted(starts)
    tonic = row.tonic if isinstance(row, ProgressionClaim) else ""
    if not told or not A_LETTER.match(tonic):
        return told
    chords = [change.written for mention in notes for change in music.changes_in(mention.span)]
    return any(each and each.root.pitch_class == named_note(tonic).pitch_class for each in chords)
