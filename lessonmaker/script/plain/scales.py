"""Deciding which scale some bars are said to have. Common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.analysis.model import ScaleUse
from lessonmaker.analysis.scales import parts_in_scale, scale_fits
from lessonmaker.score.position import INSTANT, Span, format_span
from lessonmaker.script.candidates import scale_mention, scale_target
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.heard import Harmony
from lessonmaker.script.plain.likeness import mostly_in
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.scope import Scope
from lessonmaker.theory.scale import scales_named

__all__ = ["Scales"]

PARTLY = pattern_of(
    r"\b(?:most|part|much|some|half|bits?|all|taste|hint|touch) of (?:the|an?|its) $|\b(?:almost|nearly) "
)
# "The altered scale but for the natural fifth": all of it is not claimed.
EXCEPT = pattern_of(
    r"\b(?:but for|except|apart from|aside from|bar(?:ring)?(?= (?:the|its|one|an?)\b)|save(?: for)?|other than"
    r"|minus|plus|without|only (?:the|its|that|one|with)|just (?:with|the) (?:one|an?)"
    r"|with (?:one|an?|the|its|two) (?:\w+ )?"
    r"(?:exception|extra|borrowed|added|raised|lowered|foreign|chromatic|outside|passing|wrong|odd)|until|till|before"
    r"|then|once|if you)\b"
    r"|\bbut (?!not\b|no\b)(?:with|the|an?|one|it|there)\b"
)
# What a player may take it for: "you can think of this as D melodic minor".
AS_IF = pattern_of(
    r"\b(?:would|could|can|might|may|think|hear|(?:i|you|we)'d|call|treat|as if|like"
    r"|same (?:thing )?as|in other words|basically)\b"
)
OPEN = pattern_of(r"^from\b.*\b(?:on|onwards?|end)$")
ALL_OF_IT = pattern_of(
    r"\b(?:all (?:of )?(?:bar|measure|it|this|that|the notes|the line)|every(?: single)? note|everything"
    r"|nothing (?:but|except|outside)|(?:the )?(?:whole|entire) (?:bar|measure|line|phrase)|entirely|exclusively"
    r"|purely|solely)\b"
)
FEWEST_TELLING = 3  # notes of a scale over one chord, one of which decides it
PART_OF_A_SCALE = pattern_of(r"pentatonic|blues|whole[- ]tone")


class Scales(Patterns):
    """Decides claims of scales."""

    def scale(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """A scale by its name."""
        named = scales_named(claim.name)
        if not named:
            return NOTHING
        spans = scope.spans or tuple(self.spans)
        uses = [
            use
            for use in self.music.analysis.scales
            if use.scale in named
            and any(use.span.start < span.end and span.start < use.span.end for span in spans)
        ]
        spans = self.over_root(claim, spans)
        fitting = [use for use in uses if self.scale_passes(use.notes, scope)]
        outside = any(not mostly_in(use.span, shown) for use in fitting for shown in self.spans[:1])
        wider = outside or (scope.explicit and any(not mostly_in(use.span, spans[0]) for use in fitting))
        if len(fitting) == 1 and not claim.names and not wider:
            target = scale_target(fitting[0], self.music)
            return Decided(scale_mention(fitting[0], self.music, target), target)
        part = self.in_a_part(claim, spans, scope) if not fitting else None
        if part is not None:
            target = scale_target(part, self.music)
            return Decided(scale_mention(part, self.music, target), target)
        if len(fitting) > 1:
            span = Span(fitting[0].span.start, fitting[-1].span.end)
            return self.judged_scale(claim, span, scope)
        return self.judged_scale(claim, self.tested_span(spans[0], scope), scope)

    def in_a_part(self, claim: Claim, spans: Sequence[Span], scope: Scope) -> ScaleUse | None:
        """The scale over the one chord of several that are shown where a note tells it by."""
        if scope.explicit or scope.tests or claim.names or len(spans) != 1:
            return None
        parts = parts_in_scale(self.music.etude, spans[0], claim.name)
        told = [part.use for part in parts if part.use.deciding and len(part.use.notes) >= FEWEST_TELLING]
        return told[0] if len(told) == 1 else None

    def over_root(self, claim: Claim, spans: tuple[Span, ...]) -> tuple[Span, ...]:
        """Of a bar with several chords, the part whose chord stands on the root of a scale that is named."""
        chords = Harmony(self.music).within(spans[0]) if len(spans) == 1 and claim.names else []
        written = named_note(claim.names[0]) if claim.names else None
        own = [each for each in chords if written and each.written.root.pitch_class == written.pitch_class]
        if len(own) != 1 or len(chords) < 2 or not self.is_one_bar(spans[0]):
            return spans
        return (Span(max(own[0].span.start, spans[0].start), min(own[0].span.end, spans[0].end)),)

    def scale_passes(self, names: Sequence[str], scope: Scope) -> bool:
        """Whether most of a scale's notes stand where it is claimed."""
        notes = [note for note in self.music.struck if note.id in set(names)]
        return 2 * sum(scope.passes(note, self.music) for note in notes) >= len(notes)

    def tested_span(self, span: Span, scope: Scope) -> Span:
        """The part of a span whose notes pass the claim's tests."""
        notes = [
            n for n in self.music.struck if span.start <= n.onset < span.end and scope.passes(n, self.music)
        ]
        if not scope.tests or not notes:
            return span
        return Span(notes[0].onset, max(notes[-1].onset + notes[-1].held, notes[0].onset + INSTANT))

    def judged_scale(self, claim: Claim, span: Span, scope: Scope) -> Decided:
        """A claim about a scale, judged by the notes of a stretch."""
        written = named_note(claim.names[0]) if claim.names else None
        root = written and written.transposed(-self.music.score.transposition)
        ways = [span, *self.shorter(span, scope)]
        verdicts = [scale_fits(self.music.etude, way, claim.name, root) for way in ways]
        verdict = next(
            (each for each in verdicts if each is not None and each.verdict != "false"), verdicts[0]
        )
        if verdict is None:
            return NOTHING
        others = [
            use
            for use in self.music.analysis.scales
            if mostly_in(use.span, span) or mostly_in(span, use.span)
        ]
        loose = not scope.explicit or not claim.sure
        if verdict.verdict == "undecided" and others and root is None and loose:
            return NOTHING  # its notes fit, but those of another scale do more surely
        if verdict.verdict != "false":
            target = scale_target(verdict.use, self.music)
            return Decided(scale_mention(verdict.use, self.music, target), target)
        return self.no_scale(claim, span, scope)

    def shorter(self, span: Span, scope: Scope) -> list[Span]:
        """A span without the note that anticipates what follows it; of one that is open, its first bars."""
        struck = self.music.struck_between(span.start, span.end)
        early = bool(struck[:-1]) and self.music.finding(struck[-1]).role == "anticipation"
        found = [Span(span.start, struck[-1].onset)] if early else []
        places = [
            self.sentence.words(place.first, place.last) for place in scope.used if place.level == "bar"
        ]
        if any(OPEN.search(words) for words in places):
            bars = self.music.bars_in([span])
            found += [Span(span.start, bar.end) for bar in reversed(bars[len(bars) // 2 : -1])]
        return found

    def no_scale(self, claim: Claim, span: Span, scope: Scope) -> Decided:
        """A scale of which some bars have other notes: a fault, where all of it is claimed of them."""
        partly = (
            PARTLY.search(self.sentence.text[: claim.first])
            or (
                claim.names
                and PART_OF_A_SCALE.search(claim.name)  # other notes may stand between its own
                and not ALL_OF_IT.search(self.sentence.text[: claim.first])
            )
        )
        said = scope.explicit and not self.sentence.is_question and self.may_be_false(claim, scope)
        hedged = not claim.sure or AS_IF.search(self.sentence.text[: claim.first])
        if partly or hedged or not said or EXCEPT.search(self.sentence.text[claim.last :]):
            return NOTHING
        name = claim.name if claim.name.endswith("scale") else f"{claim.name} scale"
        return self.fault(f"{name}@{format_span(self.music.score, self.bars_of(span))}", claim)
