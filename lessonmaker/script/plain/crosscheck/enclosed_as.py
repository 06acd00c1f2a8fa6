"""What an enclosure is said to go round, and from which sides and how far off the notes come.

Common practice, no source. A note counts as enclosed where of the three before it one lies above it and one below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import bears
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.verbs import inflected

__all__ = ["Goal", "enclosed_as", "goals_in"]

BEFORE = 3  # notes before one that may enclose it
NEAR = 4  # semitones: the farthest that such a note lies off
GOES_ROUND = (
    r"(?:enclos\w*|surround\w*|encircl\w*|circl\w*|wrap\w*|frame[sd]?|framing|flank\w*|bracket\w*|sandwich\w*"
    r"|straddl\w*|orbit\w*|box(?:es|ed|ing)? in|hem(?:s|med|ming)? in|clos(?:e|es|ed|ing) in (?:on|around)"
    r"|hug(?:s|ged|ging)?)"
)
# Between an enclosure's word and what it goes round: "wraps itself around", "closes in on the".
ROUND = pattern_of(
    r"(?:s|d)?(?: (?:itself|themselves|right|tightly|neatly|nicely))*(?: (?:of|around|a?round|on|in on|about))?"
    r"(?: (?:the|that|this|our|its|an?))?(?: (?:high|low|final|chord's|long))? "
)
# From an enclosure to where it leads: "an enclosure drops us on the fifth".
LEADS = inflected(
    "lead, land, drop, deliver, bring, take, set, put, resolve, target, aim, home in, point, settle"
)
LEADS_TO = pattern_of(
    rf"[a-z]*(?: (?:at|in|on|over|from|across|of) [^,;:]{{3,30}}?)? (?:(?:that|which|then|neatly) )*{LEADS}"
    r"(?: (?:us|you|the line|it|right|straight|down|up|home|safely))*"
    r"(?: (?:on|onto|to|into|at|towards?))?(?: (?:the|that|this|our|its|an?))? "
)
IS_ENCLOSED = pattern_of(
    rf"(?: (?:of the chord|of [a-g][\w -]{{0,14}}|here|there|itself|on (?:beat )?\w+))*"
    rf" (?:is|gets|was|are|being)(?: (?:neatly|nicely|simply|then|here|fully|first|also))* {GOES_ROUND}"
)
SIDE = pattern_of(
    r" (?:(?:comes?|coming|sits?|lies|a (?:half|whole) step|one step|just|from|right) )*"
    r"(?P<side>above|below|beneath|underneath|on top|under)(?: it)?\b"
    r"(?! the (?:staff|chord)\b|,? (?:and|then) (?:then )?(?:from )?(?:above|below)\b)"
)
NOUN = pattern_of(r"enclosures?|surround|frame|sandwich|wrap")
# Between the notes that lie around one and the word for it: "F and D sharp neatly close in around E".
DO_SO = pattern_of(r"(?: (?:\w+ly|both|together|just|then|will|notes|are what|are))* ")
TWO = pattern_of(r",? and (?:then )?(?:the |an? )?")
BETWEEN = pattern_of(r" between\b")
LEADING = pattern_of(r"\bleading\b")  # the one of the key


@dataclass(frozen=True)
class Goal:
    """A note and those of the notes before it that lie around it."""

    note: Note
    around: tuple[Note, ...]


def enclosed_as(told: Told) -> Iterator[Untrue]:
    """Goals of enclosures that are none, and notes that are said to lie around one and do not."""
    claims = [claim for claim in told.named if claim.name == "enclosure"]
    goals = goals_in(told)
    if not goals:
        return
    yield from _is_not_around(told, goals)
    for claim in claims:
        yield from _goal_is_none(told, claim, goals)
        yield from _comes_from_elsewhere(told, claim, goals)


def goals_in(told: Told) -> list[Goal]:
    """The notes in sight, and the one after them, that are enclosed."""
    line = list(told.music.line)
    inside = {note.id for note in told.notes_in(told.spans)}
    last = max((at for at, note in enumerate(line) if note.id in inside), default=-1)
    found = []
    for at, note in enumerate(line[: last + 2]):
        if note.id not in inside and at != last + 1:
            continue
        near = [each for each in line[max(at - BEFORE, 0) : at] if 0 < abs(_step(each, note)) <= NEAR]
        sides = {_step(each, note) > 0 for each in near}
        if len(sides) > 1:
            found.append(Goal(note, tuple(near)))
    return found


def _step(note: Note, goal: Note) -> int:
    return note.sounding.midi - goal.sounding.midi


def _goal_is_none(told: Told, claim: Claim, goals: Sequence[Goal]) -> Iterator[Untrue]:
    """What is said to be enclosed, by its letter or its degree, where nothing of that name is."""
    named = _named_goal(told, claim)
    if named is None or any(bears(goal.note, named, told) for goal in goals):
        return
    closest = _of_lit(told, claim, goals)
    position = told.music.position(closest.note)
    degree = told.music.finding(closest.note).degree
    called = closest.note.written.name if named.kind == "note" else f"the {degree}"
    words = told.sentence.words(named.first, named.last)
    if LEADING.search(words):
        return
    yield Untrue(
        named.first,
        named.last,
        f"“{words}”: the enclosure goes round {called} at {position}",
        "say what it goes round",
        told.music.target_of(closest.note),
        meant=told.is_fact(named.first, named.last, r"\ba?round\b"),
    )


def _of_lit(told: Told, claim: Claim, goals: Sequence[Goal]) -> Goal:
    """The goal of the enclosure that is lit for a claim; else the first there is."""
    shown = told.shown_at(claim.first, claim.last)
    last = shown.notes[-1].id if shown is not None and shown.notes else ""
    return next((goal for goal in goals if goal.note.id == last), goals[0])


def _named_goal(told: Told, claim: Claim) -> Claim | None:
    """What a sentence says that an enclosure goes round: right after it, or before it where that is passive."""
    names = _names(told)
    word = pattern_of(GOES_ROUND).search(told.text[claim.first : claim.last])
    if word is None:
        return None
    start, part = claim.first + word.end(), told.part_of(claim.first)[0]
    alone = sum(part <= name.first < claim.first for name in names) == 1  # "the fifth surrounds the seventh"
    for name in names:
        to_it = name.first > start and (
            ROUND.fullmatch(told.text, start, name.first)
            or (NOUN.fullmatch(word[0]) and LEADS_TO.fullmatch(told.text, start, name.first))
        )
        if to_it and not alone:
            return name
    for name in names:
        passive = IS_ENCLOSED.match(told.text, name.last) if name.last < claim.last else None
        if passive is not None and not BETWEEN.match(told.text, claim.last) and passive.end() >= claim.first:
            return name
    return None


def _names(told: Told) -> list[Claim]:
    """The letters and degrees that a sentence names."""
    degrees = [claim for claim in told.named if claim.kind == "degree" and claim.names]
    return sorted([*letters_in(told.sentence), *degrees], key=lambda name: name.first)


def _comes_from_elsewhere(told: Told, claim: Claim, goals: Sequence[Goal]) -> Iterator[Untrue]:
    """Letters that are said to lie above or below a goal, or around it, where no such note does."""
    closest = _of_lit(told, claim, goals)
    meant = [closest] if told.shown_at(claim.first, claim.last) is not None else goals
    for name, side in _sided(told):
        if not any(_lies(told, name, side, each) or bears(each.note, name, told) for each in meant):
            words = told.sentence.words(name.first, name.last)
            there = " and ".join(f"{note.written.name}" for note in closest.around)
            yield Untrue(
                name.first,
                name.last,
                f"“{words}”: around the {closest.note.written.name} lie {there}",
                "name the notes around it",
            )


def _is_not_around(told: Told, goals: Sequence[Goal]) -> Iterator[Untrue]:
    """Two letters of notes that are said to enclose one, of which one lies around none: "F and D close in on E"."""
    for word in pattern_of(GOES_ROUND).finditer(told.text):
        before = [name for name in letters_in(told.sentence) if name.last <= word.start()]
        for one, other in list(pairwise(before))[-1:]:
            joined = TWO.fullmatch(told.text, one.last, other.first)
            if joined and DO_SO.fullmatch(told.text, other.last, word.start()):
                yield from (
                    _not_around(told, name, goals)
                    for name in (one, other)
                    if not _is_around(told, name, goals)
                )


def _is_around(told: Told, name: Claim, goals: Sequence[Goal]) -> bool:
    return any(_lies(told, name, side, goal) for goal in goals for side in (1, -1))


def _not_around(told: Told, name: Claim, goals: Sequence[Goal]) -> Untrue:
    words = told.sentence.words(name.first, name.last)
    there = " and ".join(f"{note.written.name}" for note in goals[0].around)
    what = f"“{words}”: around the {goals[0].note.written.name} lie {there}"
    meant = told.is_fact(name.first, name.last, r"\ba?round\b")
    return Untrue(name.first, name.last, what, "name the notes around it", meant=meant)


def _lies(told: Told, name: Claim, side: int, goal: Goal) -> bool:
    """Whether a note of a name lies around a goal on the side that is said."""
    return any(bears(note, name, told) and _step(note, goal.note) * side >= 0 for note in goal.around)


def _sided(told: Told) -> Iterator[tuple[Claim, int]]:
    """The letters of which a side is said: 1 above, -1 below."""
    for name in letters_in(told.sentence):
        side = SIDE.match(told.text, name.last)
        if side is not None:
            yield name, 1 if side["side"] in ("above", "on top") else -1
