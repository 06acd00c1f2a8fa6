"""How many chords there are, how long each lasts and when they change: "two chords a bar", "four bars of F".

Common practice, no source: a chord that is only written again is the same chord. Chords are counted as they follow each
other, as different ones, or with a suspended dominant and its resolution as one; any of the three may be meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span, bars_in, format_span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName, chord_names
from lessonmaker.script.plain.chord_words import ROOT_NAME, ChordSaid, root_said, sounding
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.heard import Heard
from lessonmaker.script.plain.scope import BEFORE_IT, Scope
from lessonmaker.script.plain.symbols import Symbols
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import CARDINAL, ORDINAL

__all__ = ["ChordTimes", "changes_claims"]

COUNT = rf"(?P<count>{CARDINAL}|\d{{1,2}}|a single|a pair of|a couple of|a)"
BAR = r"(?:bars?|measures?)"
HARMONY = r"(?:harmony|harmonies|harmonic rhythm|chords?|changes|chord changes?)"
OF_CHORDS = pattern_of(rf"\b(?:{HARMONY}|roots?|dominants?|sevenths?|progression|cycle)\b")
PER_BAR = (
    rf"(?:each|apiece|(?:for|in|to) (?:each|every one) of (?:these|the|them|those)(?: \w+)??(?: {BAR})?|(?:a"
    rf"|per|to (?:a|the|each|every)|in (?:a|each|every)|every) {BAR})"
)
NOT_COUNTED = r"(?! (?:later|ago|away|further|down|up|lower|higher|tones?|symbols?|changes? (?:later|away)))"
# Before chords that are counted to say where something else is: "one shape through four chords".
UNPLACED = "".join(
    rf"(?<!{word} )" for word in ("through", "over", "the", "of", "for", "by", "on", "first", "last", "with")
)
GOES_THROUGH = "|".join(
    rf"(?<=\b{words} )" for words in ("go through", "goes through", "play over", "run through")
)
VERBS = (
    r"(?:changes?|changing|moves?|moving|turn(?:s|ing)? over|shifts?|shifting|switch(?:es|ing)?|goes|go"
    r"|come|comes|last|lasts)"
)
HOLDS = (
    r"(?:lasts?|lasting|holds?|is held|stays?(?: put)?|sits?(?: there| still)?|goes on|hangs? (?:around|on)"
    r"|runs?|takes?(?: up)?"
    r"|gets?|continues|fills?)"
)
WHOLE = r"(?:(?:whole|full|long|straight|solid|entire|good|more) )?"
LENGTH = rf"(?P<count>{CARDINAL}|\d{{1,2}}|an?|half an?) {WHOLE}(?P<unit>bars?|measures?|beats?)"
# A chord, named in full or by its root alone.
NAMED = rf"(?P<root>{ROOT_NAME}|(?<![\w'#])[a-g][b#]?(?=\d|m\d|maj|min))(?P<rest>[^.,;:!?]{{0,22}}?)"
# When a chord comes: on a beat that is called one, as "starts on the third" is said of the line.
COMES = r"(?:comes? in|arrives?|enters?|shows up|turns up|kicks in|appears?)"
BEGINS = rf"(?:chord )?(?:{COMES}|comes?|starts?|begins?|lands?|hits)"
ON_BEAT = (
    rf"(?:{BEGINS} (?:only |just |right )?(?:on|at) (?:beat (?P<beat>{CARDINAL}|\d)|the (?P<nth>{ORDINAL}) beat)"
    rf"|{COMES} (?:only |just |right )?on (?P<number>{CARDINAL}))"
)
# (what is said, how it is told).
ROWS: tuple[tuple[str, str], ...] = (
    (rf"only {BAR} (?:with|that has|to have|that gets) {COUNT} (?:different )?chords?", "only"),
    (
        rf"\b(?:every|each|both|all)(?: single)?(?: of)?(?: (?:the|these|those|our))?"
        rf"(?: (?:two|three|four))? {BAR}(?: here)?"
        rf" (?:has|have|gets?|holds?|takes?|brings?) {COUNT} (?:\w+ )?(?:chords?|changes)",
        "per bar",
    ),
    (rf"{COUNT} (?:\w+ )?(?:chords?|changes),? {PER_BAR}", "per bar"),
    (rf"(?P<often>once|twice|(?:{CARDINAL}) times) {PER_BAR}", "per bar"),
    (
        rf"{VERBS}(?: over)? (?:only |just )?(?:in |on )?every (?:(?:{COUNT}|half|other) )?(?P<unit>bars?"
        rf"|measures?|beats?)",
        "each",
    ),
    (
        rf"(?:on|for|takes?|gets?|lasts?|,) {LENGTH} (?:each|apiece|per chord|for each(?: chord| one)?"
        rf"|a chord)",
        "each",
    ),
    (rf"{LENGTH} (?:per|to (?:a|each|every)|for (?:each|every)|a|each) chord", "each"),
    (rf"(?:one |a )?(?:new )?chord (?:per|every|for every|for each) {LENGTH}", "each"),
    (
        rf"(?:harmony|chord|chords|changes)(?: just| only)? {VERBS}(?: over)?,? (?:right |exactly )?"
        rf"(?:half[- ]?way|mid-?way|in the middle)(?: through| of)?(?: (?:the|this|that|each|every) {BAR})?",
        "at",
    ),
    (rf"(?:each|every) (?:chord|one|of them)(?: here)? {HOLDS} (?:for )?{LENGTH}", "each"),
    (
        rf"(?:harmony|chord|chords|changes)(?: just"
        rf"| only)? {VERBS}(?: over)? (?:again )?(?:right )?on (?:beat |the )?(?P<beat>{CARDINAL}|\d"
        rf"|{ORDINAL})(?: beat)?(?! (?:chord|bar))",
        "at",
    ),
    (
        rf"(?:new chord|change of chord|chord change|change)(?: comes| arrives| is)? on (?:beat "
        rf"|the )?(?P<beat>{CARDINAL}|\d|{ORDINAL})(?: beat)?",
        "at",
    ),
    (
        rf"{HARMONY} (?:just |simply |really )*(?:sits?|stays?|stands?|holds?) (?:still|put|the same"
        rf"|in one place)",
        "still",
    ),
    (
        rf"{HARMONY} (?:do(?:es)?n't|does not|do not|never) (?:really )?(?:move|change|budge|go anywhere)",
        "still",
    ),
    (r"nothing (?:changes|moves)(?! in the (?:line|rhythm|melody))", "still"),
    (
        r"(?<!\w)no (?:chord )?changes?(?: of chord)?(?: at all)?(?= (?:in|for|over|here|across)\b|[.,;!?])"
        r"|static harmony",
        "still",
    ),
    (
        rf"{HARMONY}[^.,;:]{{0,25}} (?:twice as fast|at twice the (?:speed|rate)|faster|quicker|doubles?"
        rf"|doubling|speeds? up|quickens?|picks? up)",
        "faster",
    ),
    (
        rf"{HARMONY}[^.,;:]{{0,25}} (?:half as fast|slower|slows? down|relax(?:es)?|stretch(?:es)? out"
        rf"|broadens?)",
        "slower",
    ),
    (rf"{NAMED} {ON_BEAT}", "enters"),
    (rf"{LENGTH} (?:of|on) (?:the |that |an? )?{NAMED}(?![\w'#])", "lasts"),
    (
        rf"{NAMED},? (?:and it )?(?:just )?(?:{HOLDS} )?(?:for |over |across )(?:the (?:next|first|last"
        rf"|whole) |all )?{LENGTH}",
        "lasts",
    ),
    (rf"{NAMED} {HOLDS} {LENGTH}", "lasts"),
    (
        rf"(?:{UNPLACED}|{GOES_THROUGH})\b(?:(?P<count>{CARDINAL}|\d{{1,2}}) (?:different |separate )?chords"
        rf"|(?:just|only) (?:the |a )?(?:one|single) chord|a single chord)(?![\w-]){NOT_COUNTED}(?! (?:a"
        rf"|per) )",
        "count",
    ),
)
WORDS = tuple((pattern_of(rf"(?<![\w#-]){pattern}(?!\w)"), name) for pattern, name in ROWS)
ONCE = {"once": 1, "twice": 2}
# Before a chord over which something else lasts: "the flat nine over A flat seven lasts two beats".
OF_A_NOTE = pattern_of(
    r"\b(?:notes?|root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen"
    r"|(?:the|that|this|an?) [a-g](?: flat| sharp)?)"
    r"(?: [a-z']+){0,3}? (?:for|gets|has|lasts|takes)(?: (?:a|about|just|only|all))? $"
)
OF_IT = pattern_of(
    r"\b(?:note|root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen|five"
    r"|seven|six|four)"
    r" (?:of|over|on|above|against)(?: the| that| this| our)? $"
)
# What a note does to a chord, before it lasts itself: "G sharp opens the E seven bar and lasts two beats".
DONE_BY = pattern_of(
    r"\b(?!is\b|was\b)[a-z]+s (?:(?:in|on|over|to|into|against|with|off) )?(?:the|that|this|our|its|an?) $"
)
# What it does for so long is not that it sounds: "E flat seven waits for a beat".
NOT_LASTING = pattern_of(
    r"\b(?:waits?|rests?|pauses?|stops?|breathes?|starts?|begins?|(?:is|stays) (?:quiet|silent))\b"
)
AND_IT = pattern_of(r",? and\b")
BESIDES = pattern_of(
    rf"\b(?:(?P<bars>{CARDINAL}|\d{{1,2}}) {BAR} (?:and|with|but|on)(?: \w+)? $|{BAR}|here|these|this|that's"
    rf"|there(?:'s| are| is)"
    r"|i count|we (?:have|get)|you (?:have|get)|only|just|got|has|have|gets|holds|contains|packs(?: in)?)\b"
)
ONLY = pattern_of(r"\b(?:only|just|different|nothing but|no more than|the same)\b")
IN_BARS = pattern_of(
    rf" (?:in|over|across|for|to|spread over|on) (?:the |these |those |all )?(?P<bars>{CARDINAL}|\d{{1,2}}) {BAR}\b"
)
IN_THIS_BAR = pattern_of(rf" (?:in|on|for) (?:this|that) (?:one )?{BAR}\b")  # one of those in sight
THEN_OTHERS = pattern_of(
    rf",? (?:and )?(?:then|before|until) (?:it's |we get )?(?:{CARDINAL}|\d|half|twice|double)\b"
)
BUT_THE_LAST = pattern_of(
    r",? (?:until|up to|except(?: for| in)?|but for|apart from|all but) the (?:very )?last\b"
)
HERE = pattern_of(
    r"\b(?:here|these|this|that's|there(?:'s| are| is)|now|every|each|i count|we have|we get)\b"
)


@dataclass(frozen=True)
class ChangesClaim(Claim):
    """A claim of how many chords there are, or when or how long they are; `count` -1: every so many, in `length`.

    `unit` is "bar" or "beat", `length` how many of them; `said` the chord that lasts.
    """

    unit: str = ""
    length: Fraction = Fraction(0)
    said: ChordSaid | None = None


def changes_claims(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[ChangesClaim]:
    """What a sentence says of the number and the length of chords.

    Args:
        sentence: what is said.
        every: the chords that it tells.
    """
    taken: list[tuple[int, int]] = []
    for pattern, name in WORDS:
        for match in pattern.finditer(sentence.text):
            claim = _claim_of(sentence, name, match, every)
            if claim is not None and not any(
                claim.first < last and first < claim.last for first, last in taken
            ):
                taken.append((claim.first, claim.last))
                yield claim


def _claim_of(
    sentence: Sentence, name: str, match: re.Match[str], every: Sequence[ChordSaid]
) -> ChangesClaim | None:
    """The claim of a row's words, unless they are not of chords."""
    groups = match.groupdict()
    said = _named(sentence, match, every) if name in ("lasts", "enters") else None
    before = sentence.text[: match.start()]
    of_another = (
        OF_IT.search(before) or OF_A_NOTE.search(before) or NOT_LASTING.search(groups.get("rest") or "")
    )
    if name == "lasts" and of_another:
        return None
    if name == "lasts" and DONE_BY.search(before) and AND_IT.search(match[0]):
        return None
    if name in ("lasts", "enters") and said is None:
        return None
    if name in ("per bar", "each") and not OF_CHORDS.search(sentence.text):
        return None
    if name == "count" and not (
        BESIDES.search(sentence.text[: match.start()])
        or IN_BARS.match(sentence.text, match.end())
        or BESIDES.search(sentence.text[match.end() :])
    ):
        return None
    often = groups.get("often")
    if name == "count" and not groups.get("count"):
        groups["count"] = "one"
    number = ONCE.get(often) or number_said(often.split()[0]) if often else _number(groups.get("count"))
    beat = groups.get("beat") or groups.get("nth") or groups.get("number")
    count = number_said(beat) if beat else int(number)
    unit = "beat" if (groups.get("unit") or "").startswith("beat") else "bar"
    if name == "each" and not groups.get("count"):
        number = Fraction(1, 2) if "half" in match[0] else 2 if "other" in match[0] else 1
    last = max(match.end(), said.last) if said is not None else match.end()
    return ChangesClaim(
        "changes", match.start(), last, name, count=count, unit=unit, length=Fraction(number), said=said
    )


