"""Deciding which stretches are as alike as a sentence says, and which figure comes again as it says.

Common practice, no source. What is said of two bars that are named is true, false, or too loose to tell; what is
said of "the same idea" is looked for in what the cue shows. One reading that the score bears out is meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.analysis.device_names import DeviceName
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, parse_span
from lessonmaker.script.candidates import device_candidates
from lessonmaker.script.plain.again_words import Repetition, repetition_in
from lessonmaker.script.plain.alike_words import Comparison, comparison_in
from lessonmaker.script.plain.beside import OCTAVE, Beside, Run, runs_of_units
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.likeness import mostly_in
from lessonmaker.script.plain.line_shapes import interval_sizes
from lessonmaker.script.plain.moved_words import Moved
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretch_words import Reference

__all__ = ["Alike"]

IS = re.compile(r"(?:is|are|'s|was)\b")
LOOSE = 1  # semitones by which an interval that stays in the key may differ
TRUE, UNSURE, FALSE = 1, 0, -1
STAFF_STEPS = {
    "step": 1,
    "second": 1,
    "third": 2,
    "fourth": 3,
    "fifth": 4,
    "sixth": 5,
    "seventh": 6,
    "octave": 7,
}
TURNED = {"reversed": "backwards", "inverted": "upside down"}
OF_NOTES = ("degree", "note", "set", "role", "scale", "symbol")


@dataclass(frozen=True)
class Pair:
    """A model and its copy, each as bars; `is_named` says that the sentence leaves no doubt of them."""

    model: Span
    copy: Span
    is_named: bool


class Alike(Patterns):
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
        before = [other for other in self.claims if other.kind in OF_NOTES and other.last <= claim.first]
        between = self.sentence.text[before[-1].last : claim.first] if before else ","
        return not any(mark in between for mark in ",;:")

    # Which stretches ------------------------------------------------------------------------------------

    @property
    def shown(self) -> list[Span]:
        """The bars that the cue shows, one by one."""
        score = self.music.score
        bars = [score.bars[bar] for span in self.spans for bar in bars_in(score, span)]
        return [Span(bar.start, bar.end) for bar in bars if bar.start >= 0]

    @property
    def every(self) -> list[Span]:
        """All full bars, one by one."""
        return [Span(bar.start, bar.end) for bar in self.music.score.bars if bar.start >= 0]

    def runs_of_bars(
        self, reference: Reference, length: int, beside: Reference | None = None
    ) -> list[list[Span]]:
        """What a reference may name, each as its bars.

        `length` is that of what it is compared with (0: unknown), which is `beside` it where it is named.
        """
        every, shown, count = self.every, self.shown, reference.count or 1
        found: list[list[Span]] = []
        match reference.kind:
            case "bars":
                found = [[span for number in reference.numbers for span in self.numbered(number)]]
                found = [each for each in found if len(each) == len(reference.numbers)]
            case "start":
                found = [every[: reference.count or length or 1]]
            case "ordinal" | "nth":
                found = [_nth(bars, reference.nth, count, self.before) for bars in (shown, every)]
            case "before":
                firsts = [bars[0] for bars in (self.runs_of_bars(beside, 0) if beside else [shown]) if bars]
                found = [_before(every, first, reference.count or length or 1) for first in firsts]
            case "next":
                found = [bars[count : 2 * count] for bars in (shown, every)]
            case "half" | "halves":
                halves = _halves(shown)
                found = [halves if reference.kind == "halves" else halves[reference.nth - 1 :][:1]]
            case "shown":
                found = [shown]
        return [each for each in found if each]

    def numbered(self, number: int) -> list[Span]:
        """The bar of a number, if there is one."""
        found = [bar for bar in self.music.score.bars if bar.number == str(number)]
        return [parse_span(self.music.score, str(number))] if found else []

    def pairs(self, said: Comparison) -> Iterator[Pair]:
        """What a comparison may set beside each other, the likeliest first."""
        references = [each for each in said.references if each.kind != "shown"] or list(said.references)
        if said.order != "together" and len(references) > 1:
            yield from self.pairs_of_two(said, references)
        elif any(self.is_several(each) for each in references) or len(references) > 1:
            yield from self.pairs_together(references)
        elif references:
            yield from self.pairs_of_one(said, references[0])
        else:
            yield from self.pairs_in_sight(said)

    def is_several(self, reference: Reference) -> bool:
        """Whether a reference names several bars that may be set beside each other."""
        return len(reference.numbers) > 1 or reference.kind == "halves" or reference.kind == "shown"

    def pairs_of_two(self, said: Comparison, references: Sequence[Reference]) -> Iterator[Pair]:
        """Two stretches that are named, in the order that the words for their likeness tell."""
        first, second = references[0], references[1]
        model, copy = (first, second) if said.order == "model first" else (second, first)
        lengths = [len(each.numbers) or each.count for each in (copy, model)]
        if model.kind == copy.kind == "before":
            return
        for copies in self.runs_of_bars(copy, lengths[1], model):
            for models in self.runs_of_bars(model, lengths[0], copy):
                yield from _laid_beside(models, copies)

    def pairs_together(self, references: Sequence[Reference]) -> Iterator[Pair]:
        """Bars that are said to be like each other: each with the first, or the two halves of a stretch."""
        ways = [self.runs_of_bars(each, 0) for each in references]
        if not all(ways):
            return
        bars = [span for way in ways for span in way[0]]
        if len(references) == 2 and len(ways[0][0]) == len(ways[1][0]):
            yield from _laid_beside(ways[0][0], ways[1][0])
        else:
            yield from (Pair(bars[0], each, is_named=True) for each in bars[1:])

    def pairs_of_one(self, said: Comparison, reference: Reference) -> Iterator[Pair]:
        """A stretch that is named beside one that is shown: the one is the model where the words come before it."""
        is_model = reference.first >= said.first or said.order == "model first"
        is_model = is_model and not (said.order == "model first" and reference.first >= said.first)
        lengths = [len(self.shown)]
        if reference.kind == "start" and not reference.count:
            lengths += range(1, len(self.shown))
        for bars in (each for length in lengths for each in self.runs_of_bars(reference, length) if each):
            named = Span(bars[0].start, bars[-1].end)
            if is_model and IS.match(self.sentence.text, said.first) and not self.says_it_again(said):
                continue
            if is_model:
                windows = [each for each in _windows(self.shown, len(bars)) if not _touch(each, named)]
                is_named = (
                    len(self.shown) == len(bars) and self.says_it_again(said) and said.order == "copy first"
                )
                yield from (Pair(named, each, is_named and len(windows) == 1) for each in windows)
            else:
                before = _before(self.every, bars[0], len(bars))
                others = [before, self.every[: len(bars)], *_lists(self.shown, len(bars))]
                yield from (
                    Pair(Span(each[0].start, each[-1].end), named, is_named=False)
                    for each in others
                    if each and not _touch(Span(each[0].start, each[-1].end), named)
                )

    def says_it_again(self, said: Comparison) -> bool:
        """Whether what is shown is said to be a stretch: "that's bar five again", not "the climax is bar five"."""
        text = self.sentence.text[: said.last]
        return bool(said.moved) or any(
            word in text for word in ("again", "it's", "that's", "this is", "same", "here ", "once more")
        )

    def pairs_in_sight(self, said: Comparison) -> Iterator[Pair]:
        """What is shown beside what comes right before it, its halves, and its bars one after the other."""
        shown = self.shown
        if not shown:
            return
        whole, count = Span(shown[0].start, shown[-1].end), len(shown)
        before = _before(self.every, shown[0], count)
        if before:
            yield Pair(Span(before[0].start, before[-1].end), whole, is_named=False)
        if count % 2 == 0:
            middle = shown[count // 2].start
            yield Pair(Span(whole.start, middle), Span(middle, whole.end), is_named=False)
        if said.moved is not None and said.moved.interval:
            yield from (Pair(one, other, is_named=False) for one, other in pairwise(shown))

    # Comparisons ----------------------------------------------------------------------------------------

    def compared(self, claim: Claim, said: Comparison) -> Decided:
        """What a comparison comes to: its copy is lit where it is true, a fault where it is plainly false."""
        pairs = list(self.pairs(said))
        judged = [(pair, _verdict(said, Beside.of(self.music, pair.model, pair.copy))) for pair in pairs]
        true = [pair for pair, verdict in judged if verdict == TRUE]
        if self.is_together(said) and true and len(true) == len(pairs):
            return self.lit_together(true)
        if true and (true[0].is_named or len(true) == 1 or not said.references):
            return self.lit_pair(true[0], said)
        named = [pair for pair, verdict in judged if pair.is_named and verdict == FALSE]
        if (
            not named
            or len(named) < len(pairs)
            or said.is_hedged
            or said.is_loose
            or self.sentence.is_question
        ):
            return NOTHING
        beside = Beside.of(self.music, named[0].model, named[0].copy)
        return self.is_false(claim, named[0].copy, self.what_is_there(said, beside))

    def is_together(self, said: Comparison) -> bool:
        """Whether a sentence speaks of several bars as alike, and of none as the model of another."""
        return said.order == "together" or (len(said.references) == 1 and self.is_several(said.references[0]))

    def lit_together(self, pairs: Sequence[Pair]) -> Decided:
        """Light bars that are like each other."""
        all_ = {pairs[0].model, *(pair.copy for pair in pairs)}
        spans = sorted((span for span in all_ if self.is_seen(span)), key=lambda span: span.start)
        if not spans:
            return NOTHING
        if all(one.end == other.start for one, other in pairwise(spans)):
            return self.lit_span(Span(spans[0].start, spans[-1].end))
        return self.lit_row(
            [note for span in spans for note in self.music.struck_between(span.start, span.end)]
        )

    def lit_pair(self, pair: Pair, said: Comparison) -> Decided:
        """Light the copy, or what is seen of the two."""
        if said.relation == "begins":
            beside = Beside.of(self.music, pair.model, pair.copy)
            if beside.begins_alike > 1 and self.is_seen(pair.copy):
                return self.lit_row(beside.copy[: beside.begins_alike])
        seen = [span for span in (pair.copy, pair.model) if self.is_seen(span)]
        return self.lit_span(seen[0]) if seen else NOTHING

    def what_is_there(self, said: Comparison, beside: Beside) -> str:
        """How the two are alike instead."""
        other = self.music.said(beside.model_span)
        if said.relation in ("rhythm", "other rhythm"):
            return f"has {'the rhythm of' if beside.has_rhythm else 'another rhythm than'} {other}"
        if not beside.changed:
            return f"has the notes of {other} at the same height"
        if beside.semitones is not None:
            return f"has the notes of {other} {_semitones(beside.semitones)}"
        if said.relation in TURNED:
            return f"is not {other} {TURNED[said.relation]}"
        if said.moved is not None and said.moved.interval:
            return f"is not {other} {'up' if said.moved.way > 0 else 'down'} a {said.moved.interval}"
        same = len(beside.pairs) - len(beside.changed)
        shared = f"{number_words(same)} of {number_words(len(beside.pairs))} notes" if same else "no note"
        return f"shares {shared} with {other}"

    # Repetitions ----------------------------------------------------------------------------------------

    def repeated(self, claim: Claim, said: Repetition, scope: Scope) -> Decided:
        """The one figure that comes again as is said, or what is false of the only one there is."""
        spans = scope.spans if scope.explicit and len(scope.spans) == 1 else tuple(self.spans)
        runs = list(self.runs(spans))
        if said.is_cross:
            runs = [each for each in runs if each[0].is_cross]
        if said.nth:
            runs = [
                each for each in self.runs(self.spans, touching=True) if self.is_heard_now(each[0], said.nth)
            ]
        fitting = [each for each in runs if not _contradiction(said, each[0])]
        if fitting:
            run, device = max(fitting, key=lambda each: len(each[0].notes))
            if said.nth:
                return self.lit_row(list(filter(self.is_struck_in_sight, run.notes)))
            return self.lit_device(device) if device is not None else self.lit_row(run.notes)
        whole = [run for run, _ in runs if self.fills(run, spans)]
        if not whole or self.sentence.is_question or not said.is_definite or said.nth or self.goes_on(spans):
            return NOTHING
        left = max(span.end for span in spans) - whole[0].notes[-1].onset - whole[0].notes[-1].held
        if said.times > len(whole[0].whole) and not said.is_strict and left >= whole[0].period / 2:
            return NOTHING  # it may go on in another way
        span = self.bars_of(Span(whole[0].notes[0].onset, whole[0].notes[-1].onset))
        return self.is_false(claim, span, f"has a figure that {_contradiction(said, whole[0])}")

    def is_heard_now(self, run: Run, nth: int) -> bool:
        """Whether a figure comes for the time that is said where the cue begins."""
        return len(run.groups) >= nth and self.is_struck_in_sight(run.groups[nth - 1][0])

    def is_struck_in_sight(self, note: Note) -> bool:
        """Whether the cue shows where a note is struck."""
        return any(shown.start <= note.onset < shown.end for shown in self.spans)

    def runs(self, spans: Sequence[Span], touching: bool = False) -> Iterator[tuple[Run, Device | None]]:
        """The figures that come again mostly in some spans (or touch them): sequences, units alike, cross rhythms."""
        by_id = self.music.struck_by_id
        for kind in ("sequence", "units", "cross rhythm"):
            if kind == "units":
                whole = Span(spans[0].start, spans[-1].end)
                yield from ((run, None) for run in runs_of_units(self.music, whole))
                continue
            for device in self.music.analysis.devices:
                is_in = _touch if touching else mostly_in
                if device.kind == kind and any(is_in(device.span, span) for span in spans):
                    groups = tuple(tuple(by_id[name] for name in group) for group in device.groups)
                    yield Run(groups, kind == "cross rhythm"), device

    def goes_on(self, spans: Sequence[Span]) -> bool:
        """Whether a figure that comes again is cut by where some spans begin or end."""
        return any(
            device.kind in ("sequence", "cross rhythm")
            and any(_touch(device.span, span) and not _holds(span, device.span) for span in spans)
            for device in self.music.analysis.devices
        )

    def fills(self, run: Run, spans: Sequence[Span]) -> bool:
        """Whether a figure takes up most of some spans, so that it is what they are said to have."""
        length = sum(span.end - span.start for span in spans)
        return 2 * (run.notes[-1].onset + run.notes[-1].held - run.notes[0].onset) >= length

    def lit_device(self, device: Device) -> Decided:
        """Light a device of the analysis."""
        found = device_candidates(DeviceName(device.kind), device.span, self.music)
        return self.lit(next(each for each in found if each.mention.device is device))


def _nth(bars: Sequence[Span], nth: int, count: int, before: Span | None) -> list[Span]:
    """So many bars from the first on, or the last (-1); 0 is what follows what was spoken of before."""
    if nth < 0:
        return list(bars[-count:])
    if nth == 0:
        after = [bar for bar in bars if before is not None and bar.start >= before.end]
        return after[:count]
    return list(bars[(nth - 1) * count : nth * count])


def _halves(bars: Sequence[Span]) -> list[Span]:
    """The halves of a bar, if it is one."""
    if len(bars) != 1:
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


def _touch(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end


def _holds(one: Span, other: Span) -> bool:
    return one.start <= other.start and other.end <= one.end


def _laid_beside(models: Sequence[Span], copies: Sequence[Span]) -> Iterator[Pair]:
    """Stretches of one length beside each other as wholes; one bar beside each of several."""
    if not models or not copies:
        return
    if len(models) == len(copies):
        model, copy = (Span(each[0].start, each[-1].end) for each in (models, copies))
        if not _touch(model, copy):
            yield Pair(model, copy, is_named=True)
    elif 1 in (len(models), len(copies)):
        yield from (Pair(model, copy, is_named=True) for model in models for copy in copies)


# Whether two stretches are as alike as is said -----------------------------------------------------------------


def _verdict(said: Comparison, beside: Beside) -> int:
    """Whether what is said of two stretches is true, false, or neither plainly."""
    if not beside.is_whole:
        few, many = sorted((len(beside.model), len(beside.copy)))
        return FALSE if few and many >= 2 * few + 2 and said.relation != "begins" else UNSURE
    verdict = _of_relation(said, beside)
    if said.is_unlike:
        return -verdict
    return verdict


def _of_relation(said: Comparison, beside: Beside) -> int:
    if said.relation == "rhythm":
        rhythm = _rhythm(said, beside)
        return min(rhythm, _moved(said.moved, beside)) if said.moved is not None else rhythm
    if said.relation == "other rhythm":
        return _other_rhythm(beside)
    if said.relation in ("inverted", "reversed"):
        share = beside.contour_share(-1) if said.relation == "inverted" else beside.reversed_share
        return TRUE if share >= 0.75 else FALSE if share < 0.5 else UNSURE
    if said.relation == "begins":
        return TRUE if beside.begins_alike > 1 else UNSURE
    if said.moved is not None and said.but is None:
        return _moved(said.moved, beside)
    return RELATIONS[said.relation](said, beside)


def _rhythm(said: Comparison, beside: Beside) -> int:
    if beside.has_rhythm:
        return TRUE
    return UNSURE if beside.rhythm_share >= 0.8 and not said.is_strict else FALSE


def _other_rhythm(beside: Beside) -> int:
    """Whether the notes or the intervals are the same, and the rhythm is not."""
    if beside.has_rhythm:
        return FALSE
    if beside.semitones is not None:
        return TRUE
    return UNSURE if beside.contour_share() >= 0.5 else FALSE


def _notes(said: Comparison, beside: Beside) -> int:
    changed, share = beside.changed, beside.same_share
    if said.but is not None:
        return _but(said, beside)
    if not changed:
        return TRUE
    if said.is_strict:
        return UNSURE if share > 0.8 else FALSE
    if share >= 0.75:
        return TRUE
    return FALSE if share < 0.5 and not beside.is_alike else UNSURE


def _but(said: Comparison, beside: Beside) -> int:
    """Whether two stretches differ where, and only where, they are said to."""
    assert said.but is not None
    changed, places = beside.changed, range(len(beside.pairs))
    count = said.but.count or max(len(places) // 3, 1)
    if not changed:
        return FALSE
    if not said.but.side:
        return TRUE if len(changed) <= count else FALSE
    allowed = places[-count:] if said.but.side < 0 else places[:count]
    if set(changed) <= set(allowed):
        return TRUE
    return FALSE if said.but.only or beside.same_share < 0.5 else UNSURE


def _shape(said: Comparison, beside: Beside) -> int:
    if said.but is not None:
        return _but(said, beside)
    if beside.is_alike or (beside.contour_share() >= 0.75 and beside.rhythm_share >= 0.75):
        return TRUE
    return FALSE if beside.contour_share() < 0.5 and beside.rhythm_share < 0.6 else UNSURE


def _contour(_: Comparison, beside: Beside) -> int:
    share = beside.contour_share()
    return TRUE if share >= 0.75 else FALSE if share < 0.5 else UNSURE


def _vague(said: Comparison, beside: Beside) -> int:
    if said.but is not None:
        return _but(said, beside)
    share = max(beside.same_share, beside.rhythm_share if beside.has_rhythm else 0, beside.contour_share())
    return TRUE if share >= 0.7 else UNSURE


RELATIONS = {"notes": _notes, "shape": _shape, "contour": _contour, "vague": _vague}


def _moved(moved: Moved, beside: Beside) -> int:
    """Whether a stretch lies as far from its model as is said; an octave more does not count."""
    if moved.interval == "octave":
        ways = (moved.way,) if moved.way else (1, -1)
        return TRUE if beside.semitones in [way * OCTAVE for way in ways] else FALSE
    if not moved.interval:
        return _moved_some_way(moved, beside)
    own, others = ([note.sounding.midi for note in notes] for notes in (beside.model, beside.copy))
    said = [
        way * size
        for way in ((moved.way,) if moved.way else (1, -1))
        for size in interval_sizes(moved.interval)
    ]
    near = any(_is_near(way, each) for way in _alignments(own, others) for each in said)
    return TRUE if near else FALSE


def _moved_some_way(moved: Moved, beside: Beside) -> int:
    if beside.semitones is None and beside.steps is None and beside.contour_share() < 0.75:
        return UNSURE
    if not beside.changed:
        return FALSE
    if not moved.way:
        return TRUE if beside.semitones is not None or beside.steps is not None else UNSURE
    return TRUE if beside.moved * moved.way > 0 else FALSE


def _alignments(one: Sequence[int], other: Sequence[int]) -> list[list[int]]:
    """How far apart the notes of two stretches are, the shorter laid beside each part of the longer."""
    count = min(len(one), len(other))
    return [
        [b - a for a, b in zip(one[i : i + count], other[j : j + count], strict=True)]
        for i in range(len(one) - count + 1)
        for j in range(len(other) - count + 1)
    ]


def _is_near(way: Sequence[int], said: int) -> bool:
    """Whether all notes are moved as is said, or as it is in the key; an octave does not count."""
    off = [(step - said + OCTAVE // 2) % OCTAVE - OCTAVE // 2 for step in way]
    return all(abs(each) <= LOOSE for each in off) and 0 in off


def _semitones(step: int) -> str:
    return f"{abs(step)} semitone{'s' if abs(step) > 1 else ''} {'higher' if step > 0 else 'lower'}"


# Whether a figure comes again as is said -----------------------------------------------------------------------


def _contradiction(said: Repetition, run: Run) -> str:
    """What a figure does instead of what is said of it; nothing where it holds."""
    counts = run.counts | ({count - 1 for count in run.counts} if said.more else set())
    if said.times and said.times not in counts:
        return f"comes {number_words(len(run.whole))} times"
    if said.size and not run.has_size(said.size, said.in_notes):
        return f"has {number_words(len(run.groups[0]))} notes"
    return _other_way(said.moved, run) if said.moved is not None else ""


def _other_way(moved: Moved, run: Run) -> str:
    """Where each group begins instead of where it is said to, from the one before."""
    moves = run.moves
    ways = {(semitones > 0) - (semitones < 0) for semitones, _ in moves}
    if moved.way and moved.way not in ways:
        return f"begins {'lower' if -1 in ways else 'higher' if 1 in ways else 'on the same note'} each time"
    if moved.interval and not any(_is_interval(moved.interval, *each) for each in moves):
        steps = sorted({abs(semitones) for semitones, _ in moves})
        return f"moves by {' or '.join(number_words(step) for step in steps)} semitones"
    return ""


def _is_interval(name: str, semitones: int, steps: int) -> bool:
    return abs(semitones) in interval_sizes(name) or abs(steps) == STAFF_STEPS.get(name, -1)
