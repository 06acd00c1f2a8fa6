"""The stretches that a sentence likens to each other: bars by number or ordinal, the opening, halves, groups.

Beside words of likeness a number alone is a bar ("seventeen copies one"). Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.moved_words import compiled
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["LINE", "Reference", "references_in"]

Kind = Literal["bars", "ordinal", "start", "before", "next", "half", "halves", "nth", "group", "shown"]
BAR = r"(?:bar|measure)"
NUMBERS = rf"{NUMBER}(?:(?:,? and |,? or |, | to | through |-| & ){NUMBER})*"
OF_ALL = (
    r"(?: of (?:the|this|our) (?:tune|piece|etude|page|solo|whole thing|form|chorus|waltz|blues|song|study))?"
)
OF_IT = r"(?: of (?:the|this|that) (?:bar|measure))?"
LINE = (
    r"(?:line|phrase|idea|motif|motive|theme|statement|lick|figure|shape|gesture|notes|music|tune|riff|bars?"
    r"|measures?)"
)
UNITS = r"(?:group|statement|unit|cell|figure|pair|time|one|repetition|shape|copy|segment|answer|packet)"
IT = r"(?: (?:it|that|this|them))?"
GOES_ON = (
    r"(?=[,.;:!?]|$|'s\b| (?:is|was|are|did|does|just|and|again|has|had|falls?|starts?|begins?|sits?|lies?"
    r"|copies"
    r"|repeats?|answers?|echoes|mirrors?|moves?|one|once|a|an|up|down|but|only|with|in|over|on)\b)"
)
PLACES = r"(?P<nth>first|second|third|fourth|fifth|last|other)"
REFERENCES: tuple[tuple[Kind, str], ...] = (
    ("halves", rf"(?:both|the two) halves of {BAR} (?P<one>{NUMBER})"),
    ("half", rf"(?:the |its )?(?P<nth>first|second|other|latter|last) half of {BAR} (?P<one>{NUMBER})"),
    (
        "bars",
        rf"(?:both )?(?:{BAR}s (?P<many>{NUMBERS})|{BAR} (?P<one>{NUMBER}(?: (?:to|through) {NUMBER})?))",
    ),
    (
        "before",
        rf"(?:the )?(?:(?P<n>{NUMBER}) )?(?:{BAR}s?|ones?) (?:just |right )?before{IT}"
        rf"|(?:the )?(?:previous|preceding) (?:(?P<n2>{NUMBER}) )?(?:ones?|{BAR}s?)"
        rf"|the (?:previous|preceding) (?P<n4>{NUMBER}){GOES_ON}|the (?P<n5>{NUMBER}) (?:just |right )?before{IT}"
        rf"|(?:an?|(?P<n3>{NUMBER})) {BAR}s? (?:earlier|ago)",
    ),
    ("next", rf"the (?:next|following) (?P<n>{NUMBER})(?: {BAR}s)?{GOES_ON}"),
    ("start", rf"(?:the |our )very first (?:(?P<n>{NUMBER}) )?{BAR}s?"),
    (
        "ordinal",
        rf"(?:the |our )?(?:very )?(?P<nth>{ORDINAL}|last|final|opening|next|other"
        rf"|closing) (?:(?P<n>{NUMBER}) )?"
        rf"{BAR}s?\b{OF_ALL}",
    ),
    ("ordinal", rf"the (?P<nth>first|second|last|next|other) (?P<n>two|four|eight){GOES_ON}"),
    ("start", r"the (?:head|top) of the (?:tune|piece|page|etude|form|chorus)(?! of)"),
    (
        "start",
        r"(?:the |our )(?:very )?(?:beginning|opening|start|outset"
        r"|(?:(?<=as the )|(?<=from the )|(?<=of the )|(?<=like the )|(?<=(?:as|ad|rd) at the ))"
        r"(?:top|head))"
        rf"(?: (?:(?P<n>{NUMBER}) (?={BAR}s))?(?:{NUMBER} )?{LINE})?{OF_ALL}(?! of)",
    ),
    ("halves", rf"(?:both|the two) halves{OF_IT}"),
    ("half", rf"(?:the |its )?(?P<nth>first|second|other|latter|last) half{OF_IT}"),
    ("group", rf"the {PLACES} {UNITS}s?(?: of (?:{NUMBER}|the \w+))?{GOES_ON}"),
    (
        "nth",
        rf"the {PLACES} of (?:(?:these|those)(?: (?:two|three|four))?(?: {BAR}s)?"
        rf"|the (?:(?:two|three|four)(?: {BAR}s)?|{BAR}s))",
    ),
    (
        "nth",
        r"(?:(?<=of )|(?<=as )|(?<=below )|(?<=above )|(?<=than )|(?<=like )|(?<=answers )|(?<=copies )"
        r"|(?<=repeats )|(?<=echoes )|(?<=imitates )|(?<=mirrors ))the (?P<nth>first|second|last"
        r"|other)(?: one)?(?=[,.;:!?]|$| (?:a|an|one|up|down|but|only|again|exactly|moved)\b)",
    ),
    (
        "nth",
        r"(?:(?<=is )|(?<=are )|(?<=just )|(?<=simply )|(?<=basically )|(?<=really )|(?<=only ))"
        r"the (?P<nth>first|second|last|other)(?: one)?(?=,? (?:moved|again|shifted"
        r"|transposed|up|down"
        r"|upside|backwards|a |an |one|once|with|but|only)\b)",
    ),
    (
        "shown",
        rf"(?:these|both(?: of these)?|the)(?: two| three| four)? {BAR}s|these two|both of them|this {BAR}",
    ),
)
NAMED_PLACES = {"last": -1, "final": -1, "closing": -1, "latter": 2, "other": 2, "opening": 1, "next": 0}
SAID_OF_BARS = inflected(
    "copy, repeat, echo, answer, mirror, imitate, mimic, reprise, restate, duplicate, clone, quote, recycle, "
    "borrow, match, double, rhyme, resemble, follow, do, be, have, take, use, keep, share, bring, play, give, "
    "open, start, begin, set, equal, sit, lie, sound, look, drop, turn, invert, reverse, recall, revisit, "
    "transpose, hike, shift, come, return, reappear, feel, seem, differ, say, lose, break, end"
)
ALONE = (
    pattern_of(
        rf"\b(?:take|play|grab|compare|remember|recall|like|with|to|sing) (?P<bare>{NUMBER}(?:(?:, | and "
        rf"| to |-){NUMBER})?)"
        r"(?=[,.;:!?]|$| (?:again|up|down|and (?:shift|move|lift|drop|push|bump|transpose))\b)"
    ),
    pattern_of(
        r"(?:^\W*|[,;:] |\b(?:and|so|now|then|that|how|but|where|note|notice|see|hear) )"
        rf"(?P<bare>{NUMBER}(?:(?:(?:, {NUMBER})*,? and | to | into |-){NUMBER})?)"
        r"(?=\?|'s\b|,? (?:(?:is|are|all|both|just|really|then|simply|basically|also|now|only|nearly"
        r"|almost) )*"
        rf"{SAID_OF_BARS}\b)"
    ),
    pattern_of(
        r"\b(?:of|in|as|like|from|with|is|are|was|equals?|copies|repeats?|echoes|answers|mirrors|imitates"
        r"|reprises"
        r"|restates|duplicates|clones|quotes|matches|recalls|inverts|reverses|takes|whatever|what|than|to"
        r"|over"
        r"|carries|drives|serves|governs|for)"
        r"(?: (?:really|basically|just|simply|exactly|only|both|essentially|back|bar))*"
        rf" (?P<bare>{NUMBER}(?:(?:, {NUMBER})*,? and {NUMBER})?)(?!,? (?:and )?{NUMBER})"
        r"(?=\s*(?:[,.;:!?]|$)|'s\b| (?:again|once|over|moved|shifted|transposed|lifted|dropped|a|an|one|in"
        r"|up|down|gets|comes|returns|reappears|repeats|recurs"
        r"|with|minus|backwards|upside|read|turned|did|does|was|is|only|but|except|note|all|and|just"
        r"|exactly|back"
        r"|for)\b)"
    ),
)
COUNTED = pattern_of(
    r"(?<![\w-])(?:groups?|packets?|bundles?|sets?|pairs?|units?|cells?|figures?|patterns?|phrases?|out"
    r"|chain|rows?|couple"
    r"|some|all|both|any|each|one|two|first|last|notes|(?:over|under|into|for) the course) $"
)
RETURNS_IN = pattern_of(
    r"\b(?:back|returns?|again|reappears?|recurs?|turns? up|resurfaces?|is (?:there|here|repeated)) in $"
)
AND_BEFORE = pattern_of(rf"{NUMBER} $")  # the second of two
HIGHEST_DEGREE = 13


@dataclass(frozen=True)
class Reference:
    """A stretch that is named at [first, last): numbered bars, the opening, a half, the second group.

    `numbers` are those of bars; `nth` is an ordinal (-1 the last, 0 the next), `count` how many bars (0: unsaid).
    """

    kind: Kind
    first: int
    last: int
    numbers: tuple[int, ...] = ()
    nth: int = 0
    count: int = 0


# What follows a number that is a degree and no bar: "just one, flat three, five", "the third of the D7".
A_DEGREE = pattern_of(
    r",? (?:and |then )?(?:flat|sharp|natural) (?:\w+)|(?:, (?:\w+ )?(?:three|five|seven|nine)){2}"
    r"| of (?:the |that |this )?(?:[a-g](?:b|#| flat| sharp)?(?:m?\d| (?:major|minor|seven)|\b(?! section))"
    r"|\w+ chord\b|chord\b)"
)


def references_in(text: str) -> list[Reference]:
    """The stretches that a sentence names, in its order, none inside another."""
    found: list[Reference] = []
    for kind, pattern in REFERENCES:
        for match in compiled(pattern).finditer(text):
            if _is_free(match.start(), match.end(), found) and not A_DEGREE.match(text, match.end()):
                found.append(_reference(kind, match))
    bare = [min(_numbers(match["bare"])) for alone in ALONE for match in alone.finditer(text)]
    no_degrees = any(number > HIGHEST_DEGREE for number in bare)
    for alone in ALONE:
        for match in alone.finditer(text):
            first, last = match.span("bare")
            numbers = _numbers(match["bare"])
            known = no_degrees or any(each.kind == "bars" for each in found)
            known = known or bool(found and RETURNS_IN.search(text[:first]))
            sure = known or alone is ALONE[1]
            if match[0].startswith("and") and AND_BEFORE.search(text[: match.start()]):
                continue
            if A_DEGREE.match(text, last):
                continue
            if sure and _is_free(first, last, found) and not COUNTED.search(text[: match.start()]):
                found.append(Reference("bars", first, last, numbers))
    return _halves_beside(sorted(found, key=lambda each: each.first))


def _halves_beside(found: Sequence[Reference]) -> list[Reference]:
    """What is counted beside a half of a bar is a half of it too: "the second half imitates the first"."""
    halves = [each for each in found if each.kind == "half"]
    if len(halves) != 1:
        return list(found)
    return [
        replace(each, kind="half", numbers=halves[0].numbers) if each.kind == "nth" else each
        for each in found
    ]


def _is_free(first: int, last: int, found: Sequence[Reference]) -> bool:
    return not any(first < each.last and each.first < last for each in found)


def _reference(kind: Kind, match: re.Match[str]) -> Reference:
    groups = match.groupdict()
    numbers = _numbers(groups.get("many") or groups.get("one") or "")
    nth = groups.get("nth")
    count = groups.get("n") or groups.get("n2") or groups.get("n3")
    count = count or groups.get("n4") or groups.get("n5")
    place = 0 if nth is None else NAMED_PLACES[nth] if nth in NAMED_PLACES else ordinal_of(nth)
    return Reference(kind, match.start(), match.end(), numbers, place, number_of(count) if count else 0)


def _numbers(text: str) -> tuple[int, ...]:
    """The bars that a list of numbers names, with those between the ends of a range."""
    found = [number_of(each) for each in pattern_of(NUMBER).findall(text)]
    if len(found) == 2 and pattern_of(r" (?:to|through) |\d-\d").search(text) and found[0] < found[1]:
        return tuple(range(found[0], found[1] + 1))
    return tuple(found)
