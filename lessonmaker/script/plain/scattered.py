"""Names in a pure row that the line does not have in that order: "the rest is plain: root, fifth, third".

Where such a row is not found as it is told, its names by themselves, here one and there one, are not what is meant.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.script.model import Lit
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.row_notes import MANY
from lessonmaker.script.plain.rows import LIST
from lessonmaker.script.plain.text import Sentence

__all__ = ["without_scattered"]


def without_scattered(
    sentence: Sentence,
    claims: Sequence[Claim],
    decided: Sequence[Decided],
    places: Sequence[Place],
    music: Music,
) -> list[Decided]:
    """What claims came to, without the notes of pure rows that lie scattered over several bars."""
    came = list(decided)
    is_placed = any(place.level == "bar" and not place.pointed for place in places)
    for row in _rows(sentence, claims, places):
        told = [came[index] for index in row]
        if not any(each.what for each in told) and _are_scattered(told, music, is_placed=is_placed):
            for index in row:
                came[index] = NOTHING
    return came


def _rows(sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place]) -> Iterator[list[int]]:
    """The pure rows of a sentence, as indices of their claims, with nothing said of one of them alone."""
    run: list[int] = []
    for index, claim in enumerate(claims):
        between = sentence.text[claims[run[-1]].last : claim.first] if run else ""
        if run and (not _is_plain(claim) or not between.strip() or LIST.fullmatch(between) is None):
            yield from _row(sentence, claims, places, run)
            run = []
        if _is_plain(claim):
            run.append(index)
    yield from _row(sentence, claims, places, run)


def _row(
    sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place], run: Sequence[int]
) -> Iterator[list[int]]:
    """Some claims one after the other, if they are a row, which nothing but the end of its part follows."""
    if len(run) < MANY:
        return
    first, last = claims[run[0]].first, claims[run[-1]].last
    ends = sentence.text[last:].lstrip()[:1] in ("", ".", ",", ";", ":", "!")
    inside = any(first < place.first < last for place in places)
    opens = not any(
        claim.last <= first and sentence.text[claim.last : first].strip() == "" for claim in claims
    )
    if ends and opens and not inside:
        yield list(run)


def _is_plain(claim: Claim) -> bool:
    """Whether a claim is one degree, and not known to be some note already."""
    counted = claim.count or claim.which
    return claim.kind == "degree" and not (counted or claim.at) and claim.stance == "stated"


def _are_scattered(told: Sequence[Decided], music: Music, *, is_placed: bool) -> bool:
    """Whether notes of a row lie apart in several bars, or not all are found where no bar is named."""
    lit = [note.note for each in told if each.mention for note in each.mention.notes if isinstance(note, Lit)]
    notes = [music.struck_by_id[each] for each in lit]
    if len({note.bar for note in notes}) <= 1:
        return 0 < len(notes) < len(told) and not is_placed
    at = [music.line.index(note) for note in notes if note in music.line]
    return len(at) < len(told) or any(other != one + 1 for one, other in pairwise(at))