def _number(text: str | None) -> Fraction:
    if text is None:
        return Fraction(0)
    if text.startswith("half"):
        return Fraction(1, 2)
    if text in ("a pair of", "a couple of"):
        return Fraction(2)
    return Fraction(1 if text in ("a", "an", "a single") else number_said(text))


def _is_where(before: str) -> bool:
    """Whether a chord is named right after some words to say where a note is."""
    return bool(
        pattern_of(r"\b(?:of|over|against|above|under|through) (?:the |that |this |our |an? )?$").search(
            before
        )
    )


def _named(sentence: Sentence, match: re.Match[str], every: Sequence[ChordSaid]) -> ChordSaid | None:
    """The chord that a match names, in full or by its root."""
    first = match.start("root")
    if _is_where(sentence.text[: match.start("root")]) and match.start() == match.start("root"):
        return None  # "the third of D seven lasts a full beat"
    for each in every:
        if each.first == first and each.sort == "name":
            whole = each.last <= match.end() + len(" seven flat nine")
            return each if whole else None
    is_note = match["rest"].strip() not in ("", "chord", "major", "minor") or "beat" in (
        match.groupdict().get("unit") or "beat"
    )
    if (
        is_note
        or pattern_of(r"\b(?:the|that|this|of) $").search(sentence.text[:first])
        or sentence.is_article(match, "root")
    ):
        return None
    root = root_said(match["root"])
    return ChordSaid(
        first, match.end("root"), "name", lambda each, harmony: sounding(root, harmony) in each.roots
    )


