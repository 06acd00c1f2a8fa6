"""How far something is said to go: "drops a whole step" where it is a half step, "chromatically" where it is not.

Common practice, no source. False only where no note that may be meant goes as far to any that it may go to.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.move_words import COMPARED, UNSURE
from lessonmaker.script.plain.crosscheck.moves import Thing, goals_of, source_of, things_in
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import (
    INTERVAL,
    is_as_far,
    size_said,
)
from lessonmaker.script.plain.verbs import MOVING, inflected

__all__ = ["intervals_said"]

NAMED = rf"(?:half[- ]step|semitone|whole[- ](?:step|tone)|(?:minor|major) second|{INTERVAL})(?![\w'-])"
HOPS = inflected("leap, jump, skip, hop, drop, fall, rise, climb, bounce, plunge, spring")
# Words for a distance: "a drop of an octave", "that's a span of a sixth".
DISTANCE = r"(?:leap|jump|skip|hop|drop|fall|rise|interval|distance|span|stretch|reach|gap|plunge|move)"
SIZE = pattern_of(
    rf"(?<![\w'-])(?:(?P<goes>(?:{MOVING}|{HOPS}|up|down|away)(?: (?:\w+ly|just|back|right|up|down|away|further|on))*)"
    rf"|(?P<of>{DISTANCE} of(?: just| exactly)?)|(?P<by>{DISTANCE} by)"
    r"|(?P<is>(?:is|was|makes|covers|spans|'s)(?: (?:only|exactly))?))"
    r" (?:by )?(?:an?|one|exactly an?|just an?)"
    r"(?: (?:little|mere|single|tiny|simple|big|clean|plain|whole(?! step| tone)|full))*"
    rf" (?P<size>{NAMED})(?! (?:and|or|plus|apart|too|higher|lower|above|below)\b| (?:of|in|over) )"
)
CHROMATIC = pattern_of(
    r"\bchromatically\b|\b(?:in|by) (?:half[- ]steps|semitones)\b|\bis (?:\w+ )?chromatic\b"
)
EVERY = pattern_of(r"\b(?:every|each)(?: single)? (?:step|move|note|one)\b")
BY_STEP = pattern_of(
    r"\b(?:through every note of the scale|by step|stepwise|without (?:any |a )?(?:skips?|leaps?))\b"
)
ENOUGH = 3  # notes of a stretch
TO_A_CHORD = pattern_of(r"^[^,;:]* (?:to|into|onto)(?: an?| the| our)? $")
ROOTS = pattern_of(
    r"\b(?:chords?|harmon\w+|bass|roots?|keys?|dominants?|changes|progression|centre|center|tune|sequence|pattern|bars?"
    r"|shape|figure|motif|cell|everything|phrase|it all|again|whole thing|idea)\b"
)
Pairs = list[tuple[Note, Note]]


def intervals_said(told: Told) -> Iterator[Untrue]:
    """The intervals that something is said to go by, and does not; and the steps of a stretch."""
    yield from _sizes(told)
    yield from _steps(told)


def _sizes(told: Told) -> Iterator[Untrue]:
    things = things_in(told)
    for match in SIZE.finditer(told.text):
        begin, end = told.part_of(match.start())
        compared = COMPARED.search(told.text) or UNSURE.search(told.text, begin, end)
        if compared or _is_of_chords(told, begin, match.end(), end):
            continue
        pairs = _pairs(told, things, match)
        name = match["size"].replace("-", " ")
        if pairs and not any(is_as_far(*pair, name) for pair in pairs):
            one, other = pairs[0]
            at = [told.music.position(each) for each in pairs[0]]
            size = size_said(abs(other.sounding.midi - one.sounding.midi))
            what = f"from the {one.written.name} at {at[0]} to the {other.written.name} at {at[1]} is {size}"
            yield Untrue(*match.span("size"), what, "say how far it goes")


def _is_of_chords(told: Told, begin: int, at: int, end: int) -> bool:
    """Whether what goes so far may be a chord, or more than a note."""
    to_chord = any(
        at <= each.first < end and TO_A_CHORD.search(told.text[at : each.first]) for each in told.chords_named
    )
    return to_chord or ROOTS.search(told.text, begin, at) is not None


def _pairs(told: Told, things: Sequence[Thing], match: re.Match[str]) -> Pairs:
    """All pairs of notes between which the interval may be meant, the likeliest first."""
    begin, end = told.part_of(match.start())
    source = source_of(told, things, begin, match)
    goals = [each for each in things if match.end() <= each.first < end and each.is_goal]
    if match["is"]:
        each = EVERY.search(told.text, begin, match.start())
        return [] if each is not None else _from_to(things, begin, match.start())
    if match["of"] and not goals:
        goals = [each for each in things if each.last <= end and each.prep == "to"][-1:]
        froms = [each for each in things if each.last <= end and each.prep == "from"]
        source = froms[-1] if froms and goals else source
    goal = goals[0] if goals else None
    if source is None:
        return []
    others = goal.notes if goal is not None else ()
    later = [(note, other) for note in source.notes for other in others if other.onset > note.onset]
    if later and goal is not None:
        return [*later, *_beside(told, goal.notes), *_beside(told, source.notes)]
    own = list(pairwise(source.lit)) if len(source.lit) > 1 else []
    steps = [(note, after) for note in source.notes for after in goals_of(told, note)]
    return [*steps, *own, *_beside(told, source.notes), *_with_the_last(things, source)]


def _with_the_last(things: Sequence[Thing], source: Thing) -> Pairs:
    """What was named before the source with its notes: "G and G flat slip by a half step"."""
    before = [each for each in things if each.last <= source.first][-1:]
    return [(one, other) for each in before for one in each.notes for other in source.notes]


def _from_to(things: Sequence[Thing], begin: int, end: int) -> Pairs:
    """The notes of "from F to D", each with all that come after it."""
    named = [each for each in things if begin <= each.first < end]
    if [each.prep for each in named] != ["from", "to"]:
        return []
    one, other = named
    return [(note, goal) for note in one.notes for goal in other.notes if goal.onset > note.onset]


def _beside(told: Told, notes: Sequence[Note]) -> Pairs:
    found = [(told.note_before(note), note) for note in notes]
    return [(before, note) for before, note in found if before is not None]


# One of several lines at once.
VOICE = pattern_of(r"\bvoices?\b")


# The steps of a stretch ------------------------------------------------------------------------------------


def _steps(told: Told) -> Iterator[Untrue]:
    """Steps that are said to be half steps, or steps of a scale, and are not."""
    things = things_in(told)
    for pattern, most in ((CHROMATIC, 1), (BY_STEP, 2)):
        for match in pattern.finditer(told.text):
            begin, end = told.part_of(match.start())
            if told.shown_at(*match.span()) is not None or UNSURE.search(told.text, begin, end):
                continue
            strict = EVERY.search(told.text, begin, end) or "every" in match[0] or "without" in match[0]
            rows = _stretches(told, things, begin, end, match)
            wide = [_first_wide(row, most, strict=strict is not None) for row in rows]
            if rows and all(pair is not None for pair in wide) and wide[0] is not None:
                one, other = wide[0]
                at = [told.music.position(each) for each in wide[0]]
                size = size_said(abs(other.sounding.midi - one.sounding.midi))
                what = (
                    f"from the {one.written.name} at {at[0]} to the {other.written.name} at {at[1]} is {size}"
                )
                yield Untrue(*match.span(), what, "say what steps they are")


def _first_wide(row: Sequence[Note], most: int, *, strict: bool) -> tuple[Note, Note] | None:
    """The first step of a row that is wider, if so many are that the row is not said to go so."""
    wide = [pair for pair in pairwise(row) if abs(pair[1].sounding.midi - pair[0].sounding.midi) > most]
    enough = 1 if strict else max(2, (len(row) - 1) / 2)
    return wide[0] if len(wide) >= enough else None


def _stretches(
    told: Told, things: Sequence[Thing], begin: int, end: int, match: re.Match[str]
) -> list[Sequence[Note]]:
    """The stretches that may be meant: a row that is lit, or from one note to another that are named."""
    source = source_of(told, things, begin, match)
    goals = [each for each in things if begin <= each.first < end and each.is_goal]
    if source is not None and len(source.lit) > 1 and not goals:
        return [source.lit]
    spelt = any(len(each.notes) >= ENOUGH for each in told.shown)
    if source is None or not goals or spelt or VOICE.search(told.text):
        return []
    line = told.music.line
    found: list[Sequence[Note]] = [
        [each for each in line if note.onset <= each.onset <= other.onset]
        for note in source.notes
        for other in goals[0].notes
        if note.onset < other.onset
    ]
    beside = any(len(row) < ENOUGH for row in found)  # one step: it may be that which is meant
    return [] if beside else found
