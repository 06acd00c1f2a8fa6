"""Whether a sentence says of this music what its words name, or denies it, wishes for it, or speaks of something else.

Common practice, no source. What is unsure is left alone: rules of theory, other players, other pieces, comparisons
and what a player is told to do claim nothing unless they name a bar.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.places import Place
from lessonmaker.script.plain.stance_words import (
    ADVICE,
    ADVISED,
    ALMOST,
    ALWAYS,
    ASKING,
    AT_LARGE,
    BAR,
    CORRECTED,
    DENIALS,
    DENIED_AFTER,
    EACH,
    ELSEWHERE,
    LEAD,
    LEAVING,
    NOT_AS_IT_IS,
    NOT_DENIED,
    OMITTED,
    OTHERS,
    OUT,
    PLAIN_DENIAL,
    PLURAL_START,
    POINTED,
    POINTING,
    RHETORICAL,
    RULES,
    SOMEWHERE,
    STATING,
    THEORY,
    TOLD,
    UNREAL,
    WISHES,
)
from lessonmaker.script.plain.text import Sentence

__all__ = ["is_left_out", "is_located", "meant"]


NAME_A = re.compile(
    r"(?<=\w )a(?= (?:minor|major|half|diminished|dominant|seven|altered|sus))"
)  # a chord, or an article


def is_located(sentence: Sentence) -> bool:
    """Whether a sentence says that something is in sight, so that it is false where it is not there."""
    return bool(POINTING.search(sentence.text) or STATING.search(sentence.text))


def is_left_out(before: str, after: str) -> bool:
    """Whether the words round a claim say that it is missing, or left to others."""
    left = LEAVING.search(before) and OUT.match(after)
    return bool(left or re.search(DENIED_AFTER, after))


def _is_denied(sentence: Sentence, claim: Claim) -> bool:
    """Whether a denial or a wish stands before the claim in its own part of the sentence."""
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    before = CORRECTED.split(before)[-1]
    if sentence.is_question:
        before = RHETORICAL.sub("", before)  # "isn't it sweet how you stop on the eleventh?"
    clause = re.split(r"[;:,]| but (?!the\b|an?\b)| because | so (?:that )?| and then | then ", before)[-1]
    whole = re.split(r"[;:]| but | yet ", before)[-1]
    if claim.kind == "device" and claim.name == "diatonic passage":
        return bool(re.search(WISHES, whole))
    return bool(
        re.search(DENIALS, re.sub(NOT_DENIED, "", clause))
        or re.search(rf"{ALMOST.pattern}[^,;:]{{0,12}}$", clause)
        or OTHERS.search(clause)
        or re.search(WISHES, whole)
        or is_left_out(before, after)
        or re.search(UNREAL, re.split(r"[;:]| but | yet ", sentence.text[claim.first :])[0])
        or re.search(UNREAL, whole)
    )


def meant(sentence: Sentence, named: Sequence[Claim], places: Sequence[Place]) -> list[Claim]:
    """Those of a sentence's claims that are said of this music, neither denied nor only wished for.

    Args:
        sentence: what is said.
        named: what it names.
        places: where; a bar that is named makes sure that this music is meant.
    """
    asked = sentence.is_question and ASKING.match(sentence.text)
    in_a_bar = any(place.level == "bar" and place.spans and not place.pointed for place in places)
    if asked or (named and not in_a_bar and _is_general(sentence, named)):
        return [claim for claim in named if claim.stance == "found"]
    kept: list[Claim] = []
    for claim in named:
        if claim.stance == "found":
            kept.append(claim)
        elif _is_plainly_denied(sentence, claim):
            kept.append(replace(claim, stance="denied"))
        elif not _is_told(sentence, claim, in_a_bar) and not _is_denied(sentence, claim):
            kept.extend(_as_advised(sentence, claim, in_a_bar))
    return kept


def _is_plainly_denied(sentence: Sentence, claim: Claim) -> bool:
    """Whether a degree is said not to be in a bar, in so many words."""
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    denied = PLAIN_DENIAL.search(before) or OMITTED.match(after)
    said = claim.kind == "degree" and denied and BAR.search(sentence.text)
    unsure = re.search(rf"{WISHES}|\bif\b|{UNREAL}|\b(?:but|until|except|just|only)\b", sentence.text)
    return bool(said) and not unsure and not re.match(r",? (?:but|just|only|instead|or)\b", after)


def _as_advised(sentence: Sentence, claim: Claim, in_a_bar: bool) -> Iterator[Claim]:
    """A claim as it is; one that is part of an advice only where it is sure to be one of this music."""
    clause = re.split(r"[;:,]", sentence.text[: claim.first])[-1]
    if not re.search(ADVICE, clause):
        yield claim
    elif in_a_bar and ADVISED.search(sentence.text[: claim.first]) and not NOT_AS_IT_IS.search(sentence.text):
        yield replace(claim, stance="touched")


def _is_told(sentence: Sentence, claim: Claim, in_a_bar: bool) -> bool:
    """Whether a claim is only part of what the player is to do, or holds of each of many."""
    told = not claim.sure and re.search(TOLD, sentence.text) and not in_a_bar
    told = told and not re.search(SOMEWHERE, sentence.text)
    uncounted = claim.count == -1 and claim.kind == "device" and not is_located(sentence)
    if uncounted and not re.search(r"\b(?:the|these|those|all|its|some) $", sentence.text[: claim.first]):
        return True
    shared = claim.kind == "degree" and EACH.search(sentence.text[: claim.first])
    return bool(told or shared)


def _is_general(sentence: Sentence, named: Sequence[Claim]) -> bool:
    """Whether a sentence is about all such things, about other music, or about this at large."""
    text = NAME_A.sub(lambda a: "A" if sentence.written[a.start()] == "A" else "a", sentence.text).strip()
    if BAR.search(text):
        return False
    if re.search(ALWAYS, text) or re.search(PLURAL_START, text) or ELSEWHERE.search(text):
        return True
    if POINTING.search(text) or POINTED.search(text):
        return False
    return bool(THEORY.search(text) or AT_LARGE.search(text) or _is_rule(sentence, named[0]))


def _is_rule(sentence: Sentence, first: Claim) -> bool:
    """Whether the first claim of a sentence is what it speaks of, uncounted and nowhere."""
    rule = RULES.match(sentence.text) if re.match(rf"{LEAD}(?:an?|any|every) ", sentence.text) else None
    return rule is not None and first.first < rule.end()
