"""Deciding what is said of a suspension: its two notes, its figures ("a four-three suspension"), which way it goes.

A suspension is the note that is held into the next chord and the note to which it resolves. Its figures are the two
degrees of that chord, which common practice counts from its root. Common practice, no source.
"""

from __future__ import annotations

import re

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, format_position
from lessonmaker.script.candidates import lit_note
from lessonmaker.script.model import Mention
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.roles import Roles
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.things import Things
from lessonmaker.script.plain.vocabulary import SUSPENDED_NOTE, SUSPENSION_FIGURES
from lessonmaker.theory.degree import degree_of

__all__ = ["Suspensions"]

FIGURES = pattern_of(SUSPENSION_FIGURES)
NAMED_NOTE = pattern_of(rf"{SUSPENDED_NOTE} (?P<name>[a-g](?: flat| sharp| natural|b|#)?)$")
GOES = (
    r"(?:(?:resolv|go|mov|step|ris|climb|push|fall|drop|sink|com|head|slip|slid|lead|giv)(?:e?s|ing|ed)?"
    r"|resolution(?: is| goes)?)"
)
SOME_WORDS = r"(?: (?!not\b|never\b|to\b|into\b|and\b|but\b|before\b|until\b)[\w'-]+){0,3}?"
WAY = pattern_of(
    rf"[^,;:.]{{0,30}}?\b{GOES}{SOME_WORDS} (?P<way>up|upwards?|down|downwards?)"
    r"(?![\w-]|(?: to)? (?:the )?(?:chord|pace)\b)"
)
DENIED = pattern_of(r"\b(?:not|never|instead of|rather than|without|could|would|might|should|if|n't)\b")
LEANT = (("11", "3"), ("11", "b3"), ("4", "3"), ("4", "b3"), ("9", "1"))
UP = ("up", "upward", "upwards")
# The degrees that a figure may stand for.
FIGURED = {
    1: ("1",),
    2: ("9", "b9"),
    3: ("3", "b3"),
    4: ("4", "11", "#11"),
    5: ("5", "b5", "#5"),
    6: ("6", "13", "b13"),
    7: ("7", "b7", "bb7"),
    8: ("1",),
    9: ("9", "b9", "#9"),
}


class Suspensions(Roles, Things):
    """Decides claims of suspensions."""

    def role(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A note by its role; a suspension with the note to which it resolves."""
        if claim.name != "suspension":
            return super().role(index, claim, scope)
        each = self.known_suspension(index, claim, scope)
        words = self.sentence.words(claim.first, claim.last)
        suspended = pattern_of(SUSPENDED_NOTE).match(words) is not None
        if each.mention is None:
            return NOTHING if suspended else each
        held = self.music.struck_by_id[each.mention.notes[0].note]
        name = NAMED_NOTE.fullmatch(words)
        if len(each.mention.notes) > 1 or (name and named_note(name["name"]) != held.written.name):
            return NOTHING if suspended else each
        goal = self.goal_of(held)
        if goal is None:
            return each
        return self.otherwise(claim, held, goal) or (each if suspended else self.both(held, goal))

    def known_suspension(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A suspension of the analysis; else the one note in sight that is held into a chord to which it is foreign."""
        each = super().role(index, claim, scope)
        leant = self.leant_on(scope) if each.what and each.mention is None and not claim.count else []
        if leant:
            return self.lit_row(leant) if len(leant) == 1 else NOTHING
        if each.says or scope.spans or claim.count:
            return each
        bars = [bar.start for bar in self.music.bars_in(self.spans)][1:]
        held = [note for onset in bars if (note := self.foreign_at(onset)) is not None]
        return self.lit_row(held) if len(held) == 1 and self.goal_of(held[0]) is not None else each

    def leant_on(self, scope: Scope) -> list[Note]:
        """The notes in a place that are a suspension by their figures, though struck over their chord: 4-3 or 9-8."""
        held = []
        for note in (note for span in scope.spans for note in self.music.line_in(span)):
            goal = self.goal_of(note) if scope.passes(note, self.music) else None
            figures = (self.music.finding(note).degree, goal and self.music.finding(goal).degree)
            if goal is not None and figures in LEANT and goal.held <= note.held:
                held.append(note)
        return held

    def goal_of(self, held: Note) -> Note | None:
        """The note to which a held note resolves, if that is the next one, and a step away."""
        following = next((note for note in self.music.struck if note.onset > held.onset), None)
        goal = self.music.finding(held).resolves_to
        if following is None or (goal and goal != following.id):
            return None
        near = abs(following.written.diatonic - held.written.diatonic) <= 1 and self.music.is_tone(following)
        return following if goal or near else None

    def both(self, held: Note, goal: Note) -> Decided:
        """Light a suspension and its resolution; what is said next is said of the note that is held."""
        lit = (lit_note(held, self.music), lit_note(goal, self.music))
        self.chosen += [goal, held]
        span, target = Span(held.onset, goal.onset + goal.held), self.row_target([held, goal])
        return Decided(Mention("notes", span, lit, target=target), target)

    def otherwise(self, claim: Claim, held: Note, goal: Note) -> Decided | None:
        """A fault where a suspension has other figures than is said, or goes another way."""
        if self.sentence.is_question:
            return None
        return self.other_figures_of(claim, held, goal) or self.other_way(claim, held, goal)

    def other_figures_of(self, claim: Claim, held: Note, goal: Note) -> Decided | None:
        """A fault where a suspension has not the figures that it is called by."""
        match = FIGURES.match(self.sentence.words(claim.first, claim.last))
        chords = [each.chord for each in self.music.changes_in(Span(goal.onset, goal.onset + INSTANT))]
        chord = chords[-1] if chords else None
        if match is None or chord is None:
            return None
        said = [number_said(match[name]) for name in ("held", "goal")]
        there = [degree_of(note.sounding.midi % OCTAVE, chord) for note in (held, goal)]
        if all(degree in FIGURED.get(number, ()) for number, degree in zip(said, there, strict=True)):
            return None
        return self.suspension_otherwise(
            claim, claim.last, held, f"the {there[0]} is held and goes to the {there[1]}"
        )

    def other_way(self, claim: Claim, held: Note, goal: Note) -> Decided | None:
        """A fault where a suspension is said to resolve the other way; nothing more is heard of where it goes."""
        match = WAY.match(self.sentence.text, claim.last)
        step = goal.sounding.midi - held.sounding.midi
        if match is None or DENIED.search(match[0]) or not step or abs(step) >= OCTAVE // 2:
            return None
        if (match["way"] in UP) == (step > 0) or self.is_told_later(match):
            return None
        self.false_until = len(self.sentence.text)
        at = format_position(self.music.score, goal.onset)
        does = f"it {'rises' if step > 0 else 'falls'} to the {self.music.finding(goal).degree} at {at}"
        return self.suspension_otherwise(claim, match.end(), held, does)

    def is_told_later(self, match: re.Match[str]) -> bool:
        """Whether a claim of its own says how it resolves."""
        return any(
            each.kind == "resolves" and match.start() <= each.first < match.end() for each in self.claims
        )

    def suspension_otherwise(self, claim: Claim, last: int, held: Note, does: str) -> Decided:
        """A fault that says what a suspension does instead."""
        what = f"“{self.sentence.words(claim.first, last)}”: {does}"
        target = f"suspension@{format_position(self.music.score, held.onset)}"
        return Decided(None, target, (), what, "say what it does", until=last)
