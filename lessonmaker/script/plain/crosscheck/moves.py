"""Moves that a sentence tells of: what goes, which way, from where and to which note, however it is put.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, named_degrees
from lessonmaker.script.plain.crosscheck.bearers import notes_near
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.move_words import (
    A_NOUN,
    AN_A,
    ANY_DOWN,
    ANY_UP,
    BEFORE_IT,
    DEGREE,
    DOES_GO,
    DOWN,
    FROM,
    GOES_ON,
    GONE_TO,
    IS_A_DEGREE,
    TO,
    UNDER_IT,
    UNSURE,
    UP,
    VIA,
)
from lessonmaker.script.plain.crosscheck.told import Shown, Told
from lessonmaker.script.plain.motion import reached_from
from lessonmaker.script.plain.note_names import named_note

__all__ = ["Move", "Thing", "goals_of", "moves_said", "source_of", "speaks_of_a_chord", "things_in"]

# "It is a rising line" says which way it goes.
IS_A = pattern_of(r"\b(?:is|are|was|'s|'re|makes?|forms?) (?:an?|one)(?: long| steady| slow| single)? $")
A_ROW = pattern_of(r",? (?:and |then |and then )?(?:the |an? |its )?")
IN_A_ROW = 3  # notes that are named one by one and go some way together
ROWS = (
    "arpeggio",
    "upper-structure triad",
    "tritone-substitute triad",
    "diatonic passage",
    "single-scale passage",
    "chromatic run",
    "eighth-note line",
)


@dataclass(frozen=True)
class Thing:
    """A note or notes that a part of a sentence names at [first, last): those lit, and others that may be meant.

    `prep` is the word before it: "from", "to", "" where there is none.
    """

    first: int
    last: int
    lit: tuple[Note, ...]
    notes: tuple[Note, ...]
    prep: str = ""

    @property
    def is_goal(self) -> bool:
        """Whether something goes to it."""
        return self.prep in TO


@dataclass(frozen=True)
class Move:
    """Words at [first, last) that say that something goes up (1) or down (-1) in the part [begin, end) of a sentence.

    `source` is what goes, in this part or before it, `goal` where it goes; None where it is not said.
    """

    first: int
    last: int
    way: int
    begin: int
    end: int
    source: Thing | None
    goal: Thing | None


def things_in(told: Told) -> list[Thing]:
    """The notes that a sentence names, by letters or degrees, lit or not, and what is lit, in the order of words."""
    found = [_of_shown(told, each) for each in told.shown if _is_row(each)]
    names = [(name.first, name.last, name.name) for name in told.notes_named]
    names += [(*match.span(1), "A") for match in AN_A.finditer(told.sentence.written)]
    names += [(letter.first, letter.last, letter.name) for letter in _going(told)]
    for first, last, name in names:
        owner = told.text.startswith("'s ", last) and DEGREE.match(told.text, last + len("'s "))  # a chord
        if owner or any(each.first < last and first < each.last for each in found):
            continue
        found.append(Thing(first, last, (), tuple(_called(told, name)), _prep(told, first)))
    for match in DEGREE.finditer(told.text):
        taken = any(each.first < match.end() and match.start() < each.last for each in found)
        if taken or not IS_A_DEGREE.search(told.text[: match.start()]):
            continue
        notes = tuple(_of_degree(told, match[0]))
        if match[0] == "root" and not any(_is_seen(told, note) for note in notes):
            continue  # the chord's, and no note of the line
        found.append(Thing(*match.span(), (), notes, _prep(told, match.start())))
    return sorted(found, key=lambda each: (each.first, -each.last))


def _going(told: Told) -> Iterator[Claim]:
    """Letters that were not read as those of notes, and of which it is said that they go somewhere, or lead there."""
    for letter in letters_in(told.sentence):
        name = told.text[letter.first : letter.last]
        taken = any(each.first < letter.last and letter.first < each.last for each in told.chords_named)
        goes = DOES_GO.match(told.text, letter.last) or GONE_TO.search(told.text[: letter.first])
        taken = taken or UNDER_IT.search(told.text[: letter.first]) is not None
        if goes and not taken and not (name == "a" and told.sentence.written[letter.first] == "a"):
            yield letter


def _is_row(each: Shown) -> bool:
    """Whether what is lit is notes that go on from one to the next, and not what chords or several figures do."""
    return bool(each.notes) and (each.device is None or each.device.kind in ROWS)


def _of_shown(told: Told, each: Shown) -> Thing:
    words = told.sentence.written[each.first : each.last]
    notes = list(each.notes)
    if len(each.notes) == 1:
        text = told.text[each.first : each.last]
        named = next(
            (name for name in told.notes_named if name.first < each.last and each.first < name.last), None
        )
        if named is not None:
            notes += _called(told, named.name)
        elif DEGREE.fullmatch(text):
            notes += _of_degree(told, words.lower())
    return Thing(each.first, each.last, each.notes, tuple(dict.fromkeys(notes)), _prep(told, each.first))


def _prep(told: Told, first: int) -> str:
    before = BEFORE_IT.search(told.text[:first].rstrip())
    return before["prep"] if before is not None else ""


def _called(told: Told, name: str) -> list[Note]:
    pitch = named_note(name).pitch_class
    found = [
        note
        for note in notes_near(told)
        if pitch in (note.sounding.name.pitch_class, note.written.name.pitch_class)
    ]
    return [note for note in found if _is_seen(told, note)] or found


def _is_seen(told: Told, note: Note) -> bool:
    """Whether a note is struck, or sounds on, in what the cue shows."""
    return any(span.start < note.onset + note.held and note.onset < span.end for span in told.spans)


def _of_degree(told: Told, words: str) -> list[Note]:
    names = named_degrees(words)
    found = [note for note in notes_near(told) if told.music.finding(note).degree in names]
    return [note for note in found if _is_seen(told, note)] or found


def moves_said(told: Told) -> Iterator[Move]:
    """The moves up or down that a sentence tells of; none where a part says both ways."""
    things = things_in(told)
    for way, pattern, other in ((1, UP, ANY_DOWN), (-1, DOWN, ANY_UP)):
        for match in pattern.finditer(told.text):
            begin, end = told.part_of(match.start())
            both = other.search(told.text[begin:end])
            if (
                both
                or _is_a_thing(told, match)
                or _is_read(told, match)
                or UNSURE.search(told.text, begin, match.start())
            ):
                continue
            source = source_of(told, things, begin, match)
            inside = [each for each in things if match.start() < each.first < end and each.is_goal]
            yield Move(*match.span(), way, begin, end, source, inside[0] if inside else None)


def _is_a_thing(told: Told, match: re.Match[str]) -> bool:
    """Whether a verb alone is the name of a stretch: "the top of the climb"."""
    before = told.text[: match.start()]
    if " " in match[0] or A_NOUN.search(before) is None:
        return False
    is_letter = told.sentence.written[: match.start()].endswith(" A ") and told.shown_at(
        match.start() - 2, match.start() - 1
    )
    return not is_letter and not (match[0].endswith("ing") and IS_A.search(before))


def _is_read(told: Told, match: re.Match[str]) -> bool:
    """Whether the words are part of what was read: as something that chords or whole bars do, or as a row of notes."""
    shown = told.shown_at(*match.span())
    return shown is not None and (not _is_row(shown) or len(shown.notes) > 1)


def source_of(told: Told, things: Sequence[Thing], begin: int, match: re.Match[str]) -> Thing | None:
    """What goes: what the same part names, or the last thing before it where that goes on."""
    end = told.part_of(match.start())[1]
    origin = [each for each in things if begin <= each.first < end and each.prep in FROM]
    if origin:
        return origin[0]
    row = [each for each in things if match.end() <= each.first < end and len(each.lit) > 1 and not each.prep]
    if row:
        return row[0]
    before = [
        each for each in things if begin <= each.first and each.last <= match.start() and each.prep not in VIA
    ]
    if before:
        return _row(told, [each for each in things if each.last <= before[-1].last])
    earlier = [each for each in things if each.last <= begin]
    goes_on = GOES_ON.fullmatch(told.text, begin, match.start())
    if not earlier or not goes_on or speaks_of_a_chord(told, told.part_of(earlier[-1].first)[0], begin):
        return None
    return earlier[-1]


def _row(told: Told, things: Sequence[Thing]) -> Thing:
    """The last of some notes that are named, or the row of them that it ends: "third, fifth and seventh go up"."""
    row = [things[-1]]
    for one in reversed(things[:-1]):
        if not A_ROW.fullmatch(told.text, one.last, row[0].first):
            break
        row.insert(0, one)
    lit = [note for each in row for note in each.lit]
    in_time = sorted(lit, key=lambda note: note.onset)
    if len(row) < IN_A_ROW or lit != in_time or not all(len(each.lit) == 1 for each in row):
        return things[-1]
    return Thing(row[0].first, row[-1].last, tuple(lit), tuple(lit), row[0].prep)


def speaks_of_a_chord(told: Told, first: int, last: int) -> bool:
    """Whether a chord is named between two places, so that what goes on may be the chord."""
    inside = [each for each in told.chords_named if first <= each.first < last]
    return any(not UNDER_IT.search(told.text[: each.first]) for each in inside)


def goals_of(told: Told, note: Note) -> list[Note]:
    """Where a note goes, at its nearest: what it resolves to, the next note, and the next other one."""
    line = [each for each in told.music.line if each.onset > note.onset]
    other = [each for each in line if each.sounding != note.sounding]
    return list(dict.fromkeys([*reached_from(note, told.music), *line[:1], *other[:1]]))
