"""What a sentence states in words of its own, put in the plain words that the rules read.

Which statement it is, is told by weights learned from many ways of saying each; what it names fills the slots.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.learned import read_weights
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.restated.forms import FORMS, NOTHING_STATED
from lessonmaker.script.plain.restated.slots import as_a_name, filled
from lessonmaker.script.plain.restated.words import clues_in

__all__ = ["Restated", "restated"]

LIKELY, SURE = 0.85, 0.95
INTO = pattern_of(r"^(?:against|at|inside|in|of|on|over|through|under|with) ")
ARTICLE = pattern_of(r"^(?:the|that|this|our) ")
NEGATION = pattern_of(r"\b(?:no|not|never|none|nothing|neither|nor|without|nowhere|nobody)\b|n't\b")
LETTER = pattern_of(r"[a-g](?:b|#)?(?![a-z])")
HERE = pattern_of(r"\b(?:here|this)\b")
BY_PREPOSITION = pattern_of(r"^(?:at|from|in|over|through) ")


@dataclass(frozen=True)
class Restated:
    """A statement in plain words, and the words of the sentence at [first, last) that tell it."""

    form: str
    text: str
    first: int
    last: int


def restated(text: str, places: Sequence[Place]) -> Restated | None:
    """What a sentence states, in plain words.

    Args:
        text: the sentence in lower case.
        places: the places that it names.

    Returns:
        None where it is not likely enough that it states any one thing, or what it names does not fit that; its
        `text` is empty where that has no plain words.
    """
    clues = clues_in(text)
    weights = read_weights(__package__)
    chances = weights.chances(clues)
    form = max(chances, key=chances.__getitem__)
    if not clues or form == NOTHING_STATED:
        return None
    plain = FORMS[form]
    turned = NEGATION.search(text) is not None and NEGATION.search(plain) is None
    if chances[form] < (SURE if turned else LIKELY):
        return None
    said = filled(plain, text, places)
    if said is None:
        return None
    where = "" if "{bar}" in plain else "".join(_where(text, places, plain))
    told = f"{where}{said}." if said else ""
    return Restated(form, told, *weights.words_for(form, NOTHING_STATED, clues))


def _where(text: str, places: Sequence[Place], plain: str) -> Iterable[str]:
    """The bars and chords that a sentence names, as what a statement begins with."""
    takes_chords = "{chord" in plain or "{key}" in plain
    for place in places:
        words = text[place.first : place.last]
        if place.pointed and HERE.search(words):
            continue
        if place.level == "bar":
            yield f"{words}, " if BY_PREPOSITION.match(words) else f"in {words}, "
        elif place.level == "chord" and not takes_chords:
            chord = ARTICLE.sub("", INTO.sub("", words))
            yield f"over the {as_a_name(chord) if LETTER.match(chord) else chord}, "
