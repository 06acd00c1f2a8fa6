"""Degrees that a sentence names in a row, by numbers or by ordinals among them: "three, five, seven".

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, number_said, words_like
from lessonmaker.script.plain.degree_terms import (
    AS_EVER,
    NOT_A_NOTE,
    ROW_WORDS,
    SIGN,
    step_number,
)
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import (
    NUMBER,
    degree_names,
)

__all__ = ["NO_ONE", "ONE_EACH", "RUN_ORDINAL", "SET_NUMBER", "run_claims", "set_claims"]

SET_NUMBER = r"(?:one|two|three|four|five|six|seven|nine|eleven|thirteen|1[13]?|[2-79])"

SET_ITEM = rf"(?:(?:(?:{SIGN})[ -]|[b#])?{SET_NUMBER}|root)"

# How many notes stand on each: "flat nine, seven, third, one to each beat".
ONE_EACH = (
    r"(?!(?<=, one) (?:(?:on|in|for|per|to) (?:each|every|either)|(?:per|(?:(?:to|for) )?an?|to the)"
    r" (?:beat|bar|measure|chord|quarter))\b)"
)

# A number that ends a row and counts what follows it is none of it: "flat nine, seven, five, four even strokes".
ROW_END = (
    rf"{ONE_EACH}"
    rf"(?!(?:(?<=one)|(?<=two)|(?<=four)|(?<=five)|(?<=three))[ -](?!(?:{ROW_WORDS})\b)[a-z])"
)

# "The first one, three five seven": it is no root.
NO_ONE = (
    r"(?!(?:(?<=first )|(?<=second )|(?<=last )|(?<=next )|(?<=same )|(?<=this )|(?<=that )|(?<=each )|(?<=every )"
    r"|(?<=other ))one\b)"
)

SET = rf"{NO_ONE}{SET_ITEM}(?:(?:, | |-|, then |, and | and ){SET_ITEM}){{2,7}}{ROW_END}"

RUN_ORDINAL = "(?:second|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|root)"

RUN_LINK = r"(?:, | |-|, and | and )"

COUNTED_DOWN = pattern_of(r"\b(?:by step|stepwise|to the (?:root|tonic))\b")

GROUPED = {2, 3}  # "three, three, two"
COUNTING = ({1, 2, 3, 4}, {5, 6, 7, 8}, {1, 2, 3}, {4, 5, 6, 7})

RUN_ITEM = rf"(?:(?:(?:{SIGN})[ -]|[b#])?(?:{SET_NUMBER}|{RUN_ORDINAL}))"

RUN = rf"{NO_ONE}(?!(?<=\w )one,){RUN_ITEM}(?:{RUN_LINK}{RUN_ITEM}){{2,7}}{ROW_END}"

ANY_NUMBERED_PLACE = pattern_of(rf"\b(?:bars?|measures?|beats?) {NUMBER}")


def run_claims(sentence: Sentence) -> Iterator[Claim]:
    """Degrees in a row of which some are ordinals: "third, sharp nine, flat nine, seven"."""
    text = ANY_NUMBERED_PLACE.sub(lambda match: "\0" * len(match[0]), sentence.text)
    for match in words_like(RUN).finditer(text):
        first = OF_ITS_OWN.match(match[0]) if OFF_THE.search(text[: match.start()]) else None
        if first is not None:
            match = words_like(SET).match(text, match.start() + first.end()) or match
        parts = tuple(_parts(match[0], match.start()))
        mixed = pattern_of(rf"\b{RUN_ORDINAL}\b").search(match[0])
        if (
            mixed
            and all(part.names for part in parts)
            and not pattern_of(NOT_A_NOTE).match(text[match.end() :])
        ):
            names = tuple("|".join(part.names) for part in parts)
            yield Claim("set", match.start(), match.end(), "", names, sure=False, parts=parts)


# "An arpeggio off the third, three five seven nine": where it begins, and then the row.
OFF_THE = pattern_of(r"\b(?:from|off|on|with)(?: the| its) $")

OF_ITS_OWN = pattern_of(rf"{RUN_ORDINAL}, (?!{RUN_ORDINAL})")

ITEM_PARTS = pattern_of(rf"(?:({SIGN}|[b#])[ -]?)?({SET_NUMBER}|{RUN_ORDINAL})(?!\w)")


def _parts(text: str, at: int) -> Iterator[Claim]:
    """The degrees of a row that begins somewhere in a sentence."""
    for match in ITEM_PARTS.finditer(text):
        sign, number = match[1] or "", match[2]
        yield Claim(
            "degree",
            at + match.start(),
            at + match.end(),
            "",
            degree_names(sign, step_number(number)),
            sure=bool(sign),
        )


NUMBERED_PLACE = pattern_of(rf"\b(?:bar|measure|beat) {NUMBER}(?=,)")  # "bar nine, three, five, seven"


def set_claims(sentence: Sentence) -> Iterator[Claim]:
    """Degrees in a row by their numbers: "three, five, seven", "flat nine, sharp nine and three"."""
    text = NUMBERED_PLACE.sub(lambda match: "\0" * len(match[0]), sentence.text)
    for match in words_like(SET).finditer(text):
        items = pattern_of(rf"(?:({SIGN}|[b#])[ -]?)?({SET_NUMBER}|root)(?!\w)").findall(match[0])
        items = [("" if sign in AS_EVER else sign, number) for sign, number in items]
        numbers = [1 if number == "root" else number_said(number) for _, number in items]
        if pattern_of(r"\b(?:bars?|measures?|beats?|count(?:ing)?|pages?|groups?|of)\s$").search(
            text[: match.start()]
        ):
            continue
        down = numbers == [3, 2, 1] and COUNTED_DOWN.search(text)
        if not any(sign for sign, _ in items) and (
            (set(numbers) in COUNTING and not down)
            or set(numbers) <= GROUPED
            or numbers == sorted(set(numbers)) == list(range(numbers[0], numbers[0] + len(numbers)))
        ):
            continue
        names = tuple(
            "|".join(degree_names(sign, number)) for (sign, _), number in zip(items, numbers, strict=True)
        )
        if all(names):
            yield from _stated(match, _altered_now(names, text[match.end() :]))


# "Only now the nine is flat".
ALTERED_NOW = pattern_of(
    rf"^[^.;:]{{0,20}}\b(?:only|but|except|though|just)\b[^.;:]{{0,30}}?\bthe (?P<number>{SET_NUMBER}|{RUN_ORDINAL})"
    r"(?:'s| is| gets| comes)(?: now| this time)? (?P<sign>flat|sharp)(?:tened|ened|ed)?\b(?! than\b)"
)


def _altered_now(names: tuple[str, ...], after: str) -> tuple[str, ...]:
    """Degrees in a row, the one that is said after them to be altered as it is."""
    said = ALTERED_NOW.search(after)
    if said is None:
        return names
    number = step_number(said["number"])
    plain, altered = ("|".join(degree_names(sign, number)) for sign in ("", said["sign"]))
    return tuple(altered if name == plain and altered else name for name in names)


def _stated(match: re.Match[str], names: tuple[str, ...]) -> Iterator[Claim]:
    """A set, or each of its statements where the same degrees are said over again."""
    for length in range(3, len(names) // 2 + 1):
        if len(names) % length == 0 and names == names[:length] * (len(names) // length):
            items = list(pattern_of(SET_ITEM).finditer(match[0]))
            for first in range(0, len(items), length):
                start, end = items[first].start(), items[first + length - 1].end()
                yield Claim("set", match.start() + start, match.start() + end, "", names[:length])
            return
    yield Claim("set", match.start(), match.end(), "", names)
