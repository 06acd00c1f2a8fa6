"""What was read of a sentence, set right by which notes its names most likely mean.

How likely that has to be depends on what it goes against: a name that was read as nothing, a question, a fault, other
notes, or notes where none is meant.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lessonmaker.script.model import Understood
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.reference.refer import Referent
from lessonmaker.script.plain.text import Sentence

__all__ = ["Settled", "settle"]

UNREAD, ASKED, FALSE, OTHER, NONE = 0.95, 0.7, 0.9, 0.95, 0.97
ALONE = 0.95  # for a question about the only name of a sentence
LIKELY = 0.5  # too likely to be called false in a long sentence
LONG = 14  # words
LISTED = pattern_of(r",? (?:(?:and|then|or) )*")  # between names that are lit together or not at all
DENIED = pattern_of(r"(?:\b(?:not|never|no|nor|without)\b|n't\b)(?:(?!\bbut\b)[^,;:.])*$")


@dataclass(frozen=True)
class Settled:
    """What is `kept` of what was read, which of it is `doubted`, and the names to be `lit` as the notes they mean."""

    kept: tuple[Understood, ...]
    doubted: tuple[Understood, ...]
    lit: tuple[Referent, ...]


def settle(
    found: Sequence[Understood],
    referents: Sequence[Referent],
    sentence: Sentence,
    at: Mapping[str, int],
    unmeant: Sequence[Claim] = (),
) -> Settled:
    """Keep what agrees with what the names of a sentence mean, and light those that do not or were not read.

    Args:
        found: what was read of the sentence.
        referents: its names with the notes that they most likely mean.
        sentence: what is said.
        at: the places in the line of notes by their ids.
        unmeant: claims that are denied, wished for or said of other things; their names are not lit by themselves.
    """
    over = [[each for each in referents if _meets(each, one, sentence)] for one in found]
    alone = sum(each.note is not None for each in referents) < 2
    asked = ALONE if alone else ASKED
    is_long = len(sentence.text.split()) > LONG
    told = [
        None
        if one.status == "fault" and not (is_long and _are_its_words(one, names))
        else _settled(one, names, at, asked)
        for one, names in zip(found, over, strict=True)
    ]
    kept = tuple(one for one, names in zip(found, told, strict=True) if names is None)
    doubted = tuple(
        one
        for one, names in zip(found, over, strict=True)
        if is_long and one in kept and _are_its_words(one, names) and _is_doubted(one, names)
    )
    read = {each for names in over for each in names}
    left = [each for each in referents if each not in read]
    likely = {each for each in left if _is_likely(each, sentence, unmeant)}
    lit = [each for names in told for each in names or ()]
    lit += [each for row in _rows(left, sentence) if likely.issuperset(row) for each in row]
    return Settled(kept, doubted, tuple(sorted(dict.fromkeys(lit), key=lambda each: each.claim.first)))


def _meets(referent: Referent, one: Understood, sentence: Sentence) -> bool:
    """Whether a name is among the words of what was read."""
    first, last = sentence.offsets[referent.claim.first], sentence.offsets[referent.claim.last - 1] + 1
    return one.first < last and first < one.last


def _is_likely(referent: Referent, sentence: Sentence, unmeant: Sequence[Claim]) -> bool:
    """Whether a name that was read as nothing is to be lit."""
    other = any(_share(referent.claim, claim) for claim in unmeant)
    denied = DENIED.search(sentence.text[: referent.claim.first])
    return referent.note is not None and referent.chance >= UNREAD and not other and not denied


def _rows(names: Sequence[Referent], sentence: Sentence) -> list[list[Referent]]:
    """Names in rows: those of a list together, others alone."""
    rows: list[list[Referent]] = []
    for name in names:
        last = rows[-1][-1].claim.last if rows else 0
        if rows and LISTED.fullmatch(sentence.text[last : name.claim.first]):
            rows[-1].append(name)
        else:
            rows.append([name])
    return rows


def _share(one: Claim, other: Claim) -> bool:
    """Whether two claims have words in common."""
    return one.first < other.last and other.first < one.last


def _settled(
    one: Understood, names: Sequence[Referent], at: Mapping[str, int], asked: float
) -> Sequence[Referent] | None:
    """The names that are to be lit in the place of what was read; None where it is kept."""
    if not names:
        return None
    least = min(each.chance for each in names)
    if one.status != "lit":
        known = all(each.note is not None for each in names)
        return names if known and least >= (asked if one.status == "question" else FALSE) else None
    if one.mention is None or one.mention.device is not None or not one.mention.notes:
        return None
    lit = {at.get(each.note) for each in one.mention.notes}
    meant = {each.note for each in names}
    if len(lit) != len(names) or meant == lit:
        return None
    if meant == {None}:
        by_name = lit <= {note for each in names for note in each.fit}
        return () if by_name and least >= NONE else None
    return names if None not in meant and least >= OTHER else None


def _are_its_words(one: Understood, names: Sequence[Referent]) -> bool:
    """Whether most of the words of what was read are names."""
    return 2 * sum(each.claim.last - each.claim.first for each in names) >= len(one.words)


def _is_doubted(one: Understood, names: Sequence[Referent]) -> bool:
    """Whether a fault is too likely to be none."""
    likely = all(each.note is not None and each.chance >= LIKELY for each in names)
    return one.status == "fault" and bool(names) and likely
