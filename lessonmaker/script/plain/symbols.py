"""Deciding what chords are said to be (see `symbol_words`).

What the score bears out is lit; what is said of the one chord or bar that can be meant, and is not so, is a fault.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.scales import scale_fits
from lessonmaker.score.position import Span, bars_in, format_span
from lessonmaker.script.model import Mention
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.chord_words import (
    KEY_NAME,
    PLACED,
    ROOT_NAME,
    ChordSaid,
    chords_said,
    is_spelt,
    root_said,
    sounding,
)
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Common, Decided
from lessonmaker.script.plain.heard import DOMINANT, Harmony, Heard, is_minor
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.swaps import SWAPPED
from lessonmaker.script.plain.symbol_words import (
    A_BAR,
    CHORD_ACTS,
    EVERY,
    FACING,
    GOES_ON,
    HARMONIC,
    SymbolClaim,
)
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of
from lessonmaker.theory.chord import readings

__all__ = ["Symbols"]

# A bar after the chord that it is said to have: "this is all C altered in bar ten".
OF_THESE = pattern_of(
    r"(?:^|[,;:] |\band )(?:(?:and|so|now|here|then|well) )*(?:this|that|it|we|you|there|the (?:chord|harmony))"
    r"(?:'|\b)[^,;:]*$"
)
IN_A_BAR = pattern_of(
    rf"(?: chord)? (?:in|for|through|all through|throughout|across) (?:the whole of |all of )?{A_BAR}"
)
THIS_IS = pattern_of(
    r"(?:^|[,;:]) ?(?:(?:and|so|now|ok|okay|well) )*(?:this|that|it|here"
    r"|what (?:we|you)(?:'ve| have)(?: got)?(?: here)?"
    r"|this (?:one|bar|measure|chord)|(?:the|our) (?:chord|harmony))(?: is|'s) [^,;:]{0,16}$"
    rf"|(?:^|[,;:] )(?:(?:and|so|now) )*(?:we|you)(?:'re| are) {FACING} [^,;:]{{0,16}}$"
)
WE_GET = pattern_of(
    r"(?:^|[,;:] )(?:(?:and|so|now|here|then) )*(?:we|you)(?:'ve| have)? (?:get|got|have|hear)(?: an?| the)?(?: \w+)? $"
)
ELSEWHERE = pattern_of(
    rf"\b(?:after|past|beyond|except(?: for)?|apart from|but|until|till|before) (?:the |bar "
    rf"|measure )*(?:{NUMBER}|{ORDINAL}|last|that)\b"
)
# Before bars of which something is not said.
NOT_THERE = pattern_of(r"\b(?:after|past|beyond|except(?: for)?|apart from|but|until|till|before)(?: the)? $")
# Begins after a claim, where it goes on to another chord.
OTHER_PART = pattern_of(
    r"(?: chord)?(?:[,;:]|(?: (?:that|which))?(?:'s| is)? (?:aim|bound|go|head|lead|point|pull|target|want)\w* )"
)
ALTERED = pattern_of(r"\balt(?:ered)?\b")
ROOT_OF = pattern_of(ROOT_NAME)
FIVE = pattern_of(r"\b(?:five|5|v|dominant)\b")
BARE_KIND = pattern_of(r"major|minor")
PLURAL = {"has": "have", "is": "are", "changes": "change"}
EARLY = pattern_of(r"\b(?:already|early|ahead|too soon|anticipat\w+|jump\w* the gun)\b")
# Claims that are decided by how they are put.
OWN_ROLES = ("every", "none", "there")
ARRIVES = pattern_of(
    rf"\b(?:back|(?:we|you)(?:'re| are)(?: still| now)? on|{inflected('arrive, land, settle, bring')})\b[^,;:]*$"
)


class Symbols(Common):
    """Decides what chords are said to be."""

    _harmony: Harmony | None = None

    @property
    def harmony(self) -> Harmony:
        """The chords and keys of the score."""
        self._harmony = self._harmony or Harmony(self.music)
        return self._harmony

    def symbol(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The chord that is what it is said to be."""
        assert isinstance(claim, SymbolClaim) and claim.said is not None  # as symbol_claims makes them
        scope = self.of_this_part(claim, self.of_own_bar(claim, scope))
        chords = self.chords_in(scope)
        if claim.role == SWAPPED:
            return self.swapped(claim, claim.said, scope, chords)
        if claim.role in OWN_ROLES:
            return self.of_all(claim, scope, chords) if claim.role != "there" else self.of_bar(claim)
        if claim.role == "named" and scope.explicit and claim.said.sort == "name":
            if not self.is_next(claim, scope):
                return NOTHING  # named to say where
            chords = [each for each in self.chords_in(Scope()) if each.span.start >= scope.spans[0].end]
        if claim.role == "becomes" and claim.said.sort == "kind" and claim.subject is not None:
            return self.becomes(claim, claim.subject, scope, chords)
        return self.joined(claim, claim.said, scope, chords)

    def of_this_part(self, claim: Claim, scope: Scope) -> Scope:
        """A claim's scope without places by another chord: "D minor becomes D seven, five of the G in bar seven"."""
        bars = [place for place in scope.used if place.level == "bar"]
        if bars and all(self.is_by_another_chord(claim, place) for place in bars):
            return replace(scope, spans=(), explicit=False, tests=(), used=())
        return scope

    def is_by_another_chord(self, claim: Claim, place: Place) -> bool:
        """Whether a place is named after a claim, in another part of the sentence that names a chord itself."""
        between = self.sentence.text[claim.last : place.first]
        if place.first < claim.last or not OTHER_PART.match(between):
            return False
        return any(
            claim.last <= name.first and name.last <= place.first for name in chord_names(self.sentence)
        )

    def swapped(self, claim: SymbolClaim, said: ChordSaid, scope: Scope, chords: Sequence[Heard]) -> Decided:
        """The chord that stands where another was to be expected; a fault where it is no tritone from that one."""
        played = [each for each in chords if claim.subject is None or claim.subject.fits(each, self.harmony)]
        fitting = [each for each in played if said.fits(each, self.harmony)]
        if fitting and self.is_one_stretch(fitting):
            return self.lit_chords_in(scope, fitting)
        return self.no_such_chord(claim, played[0].span, played) if played and not fitting else NOTHING

    def joined(self, claim: SymbolClaim, said: ChordSaid, scope: Scope, chords: Sequence[Heard]) -> Decided:
        """The chords that are meant, as far as they are what is said, or a fault."""
        if BARE_KIND.fullmatch(self.said_whole(claim)) and not GOES_ON.match(self.sentence.text, claim.last):
            return NOTHING  # "a major problem"
        meant, sure = self.chords_meant(claim, scope, chords)
        fitting = [each for each in meant if said.fits(each, self.harmony)]
        if not fitting and ALTERED.search(self.said_whole(claim)):
            fitting = [each for each in meant if self.is_altered_by_the_line(claim, each)]
        key = self.key_so_called(said, scope) if not fitting else None
        if key is not None:
            return self.lit_stretch(key)
        if not fitting:
            early = EARLY.search(self.sentence.text) and meant and self.is_next_chord(said, meant[-1])
            return self.other_chord(claim, scope, meant) if sure and meant and not early else NOTHING
        if claim.role == "becomes":
            fitting = self.newly(claim, fitting)
        is_function = said.sort in ("function", "slash") or claim.role == "becomes"
        is_function = is_function or (said.sort == "step" and claim.role == "be")
        if (not is_function and self.is_beside_others()) or not self.is_one_stretch(fitting):
            return NOTHING
        return self.lit_chords_in(scope, fitting)

    def is_next_chord(self, said: ChordSaid, last: Heard) -> bool:
        """Whether the chord that comes after another is what is said: "that D is already the B flat chord"."""
        following = self.harmony.after(last)
        return following is not None and said.fits(following, self.harmony)

    def key_so_called(self, said: ChordSaid, scope: Scope) -> Span | None:
        """The bars that are in the key which a name without a seventh may be as well: "bar nine belongs to F major"."""
        name = KEY_NAME.fullmatch(self.sentence.text[said.first : said.last]) if said.sort == "name" else None
        if name is None or len(self.chord_stretches(scope)) != 1:
            return None
        span, tonic = self.chord_stretches(scope)[0], sounding(root_said(name["root"]), self.harmony)
        keys = [key for key in self.harmony.keys_in(span) if key.tonic.pitch_class == tonic]
        return span if any(is_minor(key) == (name["mode"] == "minor") for key in keys) else None

    def is_altered_by_the_line(self, claim: SymbolClaim, each: Heard) -> bool:
        """Whether the line over a plain dominant of the root that is said is in its altered scale."""
        name = ROOT_OF.match(self.sentence.text, claim.said.first) if claim.said is not None else None
        if each.family not in DOMINANT or (name is not None and not self.is_on(name[0], each)):
            return False
        fits = scale_fits(self.music.etude, each.span, "altered", readings(each.chord)[0].root)
        return fits is not None and fits.verdict != "false"

    def becomes(
        self, claim: SymbolClaim, subject: ChordSaid, scope: Scope, chords: Sequence[Heard]
    ) -> Decided:
        """A chord that becomes one of another kind on the same root: "A flat turns minor", "the four goes minor"."""
        assert claim.said is not None
        there = [each for each in chords if claim.said.fits(each, self.harmony)]
        befores = [(each, self.harmony.before(each)) for each in there]
        turned = [
            each
            for each, before in befores
            if before is not None
            and before.root == each.root
            and (subject.fits(before, self.harmony) or subject.fits(each, self.harmony))
        ]
        found = turned or [each for each in there if subject.fits(each, self.harmony)]
        if subject.sort == "kind" and not turned:
            found = self.newly(claim, there) if len(there) == 1 else []
        if subject.sort == "kind" and len(turned) == 1:
            found = [*filter(None, [self.harmony.before(turned[0])]), *turned]
        if found and self.is_one_stretch(found):
            return self.lit_chords_in(scope, found)
        name = ROOT_OF.match(self.sentence.text, subject.first) if subject.sort == "name" else None
        others = [each for each in chords if not self.is_on(name[0], each)] if name is not None else []
        if found or not scope.explicit or len(scope.spans) != 1 or name is None:
            return NOTHING
        same = [each for each in chords if each not in others]
        if not self.is_certain(claim, scope) or (same and len(chords) > 1):
            return NOTHING
        return self.no_such_chord(claim, scope.spans[0], chords)

    def is_on(self, root: str, each: Heard) -> bool:
        """Whether a chord stands on a root that is named."""
        return sounding(root_said(root), self.harmony) in each.roots

    def lit_chords_in(self, scope: Scope, chords: Sequence[Heard]) -> Decided:
        """Light the stretch of some chords, as far as it lies in the bars that are named."""
        whole = Span(chords[0].span.start, chords[-1].span.end)
        named = scope.spans[0] if scope.explicit and len(scope.spans) == 1 else whole
        inside = Span(max(whole.start, named.start), min(whole.end, named.end))
        return self.lit_stretch(inside if inside.start < inside.end else whole)

    def of_bar(self, claim: SymbolClaim) -> Decided:
        """A chord that is spoken of as a bar's, or a fault where it has no such chord."""
        assert claim.said is not None
        scope = self.scope_within(claim, Scope())
        chords = self.chords_in(scope)
        there = [each for each in chords if claim.said.fits(each, self.harmony)]
        if there and not self.is_beside_others() and self.is_one_stretch(there):
            return self.lit_chords_in(scope, there)
        if there or len(scope.spans) != 1 or not self.is_certain(claim, scope):
            return NOTHING
        return self.no_such_chord(claim, scope.spans[0], chords)

    def of_own_bar(self, claim: SymbolClaim, scope: Scope) -> Scope:
        """The scope of a claim, in the bar that stands by its number alone: "and six is D seven"."""
        number = str(number_of(claim.bar)) if claim.bar else ""
        shown = self.music.bars_in(self.spans)
        own = [Span(bar.start, bar.end) for bar in shown if bar.number == number]
        return replace(scope, spans=(own[0],), explicit=True) if own else scope

    def scope_within(self, claim: Claim, scope: Scope) -> Scope:
        """The scope of a claim, in the bars that its own words name, if any."""
        own = [
            place for place in self.places if place.level == "bar" and claim.first <= place.first < claim.last
        ]
        if not own or not own[0].spans:
            return scope
        return replace(scope, spans=own[0].spans[:1], explicit=not own[0].pointed)

    def is_next(self, claim: Claim, scope: Scope) -> bool:
        """Whether a chord is named as what follows the bars that are named before: "then G altered"."""
        passed = [place for place in scope.used if place.level == "bar" and place.last <= claim.first]
        between = self.sentence.text[passed[-1].last : claim.first] if passed else ""
        return (
            bool(scope.spans)
            and pattern_of(r"\b(?:then|next|after that|followed by|into)\b").search(between) is not None
        )

    def is_beside_others(self) -> bool:
        """Whether a sentence says something else, so that the chord is named to say where."""
        return any(other.kind not in HARMONIC for other in self.claims)

    # Which chords ---------------------------------------------------------------------------------------

    def chord_stretches(self, scope: Scope) -> tuple[Span, ...]:
        """The bars that something is said of: those that are named, as far as they are seen, or the cue's."""
        if scope.each or len(scope.spans) < 2:
            return scope.spans or tuple(self.spans)
        return tuple(span for span in scope.spans if self.is_seen(span)) or scope.spans

    def chords_in(self, scope: Scope) -> list[Heard]:
        """The chords of a claim's place."""
        found = [each for span in self.chord_stretches(scope) for each in self.harmony.within(span)]
        beats = [place.test for place in scope.used if place.level == "beat" and place.test is not None]
        return [
            each for each in dict.fromkeys(found) if all(self.stands_at(each, scope, test) for test in beats)
        ]

    def stands_at(self, each: Heard, scope: Scope, test: Test) -> bool:
        """Whether a chord is in force at a beat that is named, in the bars that are spoken of."""
        bars = {bar for span in self.chord_stretches(scope) for bar in bars_in(self.music.score, span)} & set(
            bars_in(self.music.score, each.span)
        )
        return any(
            test(replace(note, bar=bar, onset=onset), self.music)
            for note in self.music.struck[:1]
            for bar in bars
            for onset in self.beats_of(bar)
            if each.span.start <= onset < each.span.end
        )

    def beats_of(self, bar: int) -> list[Fraction]:
        """When the beats of a bar begin."""
        found = self.music.score.bars[bar]
        unit = found.metre.unit_quarters
        return [found.start + unit * beat for beat in range(int(found.length / unit))]

    def chords_meant(
        self, claim: SymbolClaim, scope: Scope, chords: Sequence[Heard]
    ) -> tuple[list[Heard], bool]:
        """The chords that a claim is about, and whether it is false where none of them is what is said."""
        if claim.role in ("starts", "ends"):
            return list(chords[:1] if claim.role == "starts" else chords[-1:]), self.begins_or_ends(claim)
        if claim.role == "reached":
            one = len(scope.spans) == 1 and scope.explicit and len(chords) == 1
            there = ARRIVES.search(self.sentence.text[: claim.first])
            return list(chords), bool(one and there) and not self.is_beside_others()
        subject = claim.subject
        if subject is not None and subject.sort == "nth":
            at = subject.nth - 1 if subject.nth > 0 else subject.nth
            return list(chords[at:][:1]), True
        if subject is not None:
            named = [each for each in chords if subject.fits(each, self.harmony)]
            if named:
                return named, claim.role in ("be", "does")
        before, after = self.sentence.text[: claim.first], self.sentence.text[claim.last :]
        said = PLACED.search(before) or (OF_THESE.search(before) and IN_A_BAR.match(after))
        placed = claim.of_bar or (claim.role in ("be", "has") and said)
        this = claim.role == "be" and bool(THIS_IS.search(before) or CHORD_ACTS.search(before))
        whole = self.said_whole(claim).endswith("chord")
        got = claim.role == "has" and whole and WE_GET.search(before)
        this = bool(this or got) and len(chords) == 1
        placed = placed or (this and claim.said is not None and self.is_of_one_chord(claim.said, chords[0]))
        return list(chords), len(scope.spans) == 1 and scope.explicit and bool(placed)

    def is_of_one_chord(self, said: ChordSaid, each: Heard) -> bool:
        """Whether what this is said to be is the chord; any dominant may be the five of another."""
        is_five = FIVE.search(self.sentence.words(said.first, said.last)) and each.family in DOMINANT
        is_step = said.sort == "step" and not is_five and not self.is_beside_others()
        return said.sort in ("name", "kind", "number") or is_step

    def newly(self, claim: SymbolClaim, fitting: list[Heard]) -> list[Heard]:
        """Of chords that are of a kind, those that were another one on the same root before, if any."""
        assert claim.said is not None
        befores = [(each, self.harmony.before(each)) for each in fitting]
        found = [
            each
            for each, before in befores
            if before is not None and before.root == each.root and not claim.said.fits(before, self.harmony)
        ]
        return found or fitting

    def begins_or_ends(self, claim: SymbolClaim) -> bool:
        """Whether what begins or ends on a chord is the music, not the line."""
        text = self.sentence.text[: claim.first]
        return bool(
            pattern_of(
                r"\b(?:we|tune|piece|etude|song|bridge|form|section|chorus|harmony|changes|it all|thing)\b"
            ).search(text)
        )

    # What it comes to -----------------------------------------------------------------------------------

    def is_one_stretch(self, chords: Sequence[Heard]) -> bool:
        """Whether some chords follow each other."""
        return all(later.index == earlier.index + 1 for earlier, later in pairwise(chords))

    def lit_chords(self, chords: Sequence[Heard]) -> Decided:
        """Light the stretch of some chords, as far as the cue shows it."""
        return self.lit_stretch(Span(chords[0].span.start, chords[-1].span.end))

    def lit_stretch(self, span: Span) -> Decided:
        """Light a stretch of the chords, as far as the cue shows it."""
        shown = [each for each in self.spans if each.start < span.end and span.start < each.end]
        if shown:
            span = Span(max(span.start, shown[0].start), min(span.end, shown[-1].end))
        target = format_span(self.music.score, span)
        return Decided(Mention("span", span, (), target=target), target)

    def other_chord(self, claim: SymbolClaim, scope: Scope, chords: Sequence[Heard]) -> Decided:
        """A fault: the chord that is meant is another one."""
        goes_on = GOES_ON.match(self.sentence.text, claim.last)
        if not goes_on or not self.is_certain(claim, scope):
            return NOTHING
        where = Span(chords[0].span.start, chords[-1].span.end)
        if len(scope.spans) == 1:
            where = scope.spans[0]
        said = self.sentence.text[claim.said.first : claim.said.last] if claim.said is not None else ""
        if is_spelt(said, where, self.harmony):
            return self.lit_stretch(where)
        return self.no_such_chord(claim, where, chords)

    def no_such_chord(self, claim: SymbolClaim, where: Span, chords: Sequence[Heard]) -> Decided:
        """A fault: some bars have other chords."""
        what = f"“{self.said_whole(claim)}”: {self.told_of(where, f'has {self.harmony.said(chords)}')}"
        function = self.harmony.function(chords[0]) if len(chords) == 1 else None
        if function is not None and claim.name in ("step", "number", "function"):
            what += f", {function.numeral} ({function.function})"
        todo = "name the chord that is printed" if claim.name == "name" else "say what the chord is"
        return Decided(None, format_span(self.music.score, where), (), what, todo)

    def told_of(self, span: Span, there: str) -> str:
        """What is so of some bars: "bar 7 has C7", "bars 7-8 have C7"."""
        where, (verb, rest) = self.music.said(span), there.split(" ", 1)
        return f"{where} {PLURAL.get(verb, verb) if where.startswith('bars') else verb} {rest}"

    def said_whole(self, claim: SymbolClaim) -> str:
        """The words of a claim."""
        return self.sentence.words(claim.first, claim.last)

    def is_certain(self, claim: Claim, scope: Scope) -> bool:
        """Whether what is not so is false: it is stated, of a place that is known."""
        return (
            not scope.unknown
            and not self.sentence.is_question
            and not HEDGED.search(self.sentence.text[: claim.first])
            and self.may_be_false(claim, scope)
            and not ELSEWHERE.search(self.sentence.text, claim.last)
            and not any(NOT_THERE.search(self.sentence.text[: place.first]) for place in scope.used)
        )

    # Of all chords --------------------------------------------------------------------------------------

    def of_all(self, claim: SymbolClaim, scope: Scope, chords: Sequence[Heard]) -> Decided:
        """All chords of a place, or none of them, are of a kind."""
        assert claim.said is not None
        match = EVERY.search(self.sentence.text[: claim.first]) if claim.role == "every" else None
        some = [each for each in chords if match is None or self.is_among(match["of"] or "", each)]
        wanted = claim.role == "every"
        others = [each for each in some if claim.said.fits(each, self.harmony) != wanted]
        elsewhere = not scope.used and ELSEWHERE.search(self.sentence.text, claim.last)
        among = match is not None and len(some) < len(chords)
        if not some or (len(some) < 2 and wanted and not among) or elsewhere:
            return NOTHING
        if not others:
            return self.lit_chords(some) if wanted else NOTHING  # a denial that is true has nothing to light
        if not self.is_certain(claim, scope):
            return NOTHING
        where = " and ".join(dict.fromkeys(self.told_of(o.span, f"has {o.text}") for o in others[:3]))
        target = format_span(self.music.score, others[0].span)
        return Decided(
            None, target, (), f"“{self.said_whole(claim)}”: {where}", "say it of the chords that are"
        )

    def is_among(self, words: str, each: Heard) -> bool:
        """Whether a chord is one of those that are spoken of: "both dominants"."""
        sentence = replace(self.sentence, text=words.rstrip("s"), written=words)
        told = chords_said(sentence, ("kind", "name"))
        return not told or told[0].fits(each, self.harmony)
