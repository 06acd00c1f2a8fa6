"""The notes that some words of a sentence are said of: "the G hangs there", "D, C and B flat get two beats each".

They are named by letter or degree, or were lit by what they do, and stand last before the words in what is told of one
thing. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import bears, notes_near
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.said_notes import said_notes
from lessonmaker.script.plain.crosscheck.told import Told

__all__ = ["BESIDE_IT", "GIVEN", "IS", "Subject", "subject_after", "subject_before", "subjects"]

# Between names that are said of together.
JOINED = pattern_of(
    r"(?:,? ?(?:and|then|or|and then|to|up to|down to)|,| -)? ?"
    r"|(?: (?:and|or|then|and then|to|up to|down to)|,) (?:the|an?|that|its) "
)
# A name that something else stands by, and that nothing is said of: "over the C", "before the D".
BESIDE = pattern_of(
    r"\b(?:over|of|in|against|under|with|than|like|before|after|until|till|between|from|via|towards?"
    r"|beneath|above"
    r"|below)(?: (?:the|that|this|an?|our|its))?(?: (?:high|low|first|last|final|top|big|long|same))? $"
)
# Where something else begins to be told: a stop, or a joining word with a thing of its own.
ITSELF = (
    r"(?:it|its|that|this|which|they|both|each|every one of|all|these|those|here|there|only|just|we|you|i)"
)
OTHER_THING = pattern_of(
    rf"[.!?;:]|(?:,|\b(?:and|but|while|whereas|so|then|because|where|when|before|after|until|till|as"
    rf"|since)\b)+ "
    rf"(?:(?:and|but|then|so) )?(?!{ITSELF}\b)(?:the|an?|our|your|his|her|their|every\w*|no\w*|any\w*"
    rf"|[a-g]|what|one|two"
    rf"|three|four)\b(?! (?:(?:mere|short|brief|tiny|lazy|long|whole|full|good|single) )?(?:beat|bar"
    rf"|half|quarter|eighth|whole|sixteenth|full|good|dotted|single|mere"
    rf"|short|long)\b)"
    r"|\b(?:before|after|until|till|while|when) (?:we|you|i|it|they)\b"
)
# Verbs that move nothing where they tell how long notes are: "D gets a beat", "hang around for two beats".
GIVEN = pattern_of(
    r"\b(?:(?:gone|over|done|finished|let go|released|cut off) (?:after|in|within)|giv(?:e|es|en|ing)"
    r"|let(?:s|ting)?|get(?:s|ting)?|got(?:ten)?|wants?|tak(?:e|es|en|ing)"
    r"|hang(?:s|ing)? around|goes|go"
    r"|comes? (?:in|out)? ?(?:at|to))\b(?! (?:up|down|to|from|into|back|over))"
)
# What makes a distance of a stretch of time, if it is not said that notes have it: "comes a beat before the D".
BESIDE_IT = pattern_of(r" (?:before|after)\b")
IS = pattern_of(
    r"(?:\b(?:is|are|was|as|in|gets?|takes?|lasts?|has|have|holds?|held|rings?|stays?|kept|sits?|for)\b"
    r"|'s\b)"
)
FARTHEST = 70  # characters from a name to what is said of it


@dataclass(frozen=True)
class Subject:
    """What something is said of, at [first, last) of a sentence: for each name the notes that may be meant.

    `lit` is whether it is what was lit by what it does, not by a name.
    """

    first: int
    last: int
    notes: tuple[tuple[Note, ...], ...]
    lit: bool = False

    @property
    def every_note(self) -> tuple[Note, ...]:
        """The notes of all names."""
        return tuple(note for each in self.notes for note in each)


@lru_cache(maxsize=1)  # of a sentence that many checks ask of
def subjects(told: Told) -> list[Subject]:
    """The notes that are named or lit in a sentence, row by row, in the order of the words."""
    near = notes_near(told)
    named = [
        span for place in told.places if place.level == "bar" and not place.pointed for span in place.spans
    ]
    sight = told.notes_in([*told.spans, *named])
    rows = [_named(told, row, sight, near) for row in _rows(told)]
    taken = [(row.first, row.last) for row in rows]
    others = [
        Subject(each.first, each.last, (each.notes,), True)
        for each in told.shown
        if each.notes and not any(first < each.last and each.first < last for first, last in taken)
    ]
    return sorted([*rows, *others], key=lambda row: row.first)


def _rows(told: Told) -> Iterator[list[Claim]]:
    """The names in rows, with nothing but commas and joining words between them."""
    chords = [(name.first, name.last) for name in told.chords_named if name.families]
    row = list[Claim]()
    for claim in _names(told):
        if any(first < claim.last and claim.first < last for first, last in chords):
            continue
        if row and row[-1].kind == claim.kind and JOINED.fullmatch(told.text, row[-1].last, claim.first):
            row.append(claim)
            continue
        if row:
            yield row
        row = [claim]
    if row:
        yield row


def _names(told: Told) -> Iterable[Claim]:
    found = {claim.first: claim for claim in (*letters_in(told.sentence), *said_notes(told))}
    return [found[first] for first in sorted(found)]


def _named(told: Told, row: list[Claim], sight: list[Note], near: list[Note]) -> Subject:
    """What the names of a row may mean: notes one after another that bear them, or else each note of each name."""
    for notes in (sight, near):
        runs = [notes[at : at + len(row)] for at in range(len(notes) - len(row) + 1)]
        fitting = [run for run in runs if all(map(partial(_bears, told), run, row))]
        if fitting:
            return Subject(row[0].first, row[-1].last, tuple(zip(*fitting, strict=True)))
    own = [[note for note in sight if bears(note, claim, told)] for claim in row]
    beside = [[note for note in near if bears(note, claim, told)] for claim in row]
    found = tuple(tuple(notes or others) for notes, others in zip(own, beside, strict=True))
    return Subject(row[0].first, row[-1].last, found)


def _bears(told: Told, note: Note, claim: Claim) -> bool:
    return bears(note, claim, told)


def subject_before(told: Told, at: int, found: Iterable[Subject] | None = None) -> Subject | None:
    """What is spoken of at a character: the last names before it, if no other thing is told of between."""
    before = [each for each in (subjects(told) if found is None else found) if each.last <= at]
    for each in reversed(before):
        between = told.text[each.last : at]
        if len(between) > FARTHEST or OTHER_THING.search(between):
            return None
        if not BESIDE.search(told.text[: each.first]):
            return each if all(each.notes) else None
    return None


# The names that come right after what is said of them: "half a bar for the G".
AFTER = pattern_of(
    r",? ?(?:for|on|to|of|is|are|go(?:es)? to|belongs to|come|comes)? ?(?:the|an?|that|those|both|our"
    r"|each)? ?"
)


def subject_after(told: Told, at: int, found: Iterable[Subject] | None = None) -> Subject | None:
    """The names that come right after a character: "half a bar for the G"."""
    for each in subjects(told) if found is None else found:
        if each.first >= at:
            return each if AFTER.fullmatch(told.text, at, each.first) and all(each.notes) else None
    return None
