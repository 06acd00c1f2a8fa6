"""What the names of notes in a sentence are looked for in: where it speaks of, what the cue shows, and the score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.places import bar_beside
from lessonmaker.script.plain.text import Sentence

__all__ = ["Ground", "put_over"]


@dataclass(frozen=True)
class Ground:
    """A sentence, its places, what the cue shows, and the score as it is heard."""

    sentence: Sentence
    places: Sequence[Place]
    shown: Sequence[Span]
    music: Music

    @property
    def line(self) -> list[Note]:
        """The notes of the line that the cue shows."""
        return [note for span in self.shown for note in self.music.line_in(span)]

    def line_at(self, first: int, last: int) -> list[Note]:
        """The notes of the line of which the words at [first, last) may be said."""
        bar = bar_beside(first, last, self.places)
        spans = bar.spans if bar is not None and bar.spans else self.shown
        return [
            note for note in self.music.line if any(span.start <= note.onset < span.end for span in spans)
        ]

    def chord_at(self, first: int) -> list[Test]:
        """The test of the chord that is named last before something, or else the only one after it."""
        chords = [place for place in self.places if place.level == "chord" and place.test is not None]
        before = [place for place in chords if place.last <= first][-1:]
        named = before or (chords if len(chords) == 1 else [])
        return [place.test for place in named if place.test is not None]

    def set_of(self, first: int, last: int, notes: Sequence[Note]) -> Claim:
        """The claim of words that mean some notes, which are known."""
        names = tuple(self.music.finding(note).degree or "" for note in notes)
        return Claim("set", first, last, "", names, stance="found", at=tuple(note.id for note in notes))


def put_over(claims: Sequence[Claim], found: Sequence[Claim]) -> tuple[Claim, ...]:
    """Some claims without those whose words others have, and these, in their order."""
    kept = [c for c in claims if not any(c.first < each.last and each.first < c.last for each in found)]
    return tuple(sorted([*kept, *found], key=lambda claim: claim.first))
