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
    is_long = len(sentence.text.split()) > LONG
    alone = sum(each.note is not None for each in referents) < 2
    cases = [
        _Case(one, [each for each in referents if _meets(each, one, sentence)], is_long) for one in found
    ]
    instead = [case.instead(at, ALONE if alone else ASKED) for case in cases]
    kept = [case for case, names in zip(cases, instead, strict=True) if names is None]
    read = {each for case in cases for each in case.names}
    left = [each for each in referents if each not in read]
    likely = {each for each in left if _is_likely(each, sentence, unmeant)}
    lit = [each for names in instead for each in names or ()]
    lit += [each for row in _rows(left, sentence) if likely.issuperset(row) for each in row]
    return Settled(
        tuple(case.one for case in kept),
        tuple(case.one for case in kept if case.is_doubted),
        tuple(sorted(dict.fromkeys(lit), key=lambda each: each.claim.first)),
    )


@dataclass(frozen=True)
class _Case:
    """Something that was read, with the names among its words, in a long sentence or in a short one."""

    one: Understood
    names: Sequence[Referent]
    is_long: bool

    def instead(self, at: Mapping[str, int], asked: float) -> Sequence[Referent] | None:
        """The names that are to be lit in its place; None where it is kept."""
        if not self.names:
            return None
        if self.one.status == "question":
            return self.names if self._are_notes(asked) else None
        if self.one.status == "fault":
            return self.names if self._may_be_true and self._are_notes(FALSE) else None
        return self._lit_instead(at)

    def _lit_instead(self, at: Mapping[str, int]) -> Sequence[Referent] | None:
        """The names of other notes than are lit; none of them where they mean no note."""
        mention, least = self.one.mention, min(each.chance for each in self.names)
        if mention is None or mention.device is not None or len(mention.notes) != len(self.names):
            return None
        lit, meant = {at.get(each.note) for each in mention.notes}, {each.note for each in self.names}
        if meant == {None}:
            by_name = lit <= {note for each in self.names for note in each.fit}
            return () if by_name and least >= NONE else None
        return self.names if None not in meant and meant != lit and least >= OTHER else None

    def _are_notes(self, least: float) -> bool:
        """Whether each name means a note, and is as likely as that."""
        return all(each.note is not None and each.chance >= least for each in self.names)

    @property
    def _may_be_true(self) -> bool:
        """Whether a fault is of names in a long sentence, where what goes with what is not sure."""
        words = sum(each.claim.last - each.claim.first for each in self.names)
        return self.is_long and 2 * words >= len(self.one.words)

    @property
    def is_doubted(self) -> bool:
        """Whether a fault is too likely to be none."""
        return self.one.status == "fault" and self._may_be_true and self._are_notes(LIKELY)


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
