"""Beats that a sentence counts up, on which notes are struck: "on one, on the and of two, on four".

Common practice, no source. Each beat comes after the one before it, in the next bar where it has to. A bar that is
named and has nothing struck on one of them makes it false.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.score.model import Bar, Note
from lessonmaker.score.position import INSTANT, Span, format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["BeatLists", "beat_list_claims"]

COUNT = r"(?:one|two|three|four|five|six|seven|[1-7])"
OFF = rf"(?:the )?['\"]?(?:and|&|off-?beat|upbeat|second half)['\"]? (?:of|after) (?:beat )?(?P<off>{COUNT})"
IN_BAR = (
    rf"(?:,? (?:of|in) (?:(?P<next>the (?:next|following|second|other) (?:bar|measure|one))"
    rf"|(?:bar|measure) (?P<bar>{NUMBER})))?"
)
ITEM = (
    rf"(?P<on>on |at )?(?:{OFF}|(?P<down>the down-?beat|the bar ?-?line)|(?P<beat>beat )?(?P<on_beat>{COUNT})"
    rf"|the (?P<nth>{ORDINAL})(?: beat|(?=[,.;!?]|$| (?:and|of|in)\b)))(?![\w'-]){IN_BAR}"
)
BARE_ITEM = pattern_of(r"\(\?P<\w+>").sub("(?:", ITEM)
NEXT = r"(?:,? (?:and |then |and then |and again |again |plus )?(?:again )?|; )"
LIST = pattern_of(rf"(?<![\w'#-]){BARE_ITEM}(?:{NEXT}{BARE_ITEM}){{2,}}")
EACH_ITEM = pattern_of(ITEM)
OTHERS = pattern_of(
    r"\b(?:nothing|no|not|never|rests?|silen\w+|skips?|avoids?|leaves?|chords?|changes|bass|piano|drum\w*|snare|clap"
    r"|claps|tap|taps|count|counts|foot|hi-?hat|ride|band|accompan\w+|degrees?|scale|steps?|fingers?)\b"
)
# "The accent shifts each time: one, then the and of two".
ACCENTS = pattern_of(
    r"\b(?:accents?|stress(?:es)?|attacks?|hits?|groups?|cells?|figures?|shapes?|starts?|entr(?:y|ies))\b[^.;:]*[:,] $"
)


@dataclass(frozen=True)
class Beat:
    """A beat (from 1, halves between) in the next bar, in one that is numbered, or wherever it comes next."""

    at: Fraction
    is_in_next: bool
    bar: str


def beat_list_claims(sentence: Sentence) -> Iterator[Claim]:
    """The lists of beats of a sentence."""
    for match in LIST.finditer(sentence.text):
        items = list(EACH_ITEM.finditer(match[0]))
        sure = any(item["off"] or item["down"] or item["beat"] for item in items)
        told = items[0]["on"] or ACCENTS.search(sentence.text[: match.start()])
        if (sure and told) or all(item["on"] for item in items):
            yield Claim("beats", match.start(), match.end(), sure=False)


def _beats(text: str) -> list[Beat]:
    found: list[Beat] = []
    for item in EACH_ITEM.finditer(text):
        if item["off"]:
            at = number_of(item["off"]) + Fraction(1, 2)
        elif item["nth"]:
            at = Fraction(ordinal_of(item["nth"]))
        else:
            at = Fraction(number_of(item["on_beat"]) if item["on_beat"] else 1)
        bar = str(number_of(item["bar"])) if item["bar"] else ""
        found.append(Beat(at, bool(item["next"]), bar))
    return found


class BeatLists(Patterns):
    """Decides on which notes the beats of a list are."""

    def beats(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """The notes that are struck on the beats of a list."""
        if OTHERS.search(self.sentence.text) or self.sentence.is_question:
            return NOTHING
        beats = _beats(self.sentence.text[claim.first : claim.last])
        own = [place for place in scope.used if not claim.first <= place.first < claim.last]
        named = [place.spans for place in own if place.level == "bar" and len(place.spans) == 1]
        bars = [bar for bar in self.music.bars_in(named[-1] if named else self.spans) if bar.start >= 0]
        ways = [way for bar in bars if len(way := self.struck_on(beats, bar)) == len(beats)]
        ways = [way for way in ways if self.are_named(index, way)]
        ways = [way for way in ways if self.is_seen(Span(way[-1].onset, way[-1].onset + INSTANT))] or ways
        if len(ways) == 1 or (ways and beats[-1].at <= beats[0].at):
            return self.lit_row(ways[0])
        if ways or len(bars) != 1 or not named or HEDGED.search(self.sentence.text):
            return NOTHING
        missing = next((at for at in self.onsets_of(beats, bars[0]) if not self.music.struck_at(at)), None)
        if missing is None or not self.is_plain(claim, scope):
            return NOTHING
        at = format_position(self.music.score, missing)
        return self.is_false(claim, named[-1][0], f"has nothing struck at {at}")

    def onsets_of(self, beats: Sequence[Beat], bar: Bar) -> list[Fraction]:
        """When the beats of a list come, from a bar on; nothing where the bars that they name are not there."""
        found: list[Fraction] = []
        for before, beat in zip([None, *beats], beats, strict=False):
            later = list(self.music.score.bars[bar.index + 1 : bar.index + 2])
            if beat.bar:
                later = [each for each in self.music.score.bars if each.number == beat.bar]
            if beat.bar or beat.is_in_next or (before is not None and beat.at <= before.at):
                if not later:
                    return []
                bar = later[0]
            if beat.at >= bar.metre.beats + 1:
                return []
            found.append(bar.start + (beat.at - 1) * bar.metre.unit_quarters)
        return found

    def struck_on(self, beats: Sequence[Beat], bar: Bar) -> list[Note]:
        """The notes on the beats of a list, as far as there are any."""
        struck = [self.music.struck_at(at) for at in self.onsets_of(beats, bar)]
        return [notes[0] for notes in struck if notes]

    def are_named(self, index: int, notes: Sequence[Note]) -> bool:
        """Whether notes are all what is named before their beats, if anything is."""
        before = [at for at in range(index) if self.claims[at].kind in ("note", "degree")]
        return not before or all(note in self.options[before[-1]] for note in notes)