class ChordTimes(Symbols):
    """Decides how many chords there are, how long they last and when they change."""

    def changes(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The bars whose chords are as many, or last as long, as is said."""
        assert isinstance(claim, ChangesClaim)  # as changes_claims makes them
        deciders = {
            "count": self.chord_count,
            "per bar": self.chords_per_bar,
            "each": self.each_lasts,
            "at": self.changes_at,
            "still": self.stands_still,
            "faster": self.moves_faster,
            "slower": self.moves_faster,
            "lasts": self.chord_lasts,
            "only": self.only_bar,
            "enters": self.enters_on,
        }
        return deciders[claim.name](claim, scope)

    def bars_meant(self, scope: Scope) -> list[Bar]:
        """The bars that are spoken of."""
        bars = [bar for span in self.chord_stretches(scope) for bar in bars_in(self.music.score, span)]
        return [self.music.score.bars[bar] for bar in dict.fromkeys(bars)]

    def lit_bars_of(self, bars: Sequence[Bar]) -> Decided:
        """Light some bars in a row."""
        return self.lit_stretch(Span(bars[0].start, bars[-1].end))

    def not_so(self, claim: Claim, scope: Scope, bars: Sequence[Bar], there: str, todo: str) -> Decided:
        """A fault, where it is said of bars that are named, or shown and pointed at."""
        pointed = scope.explicit or len(bars) == 1 or HERE.search(self.sentence.text)
        if (
            not pointed
            or not self.is_certain(claim, scope)
            or (scope.explicit and len(scope.spans) > 1 and not scope.each)
        ):
            return NOTHING
        span = Span(bars[0].start, bars[-1].end)
        what = f"“{self.sentence.words(claim.first, claim.last)}”: {self.told_of(span, there)}"
        return Decided(None, format_span(self.music.score, span), (), what, todo)

    # How many -------------------------------------------------------------------------------------------

    def numbers_of(self, chords: Sequence[Heard]) -> set[int]:
        """How many some chords may be called as they follow each other, or by their roots."""
        roots = [root for root, _ in groupby(chords, key=lambda each: each.root)]
        return {len(chords), len(roots)}

    def chord_count(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """So many chords in some bars."""
        bars = self.bars_meant(scope)
        said = IN_BARS.match(self.sentence.text, claim.last) or pattern_of(
            rf"\b(?P<bars>{CARDINAL}|\d{{1,2}}) {BAR}\b[^.;:]*$"
        ).search(self.sentence.text[: claim.first])
        after = BEFORE_IT.search(self.sentence.text[: claim.first])
        named = any(place.level == "bar" for place in self.places)
        others = said is not None and not named and number_said(said["bars"]) not in (len(bars), 0)
        elsewhere = len(bars) > 1 and IN_THIS_BAR.match(self.sentence.text, claim.last)
        if not bars or after or others or elsewhere:
            return NOTHING
        chords = self.chords_in(scope)
        different = len({each.chord for each in chords})
        numbers = self.numbers_of(chords) | ({different} if ONLY.search(self.sentence.text) else set())
        if claim.count in numbers:
            return self.lit_bars_of(bars)
        listed = not scope.explicit and len(self.names_after(claim)) >= max(claim.count, 2)
        if claim.count == different or listed:
            return NOTHING
        return self.not_so(claim, scope, bars, f"has {self.harmony.said(chords)}", "say how many there are")

    def names_after(self, claim: ChangesClaim) -> list[ChordName]:
        """The chords that are named after a claim, each once."""
        names = [name for name in chord_names(self.sentence) if name.first >= claim.last]
        return list({(name.root, name.families): name for name in names}.values())

    def chords_per_bar(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """So many chords in each of some bars."""
        bars = self.bars_meant(scope)
        if BUT_THE_LAST.match(self.sentence.text, claim.last):
            bars = bars[:-1]
        others = [bar for bar in bars if claim.count not in self.numbers_of(self.chords_of(bar))]
        if (
            not bars
            or (len(bars) < 2 and not scope.explicit)
            or THEN_OTHERS.match(self.sentence.text, claim.last)
        ):
            return NOTHING
        if not others:
            return self.lit_bars_of(bars)
        there = f"has {self.harmony.said(self.chords_of(others[0]))}"
        return self.not_so(claim, scope, others[:1], there, "say it of the bars of which it is so")

    def chords_of(self, bar: Bar) -> tuple[Heard, ...]:
        """The chords of a bar."""
        return self.harmony.within(Span(bar.start, bar.end))

    def only_bar(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """The only bar of those in sight with so many chords."""
        shown = self.music.bars_in(self.spans)
        found = [bar for bar in shown if len(self.chords_of(bar)) == claim.count]
        meant = self.bars_meant(scope) if scope.explicit else found
        if found == meant and len(found) == 1:
            return self.lit_bars_of(found)
        numbers = ", ".join(bar.number for bar in found) or "none"
        return (
            self.not_so(claim, scope, meant or shown, f"is not the only one: {numbers}", "say which bars")
            if found
            else NOTHING
        )

    # How long -------------------------------------------------------------------------------------------

    def each_lasts(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """Each chord of some bars lasts so many bars or beats."""
        bars = self.bars_meant(scope)
        chords = self.harmony.within(Span(bars[0].start, bars[-1].end)) if bars else []
        others = [each for each in chords if self.lengths_of(each, claim.unit).isdisjoint({claim.length})]
        if len(chords) < 2:
            return NOTHING
        if not others:
            return self.lit_bars_of(bars)
        there = f"has {others[0].text} for {self.long(others[0])}"
        return self.not_so(claim, scope, bars, there, "say how long they are")

    def lengths_of(self, each: Heard, unit: str) -> set[Fraction]:
        """How many bars or beats a chord lasts, in all and in sight."""
        return {self.measured(span, unit) for span in (each.span, *self.shown_of(each.span))}

    def shown_of(self, span: Span) -> list[Span]:
        """The parts of a span that the cue shows."""
        parts = (Span(max(span.start, shown.start), min(span.end, shown.end)) for shown in self.spans)
        return [part for part in parts if part.start < part.end]

    def measured(self, span: Span, unit: str) -> Fraction:
        """A span in bars or in beats of the bar that it begins in."""
        bar = self.music.score.bars[bars_in(self.music.score, span)[0]]
        return (span.end - span.start) / (bar.metre.unit_quarters if unit == "beat" else bar.length)

    def long(self, each: Heard) -> str:
        """How long a chord lasts, in words."""
        bars = self.measured(each.span, "bar")
        if bars.denominator == 1:
            return f"{bars} bar{'s' if bars > 1 else ''}"
        return f"{self.measured(each.span, 'beat')} beats"

    def chord_lasts(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """One chord that lasts so many bars or beats."""
        assert claim.said is not None
        fitting = [each for each in self.chords_in(scope) if claim.said.fits(each, self.harmony)]
        runs = self.runs_of(fitting)
        found = [run for run in runs if claim.length in self.run_lengths(run, claim.unit)]
        if len(found) == 1:
            return self.lit_chords(found[0])
        if not runs and claim.said.sort == "name":
            return self.never_lasts(claim, scope)
        if len(runs) != 1 or found:
            return NOTHING
        whole = Span(runs[0][0].span.start, runs[0][-1].span.end)
        there = f"it lasts {self.measured(whole, claim.unit)} {claim.unit}s, {format_span(self.music.score, whole)}"
        words = self.sentence.words(claim.first, claim.last)
        if not self.is_certain(claim, scope):
            return NOTHING
        return Decided(
            None, format_span(self.music.score, whole), (), f"“{words}”: {there}", "say how long it lasts"
        )

    def never_lasts(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """A fault where bars that are just as many as a chord is said to last have another one."""
        spans, chords = self.chord_stretches(scope), self.chords_in(scope)
        bars = bars_in(self.music.score, spans[0]) if len(spans) == 1 else ()
        whole = claim.unit == "bar" and len(bars) == claim.length and len(chords) == 1
        if not whole or not self.is_certain(claim, scope):
            return NOTHING
        words, span = self.sentence.words(claim.first, claim.last), spans[0]
        there = self.told_of(span, f"has {self.harmony.said(chords)}")
        return Decided(
            None, format_span(self.music.score, span), (), f"“{words}”: {there}", "say which chord lasts"
        )

    def runs_of(self, chords: Sequence[Heard]) -> list[list[Heard]]:
        """Chords that follow each other, run by run."""
        runs: list[list[Heard]] = []
        for each in chords:
            if runs and runs[-1][-1].index == each.index - 1:
                runs[-1].append(each)
            else:
                runs.append([each])
        return runs

    def run_lengths(self, run: Sequence[Heard], unit: str) -> set[Fraction]:
        """How many bars or beats chords in a row last, in all and in sight."""
        whole = Span(run[0].span.start, run[-1].span.end)
        return {self.measured(span, unit) for span in (whole, *self.shown_of(whole))}

    def stands_still(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """Bars through which one chord lasts."""
        bars, chords = self.bars_meant(scope), self.chords_in(scope)
        if not bars or not chords:
            return NOTHING
        if len(chords) == 1:
            return self.lit_bars_of(bars)
        return self.not_so(
            claim, scope, bars, f"has {self.harmony.said(chords)}", "say where it stands still"
        )

    # When -----------------------------------------------------------------------------------------------

    def changes_at(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """The bar whose chord changes on a beat."""
        bars = self.bars_meant(scope)
        found = [bar for bar in bars if (claim.count or self.middle(bar)) in self.beats_changed(bar)]
        if len(found) == 1:
            return self.lit_bars_of(found)
        if found or len(bars) != 1:
            return NOTHING
        beats = [str(beat) for beat in self.beats_changed(bars[0]) if beat != 1]
        there = f"changes on beat {' and '.join(beats)}" if beats else "has one chord"
        return self.not_so(claim, scope, bars, there, "say on which beat it changes")

    def middle(self, bar: Bar) -> Fraction:
        """The beat in the middle of a bar."""
        return 1 + bar.length / bar.metre.unit_quarters / 2

    def enters_on(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """A chord that is named, which begins on a beat."""
        assert claim.said is not None
        bars = self.bars_meant(scope)
        fitting = [each for each in self.chords_in(scope) if claim.said.fits(each, self.harmony)]
        own = [(bar, each) for bar in bars for each in fitting if bar.start <= each.span.start < bar.end]
        found = [each for bar, each in own if self.beat_of(bar, each) == claim.count]
        if len(found) == 1:
            return self.lit_chords(found)
        if found or len(own) != 1 or len(fitting) != 1:
            return NOTHING
        bar, each = own[0]
        if claim.count in self.beats_of_line(bar, each):
            return NOTHING  # "comes in on beat two with its ninth", after a rest
        there = f"has {each.text} from beat {self.beat_of(bar, each)}"
        return self.not_so(claim, scope, [bar], there, "say on which beat it begins")

    def beat_of(self, bar: Bar, each: Heard) -> Fraction:
        """The beat of a bar on which a chord begins."""
        return 1 + (each.span.start - bar.start) / bar.metre.unit_quarters

    def beats_of_line(self, bar: Bar, each: Heard) -> set[Fraction]:
        """The beat of a bar on which the line comes in over a chord."""
        notes = self.music.struck_between(each.span.start, each.span.end)
        return {1 + (note.onset - bar.start) / bar.metre.unit_quarters for note in notes[:1]}

    def beats_changed(self, bar: Bar) -> list[Fraction]:
        """The beats of a bar on which a chord begins."""
        return [self.beat_of(bar, each) for each in self.chords_of(bar) if bar.start <= each.span.start]

    def moves_faster(self, claim: ChangesClaim, scope: Scope) -> Decided:
        """Bars with more chords, or with fewer, than the others in sight."""
        bars = self.bars_meant(scope)
        shown = self.music.bars_in(self.spans)
        others = [bar for bar in shown if bar not in bars]
        if not others or not scope.spans:
            return NOTHING
        here, there = (sum(map(len, map(self.chords_of, some))) / len(some) for some in (bars, others))
        if here > there if claim.name == "faster" else here < there:
            return self.lit_bars_of(bars)
        return self.not_so(
            claim,
            scope,
            bars,
            "has no more chords a bar" if claim.name == "faster" else "has no fewer",
            "say where the chords move faster or slower",
        )
