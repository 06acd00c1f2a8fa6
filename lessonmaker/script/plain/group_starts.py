"""The notes of groups that a sentence names: "they begin on D, F, D and F flat", "every group starts on a B flat".

Of the ways in which the line in sight falls into groups that are alike, the one whose notes are all that is said of
them is meant, and those notes are. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.group_words import GROUPS, OfGroups, count_said, counted_groups, said_of_groups
from lessonmaker.script.plain.groups import Grouping, groupings_in
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.told_names import names_said
from lessonmaker.script.plain.told_stretches import DENIED

__all__ = ["with_group_starts"]

FEWEST = 3  # groups that are only counted
IN_ALL = pattern_of(
    r"\b(?:there are|there're|here are|(?:you|we) (?:get|have|play|hear|fit|squeeze))(?: in)? $"
)
SIZE = pattern_of(r"\b(?P<size>two|three|four|five|six)[- ]notes?\b")


def with_group_starts(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, the notes of groups that it names as what they are."""
    sentence = ground.sentence
    if sentence.is_question or is_not_of_it(sentence.text) or not GROUPS.search(sentence.text):
        return tuple(claims)
    said = said_of_groups(ground, names_said(sentence, claims, ground.places))
    if not said:
        return put_over(claims, list(_as_many(ground, claims)))
    if DENIED.search(sentence.text[: said[0].names[-1].last]):
        return tuple(claims)
    ways = [way for way in groupings_in(ground) if _fits(way, said, ground)]
    told = [[c for each in said for c in each.claims(way, ground)] for way in ways]
    found = _most(told)
    if not found:
        return tuple(claims)
    return put_over(claims, [*found, *_whole(ways[told.index(found)], claims, ground)])


def _fits(way: Grouping, said: Sequence[OfGroups], ground: Ground) -> bool:
    """Whether groups are as many as a sentence says, and are so."""
    count = sum(said[0].counts) or count_said(ground.sentence.text) or len(way)
    return len(way) == count and all(each.fits(way, ground.music) for each in said)


def _most(ways: Sequence[list[Claim]]) -> list[Claim]:
    """Of what some ways to make groups come to, the one whose notes are all those of the others as well."""
    notes = [{note for claim in way for note in claim.at} for way in ways]
    most = max(notes, key=len, default=set[str]())
    return ways[notes.index(most)] if ways and all(each <= most for each in notes) else []


def _whole(way: Grouping, claims: Sequence[Claim], ground: Ground) -> Iterator[Claim]:
    """The words that say how many groups there are as all of them, where they are read as something else."""
    match = counted_groups(ground.sentence.text)
    devices = [claim for claim in claims if claim.kind == "device"]
    if match is not None and any(c.first < match.end() and match.start() < c.last for c in devices):
        yield ground.set_of(*match.span(), [note for group in way for note in group])


def _as_many(ground: Ground, claims: Sequence[Claim]) -> Iterator[Claim]:
    """So many of these groups as all of them, where nothing else is read of them."""
    text = ground.sentence.text
    match = counted_groups(text)
    if match is None or not (match["of"] or IN_ALL.search(text[: match.start()])):
        return
    if any(claim.first < match.end() and match.start() < claim.last for claim in claims):
        return
    count, size = number_said(match["count"]), SIZE.search(text, match.start())
    ways = [way for way in groupings_in(ground) if len(way) == count >= FEWEST]
    notes = {
        tuple(note for group in way for note in group)
        for way in ways
        if size is None or all(len(group) == number_said(size["size"]) for group in way)
    }
    if len(notes) == 1:
        yield ground.set_of(*match.span(), next(iter(notes)))
