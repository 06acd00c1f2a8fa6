"""Which sentences describe something in words of their own, and how sure it has to be.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.text import Sentence

__all__ = ["may_describe", "names_a_row", "names_a_term"]

FEWEST_WORDS = 5
COUNTED = pattern_of(
    r"\b(?:two|three|four|five|six|seven|eight|nine|ten) (?:of (?:these|those) )?(?:[a-z]+ ){0,2}"
    r"(?:groups?|shapes|figures|cells|times|statements|phrases|notes|bars|measures|thoughts|ideas)\b"
    r"|\b(?:one|two|three|four)(?:,? (?:one|two|three|four)){2,}\b"
)
# Claims by the terms of the trade: what comes to nothing by its own name, is not there.
TERMS = ("device", "role", "scale", "key", "symbol", "progression", "roots", "form")


def may_describe(sentence: Sentence, named: Sequence[Claim]) -> bool:
    """Whether a sentence may describe something: in words enough, by no term of the trade.

    What it counts is not held against the score by that, so that it is left alone.
    """
    enough = len(sentence.text.split()) >= FEWEST_WORDS
    return enough and not (names_a_term(named) or sentence.is_question or COUNTED.search(sentence.text))


def names_a_term(named: Sequence[Claim]) -> bool:
    """Whether some claim is by a term of the trade."""
    return any(each.kind in TERMS for each in named)


def names_a_row(named: Sequence[Claim]) -> bool:
    """Whether several notes are named, so that what is described has to be surer."""
    return (
        sum(len(each.names) if each.kind == "set" else each.kind in ("degree", "note") for each in named) > 1
    )
