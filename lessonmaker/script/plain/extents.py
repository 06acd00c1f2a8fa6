"""How long a phrase is said to be: "the first phrase is two bars long", "the second runs from bar three to bar six".

Common practice, no source. Where phrases part is a matter of hearing: what does not fit is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.analysis.model import Phrase
from lessonmaker.score.position import INSTANT, Span, bars_in, format_span, whole_bars
from lessonmaker.script.model import Mention
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.decided import NOTHING, Common, Decided
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import CARDINALS, NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["Extents", "extent_claims"]

FEW = "|".join(sorted(CARDINALS, key=len, reverse=True))
NTH = r"(?:(?P<nth>first|opening|second|third|fourth|next|last|closing|final) )?"
A_BAR = rf"(?:bar|measure) ({NUMBER})|the ({ORDINAL}) (?:bar|measure)"
LASTS = (
    r"(?:is|lasts|spans|covers|takes|takes up|fills|runs for|goes on for|stretches over)"
    r"(?: (?:only|just|exactly|all))*"
)
LONG = re.compile(
    rf"\b{NTH}phrase,?(?: which)? {LASTS} (?P<count>{FEW}|\d{{1,2}}) (?:full |whole )?(?:bars|measures)\b"
)
OF_BARS = re.compile(
    rf"\b{NTH}(?:long )?(?:(?P<count>{FEW})-(?:bar|measure) phrase|phrase of (?P<count2>{FEW}) (?:bars|measures))\b"
)
FROM_TO = re.compile(
    rf"\b{NTH}phrase,?(?: which)? (?:runs|goes|stretches|lasts|extends|is) (?:all the way )?from (?:{A_BAR})"
    rf" (?:to|through|until) (?:the [\w ]{{1,20}} (?:in|of) )?"
    rf"(?:(?:bar|measure) ({NUMBER})|the ({ORDINAL})(?: (?:bar|measure))?)"
)
NUMBERS = {"opening": 1, "next": 0, "last": -1, "closing": -1, "final": -1}


def extent_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of the length of a phrase: as a count of bars, or as its first and last."""
    for match in FROM_TO.finditer(sentence.text):
        ends = tuple(group for group in match.groups()[1:] if group)
        yield Claim("extent", match.start(), match.end(), names=ends, which=_which(match["nth"]), sure=False)
    for pattern in (LONG, OF_BARS):
        for match in pattern.finditer(sentence.text):
            count = next(filter(None, (match.groupdict().get(name) for name in ("count", "count2"))))
            which, number = _which(match["nth"]), number_said(count)
            yield Claim("extent", match.start(), match.end(), which=which, count=number, sure=False)


def _which(nth: str | None) -> int:
    return 0 if nth is None else NUMBERS[nth] if nth in NUMBERS else ordinal_of(nth)


class Extents(Common):
    """Decides which phrases are as long as is said."""

    def extent(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The bars of the one phrase that is as long, or lies where, a sentence says."""
        del scope
        spans = [self.bars_of_phrase(phrase) for phrase in self.phrases_said(claim)]
        found = [span for span in spans if self.fits(claim, span)]
        if len(set(found)) != 1:
            return NOTHING
        target = format_span(self.music.score, found[0])
        return Decided(Mention("span", found[0], (), target=target), target)

    def phrases_said(self, claim: Claim) -> list[Phrase]:
        """The phrases that begin in what the cue shows; those with the number that is said, from there or of all."""
        every, notes = self.music.analysis.phrases, self.music.struck_by_id
        shown = [
            each
            for each in every
            if self.is_seen(Span(each.span.start, notes[each.notes[0]].onset + INSTANT))
        ]
        if not claim.which:
            return shown
        at = claim.which if claim.which < 0 else claim.which - 1
        return [some[at] for some in (shown, list(every)) if -len(some) <= at < len(some)]

    def bars_of_phrase(self, phrase: Phrase) -> Span:
        """The bars from a phrase's first note to its last."""
        notes = self.music.struck_by_id
        first, last = notes[phrase.notes[0]], notes[phrase.notes[-1]]
        return whole_bars(self.music.score, range(first.bar, last.bar + 1))

    def fits(self, claim: Claim, span: Span) -> bool:
        """Whether some bars are as many, or those, that a claim says."""
        bars = [self.music.score.bars[bar].number for bar in bars_in(self.music.score, span)]
        if not claim.names:
            return len(bars) == claim.count
        first, last = (
            number_of(text) if re.fullmatch(NUMBER, text) else ordinal_of(text) for text in claim.names
        )
        return (bars[0], bars[-1]) == (str(first), str(last))
