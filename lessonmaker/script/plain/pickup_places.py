"""The pickup into a bar as a place: "the pickup into bar eight starts on the ninth" speaks of the end of bar seven.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.text import Sentence

__all__ = ["UPBEAT", "with_pickups"]

UPBEAT = r"(?:pick-?ups?|upbeats?|lead-?ins?|anacrus[ei]s|run-?ups?)"
# Before the bar that it leads into, and after it where something is told of it.
THE_PICKUP = pattern_of(
    rf"\b(?:the|that|this|our|its|your)(?: [a-z-]+){{0,3}}? (?P<pickup>{UPBEAT})(?: notes?| figure)?"
    r" (?:in)?to (?:the )?$"
)
IS_TOLD_OF = pattern_of(r" (?!is\b|was\b|has\b|and\b|or\b|in\b|on\b|at\b|with\b|to\b)[a-z]")


def with_pickups(sentence: Sentence, places: Iterable[Place], music: Music) -> Iterator[Place]:
    """The places of a sentence, the bars into which a pickup leads as where its notes are."""
    for place in places:
        said = THE_PICKUP.search(sentence.text[: place.first]) if place.level == "bar" else None
        told_of = said is not None and IS_TOLD_OF.match(sentence.text, place.last)
        notes = leading_into(place.spans[0], music) if told_of and len(place.spans) == 1 else []
        if said is None or not notes:
            yield place
            continue
        bar = music.score.bars[notes[0].bar]
        yield Place("beat", *said.span("pickup"), (), _one_of(notes))
        yield replace(place, spans=(Span(bar.start, bar.end),))


def _one_of(notes: Iterable[Note]) -> Test:
    ids = {note.id for note in notes}
    return lambda note, _: note.id in ids


def leading_into(span: Span, music: Music) -> list[Note]:
    """The notes before some bars that lead into them: after a rest or a longer note; none if all of a bar does."""
    before = [bar for bar in music.score.bars if bar.end == span.start]
    found = list[Note]()
    notes = music.struck_between(before[0].start, before[0].end) if before else ()
    for note in reversed(notes):
        after = found[0].onset if found else span.start
        if note.onset + note.held < after or (found and note.held > max(each.held for each in found)):
            break
        found.insert(0, note)
    return found if found and found[0].onset > before[0].start else []
