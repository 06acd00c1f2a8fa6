"""Notes that are named for a beat on which they do not sound: "A natural on beat two", where A flat is there.

Common practice, no source. What is struck in the beat counts, and what is held into it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.analysis.lines import full_start
from lessonmaker.score.model import Bar, Note
from lessonmaker.script.plain.crosscheck.letters import (
    is_surely_a_note,
    letters,
    pitch_class,
    pitch_classes,
    tonics,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import NoteWord
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["names_at_beats"]

# What a beat is called, and how long it is from where it begins.
AND_OF = re.compile(rf"(?:the )?['\"]?(?:and|&)['\"]? (?:of|after) (?:beat )?(?P<number>{NUMBER})")
A_BEAT = re.compile(rf"(?:beat |the )?(?P<number>{NUMBER})")
NTH_BEAT = re.compile(rf"(?:the )?(?P<ordinal>{ORDINAL}) beat")
DOWNBEAT = re.compile(r"(?:the )?down-?beat")
HALF = Fraction(1, 2)
ON = re.compile(r"\b(?:on|at|hits?|is|for)(?: the)? $")
# What a beat may belong to instead of the note beside it.
OF_ANOTHER = re.compile(
    r"\b(?:rests?|silen\w+|chords?|harmon\w+|accents?|bass|hand|nothing|breath|after|before|until|till|leads?"
    r"|heads?|heading|aim\w*|towards?|from|starts?|resolv\w+|goes|going|moves?|falls?|rises?|drops?|steps?|to|into"
    r"|third|fifth|root|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen|it|triad|changes?|note|who|whose"
    r"|held|holds?|tied|ties|rings?|lasts?|over|against|through|without)\b"
)
PART = re.compile(
    r"[,;:]|\b(?:but|while|whereas|because|so|then|before|after|until|which|where|when)\b|\band (?!\w+ on\b)"
)
FARTHEST = 40  # characters between a note and its beat
A_TO = re.compile(
    r"\b(?:up|down|back|over|right|reach\w*|get|gets|come|comes|climb\w*|drop\w*|fall\w*|jump\w*)"
    r" (?:in)?to (?:an? |the )?$"
)


@dataclass(frozen=True)
class Beat:
    """A beat that is named: its place, and from where to where it lasts, in beats of its bar counted from 1."""

    place: Place
    start: Fraction
    end: Fraction


def names_at_beats(told: Told) -> Iterator[Untrue]:
    """The letters of notes beside a beat on which none of the notes named in that part of the sentence sounds."""
    names = letters(told)
    for beat in _beats(told):
        first, last = _part_of(told, beat.place.first)
        inside = [name for name in names if first <= name.first < last]
        name = _nearest(told, beat, inside)
        bars = told.bars_of(told.spans_at(beat.place.first))
        sounding = [note for bar in bars for note in _sounding(told, bar, beat)]
        there = pitch_classes(sounding)
        if name is None or not bars or any(pitch_class(each) in there for each in inside):
            continue
        is_note = told.shown_at(name.first, name.last) is not None or is_surely_a_note(told, name)
        if pitch_class(name) in tonics(told) and not is_note:
            continue
        yield _untrue(told, name, beat, sounding)


def _part_of(told: Told, at: int) -> tuple[int, int]:
    """The part of the sentence in which a beat is named, with two things that are done by one note in it."""
    edges = [0, *(match.start() for match in PART.finditer(told.text)), len(told.text)]
    return max(edge for edge in edges if edge <= at), min(edge for edge in edges if edge > at)


def _untrue(told: Told, name: NoteWord, beat: Beat, sounding: list[Note]) -> Untrue:
    where = told.sentence.words(beat.place.first, beat.place.last)
    what = " and ".join(dict.fromkeys(str(note.written.name) for note in sounding)) or "no note"
    words = told.sentence.words(name.first, name.last)
    return Untrue(
        min(name.first, beat.place.first),
        max(name.last, beat.place.last),
        f"there is no {words} on {where}, but {what}",
        "name the note that is there, or its beat",
    )


def _beats(told: Told) -> Iterator[Beat]:
    """The beats that something is said to be on."""
    for place in told.places:
        words = told.text[place.first : place.last]
        if place.level != "beat" or not ON.search(told.text[: place.first]):
            continue
        if match := AND_OF.fullmatch(words):
            start = number_of(match["number"]) + HALF
            yield Beat(place, start, start + HALF)
        elif match := A_BEAT.fullmatch(words):
            start = Fraction(number_of(match["number"]))
            yield Beat(place, start, start + 1)
        elif match := NTH_BEAT.fullmatch(words):
            start = Fraction(ordinal_of(match["ordinal"]))
            yield Beat(place, start, start + 1)
        elif DOWNBEAT.fullmatch(words):
            yield Beat(place, Fraction(1), Fraction(2))


def _nearest(told: Told, beat: Beat, names: list[NoteWord]) -> NoteWord | None:
    """The note beside a beat, if nothing between them may be what is on it."""
    near = sorted(names, key=lambda name: max(name.first - beat.place.last, beat.place.first - name.last))
    for name in near[:1]:
        before = name.last <= beat.place.first
        between = (
            told.text[name.last : beat.place.first] if before else told.text[beat.place.last : name.first]
        )
        if not before:
            between = A_TO.sub("", between)
        if len(between) <= FARTHEST and not OF_ANOTHER.search(between):
            return name
    return None


def _sounding(told: Told, bar: Bar, beat: Beat) -> list[Note]:
    """The notes that sound in a beat of a bar."""
    start, end = (full_start(bar) + (at - 1) * bar.metre.unit_quarters for at in (beat.start, beat.end))
    return [note for note in told.music.struck if note.onset < end and note.onset + note.held > start]
