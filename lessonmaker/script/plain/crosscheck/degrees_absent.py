"""Degrees that are named and are nowhere near: "the flat nine leads us home" where there is none.

Common practice, no source. A note may be heard over its own chord, over the one it leads to, over one that is named,
and in its key.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from itertools import groupby

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.theory.chord import Chord, readings
from lessonmaker.theory.kinds import DEGREE_SEMITONES

__all__ = ["degrees_absent", "degrees_heard", "sizes_of"]

# What a degree is a part of that is no note: a chord's name, a bar's number.
OF_A_CHORD = re.compile(
    r"(?:\b[a-g](?:[ -](?:flat|sharp))?|[a-g][b#]?"
    r"|\b(?:seven|seventh|dominant|minor|major|nine|\d+),?(?: with an?| with the)?) $"
)
OF_A_NAME = re.compile(
    r"(?:(?<![\w'#])[a-g](?:[b#]|[ -](?:flat|sharp))?"
    r"|\b(?:seven|seventh|dominant|minor|major|nine|\d+),?(?: with an?| with the)?) $"
)
BEFORE_A_BAR = re.compile(
    r" (?:bar|measure|chord|voicing|sound|scale|harmony|colou?r|position|time|note|chorus)\b"
)
# A degree of a chord, never one of a key.
TENSION = re.compile(
    r"^(?:[a-z]+ )?(?:flat|sharp|raised|lowered)[ -](?:nin|eleven|thirteen)|^(?:eleven|thirteen)th$"
)
SIGNED = re.compile(r"(?:[a-z]+ )?(?:flat|sharp|raised|lowered|natural|plain|major|minor|perfect)[ -]|[b#]")
ANY_ORDER = re.compile(r"\b(?:order|mix\w*|only|just|nothing but|all|some|between|from|among|combin\w+)\b")
FEWEST = 3


def degrees_absent(told: Told) -> Iterator[Untrue]:
    """The degrees that no note in sight, nor one next to these, is, however it is heard; rows in another order."""
    unlit = [claim for claim in told.named if told.shown_at(claim.first, claim.last) is None]
    degrees = [claim for claim in unlit if claim.kind == "degree" and claim.names and _is_sure(told, claim)]
    for claim in degrees:
        spans = told.spans_at(claim.first)
        notes = told.notes_in(spans)
        in_key = not TENSION.search(told.text[claim.first : claim.last])
        there = degrees_heard([*notes, *told.notes_beside(spans, 1)], told, in_key=in_key) if notes else set()
        sorts = claim.names if SIGNED.match(told.text, claim.first) else _all_sorts(claim)
        if there and not sizes_of(sorts) & there:
            words = told.sentence.words(claim.first, claim.last)
            where = "in sight" if tuple(spans) == tuple(told.spans) else f"in {told.music.said(spans[0])}"
            yield Untrue(
                claim.first, claim.last, f"there is no {words} {where}", "name a degree that is there"
            )
    for claim in unlit:
        if claim.kind == "set" and len(claim.names) >= FEWEST:
            yield from _out_of_order(told, claim)


def _is_sure(told: Told, claim: Claim) -> bool:
    """Whether words are a degree's, and not a part of a chord's name, or of something else that they describe."""
    chord = OF_A_NAME if TENSION.search(told.text[claim.first : claim.last]) else OF_A_CHORD
    is_of_others = chord.search(told.text[: claim.first]) or BEFORE_A_BAR.match(told.text, claim.last)
    return not is_of_others


def _all_sorts(claim: Claim) -> list[str]:
    """The degrees that words may mean, a tension without its sign with either: "the dark thirteenth"."""
    return [
        sign + name for name in claim.names for sign in (("", "b", "#") if name in ("9", "13") else ("",))
    ]


def sizes_of(names: Collection[str]) -> set[int]:
    """Degrees as semitones above their root."""
    return {DEGREE_SEMITONES[name] % OCTAVE for name in names if name in DEGREE_SEMITONES}


def degrees_heard(notes: Sequence[Note], told: Told, *, in_key: bool = True) -> set[int]:
    """What notes may be, as semitones above their own chord's root or the next one's, one that is named, or a tonic."""
    music = told.music
    shift = music.score.transposition.semitones
    named = {(chord.root.pitch_class - shift) % OCTAVE for chord in told.chords_named}
    found: set[int] = set()
    for note in notes:
        after = told.next_note(note)
        chords = [music.finding(each).chord for each in (note, after) if each is not None]
        changes = [c.chord for c in music.score.changes if note.onset < c.onset <= note.onset + note.held]
        roots = {root for chord in [*chords, *changes] if chord is not None for root in _roots(chord)} | named
        if in_key:
            roots |= {key.tonic.pitch_class for key in music.analysis.keys if _is_in(note, key.span)}
        found |= {(note.sounding.midi - root) % OCTAVE for root in roots}
    return found


def _roots(chord: Chord) -> set[int]:
    """The pitch classes on which a chord may be heard to stand."""
    names = [chord.root, *(reading.root for reading in readings(chord))]
    return {name.pitch_class for name in [*names, *([chord.bass] if chord.bass is not None else [])]}


def _is_in(note: Note, span: Span) -> bool:
    return span.start <= note.onset < span.end


def _out_of_order(told: Told, claim: Claim) -> Iterator[Untrue]:
    """A row of degrees that is over some chord in another order, and over none in the one that is named."""
    if ANY_ORDER.search(told.text):
        return
    wanted = [sizes_of(each.split("|")) for each in claim.names]
    line = [note for span in told.spans_at(claim.first) for note in told.music.line_in(span)]
    other: list[Note] = []
    for chord, group in groupby(line, key=lambda note: told.music.finding(note).chord):
        notes = list(group)
        if chord is None:
            continue
        degrees = [(note.sounding.midi - readings(chord)[0].root.pitch_class) % OCTAVE for note in notes]
        if _come_in_order(wanted, degrees):
            return
        if len(notes) == len(wanted) and all(any(each in degrees for each in sizes) for sizes in wanted):
            other = other or notes
    if other:
        words = told.sentence.words(claim.first, claim.last)
        what = told.music.degrees_said(other)
        yield Untrue(claim.first, claim.last, f"it is not {words}: it is {what}", "name them in their order")


def _come_in_order(wanted: Sequence[Collection[int]], there: Sequence[int]) -> bool:
    rest = iter(there)
    return all(any(each in sizes for each in rest) for sizes in wanted)
