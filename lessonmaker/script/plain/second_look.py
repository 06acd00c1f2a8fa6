"""What a sentence of which nothing was read may mean, looked at once more and less strictly.

The first reading wants words that are surely a claim. Where it comes to nothing, three things are still more likely
meant than not: a degree by a bare ordinal that is stated of a bar or of a chord that is named, and is not there; a
degree by any of its names, however it is put, that is there in one place only; and a device or a stretch that is named
with a place and is there. Common practice, no source; how often each is right was counted over sentences that
had not been read before.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim, words_like
from lessonmaker.script.plain.degree_terms import FAR, NOT_A_NOTE, SIGN
from lessonmaker.script.plain.goals import MOVED_TO
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stance import is_general
from lessonmaker.script.plain.stance_words import DENIALS
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import CARDINALS, NUMBER, degree_names

__all__ = ["any_degrees", "bare_ordinal", "things_put_otherwise"]

NUMBERS = {
    "root": 1, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "ninth": 9, "eleventh": 11,
    "thirteenth": 13, "seven": 7, "nine": 9, "eleven": 11, "thirteen": 13,
}  # fmt: skip
DEGREE = words_like(
    rf"(?:(?P<sign>{SIGN}|major|minor|natural)[ -])?(?P<number>{'|'.join(NUMBERS)})(?P<many>e?s)?"
)
# A distance, or a part of something: "a third higher", "a fifth of our pay".
NO_DEGREE = pattern_of(rf"{NOT_A_NOTE}|{FAR}| from\b| of (?!the (?:chord|[a-g])\b|[a-g]\b)")
OTHER_NUMBER = pattern_of(rf"^[, ]*(?:and |to )?{NUMBER}\b|\b{NUMBER}[, ]*(?:and )?$")
# What a degree after "to the" is reached from: "from beat two up to the ninth".
REACHED_FROM = pattern_of(r"\b(?:notes?|from)\b")
THINGS = ("device", "extent")


def bare_ordinal(sentence: Sentence, meant: Sequence[Claim], places: Sequence[Place]) -> Claim | None:
    """The only degree of a sentence, a bare ordinal that is stated of a bar or a chord by its letter, as a sure one."""
    degrees = [claim for claim in meant if claim.kind == "degree" and claim.stance in ("stated", "handled")]
    if len(degrees) != 1 or len(meant) > 2 or pattern_of(DENIALS).search(sentence.text):
        return None
    (claim,) = degrees
    if claim.name or claim.count or claim.which or sentence.words(claim.first, claim.last) in CARDINALS:
        return None
    before = sentence.text[: claim.first]
    notes = any(other.kind == "note" for other in meant)
    if MOVED_TO.search(before) and (notes or REACHED_FROM.search(before)):
        return None  # told by the note from which it is reached
    return replace(claim, sure=True) if any(_is_sure(sentence, place) for place in places) else None


def _is_sure(sentence: Sentence, place: Place) -> bool:
    """Whether a place is one bar, or a chord by its letter."""
    named = (name for name in chord_names(sentence) if name.first < place.last and place.first < name.last)
    return (place.level == "bar" and len(place.spans) == 1) or any(named)


def any_degrees(sentence: Sentence, named: Sequence[Claim], places: Sequence[Place]) -> list[Claim]:
    """Degrees by any of their names, where the sentence names nothing else by these words."""
    taken = [(claim.first, claim.last) for claim in named]
    taken += [(place.first, place.last) for place in places]
    taken += [(name.first, name.last) for name in chord_names(sentence)]
    found: list[Claim] = []
    for match in DEGREE.finditer(sentence.text):
        first, last = match.span()
        inside = any(first < end and begin < last for begin, end in taken)
        if inside or NO_DEGREE.match(sentence.text, last) or _is_of_a_count(sentence, match):
            continue
        names = degree_names(match["sign"] or "", NUMBERS[match["number"]])
        if names:
            found.append(Claim("degree", first, last, "", names, count=-1 if match["many"] else 0))
    return found


def _is_of_a_count(sentence: Sentence, match: re.Match[str]) -> bool:
    """Whether a bare number stands beside another one, or goes to one."""
    if match["sign"] or match["number"] not in CARDINALS:
        return False
    beside = (sentence.text[match.end() :], sentence.text[: match.start()])
    return any(OTHER_NUMBER.search(words) for words in beside)


def things_put_otherwise(sentence: Sentence, named: Sequence[Claim], meant: Sequence[Claim]) -> list[Claim]:
    """Devices and stretches that seem not to be meant by how they are put, as stated; none said of all."""
    if not named or is_general(sentence, named, False):
        return []
    kept = {(claim.kind, claim.first) for claim in meant}
    left = (claim for claim in named if claim.kind in THINGS and (claim.kind, claim.first) not in kept)
    return [replace(claim, stance="stated") for claim in left]
