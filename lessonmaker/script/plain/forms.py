"""How long the form is and how often it comes: "the form is thirty-two bars", "two choruses of twelve bars each".

Common practice, no source. A chorus is a part of the piece that the next one has the chords of; the form of a piece is
told of all of its bars, or of the first chorus. A last bar of its own may be left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.position import Span, format_span, hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.symbols import Symbols
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["Forms", "form_claims"]

BARS = r"(?:bars?|measures?)"
WHOLE = r"(?P<whole>form|tune|piece|etude|study|song|whole thing)"
IS = r"(?:is|'s|runs|lasts|takes|has|comes to|goes on for)(?: (?:just|only|exactly|simply|a|an|plain|standard|for|up))*"
ROWS: tuple[tuple[str, str], ...] = (
    (rf"{WHOLE}(?: here)? ?{IS} (?P<bars>{NUMBER})[ -]{BARS}(?: long)?", "length"),
    (rf"(?P<bars>{NUMBER})[ -](?:bar|measure) {WHOLE}", "length"),
    (
        rf"(?P<count>{NUMBER}) (?:whole |full |complete )?choruses"
        rf"(?: of (?P<bars>{NUMBER})(?: {BARS})?(?: each| apiece)?|,? (?P<each>{NUMBER}) {BARS} (?:each|apiece))?",
        "choruses",
    ),
    (
        rf"(?:the |our |your )?(?P<nth>{ORDINAL}|last|final) chorus (?:starts|begins|opens|kicks off|is here)"
        rf"|(?:start|top|beginning) of (?:the |our )(?P<other>{ORDINAL}|last|final) chorus",
        "chorus",
    ),
    (r"(?:a[ ,-]+){1,2}b[ ,-]+a(?= form\b|[,.;:]|$)|aaba", "letters"),
)
WORDS = tuple((pattern_of(rf"(?<![\w#'-]){pattern}(?![\w#'])"), name) for pattern, name in ROWS)
# Choruses are counted, not asked of the player.
STATED = pattern_of(r"(?:^|[,;:] |\b(?:is|are|has|have|got|'s|'re|for|just|only|of|all) )\W*$")
OF_A_FORM = pattern_of(r"\b(?:form|song|structure|aaba|thirty-two|sections?)\b")
SIZES = (12, 16, 32, 8)  # bars of a chorus
ALIKE = 0.5  # of the bars of two choruses; more than that where nobody says their size, as AABA has AA and BA
FOUR_EIGHTS = 32


@dataclass(frozen=True)
class FormClaim(Claim):
    """A claim of the form: `bars` long, of `count` choruses, or of the chorus `which` (-1: the last)."""

    bars: int = 0


def form_claims(sentence: Sentence) -> Iterator[FormClaim]:
    """What a sentence says of the form."""
    for pattern, name in WORDS:
        for match in pattern.finditer(sentence.text):
            said = match.groupdict()
            if name == "letters" and not OF_A_FORM.search(sentence.text):
                continue  # notes: "A, B, A"
            sized = name != "choruses" or said["bars"] or said["each"]
            if not sized and not STATED.search(sentence.text[: match.start()]):
                continue
            nth = said.get("nth") or said.get("other")
            bars = next((number_of(said[key]) for key in ("bars", "each") if said.get(key)), 0)
            if name == "length" and not bars:
                continue
            yield FormClaim(
                "form",
                *match.span(),
                name,
                which=0 if nth is None else -1 if nth in ("last", "final") else ordinal_of(nth),
                count=number_of(said["count"]) if said.get("count") else 0,
                stance="found",
                bars=bars,
            )


class Forms(Symbols):
    """Decides what is said of the form."""

    def form(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The bars of the form, of its choruses, or of one of them."""
        assert isinstance(claim, FormClaim)  # as form_claims makes them
        if claim.name == "chorus":
            return self.chorus(claim)
        total, whole = len(self.music.full_bars), self.is_whole
        if claim.name == "letters":
            return self.lit_stretch(self.spans[0]) if whole and total == FOUR_EIGHTS else NOTHING
        if claim.name == "choruses":
            size = claim.bars or self.size_of_chorus()
            bars = self.music.full_bars
            fits = size > 0 and claim.count * size == total and self.likeness(bars, size) >= ALIKE
            sure = claim.bars > 0 and claim.count * size != total
        else:
            first = bool(self.spans) and self.spans[0].start == self.music.full_bars[0].start
            shown = len(self.music.bars_in(self.spans))
            fits = claim.bars == total or (first and shown == claim.bars)
            sure = claim.bars > total or total % claim.bars > 1
        if fits and (whole or claim.name == "length"):
            return self.lit_stretch(hull(self.spans))
        if fits or not whole or not sure or not self.is_certain(claim, scope):
            return NOTHING
        words, target = (
            self.sentence.words(claim.first, claim.last),
            format_span(self.music.score, self.spans[0]),
        )
        return Decided(None, target, (), f"“{words}”: there are {total} bars", "say how long it is")

    @property
    def is_whole(self) -> bool:
        """Whether the cue shows all of the piece."""
        bars = self.music.full_bars
        return (
            len(self.spans) == 1
            and self.spans[0].start <= bars[0].start
            and self.spans[0].end >= bars[-1].end
        )

    def size_of_chorus(self) -> int:
        """How many bars a chorus has that comes more than once, or 0."""
        bars = self.music.full_bars
        for size in SIZES:
            times, left = divmod(len(bars), size)
            if times > 1 and not left and self.likeness(bars, size) > ALIKE:
                return size
        return 0

    def likeness(self, bars: Sequence[Span], size: int) -> float:
        """The least share of bars that a later chorus of a size begins with the root that the first one has there."""
        later = [bars[at : at + size] for at in range(size, len(bars), size)]
        return min((self.shared_roots(bars[:size], chorus) for chorus in later), default=0.0)

    def shared_roots(self, one: Sequence[Span], other: Sequence[Span]) -> float:
        """How many bars of two stretches begin with a chord on the same root, of all."""
        roots = [[self.root_at(bar) for bar in part] for part in (one, other)]
        same: int = sum(first is not None and first == second for first, second in zip(*roots, strict=False))
        return same / len(one)

    def root_at(self, bar: Span) -> int | None:
        """The root of the chord that a bar begins with."""
        chords = self.harmony.within(bar)
        return chords[0].root if chords else None

    def chorus(self, claim: FormClaim) -> Decided:
        """A chorus by its number, where the cue shows how it begins."""
        size, bars = self.size_of_chorus(), self.music.full_bars
        if not size:
            return NOTHING
        times = len(bars) // size
        at = times - 1 if claim.which < 0 else claim.which - 1
        if not 0 <= at < times:
            return NOTHING
        own = Span(bars[at * size].start, bars[at * size + size - 1].end)
        begins = any(span.start <= own.start < span.end for span in self.spans)
        return self.lit_stretch(own) if begins else NOTHING
