"""Where chords and keys lead, and how far: "pulls us into C major in bar nine" where that bar has C minor 7.

Common practice, no source. A chord leads to the one after it or, if it is a dominant, to its own resolution.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName
from lessonmaker.script.plain.chord_words import FIFTH, NO_CHORD, ROOT_NAME, root_said, sounding
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.near import (
    chords_near,
    is_key_near,
    is_so_named,
    mode_said,
    root_of,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.heard import DOMINANT, Harmony, Heard
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.root_intervals import INTERVAL, interval_said, steps_said
from lessonmaker.script.plain.verbs import inflected

__all__ = ["goals_said", "moves_said", "roots_gone_to"]

LEADING = inflected(
    "go, move, lead, fall, drop, slide, slip, step, sink, rise, climb, come, head, resolve, return, travel, turn"
    ", change, shift, take, bring, carry, pull, push, send, land, settle, walk, point, aim, swing, prepare, arrive"
    ", modulate, cadence, drive, float, steer, tip, deliver, usher, guide, hand, launch, release, lift, escort"
)
# Before what is led to: a verb, what it takes along, and where.
LEADS = pattern_of(
    rf"(?:\b(?:{LEADING})\b[^.;:,]{{0,40}}? ?\b(?:(?:in)?to|towards?|onto|on|for|at|in)"
    r"|\b(?:sets?|setting) up|\bprepar(?:es?|ing)|\bway (?:in)?to|\bheaded for|\bready for|\bhead(?:s|ing)? for)"
    r" (?:the (?:key|land) of |the |our |an? )?$"
)


def goals_said(told: Told) -> Iterator[Untrue]:
    """Chords and keys that the harmony is said to lead to, and does not."""
    harmony = told.harmony
    near = chords_near(told, harmony)
    for name in told.chords_named:
        if not near or not name.families or NO_CHORD.match(told.text, name.last):
            continue
        first = told.part_of(name.first)[0]
        if LEADS.search(told.text[first : name.first]) is None:
            continue
        start = _leading(told, name, near)
        goals = near if start is None else near[near.index(start) + 1 :]
        if not goals or _is_goal(told, name, start, near, goals, harmony):
            continue
        words = told.sentence.words(name.first, name.last)
        there = goals[0].text if start is not None else harmony.said(near[1:])
        what = (
            f"“{words}”: {start.text} leads to {there}"
            if start
            else f"there is no {words} in sight, but {there}"
        )
        yield Untrue(name.first, name.last, what, "say where it leads")


# "The F seven in bar sixteen goes straight to B flat": a root alone, to which a chord that is named goes at once.
GOES_TO_ROOT = pattern_of(
    r"(?: chord)?(?: (?:in|of) (?:bar|measure) [\w-]+)?,? (?:then |just |simply )?"
    r"(?:goes|leads|resolves|moves|falls|drops|takes us|leads us)(?: (?:straight|right|directly|home|back|down|on|up))*"
    rf" (?:in)?to (?:the )?(?P<root>{ROOT_NAME})(?=\s*(?:[,.;:!?]|$)| (?:in|and|on|at) )"
)


def roots_gone_to(told: Told) -> Iterator[Untrue]:
    """Roots to which a chord that is named is said to go at once, where the next chord has another."""
    harmony = told.harmony
    near = chords_near(told, harmony)
    for name in told.chords_named:
        match = GOES_TO_ROOT.match(told.text, name.last)
        if match is None or not name.families or OF_IT.search(told.text[: name.first]):
            continue
        if told.sentence.is_article(match, "root"):
            continue
        starts = [each for each in near[:-1] if is_so_named(name, each)]
        after = [each for start in starts if (each := harmony.after(start)) is not None]
        root = sounding(root_said(match["root"]), harmony)
        if after and not any(root in each.roots for each in after):
            words = told.sentence.words(*match.span("root"))
            what = f"“{words}”: {starts[0].text} leads to {after[0].text}"
            yield Untrue(*match.span("root"), what, "say where it leads")


def _leading(told: Told, goal: ChordName, near: Sequence[Heard]) -> Heard | None:
    """The first chord in sight of the name that stands last before a goal, and is another one."""
    before = [name for name in told.chords_named if name.last <= goal.first and name.families]
    if not before or before[-1].root == goal.root:
        return None
    return next((each for each in near[:-1] if is_so_named(before[-1], each)), None)


def _is_goal(
    told: Told,
    name: ChordName,
    start: Heard | None,
    near: Sequence[Heard],
    goals: Sequence[Heard],
    harmony: Harmony,
) -> bool:
    """Whether a chord so named comes after what leads there, or a key of that name, or it may be expected."""
    mode, root = mode_said(told, name), root_of(name, harmony)
    if any(is_so_named(name, each) for each in goals):
        return True
    if mode and is_key_near(root, mode, goals, harmony) and start is None:
        return True
    arrives = any(root in each.roots for each in goals)
    leading = [start] if start is not None else near
    return not arrives and any(
        each.family in DOMINANT and (root + way) % OCTAVE in each.roots
        for each in leading
        for way in (FIFTH, 1)
    )


BETWEEN = pattern_of(r"\b(?:to|into|onto) (?:the |an? |our )?$")
OF_IT = pattern_of(r"\b(?:of|over|on|against|in) (?:the |that |this |an? )?$")


def moves_said(told: Told) -> Iterator[Untrue]:
    """Two chords by their names that are said to be another interval apart than they are."""
    names = [name for name in told.chords_named if not NO_CHORD.match(told.text, name.last)]
    intervals = list(MOVES.finditer(told.text))
    if len(names) != 2 or len(intervals) != 1 or names[0].root == names[1].root:
        return
    one, other = names
    between = told.text[one.last : other.first]
    match = intervals[0]
    if BETWEEN.search(between) is None or len(between) > FARTHEST or OF_IT.search(told.text[: one.first]):
        return
    if any(
        each.kind in OF_NOTES and each.first < other.first and not _is_name(each, names)
        for each in told.named
    ):
        return  # a note goes so far: "C seven, whose third goes up a half step to F"
    steps = steps_said(interval_said(match), told.text)
    apart = (other.root.pitch_class - one.root.pitch_class) % OCTAVE
    if apart not in steps:
        words = (told.sentence.words(each.first, each.last) for each in names)
        what = f"from {' to '.join(words)} it is {SIZES[apart]}"
        yield Untrue(match.start(), match.end(), what, "say how far it is")


def _is_name(claim: Claim, names: Sequence[ChordName]) -> bool:
    """Whether a claim is but the name of a chord."""
    return any(claim.first < name.last and name.first < claim.last for name in names)


OF_NOTES = ("degree", "note", "set", "line", "standout", "role")
MOVES = pattern_of(rf"(?<![\w-]){INTERVAL}(?! (?:away|off|apart|from|above|below|sub\w*)\b)")
FARTHEST = 60  # characters between two chords of which one leads to the other
SIZES = (
    "the same", "a half step up", "a whole step up", "a minor third up", "a major third up", "a fourth up",
    "a tritone", "a fifth up", "a major third down", "a minor third down", "a whole step down", "a half step down",
)  # fmt: skip
