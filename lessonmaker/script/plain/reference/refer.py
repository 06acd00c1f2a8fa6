"""Which note each name in a sentence most likely means, and how likely that is."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.reference.chain import Chances, Scores
from lessonmaker.script.plain.reference.clues import Clues
from lessonmaker.script.plain.reference.facts import Facts
from lessonmaker.script.plain.reference.names import names_in
from lessonmaker.script.plain.reference.weights import score_of

__all__ = ["Referent", "clues_of", "facts_in_sight", "refer"]


@dataclass(frozen=True)
class Referent:
    """A name, the place in the line of the note that it most likely means (None: none), and how likely that is.

    `fit` are the notes that it fits.
    """

    claim: Claim
    note: int | None
    chance: float
    fit: tuple[int, ...]


def facts_in_sight(music: Music, shown: Sequence[Span]) -> Facts:
    """The facts of the notes that a cue shows."""
    return Facts(music, tuple(sorted({at for span in shown for at in _line_in(music, span)})))


def _line_in(music: Music, span: Span) -> range:
    """The places in the line of the notes of a span."""
    return range(bisect_left(music.line_onsets, span.start), bisect_left(music.line_onsets, span.end))


def refer(ground: Ground, claims: Sequence[Claim], facts: Facts) -> list[Referent]:
    """What each name in a sentence means.

    Args:
        ground: what is said, and of what.
        claims: what it claims.
        facts: those of the notes in sight.
    """
    clues = clues_of(ground, claims, facts)
    if not any(name.notes for name in clues.names):
        return []
    found = Chances(weighed(clues))
    named = zip(clues.names, found.none, strict=True)
    best = [Referent(name.claim, None, none, name.notes) for name, none in named]
    for (name, note), chance in zip(candidates(clues), found.notes, strict=True):
        if chance > best[name].chance:
            best[name] = replace(best[name], note=note, chance=chance)
    return best


def clues_of(ground: Ground, claims: Sequence[Claim], facts: Facts) -> Clues:
    """The clues of a sentence."""
    names = names_in(ground.sentence, ground.places, claims, facts.shown, ground.music)
    inside = [_inside(place, facts, ground.music) for place in ground.places]
    return Clues(ground.sentence, names, ground.places, inside, facts)


def _inside(place: Place, facts: Facts, music: Music) -> frozenset[int]:
    """The notes in sight that are in a place."""
    line = music.line
    return frozenset(
        index
        for index in facts.shown
        if any(span.start <= line[index].onset < span.end for span in place.spans)
        or (place.test is not None and place.test(line[index], music))
    )


def candidates(clues: Clues) -> list[tuple[int, int]]:
    """The names with the notes that each may mean."""
    return [(at, note) for at, name in enumerate(clues.names) for note in name.notes]


def weighed(clues: Clues) -> Scores:
    """What speaks for each way, by the learned weights."""
    pairs = candidates(clues)
    return Scores(
        [name for name, _ in pairs],
        [score_of(clues.of_note(name, note)) for name, note in pairs],
        [score_of(clues.of_none(name)) for name in range(len(clues.names))],
        [
            [score_of(clues.of_pair(one, index, name, note)) for one, index in pairs[:at] if one < name]
            for at, (name, note) in enumerate(pairs)
        ],
    )
