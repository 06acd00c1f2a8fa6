"""Chords that a sentence names one after the other: "A minor seven, then A diminished", "the changes: F, A flat, G".

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ChordSaid, chords_said
from lessonmaker.script.plain.root_words import GOES_ON_TO, MOVES_ON, roots_named
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.two_fives import OF_ROOTS, ProgressionClaim

__all__ = ["chord_rows", "moved_names"]

HARMONY = (
    r"(?:chords?|changes|harmon\w+|progression|turnaround|dominants|cycle|circle|two[- ]fives?(?:[- ]ones?)?|triads"
    r"|roots|cadence|vamp|pattern visit|key cent(?:re|er)s|tonal cent(?:re|er)s?)"
)
HARMONIC_ROW = pattern_of(rf"\b{HARMONY}\b")
BETWEEN = pattern_of(
    r"(?: chords?)?(?:,? (?:and then|then|and|to|down to|up to|next|into|on to|after that|finally"
    r"|(?:turn|soften|melt|fad|darken|chang|mov|slid|sink|drop|giv|go)(?:s|es|e)? (?:way to|(?:in)?to)|becomes)|,|;)?"
    r",? (?:back (?:to )?)?(?:the |an? |our )?"
)
# From one chord to the next by any other words: none that tell of notes, of keys, or of what is not so.
LOOSELY = pattern_of(
    r"(?!.*\b(?:not|no|or|over(?! to\b)|like|than|instead|as|(?:is|are)(?! (?:\w+ ){0,2}\w+ing\b)|was|has|have|from|key"
    r"|if|in|when|while|before|but|because"
    r"|same|root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen|notes?|line|lick"
    r"|scale|triad|arpeggio|for|with|of|bass)\b)(?: chord)?,? [a-z', -]{0,50}"
    r"\b(?:(?:in)?to|onto|then|next|and|at|on|up|us|towards?|finally|lastly|becomes?|meets?"
    r"|reach(?:es)?) (?:the |an? |our )?"
)
# Where a chord does not go, or only wants to: "D seven never gets to G", "which would love to get to E flat".
UNREAL = pattern_of(
    r"(?:\b\w+n't|\b(?:not|never|nowhere|refus\w+|fail\w*|want\w*|would|could|should|might|hop(?:es|ing)"
    r"|supposed|long(?:s|ing)|begs?|threaten\w*|promis\w*|tr(?:y|ies|ying)|wish\w*|pretend\w*|if|instead))\b"
)
LEAVES = pattern_of(r"\b(?:out of|away from|off|from) (?:the |an? |our )?$")
# The second one comes first: "B flat seven follows F seven", "after F seven comes B flat seven".
AFTER = pattern_of(
    r"(?: chord)? (?:(?:just |simply |then )?follows(?: on(?: from)?)?|comes (?:right |straight |directly )?after"
    r"|is (?:preceded|prepared|approached|led into|introduced) (?:by|from)) (?:the |an? |our )?"
)
COMES = pattern_of(
    r"(?: chord)?(?:,|:| comes?| there(?:'s| is)| (?:we|you|it)(?:'s| is| are|'re| have| get| hear| go to| move to)?"
    r"(?: on| on to)?)+(?: simply| just)? (?:the |an? |our )?"
)
ONCE_PAST = pattern_of(r"\bafter (?:the |an? |our |that )?$")
# No chord of a row: what something else is said to be over, of or like.
NO_START = pattern_of(
    r"\b(?:over|of|in|with|like|than|against|under|above|around|for|between|not|no|on|at|if|without|before|until|to"
    r"|into) (?:the |an? |our |that )?$"
)
# What is named so says where something is.
PLACED = pattern_of(r"\b(?:from|with) (?:the |an? |our )?$")
GOES = pattern_of(
    r"\b(?:chords?|changes|harmony|roots?|progression|turnaround|it|we|this|that|pattern) (?:\w+ ){0,2}from $"
)
STARTS = pattern_of(
    r"(?:^|[,:;] |\b(?:goes|go|is|are|has|have|got|gets|get|comes|come|hear|with|plays?|play|then|first|and|from)) ?"
    r"(?:just |only |simply |really )?(?:the |an? |our )?$"
)
FEWEST_LETTERS, PAIR_OF_ROOTS = 3, 2


def chord_rows(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[ProgressionClaim]:
    """The rows of chords that a sentence names; those that may be notes or places as well are not sure.

    Args:
        sentence: what is said.
        every: the chords that it tells.
    """
    yield from _reversed(sentence, every)
    for row in _runs(sentence, roots_named(sentence, every)):
        before = sentence.text[: row[0].first]
        full = [each for each in row if each.sort == "name"]
        told = bool(HARMONIC_ROW.search(sentence.text))
        moves = _leads(sentence.text[row[0].last : row[1].first])
        placed = PLACED.search(before) and not GOES.search(before) and not moves
        letters = PAIR_OF_ROOTS if OF_ROOTS.search(sentence.text) else FEWEST_LETTERS
        enough = len(full) == len(row) or (told and (full or len(row) >= letters))
        starts = STARTS.search(before) or (len(full) == len(row) and _may_start(before))
        if placed or not enough or not starts:
            continue
        yield ProgressionClaim(
            "progression", row[0].first, row[-1].last, "names", sure=told, chords=tuple(row)
        )


def _reversed(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[ProgressionClaim]:
    """Two chords by their names of which the second comes first, or the first is what another comes after."""
    for one, other in pairwise([each for each in every if each.sort == "name"]):
        between = sentence.text[one.last : other.first]
        past = ONCE_PAST.search(sentence.text[: one.first]) and COMES.fullmatch(between)
        if past or (AFTER.fullmatch(between) and _may_start(sentence.text[: one.first])):
            row = (one, other) if past else (other, one)
            yield ProgressionClaim("progression", one.first, other.last, "names", sure=True, chords=row)


MOVES = pattern_of(rf"\b{MOVES_ON}\b")
ENDS_THERE = pattern_of(
    r"(?: chord)?\s*(?:[,.;:!?]|$|\b(?:in|and|on|here|there|now|again|for|at|which|by)\b)"
)


def moved_names(sentence: Sentence) -> Iterator[ProgressionClaim]:
    """A chord by its name that goes to another, which may be told by its root alone: "B seven slides to B flat"."""
    for one, other in pairwise(roots_named(sentence, chords_said(sentence))[:2]):
        between = sentence.text[one.last : other.first]
        moves = one.sort == "name" and GOES_ON_TO.fullmatch(between) and MOVES.search(between) is not None
        moves = moves and UNREAL.search(between) is None
        opens = STARTS.search(sentence.text[: one.first]) and ENDS_THERE.match(sentence.text, other.last)
        if moves and opens:
            yield ProgressionClaim("progression", one.first, other.last, "names", chords=(one, other))


def _runs(sentence: Sentence, names: Sequence[ChordSaid]) -> Iterator[list[ChordSaid]]:
    """The names that stand one after the other with nothing but "then" between them, two or more."""
    run = list(names[:1])
    for one, other in pairwise(names):
        between = sentence.text[one.last : other.first]
        full = one.sort == other.sort == "name"
        if BETWEEN.fullmatch(between) or (full and _leads(between)):
            run.append(other)
            continue
        if len(run) > 1:
            yield run
        run = [other]
    if len(run) > 1:
        yield run


def _may_start(before: str) -> bool:
    """Whether the words before a chord leave it to be the first of a row."""
    return NO_START.search(before) is None or LEAVES.search(before) is not None


def _leads(between: str) -> bool:
    """Whether words lead from one chord to the next."""
    leads = GOES_ON_TO.fullmatch(between) or LOOSELY.fullmatch(between)
    return leads is not None and UNREAL.search(between) is None
