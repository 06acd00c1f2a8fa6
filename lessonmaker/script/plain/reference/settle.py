"""What was read of a sentence, set right by which notes its names most likely mean.

How likely that has to be depends on what it goes against: a name that was read as nothing, a question, a fault, other
notes, or notes where none is meant.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lessonmaker.script.model import Understood
from lessonmaker.script.plain.reference.refer import Referent
from lessonmaker.script.plain.text import Sentence

__all__ = ["Settled", "settle"]

UNREAD, ASKED, FALSE, OTHER, NONE = 0.8, 0.7, 0.8, 0.85, 0.97
ALONE = 0.85  # for a question about the only name of a sentence
LIKELY = 0.5  # too likely to be called false in a long sentence
LONG = 12  # words


@dataclass(frozen=True)
class Settled:
    """What is `kept` of what was read, which of it is `doubted`, and the names to be `lit` as the notes they mean."""

    kept: tuple[Understood, ...]
    doubted: tuple[Understood, ...]
    lit: tuple[Referent, ...]


def settle(
    found: Sequence[Understood], referents: Sequence[Referent], sentence: Sentence, at: Mapping[str, int]
) -> Settled:
    """Keep what agrees with what the names of a sentence mean, and light those that do not or were not read.

    Args:
        found: what was read of the sentence.
        referents: its names with the notes that they most likely mean.
        sentence: what is said.
        at: the places in the line of notes by their ids.
    """
    over = [[each for each in referents if _meets(each, one, sentence)] for one in found]
    asked = ASKED if len(referents) > 1 else ALONE
    told = [_settled(one, names, at, asked) for one, names in zip(found, over, strict=True)]
    is_long = len(sentence.text.split()) > LONG
    kept = tuple(one for one, names in zip(found, told, strict=True) if names is None)
    doubted = tuple(
        one
        for one, names in zip(found, over, strict=True)
        if is_long and one in kept and _is_doubted(one, names)
    )
    read = [each for names in over for each in names]
    lit = [each for names in told for each in names or ()]
    lit += [each for each in referents if each not in read and each.note is not None and each.chance >= UNREAD]
    return Settled(kept, doubted, tuple(sorted(dict.fromkeys(lit), key=lambda each: each.claim.first)))


def _meets(referent: Referent, one: Understood, sentence: Sentence) -> bool:
    """Whether a name is among the words of what was read."""
    first, last = sentence.offsets[referent.claim.first], sentence.offsets[referent.claim.last - 1] + 1
    return one.first < last and first < one.last


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


def _is_doubted(one: Understood, names: Sequence[Referent]) -> bool:
    """Whether a fault is too likely to be none."""
    likely = all(each.note is not None and each.chance >= LIKELY for each in names)
    return one.status == "fault" and bool(names) and likely
