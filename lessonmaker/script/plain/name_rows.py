"""Notes that a sentence names one after the other, found as they follow each other in the line: "E flat, G and B flat".

What the line has in this order, side by side or as a voice of its own, and in one place only, is those notes, however
the sentence is put. A row of which the bar has some, and lacks others, is false. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.ends import EDGES, Side, notes_at
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.note_names import OF_OTHERS, named_note
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.places import bar_beside
from lessonmaker.script.plain.root_words import root_lists
from lessonmaker.script.plain.said_often import each_beside, is_counted
from lessonmaker.script.plain.scope import BEFORE_IT
from lessonmaker.script.plain.stretches import subjects_in
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, LANDING, STARTING
from lessonmaker.theory.pitch import NoteName

__all__ = ["NAME_ROW", "with_name_rows"]

NAME_ROW = "row of names"
NAME = r"(?<![\w'#])[a-g](?:b|#|[ -](?:flat|sharp|natural))?(?![\w'#])"
LINK = r"(?:[,;:]? (?:and |then |and then |(?:up |down |back )?to |through |via )*(?:the )?|-)"
ROW = pattern_of(rf"{NAME}(?:{LINK}{NAME}){{2,}}")
# What are not the notes of the line.
OTHERS = pattern_of(
    r"\b(?:chords?|changes|roots|keys?|bass|harmon\w+|letters?|sections?|strings?|tuned|piano|left hand)\b[^,;:]*$"
)
EDGE = pattern_of(rf"\b(?:(?P<first>{STARTING})|{LANDING}|{ENDING})\b")
TOP_OF = pattern_of(
    r"\b(?:(?P<top>tops?|highest|peaks?|upper)|bottoms?|lowest|lower)(?: (?:notes?|ends?))? (?:of|in) $"
)
FEWEST, MANY = 3, 4


@dataclass(frozen=True)
class Row:
    """Names in their order at [first, last); `located` says that their bars are named."""

    first: int
    last: int
    names: tuple[NoteName, ...]
    spans: tuple[Span, ...]
    located: bool
    tests: tuple[Test, ...]


def with_name_rows(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, the names of notes that are read together as one."""
    found = list(_edges_of_each(ground))
    taken = {claim.first for claim in found}
    rows = (row for row in _rows(ground.sentence, ground.places, ground.shown) if row.first not in taken)
    found += [claim for row in rows for claim in _claims_of(row, ground.sentence.with_more, ground.music)]
    kept = [
        c
        for c in claims
        if not any(c.first < r.last and r.first < c.last and not _holds(c, r) for r in found)
    ]
    return tuple(sorted([*kept, *found], key=lambda claim: claim.first))


def _holds(claim: Claim, row: Claim) -> bool:
    """Whether a row is named in the words for a figure that comes again: "groups of three, F, E, B, over and over"."""
    return claim.kind == "alike" and claim.first < row.first and row.last < claim.last


def _edges_of_each(ground: Ground) -> Iterator[Claim]:
    """Names of the notes that each of several begins or ends with: "every cell lands on its root: C, F, D, G"."""
    sentence, music = ground.sentence, ground.music
    for match in ROW.finditer(sentence.text):
        words = list(pattern_of(NAME).finditer(match[0]))
        names = [named_note(word[0]) for word in words]
        each = each_beside(sentence.text, match.start(), match.end())
        end = _edge_said(sentence.text, each, match.start()) if each else None
        if each is None or end is None or each["units"] is None or not _are_capitals(sentence, match, words):
            continue
        near = [
            place for place in ground.places if place.level == "bar" and place.spans and not place.pointed
        ]
        for subject in subjects_in(each[0], near, ground.shown, music, EDGES.get(end)):
            notes = [(*notes_at(end, stretch, music), *stretch.notes)[0] for stretch in subject.stretches]
            if subject.every and [note.written.name for note in notes] == names:
                yield ground.set_of(*match.span(), notes)
                break


def _edge_said(text: str, each: re.Match[str], first: int) -> Side | None:
    """Which notes of each the names are that begin somewhere: the first, the last, the highest or the lowest."""
    if (top := TOP_OF.search(text, 0, each.start())) is not None:
        return "highest" if top["top"] else "lowest"
    end = EDGE.search(text, each.end(), first)
    return None if end is None else "first" if end["first"] else "last"


