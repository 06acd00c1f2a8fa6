"""A chord that is said to stand where another was to be expected: "I swapped the F7 for its tritone sub, B7".

However it is put, the chord that is named as what is played is one of this music. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ChordSaid, function_fits
from lessonmaker.script.plain.symbol_words import SymbolClaim
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected

__all__ = ["SWAPPED", "swap_claims"]

SWAPPED = "swapped"
"""What such a claim is called; its subject is the chord that is played."""

THE = r"(?:the|that|this|an?|our|its|your|my|plain|usual|plain old|ordinary|expected)"
# Up to the chord that is not played, and from there to the one that is.
LEFT = pattern_of(
    rf"\b(?:{inflected('swap, replace, exchange, trade, substitute')}|instead of|rather than|in place of"
    r"|in lieu of|where (?:you|we|one|i|everyone|everybody|anyone)(?:'d| would| might)? (?:normally |usually )?"
    r"(?:expect\w*|play|hear|have|put|find)|(?:you|we|one|i|everyone|everybody)(?:'d| would| might) (?:have )?"
    rf"expect(?:ed)?)(?: {THE})* $"
)
INSTEAD = pattern_of(rf"(?:instead|in place|in lieu) of(?: {THE})* ")
# Between the chord that is played and the one that it stands for: "B minor instead of B flat".
BESIDE = pattern_of(r"(?: chord)?(?: here| there| in (?:bar|measure) [\w-]+)?,? ")
# A chord that is told to be left by what stands after it: "where D7 ought to be".
LEFT_AFTER = pattern_of(
    r"(?: chord)? (?:should|ought to|would|might) (?:\w+ )?(?:be|have been|stand|sit|go)\b"
)
WHERE = pattern_of(rf"\bwhere(?: {THE})* $")
# What makes less of it: nobody has done it.
ONLY_MIGHT = pattern_of(
    r"\b(?:could|may|might|can|should|try|imagine|if|suppose|let's|maybe|perhaps|never|not|no|\w+n't|wanted|tempted"
    r"|thought|used to|next time)\b"
)
BY_TRITONE = pattern_of(
    r"(?:(?:the|its|our|a|an) )?(?:tritone[- ](?:sub\w*|swap|away)|substitute dominant|tritone away)(?: chord)?"
)
A_NAME = pattern_of(r"[a-g][b#]?(?![a-z])")
FARTHEST = 12  # characters between a chord and the words that it is a tritone away


def swap_claims(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[SymbolClaim]:
    """The claim that a chord which is named stands where another was to be expected.

    Args:
        sentence: what is said.
        every: the chords that it tells.
    """
    text = sentence.text
    chords = [each for each in every if each.sort in ("name", "step", "number")]
    ways = [(each, INSTEAD.match(text[: each.last], each.first)) for each in every]
    left = [replace(each, first=way.end()) for each, way in ways if way is not None]
    left += [each for each in chords if LEFT.search(text[: each.first])]
    left += [
        each for each in chords if WHERE.search(text[: each.first]) and LEFT_AFTER.match(text, each.last)
    ]
    named = [each for each in chords if each.sort == "name"]
    played = [each for each in named if left and each.first > left[0].last]
    beside = [way for _, way in ways if way is not None]
    played = played or [
        each for each in named if beside and BESIDE.fullmatch(text[each.last : beside[0].start()])
    ]
    if len(left) != 1 or len(played) != 1 or sentence.is_question:
        return
    goal, new = left[0], played[0]
    told = LEFT.search(text[: goal.first]) or WHERE.search(text[: goal.first])
    rest = text[: told.start() if told is not None else 0] + text[goal.last :]
    if ONLY_MIGHT.search(LEFT_AFTER.sub("", rest)):
        return
    tritone = [
        each
        for each in BY_TRITONE.finditer(text)
        if new.first - FARTHEST < each.end() and each.start() < new.last + FARTHEST
    ]
    expected = text[goal.first : goal.last] if A_NAME.match(text, goal.first) else ""
    said = replace(new, sort="function", fits=function_fits(expected)) if tritone else new
    first = min(new.first, *(each.start() for each in tritone)) if tritone else new.first
    last = max(new.last, goal.last if new.last < goal.first else 0, *(each.end() for each in tritone))
    yield SymbolClaim("symbol", first, last, SWAPPED, said=said, subject=new, role=SWAPPED)
