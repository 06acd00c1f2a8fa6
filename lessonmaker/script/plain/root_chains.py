"""What a sentence says of roots that go on by one interval, or from one bar to the next: "the roots fall in fifths".

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ChordSaid
from lessonmaker.script.plain.claim import number_said
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.root_claim import (
    A_NOTE_OF_IT,
    INTERVAL_WORDS,
    OF_THE_LINE,
    ROOTS,
    ROUND,
    RootsClaim,
)
from lessonmaker.script.plain.root_intervals import DOWN, EACH_INTERVAL, MANNER, UP, interval_said, steps_said
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import MOVING
from lessonmaker.script.plain.vocabulary import CARDINAL, NUMBER, number_of

__all__ = ["chains"]

# Thirds that are told one by one are of the line: "all thirds: three, five, seven, nine".
TOLD_IN_ROW = pattern_of(
    r"(?: (?:up|down))?(?:[,;:]| -) (?:from )?(?:(?:the|a) )?(?:root|(?:(?:flat|sharp|minor|major) )?(?:one|three|third"
    r"|five|fifth|seven|seventh)),? (?:then |and |to )*(?:(?:the|a) )?(?:(?:flat|sharp|minor|major) )?(?:third|three"
    r"|fifth|five|seventh|seven|ninth|nine|root|one)\b"
)
BAR_TO_BAR = pattern_of(
    rf"\b(?:(?:between|from) )?(?:bars? |measures? )?(?P<one>{NUMBER}) (?:to|and|into) (?:bar "
    rf"|measure )?(?P<other>{NUMBER})\b"
)
THROUGHOUT = pattern_of(
    rf" (?:all the way|throughout|the whole (?:way|time)|each time|every time|at a time|by {EACH_INTERVAL}"
    rf"|one after (?:the other|another))"
)
TIMES = pattern_of(rf" (?:twice|(?P<count>{CARDINAL}) times)\b")
# The root as what moves, not as where a line comes from.
ROOT_MOVES = pattern_of(rf" (?:just |then |simply )*{MOVING}\b(?! (?:from|to)\b)")
# "Seven to eight is up a fifth."
IS_STEP = pattern_of(
    r" (?:is|goes|moves|you go|we go|it's)?,? ?(?:(?:it's|just|only) )?(?:up|down)? ?(?:by )?an? "
)
AND_BACK = pattern_of(r" (?:and|then|and then)(?: right| straight)? (?:back )?(?P<way>up|down)(?: again)?\b")
# All of the harmony, moved: "the whole thing goes up a half step".
WHOLE = pattern_of(
    r"\b(?:the whole (?:thing|vamp|pattern|section|harmony|progression|chord|lot)|everything|it all|the harmony"
    r"|the chords?) (?:[a-z]+ ){1,4}$"
)


@dataclass(frozen=True)
class Told:
    """An interval in a sentence: the words round it, what has the roots, and where its words begin."""

    sentence: Sentence
    match: re.Match[str]
    round_it: str
    subject: re.Match[str] | None
    first: int

    @property
    def steps(self) -> tuple[int, ...]:
        """The semitones up that it may be."""
        return steps_said(interval_said(self.match), self.round_it)

    @property
    def before(self) -> str:
        """The text before it."""
        return self.sentence.text[: self.match.start()]

    @property
    def after(self) -> str:
        """The text after it."""
        return self.sentence.text[self.match.end() :]

    def claim(self, name: str, last: int = 0, count: int = 0, steps: tuple[int, ...] = ()) -> RootsClaim:
        """A claim of it, `last` characters longer."""
        end = self.match.end() + last
        return RootsClaim("roots", self.first, end, name, count=count, steps=steps or self.steps)


def chains(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """Roots that go on by one interval, or from one bar to the next."""
    for match in INTERVAL_WORDS.finditer(sentence.text):
        told = _told(sentence, match)
        tellers = (
            _reached,
            _bar_to_bar,
            _there_and_back,
            _so_often,
            _throughout,
            _moved_as_a_whole,
            _one_step,
        )
        claims = (teller(told, every) for teller in tellers)
        claim = next((claim for claim in claims if claim is not None), None)
        if claim is not None:
            yield claim


def _told(sentence: Sentence, match: re.Match[str]) -> Told:
    subject, before = ROOTS.search(sentence.text), sentence.text[: match.start()]
    round_it = (
        pattern_of(r"[;:]").split(before)[-1][-40:]
        + pattern_of(r"[,.;:!?]|\band\b").split(sentence.text[match.end() :])[0]
    )
    near = subject is not None and not pattern_of(r"[,;:]").search(before[subject.end() :])
    first = (
        subject.start() if subject is not None and near and subject.end() <= len(before) else match.start()
    )
    return Told(sentence, match, round_it, subject, first)


def _reached(told: Told, every: Sequence[ChordSaid]) -> RootsClaim | None:
    """To a chord that is named: "slides its root up a half step to D diminished"."""
    to = pattern_of(r" (?:\w+ )??(?:in)?to ").match(told.after)
    at = told.match.end() + to.end() if to else -1
    goal = (
        next((e for e in every if e.sort == "name" and at <= e.first <= at + len("the ")), None)
        if to
        else None
    )
    if goal is None or told.subject is None:
        return None
    return replace(told.claim("reached"), last=goal.last, other=goal)


def _bar_to_bar(told: Told, _: Sequence[ChordSaid]) -> RootsClaim | None:
    """From one bar to the next: "bar four to bar five, the root rises a half step"."""
    bars = BAR_TO_BAR.search(told.sentence.text)
    if bars is None or number_of(bars["other"]) != number_of(bars["one"]) + 1 or _is_plural(told):
        return None
    says = told.subject or IS_STEP.fullmatch(told.sentence.text[bars.end() : told.match.start()])
    return replace(told.claim("bars"), names=(bars["one"], bars["other"])) if says else None


def _there_and_back(told: Told, _: Sequence[ChordSaid]) -> RootsClaim | None:
    """To another root and back: "go up a half step and down again"."""
    back = AND_BACK.match(told.after)
    if back is None or told.subject is None:
        return None
    ways = {size * way % OCTAVE for size in told.steps for way in (1, -1)}
    return told.claim("there and back", back.end(), steps=tuple(sorted(ways)))


def _so_often(told: Told, _: Sequence[ChordSaid]) -> RootsClaim | None:
    """So many times: "drops a half step twice"."""
    times = TIMES.match(told.after)
    if times is None or told.subject is None:
        return None
    return told.claim("chain", times.end(), number_said(times["count"]) if times["count"] else 2)


FOURTH, TRITONE = 5, 6


def _throughout(told: Told, _: Sequence[ChordSaid]) -> RootsClaim | None:
    """All the way: "the roots fall in fifths", "it's fourths all the way"."""
    single = told.subject is not None and told.subject["root"] == "root"
    moves = told.subject is not None and ROOT_MOVES.match(told.sentence.text, told.subject.end())
    if told.subject is not None and A_NOTE_OF_IT.search(
        told.sentence.text, told.match.end(), max(told.subject.start(), told.match.end())
    ):
        return None  # the line goes so, to a note of a chord: "in half steps to the ninth of the next chord"
    one = single and (not moves or MANNER.fullmatch(interval_said(told.match)) is not None)
    if one or not _is_plural(told) or not (told.subject or THROUGHOUT.match(told.after)):
        return None
    if told.subject is None and OF_THE_LINE.search(told.before):
        return None
    if "third" in interval_said(told.match) and TOLD_IN_ROW.match(told.after):
        return None
    steps = (FOURTH, TRITONE) if ROUND.search(told.before) else told.steps
    return replace(told.claim("chain", steps=steps), sure=told.subject is not None)


def _moved_as_a_whole(told: Told, _: Sequence[ChordSaid]) -> RootsClaim | None:
    """All of it, from what was before: "the whole thing moves up a half step in bar five"."""
    whole = WHOLE.search(pattern_of(r"[;:]").split(told.before)[-1])
    moves = UP.search(told.round_it) or DOWN.search(told.round_it)
    return told.claim("into") if whole and moves else None


OF_ROOTS = pattern_of(r"\broots\b|\broot [^,;:]*\b(?:from chord to chord|between the (?:two )?chords)")


def _one_step(told: Told, _: Sequence[ChordSaid]) -> RootsClaim | None:
    """From one chord to the next: "the roots go up a fourth here"."""
    goes = UP.search(told.round_it) or DOWN.search(told.round_it)
    return told.claim("step") if goes and OF_ROOTS.search(told.sentence.text) else None


def _is_plural(told: Told) -> bool:
    return MANNER.fullmatch(interval_said(told.match)) is not None or told.match["interval"].endswith("s")
