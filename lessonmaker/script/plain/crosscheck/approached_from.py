"""From which side a note is reached, how far off its neighbours lie, and whether these are upper or lower ones.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.enclosed_as import Goal, goals_in
from lessonmaker.script.plain.crosscheck.letters import pitch_class
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import interval_sizes
from lessonmaker.script.plain.verbs import inflected

__all__ = ["approached_from"]

STEP = r"(?P<step>half[ -]step|semitone|whole[ -]step|whole[ -]tone)"
FROM = pattern_of(rf"\bfrom (?:just |right )?(?:an? {STEP} )?(?P<side>above|below|beneath|underneath)\b")
BOTH = pattern_of(r",?(?: and| then|,)* (?:from )?(?:above|below|beneath|underneath|the other)\b|.*\bboth\b")
REACH = "approach, reach, slide, slip, sneak, creep, step, come, push, arrive, hit, target, squeeze, lead"
REACHES = pattern_of(
    rf"\b(?:{inflected(REACH)}"
    r"|led|crept|slid|hit)\b"
)
INTO = pattern_of(r" (?:in)?to (?:the |that |this |our |its |an? )?")
# "A half step from above slips into the E".
INTO_IT = pattern_of(
    rf" (?:\w+ly |just |then )?{REACHES.pattern}(?: (?:\w+ly|up|down|right))* (?:in)?to (?:the |that |this |our |its )?"
)
NEIGHBOUR = pattern_of(r"\b(?P<side>upper|lower)(?: (?:chromatic|diatonic|half[ -]step))? neighbou?r\b")
OTHER_NEIGHBOUR = pattern_of(r"\b(?:upper|lower)\b.*\b(?:upper|lower)\b")
EACH_SIDE = pattern_of(rf"\b(?:an? )?{STEP} (?:from|on|to) (?:each|either|both) sides?\b")
A_NOUN = pattern_of(r"\bapproach(?: note| tone)? $")  # "it is an approach from above", to the next note
# Both sides of a note, one after the other.
A_SIDE = r"(?:above|below|beneath|underneath|on top|the top|the bottom|upper|lower|higher|over it|under it)"
TWO_SIDES = pattern_of(
    rf"\b(?P<first>first\b[^.;:]{{0,24}}?)?\b(?P<one>{A_SIDE})\b(?P<between>[^.;:]{{0,60}}?)\b(?P<other>{A_SIDE})\b"
)
IN_TURN = pattern_of(r"\b(?:then|before|first|followed|next|after that|only afterwards|second|finally)\b")
TURNED = pattern_of(r"\b(?:after|following|preceded)\b(?! (?:that|which)\b)")
UPPER = ("above", "on top", "the top", "upper", "higher", "over it")
BEFORE = 3  # notes before one from which it may be reached
CLOSE = 2  # semitones: how far those lie off that are not right before it


def approached_from(told: Told) -> Iterator[Untrue]:
    """Sides from which notes are said to be reached or to lie, and do not."""
    yield from _from_a_side(told)
    yield from _neighbour(told)
    yield from _each_side(told)
    yield from _sides_in_turn(told)


def _from_a_side(told: Told) -> Iterator[Untrue]:
    """A side from which a note is said to be reached, where the notes before it lie on the other."""
    for match in FROM.finditer(told.text):
        first = told.part_of(match.start())[0]
        if A_NOUN.search(told.text[: match.start()]):
            continue
        after = INTO_IT.match(told.text, match.end())
        if BOTH.match(told.text, match.end()) or not (
            after or REACHES.search(told.text, first, match.start())
        ):
            continue
        note = _lit_at(told, after.end()) if after is not None else _reached(told, match, first)
        if note is None:
            continue
        way = 1 if match["side"] == "above" else -1
        before = [each for each in told.music.line if each.onset < note.onset][-BEFORE:]
        sizes = interval_sizes(match["step"].replace("-", " ")) if match["step"] else ()
        steps = [(each.sounding.midi - note.sounding.midi) * way for each in before]
        near = [*(step for step in steps[:-1] if step <= CLOSE), *steps[-1:]]
        if not before or any(step in sizes if sizes else step > 0 for step in near):
            continue
        words, there = told.sentence.words(*match.span()), before[-1]
        at = told.music.position(note)
        what = f"“{words}”: before the {note.written.name} at {at} comes the {there.written.name}"
        yield Untrue(*match.span(), f"{what}{there.written.octave}", "say from where it is reached")


def _reached(told: Told, match: re.Match[str], first: int) -> Note | None:
    """The one note that is said to be reached: named after the side, or the last one that is lit before it."""
    into = INTO.match(told.text, match.end())
    if into is not None:
        return _lit_at(told, into.end())
    shown = told.shown_before(match.start())
    if shown is None or shown.first < first:
        return None
    return shown.notes[0] if len(shown.notes) == 1 else None


def _lit_at(told: Told, at: int) -> Note | None:
    """The one note that is lit by the words at a character."""
    shown = told.shown_at(at, at + 1)
    return shown.notes[0] if shown is not None and len(shown.notes) == 1 else None


def _neighbour(told: Told) -> Iterator[Untrue]:
    """An upper neighbour that lies below the notes beside it, or a lower one above them."""
    for match in NEIGHBOUR.finditer(told.text):
        shown = told.shown_at(*match.span())
        if shown is None or len(shown.notes) != 1 or OTHER_NEIGHBOUR.search(told.text):
            continue
        note, way = shown.notes[0], 1 if match["side"] == "upper" else -1
        beside = [each for each in (told.note_before(note), told.next_note(note)) if each is not None]
        if beside and all((note.sounding.midi - each.sounding.midi) * way < 0 for each in beside):
            words, at = told.sentence.words(*match.span()), told.music.position(note)
            what = (
                f"“{words}”: the {note.written.name} at {at} is {'lower' if way > 0 else 'upper'} neighbour"
            )
            yield Untrue(*match.span(), what, "say on which side it lies", f"neighbour@{at}")


def _sides_in_turn(told: Told) -> Iterator[Untrue]:
    """The order in which the notes around one are said to come from its two sides, where they come the other way."""
    goals = goals_in(told)
    lit = {shown.notes[-1].id for shown in told.shown if shown.notes}
    own = [goal for goal in goals if goal.note.id in lit] or goals
    for match in TWO_SIDES.finditer(told.text):
        sides = [1 if match[name] in UPPER else -1 for name in ("one", "other")]
        turned = TURNED.search(match["between"]) is not None
        if sides[0] == sides[1] or not (match["first"] or turned or IN_TURN.search(match["between"])):
            continue
        wanted = sides[::-1] if turned else sides
        orders = [_sides(goal) for goal in own]
        if not orders or any(_come_so(order, wanted) for order in orders):
            continue
        there = ", then ".join(f"{note.written.name}" for note in own[0].around)
        what = f"“{told.sentence.words(*match.span())}”: before the {own[0].note.written.name} come {there}"
        yield Untrue(*match.span(), what, "say which comes first", meant=told.is_fact(*match.span()))


def _sides(goal: Goal) -> list[bool]:
    """On which sides the notes around one lie, in time: the last two, where these lie on both."""
    sides = [each.sounding.midi > goal.note.sounding.midi for each in goal.around]
    return sides[-2:] if len(set(sides[-2:])) > 1 else sides


def _come_so(order: Sequence[bool], wanted: Sequence[int]) -> bool:
    """Whether among some notes one on the side that is said first comes before one on the other."""
    return any(
        one == (wanted[0] > 0) and other == (wanted[1] > 0)
        for at, one in enumerate(order)
        for other in order[at + 1 :]
    )


def _each_side(told: Told) -> Iterator[Untrue]:
    """A step by which notes are said to lie on each side of another, where they lie farther off or nearer."""
    goals = goals_in(told)
    named = {pitch_class(letter) for letter in letters_in(told.sentence)}
    own = [goal for goal in goals if goal.note.written.name.pitch_class in named] or goals
    for match in EACH_SIDE.finditer(told.text):
        sizes = interval_sizes(match["step"].replace("-", " "))
        steps = [[each.sounding.midi - goal.note.sounding.midi for each in goal.around] for goal in own]
        if own and not any(any(s in each and -s in each for s in sizes) for each in steps):
            around = " and ".join(f"{note.written.name}" for note in own[0].around)
            what = (
                f"“{told.sentence.words(*match.span())}”: around the {own[0].note.written.name} lie {around}"
            )
            yield Untrue(*match.span(), what, "say how far off they lie")
