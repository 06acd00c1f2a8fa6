"""Bars that another is only set beside: "bar eighteen is not bar two", "unlike bar two", "where bar two had a ninth".

What is said goes for the bar that is spoken of, and not for the one that it is likened to or told apart from; where
each has something of its own, "this one" is what is left of the bars in sight. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Context, Place, words_of_place
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["IS_NO_BAR", "is_set_beside", "this_one"]

# What a bar may be, or not be, of another: "is not quite a copy of bar two".
COPY = r"(?:an? |the )?(?:(?:exact|plain|mere|straight|literal) )?(?:copy|repeat|repetition|rerun|replay|twin|echo) of "
DENIED = (
    r"(?:(?:is|was|are|were|does|do)(?:n't| not)|'s not|(?:is|was|'s) (?:no(?: longer)?|never|hardly|anything but))"
    r"(?:,? (?:quite|exactly|really|just|simply|merely|only|at all|the same(?: thing)?|identical|repeat|copy|match"
    r"|resemble|follow|sound|look|start|begin|end|go|work|a?like|as|to|with|how))*"
)
ASIDE = (
    r"(?:unlike|(?:as )?compared? (?:with|to)|in (?:contrast|comparison|opposition) (?:to|with)|contrary to"
    r"|as opposed to|different(?:ly)? (?:from|to|than)|(?:differs?|departs?|deviates?|strays?) from|rather than"
    r"|as against)"
)
OF_IT = r"(?:(?:what (?:we|you|i) (?:had|did|got|heard|saw|played) in|that (?:in|of)|those (?:in|of)|the one in) )"
SET_BESIDE = pattern_of(
    rf"\b{ASIDE} (?:in |{COPY}|{OF_IT})?$|\b{DENIED} (?:{COPY}|{OF_IT}|(?:the|an?) (?:[a-z]+ ){{1,2}}of )?$"
    rf"|\b{DENIED}(?:(?<=like)|(?<=as)|(?<=to)|(?<=with)) in $"
)
# "Compare with bar four" asks to look at both.
ASKS = pattern_of(r"(?:^|[,;:] |\b(?:and|now|to|let's|please) )compare (?:with|to)(?: \w+){0,2} $")
# Where a number with which a part of a sentence opens is a bar, as it is set beside one: "eleven is not like bar four".
IS_NO_BAR = (
    r"(?:,? (?:though|however|then|by the way),?)?(?: (?:is|was)(?:n't| not| no longer| nothing)?|'s(?: not)?| differs"
    r"| departs| looks| sounds| starts| begins)(?: (?:quite|exactly|really|just|the same|much|almost|nearly|a|copy"
    r"|repeat|different))* (?:(?:like|as|from|than|of|to) )?(?:in )?(?:bar|measure)\b"
)
# A part of a sentence that says what another bar had.
WHERE = pattern_of(
    rf"(?:^\s*|[,;:] )(?:and |but |so |now )?(?:where|while|whereas|if)(?: in)? (?:bar|measure) {NUMBER}\b"
)
THIS_ONE = r"this (?:one|bar|measure|time)|here"
FEW = 4
"""So many bars that are left of those in sight may be "this one"."""


def is_set_beside(sentence: Sentence, place: Place) -> bool:
    """Whether a bar is named only as one that another is not, or that it is told apart from."""
    before = sentence.text[: place.first]
    named = place.level == "bar" and not place.pointed and bool(place.spans)
    return named and SET_BESIDE.search(before) is not None and ASKS.search(before) is None


def this_one(sentence: Sentence, context: Context, found: Sequence[Place]) -> Iterator[Place]:
    """The bar that is set beside another, where it is "this one" or "here": what is in sight without the other."""
    for match in words_of_place(THIS_ONE).finditer(sentence.text):
        bars = [place for place in found if place.level == "bar" and place.last <= match.start()]
        other = max(bars, key=lambda place: place.last, default=None)
        if other is None or len(bars) > 1:
            continue
        parted = pattern_of(r"[,;:]").search(sentence.text[other.last : match.start()]) is not None
        told = parted and any(
            where.end() == other.last for where in WHERE.finditer(sentence.text[: other.last])
        )
        if not (told or is_set_beside(sentence, other)):
            continue
        left = tuple(_left(context, other))
        few = len(context.music.bars_in(left)) <= FEW
        yield Place("bar", match.start(), match.end(), left if few else (), None, True)


def _left(context: Context, other: Place) -> Iterator[Span]:
    """What is left of the bars in sight without those of a place, each stretch by itself."""
    for is_other, bars in groupby(
        context.bars, key=lambda bar: any(span.start <= bar.start < span.end for span in other.spans)
    ):
        run = list(bars)
        if not is_other:
            yield Span(run[0].start, run[-1].end)
