"""What each of several has: "every bar has its root on two", "the fifth is on all the offbeats".

Common practice, no source. All such notes are meant, where each bar, chord, phrase, group or beat has one of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.choosing import LANDS
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.degrees import THAT_ONE, Degrees
from lessonmaker.script.plain.ends import BETWEEN
from lessonmaker.script.plain.motion import motion_between
from lessonmaker.script.plain.said_often import each_beside
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretches import subjects_in

__all__ = ["Eaches"]

AND_TO = pattern_of(r",?(?: (?:and|then|back|down|on|right|up))* to (?:the |its )?")


class Eaches(Degrees):
    """Decides what each of several has."""

    def in_each(self, claim: Claim, scope: Scope) -> list[Note]:
        """The notes that a claim means, if each of what the sentence speaks of has one of them; else none."""
        said = each_beside(self.sentence.text, claim.first, claim.last)
        one = THAT_ONE.search(self.sentence.text[: claim.first])
        if said is None or one or scope.unknown or self.is_at_an_end(claim):
            return []
        notes = self.notes_for(claim, scope)
        if len({note.onset for note in notes}) < 2:
            return []
        beats = said["beats"] or said["all"]
        several = f"all the {said['kind']} chords" if said["kind"] else said[0]
        ways = [self.beats_named(beats, scope)] if beats else self.units_named(several, scope)
        found: list[Note] = []
        lands = pattern_of(LANDS).search(self.sentence.text[: claim.first].rstrip()) is not None
        for units in ways:
            own = [self.in_unit(claim, notes, unit) for unit in units]
            if lands and all(mine and mine[-1] == unit[-1] for unit, mine in zip(units, own, strict=True)):
                own = [[unit[-1]] for unit in units]  # "each one lands on the third"
            once = len(units) > 1 and all(len({note.onset for note in each}) == 1 for each in own)
            found = [each[0] for each in own] if once and len(own) > len(found) else found
        return found

    def in_unit(self, claim: Claim, notes: Sequence[Note], unit: Sequence[Note]) -> list[Note]:
        """Those of some notes that are in a unit; the first after the note there from which the line moves to it."""
        own = [note for note in notes if note in unit]
        before = [other for other in self.claims_before(claim) if other.kind in BETWEEN]
        since = [note.onset for note in self.chosen if note in unit]
        if len(own) < 2 or not since or not before:
            return own
        between = self.sentence.text[before[-1].last : claim.first]
        if not (motion_between(self.sentence, before[-1], claim, self.places) or AND_TO.fullmatch(between)):
            return own
        return [note for note in own if note.onset > max(since)][:1]

    def beats_named(self, beats: str, scope: Scope) -> list[tuple[Note, ...]]:
        """The notes struck on some beats, one by one."""
        return [(note,) for note in self.struck_where(scope) if _is_on(beats, note, self.music)]

    def units_named(self, words: str, scope: Scope) -> list[list[tuple[Note, ...]]]:
        """The notes of each bar, chord, phrase or group that is in sight, in each way in which these may be meant."""
        spans = scope.spans or tuple(self.spans)
        if words.endswith(("half", "halves")):
            return [
                [tuple(self.music.struck_between(half.start, half.end)) for half in self.halves_of(spans)]
            ]
        near = [place for place in scope.used if place.level == "bar" and place.spans]
        subjects = subjects_in(words, near, self.spans, self.music, None)
        return [
            [
                stretch.notes
                for stretch in subject.stretches
                if stretch.notes and any(span.start <= stretch.notes[0].onset < span.end for span in spans)
            ]
            for subject in subjects
            if subject.every
        ]

    def halves_of(self, spans: Sequence[Span]) -> Iterator[Span]:
        """The halves of each bar of some spans."""
        for bar in self.music.bars_in(spans):
            middle = (bar.start + bar.end) / 2
            yield from (Span(bar.start, middle), Span(middle, bar.end))

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
