"""Notes that are named as all there are: "nothing but F and A here", "three pitches: F sharp, C and A".

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.stretch_told import stretches_told
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import NoteWord, named_note

__all__ = ["only_names"]

FEWEST = 2  # names of a list
FEW = r"(?:two|three|four|five)"
NOTES = r"(?:notes|pitches|tones|names)"
ONLY = pattern_of(
    rf"\b(?:(?:only|just|nothing but|no more than)(?: (?:these )?{FEW}(?: \w+)? {NOTES}[^.;]{{0,24}}?[,:-])?"
    rf"|{FEW}(?: different)? {NOTES}\b[^.;]{{0,30}}?[,:]) (?:an? |the )?$"
)
JOINED = pattern_of(r",? (?:and |or |plus )?(?:an? |the )?|, ")
GOES_ON = pattern_of(
    r"\s*(?:[,.;:!]|$|(?:again|all|and (?:nothing|that's)|back|cycling|going|here|in|over and over|round|throughout)\b)"
)
LESS = pattern_of(
    r"\b(?:not|almost|nearly|mostly|first|last|top|bottom|half(?!-dim)|then|after|before|until|till|except|accent\w*|held"
    r"|long|left hand|bass|would|could|if|strong)\b|n't\b"
)


def only_names(told: Told) -> Iterator[Untrue]:
    """A list of notes that are all there are, of which one is not there, or beside which there are others."""
    names = sorted(told.notes_named, key=lambda each: each.first)
    if len(names) < FEWEST or not ONLY.search(told.text[: names[0].first]) or not _is_a_list(told, names):
        return
    begin, end = told.part_of(names[0].first)[0], told.part_of(names[-1].last - 1)[1]
    if LESS.search(told.text[begin : names[0].first]) or LESS.search(told.text[names[-1].last : end]):
        return
    first, last = names[0].first, names[-1].last
    stretches = stretches_told(told, first, last)
    named = {named_note(each.name).pitch_class for each in names}
    there = [{note.written.name.pitch_class for note in each} for each in stretches]
    absent = [each for each in names if all(named_note(each.name).pitch_class not in held for held in there)]
    if not stretches or not all(there):
        return
    if absent:
        words = told.sentence.words(absent[0].first, absent[0].last)
        yield Untrue(
            absent[0].first, absent[0].last, f"there is no {words} in it", "name the notes that are there"
        )
        return
    others = [[note for note in each if note.written.name.pitch_class not in named] for each in stretches]
    if all(others):
        at = told.music.position(others[0][0])
        yield Untrue(first, last, f"there is another note at {at}", "name all that are there", target=at)


def _is_a_list(told: Told, names: Sequence[NoteWord]) -> bool:
    """Whether all the notes that a sentence names stand in one list, which ends what is said of them."""
    between = (told.text[one.last : other.first] for one, other in pairwise(names))
    return all(map(JOINED.fullmatch, between)) and GOES_ON.match(told.text, names[-1].last) is not None
