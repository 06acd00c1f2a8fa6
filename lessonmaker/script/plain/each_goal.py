"""Notes that all go on in one way: "each seventh falls to the third of the next chord".

Common practice, no source. They are all those in sight of the one name whose next note, over the chord that comes, has
the other; there have to be two of them at least, and most of those that are so named.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, named_degrees
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.verbs import MOVING, way_of

__all__ = ["with_each_goal"]

SIGN = r"(?:(?:flat|sharp|natural|minor|major|raised) )?"
NUMBER = r"(?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth)"
EACH = (
    rf"(?:(?:each|every)(?: (?:one|single one))?(?: of (?:the|those|these))? (?P<one>{SIGN}{NUMBER})s?"
    rf"|(?:all (?:of )?)?(?:the|those|these) (?P<many>{SIGN}{NUMBER})s(?: all| each)?)"
)
GOES = pattern_of(
    rf"\b{EACH}(?: here| then| just| simply)? (?P<does>{MOVING}|stepp?(?:s|ing)?|resolv(?:e|es|ing)|go(?:es)?)"
    rf"(?P<how>(?: (?:by|a|half|whole|step|down|up|straight|right|back|over))*) (?:in)?to (?:the|a|its)"
    rf" (?P<other>{SIGN}{NUMBER})s?(?P<next> (?:of|in|over) (?:the|its|each) (?:next|following|new) (?:chord|one)s?"
    r"| of (?:the|what(?:ever)?) (?:chord )?(?:that )?(?:follows|comes next|comes after(?: it)?))?"
)
FEWEST = 2


def with_each_goal(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, the notes that all go on in one way and those they go to as what they are."""
    sentence = ground.sentence
    if sentence.is_question or is_not_of_it(sentence.text):
        return tuple(claims)
    return put_over(claims, list(_told(ground)))


def _told(ground: Ground) -> Iterator[Claim]:
    for match in GOES.finditer(ground.sentence.text):
        group = "one" if match["one"] else "many"
        one, other = (_degrees(match[name]) for name in (group, "other"))
        named = [note for note in ground.line_at(*match.span()) if ground.music.finding(note).degree in one]
        way = way_of(f"{match['does']}{match['how']}")
        pairs = [pair for note in named for pair in _goal(ground, note, other, way)]
        if len(pairs) >= FEWEST and 2 * len(pairs) > len(named):
            yield ground.set_of(*match.span(group), [note for note, _ in pairs])
            yield ground.set_of(*match.span("other"), [goal for _, goal in pairs])


def _degrees(words: str) -> tuple[str, ...]:
    """The degrees that words may mean; tensions of every size where they say none."""
    names = named_degrees(words.replace("natural ", ""))
    plain = " " not in words and names[0] in ("9", "11", "13")
    return (*names, *(f"{sign}{names[0]}" for sign in "b#")) if plain else names


def _goal(ground: Ground, note: Note, degrees: Sequence[str], way: int) -> Iterator[tuple[Note, Note]]:
    """A note with the next one, where that has one of some degrees over another chord and lies that way."""
    after = ground.music.line_after(note)
    if after is None:
        return
    here, there = ground.music.finding(note), ground.music.finding(after)
    step = after.sounding.midi - note.sounding.midi
    if there.degree in degrees and here.chord != there.chord and (not way or step * way > 0):
        yield note, after
