"""What each of several has: "every bar has its root on two", "the fifth is on all the offbeats".

Common practice, no source. All such notes are meant, where each bar, chord, phrase, group or beat has one of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.degrees import Degrees
from lessonmaker.script.plain.said_often import each_beside
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretches import subjects_in

__all__ = ["Eaches"]


class Eaches(Degrees):
    """Decides what each of several has."""

    def in_each(self, claim: Claim, scope: Scope) -> list[Note]:
        """The notes that a claim means, if each of what the sentence speaks of has one of them; else none."""
        said = each_beside(self.sentence.text, claim.first, claim.last)
        if said is None or scope.unknown or self.is_at_an_end(claim):
            return []
        notes = self.notes_for(claim, scope)
        if len({note.onset for note in notes}) < 2:
            return []
        beats = said["beats"] or said["all"]
        ways = [self.beats_named(beats, scope)] if beats else self.units_named(said[0], scope)
        found: list[Note] = []
        for units in ways:
            own = [[note for note in notes if note in unit] for unit in units]
            once = len(units) > 1 and all(len({note.onset for note in each}) == 1 for each in own)
            found = [each[0] for each in own] if once and len(own) > len(found) else found
        return found

    def beats_named(self, beats: str, scope: Scope) -> list[tuple[Note, ...]]:
        """The notes struck on some beats, one by one."""
        return [(note,) for note in self.struck_where(scope) if _is_on(beats, note, self.music)]

    def units_named(self, words: str, scope: Scope) -> list[list[tuple[Note, ...]]]:
        """The notes of each bar, chord, phrase or group, in all the ways in which these may be meant."""
        near = [place for place in scope.used if place.level == "bar" and place.spans]
        subjects = subjects_in(words, near, self.spans, self.music, None)
        several = [subject for subject in subjects if subject.every]
        return [[stretch.notes for stretch in each.stretches if stretch.notes] for each in several]

    def struck_where(self, scope: Scope) -> Sequence[Note]:
        """The notes struck in the bars of a claim, or in all that are shown."""
        spans: Sequence[Span] = scope.spans or self.spans
        return [note for span in spans for note in self.music.struck_between(span.start, span.end)]


def _is_on(beats: str, note: Note, music: Music) -> bool:
    """Whether a note is struck on a downbeat, on a beat or off it."""
    bar = music.score.bars[note.bar]
    beat = Fraction(position_in_bar(note.onset, bar)) / bar.metre.unit_quarters
    if beats.startswith(("off", "and", "up")):
        return beat.denominator != 1
    return beat == 0 if beats.startswith(("down", "ones")) else beat.denominator == 1
