"""Notes that something is said to begin, end, peak, bottom out or stay longest on, and that nothing there does.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.edge_words import EdgeWords, edge_words
from lessonmaker.script.plain.crosscheck.near_edges import Scope, may_be_meant
from lessonmaker.script.plain.crosscheck.said_notes import called_so, is_called, said_notes
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.stance_words import DENIALS

__all__ = ["edges"]


SIDES = {"rest": "last"}
# Before or after the bar line where an end is counted.
EARLY = pattern_of(r"\b(?:early|late)\b")
# After a note that leads to the last one: "ends with a D that leans into C".
LEADS_ON = pattern_of(r",? (?:that|which) (?:[a-z]+ ){1,3}(?:in)?to\b")


def edges(told: Told) -> Iterator[Untrue]:
    """The notes that are said to be at an end of something, where no fair reading of it has such a note there."""
    claims = said_notes(told)
    for claim in claims:
        if EARLY.search(told.text) or "leading" in told.text[claim.first : claim.last]:
            continue
        if any(each.kind == "set" and each.first <= claim.first < each.last for each in told.named):
            continue
        for words in edge_words(told, claim):
            others = any(words.first <= each.first < claim.first for each in claims)
            others = others or (words.side == "last" and LEADS_ON.match(told.text, claim.last) is not None)
            if not others and _is_plain(told, words, claim):
                yield from _otherwise(told, words, claim)
                break


def _is_plain(told: Told, words: EdgeWords, claim: Claim) -> bool:
    """Whether what is said of a note is stated as a fact, and by nothing between denied."""
    first, last = min(words.first, claim.first), max(words.last, claim.last)
    return told.is_plain(first, last) and not (
        words.positive and pattern_of(DENIALS).search(told.text[first:last])
    )


def scope_of(told: Told, words: EdgeWords, claim: Claim) -> Scope:
    """The bars of which it is said: those named, or all that are shown where a phrase is spoken of."""
    spans = told.spans if words.level == "phrase" else told.spans_at(min(words.first, claim.first))
    return Scope(told, tuple(spans), words.level)


def _otherwise(told: Told, words: EdgeWords, claim: Claim) -> Iterator[Untrue]:
    """A note that is not at the end of anything there."""
    meant = may_be_meant(scope_of(told, words, claim), words.side)
    if not meant or any(is_called(told, claim, note) for note in meant):
        return
    said = told.sentence.words(claim.first, claim.last)
    what = f"“{said}”: the {SIDES.get(words.side, words.side)} note is {called_so(told, claim, meant[0])}"
    first = claim.first if words.positive else min(words.first, claim.first)
    yield Untrue(first, claim.last, what, "say which it is", told.music.target_of(meant[0]))
