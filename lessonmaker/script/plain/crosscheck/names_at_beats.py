"""Notes that are named for a beat on which they do not sound: "A natural on beat two", where A flat is there.

Common practice, no source. What is struck in the beat counts, and what is held into it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.analysis.lines import full_start
from lessonmaker.score.model import Bar, Note
from lessonmaker.score.position import Span
from lessonmaker.script.plain.crosscheck.degrees_absent import degrees_heard, sizes_of
from lessonmaker.script.plain.crosscheck.letters import (
    IN_BAR,
    is_surely_a_note,
    letters,
    pitch_class,
    pitch_classes,
    tonics,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
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
    r"|it|triad|changes?|note|who|whose"
    r"|held|holds?|tied|ties|rings?|lasts?|over|against|through|without)\b"
)
RESOLVING = re.compile(r"\bresolv\w+")  # on a beat that its goal is on
PART = re.compile(
    r"[,;:]|\b(?:but|while|whereas|because|so|then|before|after|until|which|where|when)\b|\band (?!\w+ on\b)"
)
# A beat with which a part of a sentence begins, so that it is where all that follows is.
OPENS = re.compile(r"\W*(?:(?:and|but|then|so|now|right|there|here|just|while) )*(?:on|at)(?: the)? ")
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


@dataclass(frozen=True)
class Named:
    """A note that is named at [first, last) by its letter (a pitch class) or its degree (semitones).

    `sure` where the words can mean nothing else.
    """

    first: int
    last: int
    sizes: frozenset[int]
    is_letter: bool
    sure: bool

    def is_among(self, notes: Sequence[Note], told: Told) -> bool:
        """Whether it is one of some notes."""
        there = pitch_classes(notes) if self.is_letter else degrees_heard(notes, told)
        return bool(self.sizes & there)


def names_at_beats(told: Told) -> Iterator[Untrue]:
    """The notes named beside a beat on which none of those named in that part of the sentence sounds."""
    beats = list(_beats(told))
    names = _named(told) if beats else []
    for beat in beats if not RESOLVING.search(told.text) else ():
        first, last = _part_of(told, beat.place.first)
        inside = [name for name in names if first <= name.first < last]
        name = _nearest(told, beat, inside)
        bars = told.music.bars_in(_spans(told, first, last))
        sounding = [note for bar in bars for note in _sounding(told, bar, beat)]
        if name is None or not bars or any(each.is_among(sounding, told) for each in inside):
            continue
        if name.sure or told.shown_at(name.first, name.last) is not None:
            yield _untrue(told, name, beat, sounding)


def _named(told: Told) -> list[Named]:
    """The notes that are named by their letters, and by their degrees."""
    others = tonics(told)
    found = [
        Named(
            name.first,
            name.last,
            frozenset({pitch_class(name)}),
            True,
            pitch_class(name) not in others or is_surely_a_note(told, name),
        )
        for name in letters(told)
    ]
    for claim in told.named:
        if claim.kind == "degree" and claim.names and claim.count == 0:
            found.append(Named(claim.first, claim.last, frozenset(sizes_of(claim.names)), False, claim.sure))
    return found


def _spans(told: Told, first: int, last: int) -> Sequence[Span]:
    """The bars in which something is, as a part of the sentence names them; else all in sight."""
    for place in told.places:
        inside = first <= place.first < last and place.level == "bar" and not place.pointed
        if inside and place.spans and IN_BAR.search(told.text[first : place.first]):
            return place.spans
    return told.spans


def _part_of(told: Told, at: int) -> tuple[int, int]:
    """The part of the sentence in which a beat is named, with two things that are done by one note in it."""
    edges = [0, *(match.start() for match in PART.finditer(told.text)), len(told.text)]
    return max(edge for edge in edges if edge <= at), min(edge for edge in edges if edge > at)


def _untrue(told: Told, name: Named, beat: Beat, sounding: list[Note]) -> Untrue:
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


def _nearest(told: Told, beat: Beat, names: list[Named]) -> Named | None:
    """The note beside a beat, if nothing between them may be what is on it."""
    near = sorted(names, key=lambda name: max(name.first - beat.place.last, beat.place.first - name.last))
    for name in near[:1]:
        before = name.last <= beat.place.first
        between = (
            told.text[name.last : beat.place.first] if before else told.text[beat.place.last : name.first]
        )
        if not before:
            between = A_TO.sub("", between)
            part = told.text[_part_of(told, beat.place.first)[0] : beat.place.first]
            if not OPENS.fullmatch(part):
                return None
        if len(between) <= FARTHEST and not OF_ANOTHER.search(between):
            return name
    return None


def _sounding(told: Told, bar: Bar, beat: Beat) -> list[Note]:
    """The notes that sound in a beat of a bar."""
    start, end = (full_start(bar) + (at - 1) * bar.metre.unit_quarters for at in (beat.start, beat.end))
    return told.notes_in([Span(start, end)])
