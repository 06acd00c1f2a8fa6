"""Deciding where the chords make a move that has a name: the back door, a plagal or a deceptive cadence.

Common practice, no source. The back door is the dominant on the flattened seventh step, with the minor fourth step
before it, wherever it goes; home is lit with it where it goes there. A plagal cadence goes from the fourth step home. A
dominant deceives by going anywhere but down a fifth or a half step; up to the sixth step it is heard to do so at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.score.position import Span, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import chords_said
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.heard import DOMINANT, Harmony, Heard
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.symbols import Symbols

__all__ = ["NAMED_MOVES", "Moves"]

FOURTH, FIFTH, SEVENTH = 5, 7, 10
PLAGAL_FOURTHS = frozenset(("major", "minor", "dominant"))
SIXTHS = ((9, "minor"), (8, "major"))


@dataclass(frozen=True)
class Move:
    """Chords in a row of which one, the `core`, makes the move; a `plain` one is so called before any other."""

    chords: tuple[Heard, ...]
    core: Heard
    plain: bool = True

    @property
    def span(self) -> Span:
        """From its first chord to its last."""
        return Span(self.chords[0].span.start, self.chords[-1].span.end)


def _pairs(harmony: Harmony) -> Iterator[tuple[Heard, Heard]]:
    """Chords that follow each other without a silence."""
    return ((one, other) for one, other in pairwise(harmony.chords) if one.span.end == other.span.start)


def _back_doors(harmony: Harmony) -> Iterator[Move]:
    for each in harmony.chords:
        at_the_door = any(
            (each.root - key.tonic.pitch_class) % OCTAVE == SEVENTH for key in harmony.keys_of(each)
        )
        before, after = harmony.before(each), harmony.after(each)
        if (
            each.family not in DOMINANT
            or not at_the_door
            or (before is not None and before.root == each.root)
        ):
            continue
        second = before if before is not None and _is_its_second(before, each) else None
        home = after if after is not None and (after.root - each.root) % OCTAVE == OCTAVE - SEVENTH else None
        yield Move(tuple(filter(None, (second, each, home))), each)


def _is_its_second(one: Heard, five: Heard) -> bool:
    """Whether a chord is the minor fourth step before the back door."""
    return (
        one.family == "minor"
        and (five.root - one.root) % OCTAVE == FOURTH
        and one.span.end == five.span.start
    )


def _plagal(harmony: Harmony) -> Iterator[Move]:
    for one, other in _pairs(harmony):
        fourth = (one.root - other.root) % OCTAVE == FOURTH and one.family in PLAGAL_FOURTHS
        home = any(key.tonic.pitch_class == other.root for key in harmony.keys_of(other))
        if fourth and home:
            yield Move((one, other), one)


def _deceptive(harmony: Harmony) -> Iterator[Move]:
    for one, other in _pairs(harmony):
        down = (one.root - other.root) % OCTAVE
        if one.family in DOMINANT and down not in (0, 1, FIFTH):
            tonic = (one.root - FIFTH) % OCTAVE
            plain = ((other.root - tonic) % OCTAVE, other.family) in SIXTHS
            yield Move((one, other), one, plain)


def _goes_up_a_whole_step(one: Heard, other: Heard) -> bool:
    return one.family in DOMINANT and (other.root - one.root) % OCTAVE == OCTAVE - SEVENTH


def _falls_a_fourth(one: Heard, other: Heard) -> bool:
    return (one.root - other.root) % OCTAVE == FOURTH


def _is_astray(one: Heard, other: Heard) -> bool:
    return one.family in DOMINANT and (one.root - other.root) % OCTAVE not in (0, 1, FIFTH)


@dataclass(frozen=True)
class Named:
    """A kind of move: what finds it, which pair of chords may be taken for it, and what chords do instead."""

    find: Callable[[Harmony], Iterator[Move]]
    may_be: Callable[[Heard, Heard], bool]
    instead: str


NAMED_MOVES: dict[str, Named] = {
    "backdoor cadence": Named(
        _back_doors, _goes_up_a_whole_step, "has no dominant a whole step below the tonic"
    ),
    "plagal cadence": Named(_plagal, _falls_a_fourth, "has no fourth step that goes to the tonic"),
    "deceptive cadence": Named(_deceptive, _is_astray, "has no dominant that goes elsewhere than home"),
}
# What is said as a fact: "that's the back door", "we call it a plagal cadence".
IS_ONE = pattern_of(
    r"(?:\b(?:is|are|was|makes?|forms?|calls?(?: (?:it|this|that))?|as)|'s|^\s*)"
    r"(?: (?:just|really|simply|only|what (?:we|you|they|people|some) call))*"
    r"(?: (?:an?|the|our|your|that))?(?: (?:good|old|real|true|proper|classic|typical|little))* $"
)
# The chord alone, or the two without where they go.
CORE = pattern_of(r"\b(?:dominant|seven(?:th)?|chord|five)s?$")
PAIR = pattern_of(r"\btwo[- ]fives?$")


class Moves(Symbols):
    """Decides where chords make a move that has a name."""

    def named_move(self, claim: Claim, scope: Scope) -> Decided:
        """The one move of a kind in some bars; a question where there are several, a fault where none can be."""
        kind, spans = NAMED_MOVES[claim.name], scope.spans or tuple(self.spans)
        every = [move for move in kind.find(self.harmony) if self.is_seen(move.core.span)]
        found = self.moves_meant([move for move in every if _is_in(move.core, spans)], claim, scope)
        if len(found) == 1:
            return self.lit_move(claim, found[0])
        if found:
            targets = [self.lit_move(claim, move).target for move in found]
            return self.question(self.sentence.words(claim.first, claim.last), targets)
        whole = [move for move in every if any(overlap(move.span, span) > 0 for span in spans)]
        if len(whole) == 1:
            return self.lit_move(claim, whole[0])  # the bar in which it arrives is named
        return self.no_move(claim, scope, kind)

    def moves_meant(self, found: list[Move], claim: Claim, scope: Scope) -> list[Move]:
        """Of several moves those that are counted, or named by their chords, or spoken of just before, or plain."""
        if claim.which and len(found) >= abs(claim.which):
            return [found[claim.which - 1 if claim.which > 0 else -1]]
        names = chords_said(self.sentence, ("name",))
        tests: tuple[Callable[[Move], bool], ...] = (
            lambda move: any(said.fits(each, self.harmony) for said in names for each in move.chords),
            lambda move: (
                not scope.explicit and self.before is not None and overlap(move.span, self.before) > 0
            ),
            lambda move: move.plain,
        )
        for test in tests:
            found = [move for move in found if test(move)] or found
        return found

    def lit_move(self, claim: Claim, move: Move) -> Decided:
        """Light a move's chords, or only those that its words name."""
        words = self.sentence.words(claim.first, claim.last)
        if CORE.search(words) and not PAIR.search(words):
            return self.lit_chords([move.core])
        at = move.chords.index(move.core)
        return self.lit_chords(move.chords[: at + 1] if PAIR.search(words) else move.chords)

    def no_move(self, claim: Claim, scope: Scope, kind: Named) -> Decided:
        """A fault where bars are said to have a move, and no two chords in them can be taken for one."""
        spans = scope.spans or tuple(self.spans)
        said = IS_ONE.search(self.sentence.text[: claim.first]) and self.is_certain(claim, scope)
        pairs = [pair for pair in _pairs(self.harmony) if any(_is_in(each, spans) for each in pair)]
        if (
            not said
            or scope.tests
            or len(spans) != 1
            or not pairs
            or any(kind.may_be(*pair) for pair in pairs)
        ):
            return NOTHING
        where = self.told_of(spans[0], kind.instead)
        words = self.sentence.words(claim.first, claim.last)
        target = self.lit_stretch(spans[0]).target
        return Decided(None, target, (), f"“{words}”: {where}", "say what the chords do")


def _is_in(each: Heard, spans: Sequence[Span]) -> bool:
    """Whether some of a chord is in some spans."""
    return any(overlap(each.span, span) > 0 for span in spans)
