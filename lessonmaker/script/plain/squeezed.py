"""A note and its two neighbours, told by their names with whatever verb, or the neighbours only by their sides.

"E from above and C sharp from below squeeze the D"; "one neighbour from above, another from below, and the B".
Three notes in a row in the line, of which the last lies between the other two, a step or less from each, are heard as
such a figure; where the line has it once, it is the one that is meant. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.told_names import names_said

__all__ = ["with_squeezed"]

WHOLE_TONE = 2  # semitones
IN_A_ROW = 25  # characters between two names
LONGEST_LINK = 45  # characters between two names
APART = pattern_of(
    r"\b(?:not|no|never|nor|or|instead|rather|unlike|than|bars?|measures?)\b|n't\b|[;:.?!\x01]"
)
AHEAD_OF = pattern_of(
    r"\b(?:(?:right|just) )?(?:ahead of|before|in front of|on the way to|leading (?:in)?to)"
    r"(?: (?:the|an?|that|its|our))?(?: (?:high|low))? $"
)
ABOVE = ("above", "over", "on top")
SIDE = r"(?:above|below|over|under|underneath|beneath|on top)"
A_NEIGHBOUR = (
    r"(?:one|another|an?|the|the other|its|your)(?: [a-z-]+)?"
    r" (?:neighbou?rs?|half[- ]steps?|whole[- ](?:step|tone)|semitone|step|note|tone)(?: [a-z]+)?"
)
BY_SIDES = pattern_of(
    rf"\b(?P<one>(?:{A_NEIGHBOUR}|one|another)(?: from| just| right)* (?P<side>{SIDE})(?: it)?),?"
    rf"(?: (?:and|then|plus|now))* (?P<other>(?:{A_NEIGHBOUR}|one|another|the other)(?: from| just| right)*"
    rf" (?P<back>{SIDE})(?: it)?)(?![\w'])"
)


def with_squeezed(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, a note and its two neighbours as one figure, or the neighbours each by its side."""
    sentence, music = ground.sentence, ground.music
    if sentence.is_question or is_not_of_it(sentence.text):
        return tuple(claims)
    names = names_said(sentence, claims, ground.places)
    found: list[Claim] = []
    for at, three in enumerate(zip(names, names[1:], names[2:], strict=False)):
        first, last = three[0].first, three[2].last
        of_more = _goes_on(names[at - 1 : at + 1]) or _goes_on(names[at + 2 : at + 4])
        if of_more or not _belong(sentence, three) or any(each.last > first for each in found):
            continue
        line = ground.line_at(first, last)
        ways = list(_named_so(three, line, music)) if not _is_read(first, last, claims) else []
        found += _lit_so(ground, three, ways[0]) if len(ways) == 1 else []
    found += [] if found else _by_sides(ground, claims, names)
    found += [] if found else _led_to_by(ground, claims, names)
    return put_over(claims, found)


def _belong(sentence: Sentence, names: Sequence[Claim]) -> bool:
    """Whether names stand near each other, and nothing between them says that they are of different things."""
    links = [sentence.text[one.last : other.first] for one, other in pairwise(names)]
    return all(0 < len(link) <= LONGEST_LINK and not APART.search(link) for link in links)


def _goes_on(names: Sequence[Claim]) -> bool:
    """Whether two names stand so near each other that they are of one row."""
    return len(names) > 1 and 0 < names[1].first - names[0].last <= IN_A_ROW


def _is_read(first: int, last: int, claims: Sequence[Claim]) -> bool:
    """Whether words are read as what else there is than single notes."""
    return any(c.first < last and first < c.last and c.kind not in ("degree", "note") for c in claims)


def _figures(line: Sequence[Note]) -> Iterator[tuple[Note, Note, Note]]:
    """Two notes and the one between them, which follows them, a step or less from each."""
    for one, other, goal in zip(line, line[1:], line[2:], strict=False):
        below, above = sorted(each.sounding.midi - goal.sounding.midi for each in (one, other))
        if -WHOLE_TONE <= below < 0 < above <= WHOLE_TONE:
            yield one, other, goal


def _named_so(
    names: Sequence[Claim], line: Sequence[Note], music: Music
) -> Iterator[tuple[Note, Note, Note]]:
    """The figures of a line that have three names, in their order or with the goal before its neighbours."""
    for notes in _figures(line):
        if any(
            all(n.fits(note, music) for n, note in zip(order, notes, strict=True)) for order in _orders(names)
        ):
            yield notes


def _orders(names: Sequence[Claim]) -> Iterator[tuple[Named, Named, Named]]:
    """Three names in the orders in which their notes may come: the goal is last."""
    first, second, third = (Named(each) for each in names)
    yield from (
        (first, second, third),
        (second, first, third),
        (second, third, first),
        (third, second, first),
    )


def _lit_so(ground: Ground, names: Sequence[Claim], notes: Sequence[Note]) -> list[Claim]:
    """A figure as a whole; where its goal is named first, its neighbours each by its name."""
    music = ground.music
    if Named(names[2]).fits(notes[2], music):
        return [ground.set_of(names[0].first, names[2].last, notes)]
    by_name = [(name, note) for name in names[1:] for note in notes[:2] if Named(name).fits(note, music)]
    return [ground.set_of(name.first, name.last, [note]) for name, note in by_name]


def _by_sides(ground: Ground, claims: Sequence[Claim], names: Sequence[Claim]) -> list[Claim]:
    """The two neighbours of the note that is named next to them, each by the words for its side."""
    music, match = ground.music, BY_SIDES.search(ground.sentence.text)
    if match is None or (match["side"] in ABOVE) == (match["back"] in ABOVE):
        return []
    if _is_read(match.start(), match.end(), claims):
        return []
    after = [each for each in names if match.end() <= each.first]
    goal = next(iter(after or reversed(names)), None)
    if goal is None:
        return []
    line = ground.line_at(match.start(), match.end())
    way = 1 if match["side"] in ABOVE else -1
    fits = [
        notes
        for notes in _figures(line)
        if Named(goal).fits(notes[2], music)
        and (notes[0].sounding.midi > notes[1].sounding.midi) == (way > 0)
    ]
    if len(fits) != 1:
        return []
    ends = (match.span("one"), match.span("other"))
    return [ground.set_of(*span, [note]) for span, note in zip(ends, fits[0], strict=False)]


def _led_to_by(ground: Ground, claims: Sequence[Claim], names: Sequence[Claim]) -> Iterator[Claim]:
    """A note and the one right before it, where so they are told: "just ahead of the G he tucks in an F sharp"."""
    sentence, music = ground.sentence, ground.music
    for goal, one in pairwise(names):
        if not AHEAD_OF.search(sentence.text[: goal.first]) or not _belong(sentence, (goal, one)):
            continue
        if _is_read(goal.first, one.last, claims):
            continue
        line = ground.line_at(goal.first, one.last)
        pairs = [
            (before, note)
            for before, note in pairwise(line)
            if Named(one).fits(before, music) and Named(goal).fits(note, music)
        ]
        if len(pairs) == 1:
            yield ground.set_of(goal.first, goal.last, pairs[0][1:])
            yield ground.set_of(one.first, one.last, pairs[0][:1])
