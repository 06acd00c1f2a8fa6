"""Deciding which stretches are as alike as a sentence says.

Common practice, no source. What is said of two bars that are named is true, false, or too loose to tell; what
is said of "the same idea" is looked for in what the cue shows. One reading that the score bears out is meant.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, pairwise

from lessonmaker.analysis.words import number_words
from lessonmaker.score.position import Span, hull, parse_span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.again import Again, other_way
from lessonmaker.script.plain.again_words import repetition_in
from lessonmaker.script.plain.alike_facts import FALSE, TRUE, UNSURE, verdict
from lessonmaker.script.plain.alike_words import Comparison, comparison_in
from lessonmaker.script.plain.beside import Beside, runs_of_units, touch
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretch_words import Reference

__all__ = ["Alike"]

IS = pattern_of(r"(?:\w+'s|is|are|was)\b")
TURNED = {"reversed": "backwards", "inverted": "upside down"}
OF_NOTES = ("degree", "note", "set", "role", "scale", "symbol")
# What a copy has that is said to have its model's rhythm, or another one to its notes, and has not.
OTHERWISE = {"rhythm": "another rhythm than", "other rhythm": "other notes than"}


@dataclass(frozen=True)
class Pair:
    """A model and its copy, each as bars; `is_named` says that the sentence leaves no doubt of them."""

    model: Span
    copy: Span
    is_named: bool


# "This is the first bar with two chords in it"; what is said of all but some.
A_FIRST = pattern_of(r"\bis the (?:very )?(?:first|last|only) (?:bar|measure|one)$")
OF_A_KIND = pattern_of(r",? (?:with|that|where|in which|to|of)\b")
EXCEPT = pattern_of(r"\b(?:except|only (?:that|now|this time)|save (?:for|that)|but for)\b")


class Alike(Again):
    """Decides comparisons and repetitions."""

    def decide_alike(
        self, claims: Sequence[Claim], scopes: Sequence[Scope], others: Sequence[Claim]
    ) -> list[Decided]:
        """What comparisons and repetitions come to, beside the other claims of their sentence."""
        self.claims = others
        return [
            NOTHING if self.is_of_notes(claim) else self.alike(at, claim, scope)
            for at, (claim, scope) in enumerate(zip(claims, scopes, strict=True))
        ]

    def alike(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """What a comparison or a repetition comes to."""
        if claim.name == "repetition":
            again = repetition_in(self.sentence.text)
            return NOTHING if again is None else self.repeated(claim, again, scope)
        comparison = comparison_in(self.sentence.text)
        return NOTHING if comparison is None else self.compared(claim, comparison)

    def is_of_notes(self, claim: Claim) -> bool:
        """Whether it is notes or chords, named right before, that are said to be alike."""
        again = repetition_in(self.sentence.text) if claim.name == "repetition" else None
        if again is not None and again.is_of_a_figure:
            return False
        before = [other for other in self.claims if other.kind in OF_NOTES and other.last <= claim.first]
        between = self.sentence.text[before[-1].last : claim.first] if before else ","
        return not any(mark in between for mark in ",;:")

    # Which stretches ------------------------------------------------------------------------------------

    @property
    def bars_shown(self) -> list[Span]:
        """The bars that the cue shows, one by one."""
        bars = self.music.bars_in(self.spans)
        return [Span(bar.start, bar.end) for bar in bars if bar.start >= 0]

    def runs_of_bars(
        self, reference: Reference, length: int, beside: Reference | None = None
    ) -> list[list[Span]]:
        """What a reference may name, each as its bars.

        `length` is that of what it is compared with (0: unknown), which is `beside` it where it is named.
        """
        every, shown, count = self.music.full_bars, self.bars_shown, reference.count or 1
        found: list[list[Span]] = []
        match reference.kind:
            case "bars":
                found = [[span for number in reference.numbers for span in self.bar_numbered(number)]]
                found = [each for each in found if len(each) == len(reference.numbers)]
            case "start":
                found = [every[: reference.count or length or 1]]
            case "ordinal" | "nth":
                before = self.before or (Span(shown[0].start, shown[0].end) if shown else None)
                found = [_nth(bars, reference.nth, count, before) for bars in (shown, every)]
            case "before":
                firsts = [bars[0] for bars in (self.runs_of_bars(beside, 0) if beside else [shown]) if bars]
                found = [_before(every, first, reference.count or length or 1) for first in firsts]
            case "next":
                found = [bars[count : 2 * count] for bars in (shown, every)]
            case "group":
                found = [self.group_again(reference.nth) or _nth(shown, reference.nth, 1, None)]
            case "half" | "halves":
                halves = _halves(
                    [span for number in reference.numbers for span in self.bar_numbered(number)] or shown
                )
                found = [halves if reference.kind == "halves" else halves[reference.nth - 1 :][:1]]
            case "shown":
                found = [shown]
        return [each for each in found if each]

    def group_again(self, nth: int) -> list[Span]:
        """The group of a number (-1: the last) of the figure that comes again in what is shown."""
        runs = sorted((run for run, _ in self.runs_again(self.spans)), key=lambda run: -len(run.notes))
        if not runs or not 0 < abs(nth) <= len(runs[0].groups):
            return []
        group = runs[0].groups[nth - 1 if nth > 0 else -1]
        span = Span(group[0].onset, group[0].onset + runs[0].period)
        by_bars = runs[0].period % self.music.score.bars[group[0].bar].length == 0
        return [self.bars_of(Span(group[0].onset, group[-1].onset)) if by_bars else span]

    def bar_numbered(self, number: int) -> list[Span]:
        """The bar of a number, if there is one."""
        found = [bar for bar in self.music.score.bars if bar.number == str(number)]
        return [parse_span(self.music.score, str(number))] if found else []

    def alike_pairs(self, said: Comparison) -> Iterator[Pair]:
        """What a comparison may set beside each other, the likeliest first."""
        references = [each for each in said.references if each.kind != "shown"] or list(said.references)
        if said.order == "copies follow":
            yield from self.pairs_of_copies(said, references)
        elif said.order != "together" and len(references) > 1:
            yield from self.pairs_of_two(said, references)
        elif references and (self.is_together(said) or len(references) > 1):
            yield from self.pairs_together(references)
        elif references:
            yield from self.pairs_of_one(said, references[0])
        else:
            yield from self.pairs_in_sight(said)

    def pairs_of_copies(self, said: Comparison, references: Sequence[Reference]) -> Iterator[Pair]:
        """The bars in which a figure is said to come back, each beside its model: named first, or the bar before."""
        named = [each for each in references if each.first < said.first]
        bars = [
            bar
            for each in references
            if each not in named
            for run in self.runs_of_bars(each, 1)
            for bar in run
        ]
        before = [_before(self.music.full_bars, bars[0], 1)] if bars else []
        models = self.runs_of_bars(named[0], 1) if named else before
        if models and len(models[0]) == 1:
            yield from (Pair(models[0][0], each, bool(named)) for each in bars)

    def is_several(self, reference: Reference) -> bool:
        """Whether a reference names several bars that may be set beside each other."""
        return len(reference.numbers) > 1 or reference.kind == "halves" or reference.kind == "shown"

    def pairs_of_two(self, said: Comparison, references: Sequence[Reference]) -> Iterator[Pair]:
        """Two stretches that are named, in the order that the words for their likeness tell."""
        first, second = references[0], references[1]
        back = said.order == "model first" and second.first != said.first  # "where bar one comes back"
        model, copy = (first, second) if back else (second, first)
        lengths = [len(each.numbers) or each.count for each in (copy, model)]
        if model.kind == copy.kind == "before":
            return
        sure = all(
            each.kind not in ("ordinal", "nth", "group") or self.is_shown(each) for each in (copy, model)
        )
        for copies in self.runs_of_bars(copy, lengths[1], model):
            for models in self.runs_of_bars(model, lengths[0], copy):
                yield from (replace(pair, is_named=sure) for pair in _laid_beside(models, copies))

    def is_shown(self, reference: Reference) -> bool:
        """Whether a bar that is counted is one of those that the cue shows."""
        return bool(_nth(self.bars_shown, reference.nth, reference.count or 1, self.before))

    def pairs_together(self, references: Sequence[Reference]) -> Iterator[Pair]:
        """Bars that are said to be like each other: each with the first, or the two halves of a stretch."""
        ways = [self.runs_of_bars(each, 0) for each in references]
        if not all(ways):
            return
        bars = [span for way in ways for span in way[0]]
        if len(references) == 2:
            beside = [list(_laid_beside(one, other)) for one in ways[0] for other in ways[1]]
            yield from next(filter(None, beside), [])
        else:
            yield from (Pair(bars[0], each, is_named=True) for each in bars[1:])

    def pairs_of_one(self, said: Comparison, reference: Reference) -> Iterator[Pair]:
        """A stretch that is named beside one that is shown: its model where the words tell so."""
        lengths = [len(self.bars_shown)]
        if reference.kind == "start" and not reference.count:
            lengths += range(1, len(self.bars_shown))
        for bars in (each for length in lengths for each in self.runs_of_bars(reference, length) if each):
            named = Span(bars[0].start, bars[-1].end)
            model_first = said.order == "model first"
            is_model = (reference.first >= said.first) != model_first and not _is_next(reference)
            outside = not any(touch(each, named) for each in self.bars_shown)
            if outside or is_model:
                yield from self.copies_of(named, said, len(bars))
            else:
                yield from self.models_of(named, bars)
                if said.moved is not None and not model_first:
                    yield from (
                        replace(pair, is_named=False) for pair in self.copies_of(named, said, len(bars))
                    )

    def copies_of(self, model: Span, said: Comparison, length: int) -> Iterator[Pair]:
        """What is shown that may be a model's copy: surely meant where it is all, and pointed at."""
        if IS.match(self.sentence.text, said.first) and not self.says_it_again(said):
            return
        windows = [each for each in _windows(self.bars_shown, length) if not touch(each, model)]
        if said.order == "look back":
            yield from (Pair(each, model, is_named=False) for each in windows)
            return
        sure = self.says_it_again(said) or any(each.kind == "shown" for each in said.references)
        sure = sure and len(self.bars_shown) == length and said.order == "copy first"
        yield from (Pair(model, each, sure) for each in windows)

    def models_of(self, copy: Span, bars: Sequence[Span]) -> Iterator[Pair]:
        """What a stretch may be the copy of: what comes right before it, the opening, what is shown."""
        half = (bars[0].start - (copy.end - copy.start), bars[0].start)
        if len(bars) == 1 and self.is_half_of_bar(Span(*half), copy):
            yield Pair(Span(*half), copy, is_named=True)
            return
        before = _before(self.music.full_bars, bars[0], len(bars))
        others = [before, self.music.full_bars[: len(bars)], *_lists(self.bars_shown, len(bars))]
        spans = [Span(each[0].start, each[-1].end) for each in others if each]
        yield from (Pair(each, copy, is_named=False) for each in spans if not touch(each, copy))

    def says_it_again(self, said: Comparison) -> bool:
        """Whether what is shown is said to be it: "that's bar five again", not "the climax is bar five"."""
        text = self.sentence.text[: said.last]
        return bool(said.moved) or any(
            word in text
            for word in ("again", "it's", "that's", "this is", "same", "here ", "once more", "identical")
        )

    def pairs_in_sight(self, said: Comparison) -> Iterator[Pair]:
        """What is shown beside what comes right before it, its halves, and its bars one after the other."""
        shown = self.bars_shown
        if not shown:
            return
        whole, count = Span(shown[0].start, shown[-1].end), len(shown)
        if said.order == "together":  # "a two-bar model and its copy"
            middle = shown[count // 2].start
            if count % 2 == 0:
                yield Pair(Span(whole.start, middle), Span(middle, whole.end), is_named=False)
            return
        before = _before(self.music.full_bars, shown[0], count)
        if before:
            yield Pair(Span(before[0].start, before[-1].end), whole, is_named=False)
        if count % 2 == 0:
            middle = shown[count // 2].start
            yield Pair(Span(whole.start, middle), Span(middle, whole.end), is_named=False)
        if said.moved is not None and said.moved.interval:
            yield from (Pair(one, other, is_named=False) for one, other in combinations(shown, 2))

    def is_half_of_bar(self, first: Span, second: Span) -> bool:
        """Whether two stretches are the halves of a bar."""
        return any(first.start == bar.start and second.end == bar.end for bar in self.music.full_bars)

    # Comparisons ----------------------------------------------------------------------------------------

    def compared(self, claim: Claim, said: Comparison) -> Decided:
        """What a comparison comes to: its copy is lit where it is true, a fault where it is plainly false."""
        pairs = list(self.alike_pairs(said))
        found = {pair: self.pair_verdict(pair, said) for pair in pairs}
        true = sorted(
            (pair for pair in pairs if found[pair] == TRUE), key=lambda pair: self.pair_rank(pair, said)
        )
        several = self.is_together(said) or len({pair.copy for pair in pairs if pair.is_named}) > 1
        several = several or said.order == "copies follow"
        if several and true and len(true) == len(pairs):
            return self.lit_together(true)
        if said.order == "copies follow":
            return NOTHING
        if true and (
            true[0].is_named or not said.references or all(touch(true[0].copy, each.copy) for each in true)
        ):
            return self.lit_pair(true[0], said)
        named = all(pair.is_named and found[pair] == FALSE for pair in pairs)
        named = named and bool(said.references or said.order != "together")
        if said.is_hedged or said.is_loose or self.sentence.is_question or self.is_but_partly(claim):
            return NOTHING
        if not pairs or not named:
            return self.moved_otherwise(claim, said)
        beside = Beside.of(self.music, pairs[0].model, pairs[0].copy)
        return self.is_false(claim, pairs[0].copy, self.what_is_there(said, beside))

    def is_but_partly(self, claim: Claim) -> bool:
        """Whether something is excepted, or a bar is only the first of a kind: "the first bar with two chords"."""
        text = self.sentence.text
        first = A_FIRST.search(text[: claim.last]) and OF_A_KIND.match(text, claim.last)
        return bool(first or EXCEPT.search(text, claim.first))

    def moved_otherwise(self, claim: Claim, said: Comparison) -> Decided:
        """A fault where the two bars shown are a figure and its copy, moved another way or not as far as is said."""
        moved, shown = said.moved, self.bars_shown
        named = [bar for each in said.references for bars in self.runs_of_bars(each, 1) for bar in bars]
        far = moved is not None and moved.interval and moved.way
        if not far or moved is None or len(shown) != 2 or any(bar != shown[1] for bar in named):
            return NOTHING
        runs = [
            run
            for run in runs_of_units(self.music, Span(shown[0].start, shown[1].end))
            if len(run.groups) == 2
        ]
        does = other_way(moved, runs[0]) if runs else ""
        return (
            self.is_false(claim, shown[1], f"has the figure of the bar before, which {does}")
            if does
            else NOTHING
        )

    def pair_verdict(self, pair: Pair, said: Comparison) -> int:
        """Whether two stretches are as is said; what is only found has to be plainly alike."""
        beside = Beside.of(self.music, pair.model, pair.copy)
        wrong_way = said.moved is not None and said.moved.way * beside.moved < 0
        sure = pair.is_named or said.moved is None or (beside.is_alike and not wrong_way)
        return verdict(said, beside) if sure else UNSURE

    def is_together(self, said: Comparison) -> bool:
        """Whether a sentence speaks of several bars as alike, and of none as the model of another."""
        references = said.references
        several = len(references) == 1 and self.is_several(references[0]) and not said.moved
        several = several and references[0].last <= said.first
        return several or said.order == "together"

    def pair_rank(self, pair: Pair, said: Comparison) -> tuple[bool, bool, Fraction]:
        """The likeliest first: those that are named, then the longest of those that are just as is said."""
        length = pair.copy.end - pair.copy.start
        just_so = bool(said.moved) or not Beside.of(self.music, pair.model, pair.copy).changed
        return not pair.is_named, not just_so, -length if just_so else length

    def lit_together(self, pairs: Sequence[Pair]) -> Decided:
        """Light bars that are like each other."""
        all_ = {pairs[0].model, *(pair.copy for pair in pairs)}
        spans = sorted((span for span in all_ if self.is_seen(span)), key=lambda span: span.start)
        if not spans:
            return NOTHING
        if all(one.end == other.start for one, other in pairwise(spans)):
            return self.lit_span(hull(spans))
        return self.lit_row(
            [note for span in spans for note in self.music.struck_between(span.start, span.end)]
        )

    def lit_pair(self, pair: Pair, said: Comparison) -> Decided:
        """Light the copy, with its model where they stand side by side in sight."""
        if said.relation == "begins":
            beside = Beside.of(self.music, pair.model, pair.copy)
            if beside.begins_alike > 1 and self.is_seen(pair.copy):
                return self.lit_row(beside.copy[: beside.begins_alike])
        if said.relation in ("rhythm", "contour") and not said.references and self.is_seen(pair.model):
            return self.lit_together([pair])
        seen = [span for span in (pair.copy, pair.model) if self.is_seen(span)]
        if len(seen) > 1 and pair.model.end == pair.copy.start:
            return self.lit_span(Span(pair.model.start, pair.copy.end))
        return self.lit_span(seen[0]) if seen else NOTHING

    def what_is_there(self, said: Comparison, beside: Beside) -> str:
        """How the two are alike instead."""
        other = self.music.said(beside.model_span)
        if said.relation in OTHERWISE:
            return f"has {'the rhythm of' if beside.has_rhythm else OTHERWISE[said.relation]} {other}"
        if not beside.changed:
            return f"has the notes of {other} at the same height"
        if beside.semitones is not None:
            return f"has the notes of {other} {_semitones(beside.semitones)}"
        if said.relation in TURNED:
            return f"is not {other} {TURNED[said.relation]}"
        if said.moved is not None and said.moved.interval:
            way = "up" if said.moved.way > 0 else "down"
            return f"is not {other} {way} {_named(said.moved.interval)}"
        same = len(beside.pairs) - len(beside.changed)
        shared = f"{number_words(same)} of {number_words(len(beside.pairs))} notes" if same else "no note"
        return f"shares {shared} with {other}"


def _nth(bars: Sequence[Span], nth: int, count: int, before: Span | None) -> list[Span]:
    """So many bars from the first on, or the last (-1); 0 is what follows what was spoken of before."""
    if nth < 0:
        return list(bars[-count:])
    if nth == 0:
        after = [bar for bar in bars if before is not None and bar.start >= before.end]
        return after[:count]
    return list(bars[(nth - 1) * count : nth * count])


def _is_next(reference: Reference) -> bool:
    """Whether a bar is the one after what was spoken of, which is then its model: "same shape in the next bar"."""
    return reference.kind == "next" or (reference.kind == "ordinal" and reference.nth == 0)


def _halves(bars: Sequence[Span]) -> list[Span]:
    """The halves of a bar, or of so many bars that they fall into two."""
    if len(bars) > 1:
        half = len(bars) // 2
        ends = [(bars[0], bars[half - 1]), (bars[half], bars[-1])]
        return [Span(first.start, last.end) for first, last in ends] if len(bars) == 2 * half else []
    if not bars:
        return []
    middle = (bars[0].start + bars[0].end) / 2
    return [Span(bars[0].start, middle), Span(middle, bars[0].end)]


def _before(every: Sequence[Span], first: Span, count: int) -> list[Span]:
    """So many bars right before one."""
    earlier = [bar for bar in every if bar.end <= first.start]
    return earlier[-count:] if len(earlier) >= count else []


def _lists(bars: Sequence[Span], count: int) -> list[Sequence[Span]]:
    return [bars[at : at + count] for at in range(len(bars) - count + 1)]


def _windows(bars: Sequence[Span], count: int) -> list[Span]:
    return [Span(each[0].start, each[-1].end) for each in _lists(bars, count)]


def _laid_beside(models: Sequence[Span], copies: Sequence[Span]) -> Iterator[Pair]:
    """Stretches of one length beside each other as wholes; one bar beside each of several."""
    if not models or not copies:
        return
    if len(models) == len(copies):
        model, copy = (Span(each[0].start, each[-1].end) for each in (models, copies))
        if not touch(model, copy):
            yield Pair(model, copy, is_named=True)
    elif 1 in (len(models), len(copies)):
        yield from (Pair(model, copy, is_named=True) for model in models for copy in copies)


def _named(interval: str) -> str:
    return f"{'an' if interval[0] in 'ao' else 'a'} {interval}"


def _semitones(step: int) -> str:
    return f"{abs(step)} semitone{'s' if abs(step) > 1 else ''} {'higher' if step > 0 else 'lower'}"
