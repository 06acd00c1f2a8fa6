"""What a sentence says of the groups of a figure by the names of their notes: with which they begin, end, peak.

The names may be all of them in their order, some of which each has one, one that all have (but for one that is told
apart), so many of each, or one for each group that is counted off. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import takewhile
from typing import Literal

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.groups import Grouping
from lessonmaker.script.plain.motion import without_places
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.rows import LIST
from lessonmaker.script.plain.verbs import ENDING, FALLING, GOING, LANDING, RISING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import ORDINALS

__all__ = ["GROUPS", "OfGroups", "count_said", "counted_groups", "said_of_groups"]

Side = Literal["first", "last", "highest", "lowest"]
FEWEST = 3  # names that are of several groups, though only one is spoken of
COUNT = r"(?:two|three|four|five|six|seven|eight)"
PLURAL = (
    r"(?:groups|groupings|cells|figures|shapes|units|packets|bundles|clusters|patterns|fragments|segments|chunks|snippets"
    r"|threes|fives|copies|repetitions|arpeggios|climbs|triads|motifs|gestures|waves|rungs|legs|links|loops)"
)
GROUP = (
    rf"(?:{PLURAL}|group|grouping|cell|figure|shape|unit|packet|bundle|cluster|pattern|fragment|segment|chunk|snippet|copy"
    r"|repetition|arpeggio|climb|triad|motif|gesture|wave|rung|leg|link|loop)"
)
EACH_TIME = (
    rf"(?:(?:each|every) (?:time(?: (?:a?round|through))?|{COUNT}(?: notes)?)|{COUNT} times|time after time)"
)
GROUPS = pattern_of(rf"\b(?:{GROUP}|{EACH_TIME})\b")
MANY = pattern_of(rf"\b(?:each|every|all|always|both|{EACH_TIME}|{PLURAL})\b")
# So many of them: "four of these little groups", "three groups"; "four times in all".
COUNTED = pattern_of(
    rf"\b(?P<count>{COUNT})(?P<of> of (?:these|those|them|the|our|such))?(?: (?!times\b)[a-z-]+){{0,2}}? {GROUP}\b"
)
TIMES = pattern_of(rf"\b(?P<count>{COUNT}) times\b")
ON = r"(?:(?:off|out|up|in|down|again|life|over|back|each time) )*(?:on|with|from|at|upon)"
IS = (
    r"(?:,? (?:that )?(?:is|are|goes|go|gives?|reads?|spells?|starts? with|begins? with"
    r"|(?:you|we) (?:get|have|hear|play)|makes?|always|just))*"
)
OF = rf"(?: of (?:each|every|all|the|these|those|our|its)(?: [\w-]+){{0,3}}? (?:{GROUP}|one|{COUNT}))?"
ARTICLES = r"[:,]?(?: (?:either|an?|the|its|their|our|that|notes?|turn|order|same|very|high|low))* $"
BACK = rf"{inflected('be, come, go, get, return, land, start over, jump, fall')} (?:right |straight )?back (?:to|on)"
LEAVING = rf"(?:{FALLING}|{RISING}|{GOING})(?: down| up)? from"
SIDES: tuple[tuple[Side, re.Pattern[str]], ...] = (
    (
        "first",
        pattern_of(
            rf"(?:\b(?:{STARTING}|(?:{inflected('launch, spring, build')}|built)) {ON}|\b(?:{BACK}|{LEAVING})"
            rf"|\b(?:first|starting|opening) notes?{OF}{IS}"
            rf"|\bthe notes? (?:that|which) {EACH_TIME} {STARTING} with{IS})" + ARTICLES
        ),
    ),
    (
        "last",
        pattern_of(rf"(?:\b(?:{ENDING}|{LANDING}) {ON}|\b(?:last|final|closing) notes?{OF}{IS})" + ARTICLES),
    ),
    ("highest", pattern_of(rf"\b(?:tops?|(?:top|upper|highest) notes?){OF}{IS}" + ARTICLES)),
    ("lowest", pattern_of(rf"\b(?:bottoms?|(?:bottom|lower|lowest) notes?){OF}{IS}" + ARTICLES)),
)
# "They start a step lower each time: E, D, C".
NAMELY = pattern_of(rf"\b{STARTING}\b[^;:.]*: (?:(?:the|an?|first|on) )*$")
# The highest notes alone are not the same each time: "only the top changes, F at first and E after that".
CHANGES = pattern_of(
    r"\b(?P<side>tops?|bottoms?|last)(?: notes?)?(?: \w+)? (?:chang\w+|mov\w+|shift\w*)\b[^;.]*$"
)
CHANGING: dict[str, Side] = {"top": "highest", "bottom": "lowest", "last": "last"}
OR = pattern_of(r",? (?:or|else)(?: (?:else|on|from|with|at|off|the|an?|its|either))* ")
THEN = pattern_of(r"[^;.]{0,40}?\b(?:and|then|but)\b[^;.]{0,20}")
AGAIN = pattern_of(r"(?:,|;)? (?:(?:and|then|but) )*(?:on|from|with|at|off|to)(?: (?:the|an?|its))* ")
NTH = pattern_of(
    rf"\b(?P<nth>{'|'.join(ORDINALS)}|next|last|final|one|another)(?: {GROUP}| one)?(?:,? (?:\w+ly|then|also|just))*"
    rf"(?:,? (?:which |that )?(?:{STARTING}|is|goes|comes))?(?: {ON})?(?: (?:the|an?|its))* $"
)
NTH_TIME = pattern_of(
    rf",? (?:for )?the (?P<nth>{'|'.join(ORDINALS)}|next|last|final)(?: (?:time|round|go|one|{GROUP}))?\b"
)
OF_ITS_OWN = pattern_of(r"\b(?:each|every|both|all)(?: [\w-]+){0,3}? (?:arpeggio|triad)s?\b")
EXCEPT = pattern_of(r"\b(?:apart from|except|but|only|save|other than|until)\b")
SO_MANY = pattern_of(
    rf"\b(?P<count>one|{COUNT})(?: more| of them| others?)?(?: [a-z-]+)??(?: {GROUP})?"
    rf"(?: (?:{STARTING}|sitting|built))? {ON}(?: (?:the|an?|its))* $"
)


@dataclass(frozen=True)
class OfGroups:
    """Names for the notes of groups at a `side`: all in order, a `choice` of which each has one, or one that all have.

    `nth` are the numbers of the groups that are counted off, from 0 (-1 the last); `but` is the one of which it is not
    said; `counts` is how many have each name in turn.
    """

    names: tuple[Claim, ...]
    side: Side = "first"
    nth: tuple[int, ...] = ()
    is_choice: bool = False
    but: int | None = None
    counts: tuple[int, ...] = ()

    def fits(self, way: Grouping, music: Music) -> bool:
        """Whether groups are so."""
        notes, named = self._notes(way, music), [Named(name) for name in self.names]
        if self.nth:
            there = all(-len(notes) <= at < len(notes) for at in self.nth)
            return there and all(
                name.fits(notes[at], music) for name, at in zip(named, self.nth, strict=True)
            )
        if self.is_choice:
            own = [[name.fits(note, music) for note in notes] for name in named]
            return all(map(any, own)) and all(map(any, zip(*own, strict=True)))
        found = _by_name(self.names, notes, music)
        return bool(found) and self.counts in ((), tuple(len(own) for _, own in found))

    def claims(self, way: Grouping, ground: Ground) -> Iterator[Claim]:
        """The notes that are named, those of a row or a choice together."""
        notes = self._notes(way, ground.music)
        if self.nth:
            for name, at in zip(self.names, self.nth, strict=True):
                yield ground.set_of(name.first, name.last, [notes[at]])
        elif self.is_choice or len(notes) == len(self.names) > 1:
            yield ground.set_of(self.names[0].first, self.names[-1].last, notes)
        else:
            for name, own in _by_name(self.names, notes, ground.music):
                yield ground.set_of(name.first, name.last, own)

    def _notes(self, way: Grouping, music: Music) -> list[Note]:
        """The notes of groups that are spoken of; that of the one told apart only where it has the name as well."""
        notes = [_note_at(self.side, group) for group in way]
        if self.but is None or not -len(notes) <= self.but < len(notes):
            return notes
        apart = notes[self.but]
        return [note for note in notes if note is not apart or Named(self.names[0]).fits(note, music)]


def _note_at(side: Side, group: Sequence[Note]) -> Note:
    """The note of a group that is first, last, highest or lowest."""
    if side in ("first", "last"):
        return group[0 if side == "first" else -1]
    return (max if side == "highest" else min)(group, key=lambda note: note.sounding.midi)


def _by_name(names: Sequence[Claim], notes: Sequence[Note], music: Music) -> list[tuple[Claim, list[Note]]]:
    """Notes by the names that they have in their order, one each or the same for some in a row; none otherwise."""
    named = [Named(name) for name in names]
    if len(names) == len(notes):
        fits = all(name.fits(note, music) for name, note in zip(named, notes, strict=True))
        return [(name, [note]) for name, note in zip(names, notes, strict=True)] if fits else []
    found: list[tuple[Claim, list[Note]]] = []
    at = 0
    for name, each in zip(names, named, strict=True):
        own = list(takewhile(partial(each.fits, music=music), notes[at:]))
        found.append((name, own))
        at += len(own)
    return found if at == len(notes) and all(own for _, own in found) else []


# What is said -------------------------------------------------------------------------------------------


def said_of_groups(ground: Ground, names: Sequence[Claim]) -> list[OfGroups]:
    """What a sentence says of groups by the names of their notes, in its order."""
    counted_off = _counted_off(ground, names)
    if counted_off is not None:
        return [counted_off]
    others = _so_many(ground, names) or _told_by_times(ground, names)
    if others is not None:
        return [others]
    return list(_named_together(ground, names))


def _counted_off(ground: Ground, names: Sequence[Claim]) -> OfGroups | None:
    """The names of the notes with which the first group is said to start, the second, the last."""
    text = ground.sentence.text
    found: list[tuple[Claim, int]] = []
    for name in names:
        match = NTH.search(text, found[-1][0].last if found else 0, name.first)
        if match is not None and (found or GROUPS.search(text[: match.end()])):
            found.append((name, _number(match, found[-1][1] if found else -1)))
    if len(found) < 2:
        return None
    return OfGroups(tuple(name for name, _ in found), nth=tuple(at for _, at in found))


def _number(nth: re.Match[str], before: int) -> int:
    """Which group is counted off after another, from 0; -1 the last."""
    onward = {"next": before + 1, "one": before + 1, "another": before + 1, "last": -1, "final": -1}
    return onward[nth["nth"]] if nth["nth"] in onward else ORDINALS[nth["nth"]] - 1


def _so_many(ground: Ground, names: Sequence[Claim]) -> OfGroups | None:
    """The names of the notes on which so many groups are, and then so many more."""
    text = ground.sentence.text
    found: list[tuple[Claim, int]] = []
    for name in names:
        match = SO_MANY.search(text, found[-1][0].last if found else 0, name.first)
        if match is not None and (found or GROUPS.search(text[: match.end()])):
            found.append((name, number_said(match["count"])))
    if len(found) < 2:
        return None
    return OfGroups(tuple(name for name, _ in found), counts=tuple(count for _, count in found))


def _told_by_times(ground: Ground, names: Sequence[Claim]) -> OfGroups | None:
    """The names each of which is that of a time: "it begins on E the first time, on F the second, on G the third"."""
    text = ground.sentence.text
    found: list[tuple[Claim, int]] = []
    for name in names:
        match, last = NTH_TIME.match(text, name.last), found[-1][0].last if found else 0
        begun = found or _side_of(text, last, name.first) == "first"
        if match is not None and begun and last <= name.first:
            with_time = replace(name, last=match.end())
            found.append((with_time, _number(match, found[-1][1] if found else -1)))
    if len(found) < 2:
        return None
    return OfGroups(tuple(name for name, _ in found), nth=tuple(at for _, at in found))


def _named_together(ground: Ground, names: Sequence[Claim]) -> Iterator[OfGroups]:
    """The names that stand after the words for what groups begin with, end with, or have on top."""
    text = ground.sentence.text
    several = MANY.search(text) is not None
    at = 0
    while at < len(names):
        side = _side_of(text, names[at - 1].last if at else 0, names[at].first)
        row, is_choice = _row(ground, names[at:], loose=CHANGES.search(text[: names[at].first]) is not None)
        at += len(row) if side is not None else 1
        alone = len(row) == 1 and OF_ITS_OWN.search(text) is not None  # which are known by themselves
        if side is None or alone or not (several or len(row) >= FEWEST):
            continue
        other = _exception(text, row[-1], names[at:]) if len(row) == 1 else None
        yield OfGroups(row, side, is_choice=is_choice, but=other.nth[0] if other is not None else None)
        if other is not None:
            yield other
            return


def _side_of(text: str, since: int, first: int) -> Side | None:
    """Which notes of groups a name is said of, by the words right before it."""
    side = next((side for side, words in SIDES if words.search(text[:first])), None)
    changes = CHANGES.search(text, since, first)
    if side is None and changes is not None:
        return CHANGING[changes["side"].removesuffix("s")]
    return "first" if side is None and NAMELY.search(text, since, first) else side


def _row(ground: Ground, names: Sequence[Claim], *, loose: bool) -> tuple[tuple[Claim, ...], bool]:
    """The names that are told together, and whether each group has only one of them."""
    row, is_choice = [names[0]], False
    for name in names[1:]:
        link = without_places(ground.sentence, row[-1].last, name.first, ground.places)
        direct = LIST.fullmatch(link) or AGAIN.fullmatch(link) or (loose and THEN.fullmatch(link))
        if not (direct or OR.fullmatch(link)):
            break
        is_choice = is_choice or OR.fullmatch(link) is not None
        row.append(name)
    return tuple(row), is_choice


def _exception(text: str, name: Claim, later: Sequence[Claim]) -> OfGroups | None:
    """What is said of the one group that is told apart from all others."""
    for other in later[:1]:
        nth = NTH.search(text, name.last, other.first)
        if nth is not None and EXCEPT.search(text, name.last, other.first):
            return OfGroups((other,), nth=(_number(nth, -1),))
    return None


def counted_groups(text: str) -> re.Match[str] | None:
    """The words that say how many groups there are."""
    return COUNTED.search(text)


def count_said(text: str) -> int:
    """How many groups there are said to be, or how often they come; 0 where it is not said."""
    match = COUNTED.search(text) or TIMES.search(text)
    return number_said(match["count"]) if match is not None else 0