def _are_capitals(sentence: Sentence, match: re.Match[str], words: Sequence[re.Match[str]]) -> bool:
    """Whether the names of a row are written as such."""
    written = sentence.written[match.start() : match.end()]
    return all(written[word.start()].isupper() for word in words)


def _claims_of(row: Row, text: str, music: Music) -> Iterator[Claim]:
    notes = _notes_of(row, text, music)
    if notes:
        names = tuple(music.finding(note).degree or "" for note in notes)
        ids = tuple(note.id for note in notes)
        yield Claim("set", row.first, row.last, "", names, stance="found", at=ids)
    elif row.located and len(row.spans) == 1 and _is_false(row, music):
        names = tuple(str(name) for name in row.names)
        yield Claim("device", row.first, row.last, NAME_ROW, names)


def _rows(sentence: Sentence, places: Sequence[Place], shown: Sequence[Span]) -> Iterator[Row]:
    """The rows of a sentence, the last name left out where it is a chord's or a key's."""
    roots = root_lists(sentence)
    for match in ROW.finditer(sentence.text):
        if any(first <= match.start() < last for first, last in roots):
            continue
        words = list(pattern_of(NAME).finditer(match[0]))
        if OF_OTHERS.match(sentence.text, match.end()) and not sentence.text.startswith(" over", match.end()):
            words.pop()
        bar = bar_beside(match.start(), match.end(), places)
        signed = any(len(word[0]) > 1 for word in words)
        letters = _are_capitals(sentence, match, words) and (bar is not None or len(words) >= MANY)
        if len(words) < FEWEST or not (signed or letters) or OTHERS.search(sentence.text[: match.start()]):
            continue
        if bar is not None and BEFORE_IT.search(sentence.text[: bar.first]):
            bar = None
        if bar is not None and not bar.spans:
            continue
        yield Row(
            match.start(),
            match.start() + words[-1].end(),
            tuple(named_note(word[0]) for word in words),
            bar.spans if bar is not None else tuple(shown),
            bar is not None and not bar.pointed,
            tuple(place.test for place in places if place.level != "bar" and place.test is not None),
        )


def _notes_of(row: Row, text: str, music: Music) -> list[Note]:
    """The notes of a row where the line has them in one place only; the first of those that follow each other.

    All of them, where a text says that they come as often as they do.
    """
    line = music.line
    for is_named in (_is_written, _sounds_like):
        for stride in (1, 2):
            ways = [
                way
                for way in (
                    range(first, first + stride * len(row.names), stride) for first in range(len(line))
                )
                if way[-1] < len(line)
                and _is_in(line[way[0]], row.spans)
                and all(is_named(line[at], name) for at, name in zip(way, row.names, strict=True))
            ]
            inside = [way for way in ways if _is_in(line[way[-1]], row.spans)] or ways
            tested = [way for way in inside if any(test(line[way[0]], music) for test in row.tests)] or inside
            if len(inside) > 1 and stride == 1 and is_counted(text, len(inside)):
                return [line[at] for at in sorted({at for way in inside for at in way})]
            if tested and all(later[0] <= way[-1] + 1 for way, later in pairwise(tested)):
                return [line[at] for at in tested[0]]
            if ways:
                return []
    return []


def _is_in(note: Note, spans: Sequence[Span]) -> bool:
    return any(span.start <= note.onset < span.end for span in spans)


def _is_written(note: Note, name: NoteName) -> bool:
    return note.written.name == name


def _sounds_like(note: Note, name: NoteName) -> bool:
    return note.written.name.pitch_class == name.pitch_class


def _is_false(row: Row, music: Music) -> bool:
    """Whether a bar has most of the names and lacks some, so that they are said of its line."""
    span = row.spans[0]
    inside = [note for note in music.struck if note.onset <= span.end and note.onset + note.held > span.start]
    there = [any(_sounds_like(note, name) for note in inside) for name in row.names]
    return len(there) >= MANY and not all(there) and 2 * sum(there) > len(there)
