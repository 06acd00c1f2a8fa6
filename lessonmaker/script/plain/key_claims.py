"""Which key the music is said to be in: "we're in A flat here", "back in the home key", "up a minor third".

Common practice, no source. A key that is named is lit where it is heard; it is false only where nothing of the chords
speaks for it: neither its tonic nor its dominant is among them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonmaker.analysis.model import KeyCentre
from lessonmaker.score.position import Span, format_span, hull, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import FIFTH, is_of_mode, root_said, semitones_of, sounding
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.heard import DOMINANT, Heard, is_minor
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.root_claim import RootsClaim
from lessonmaker.script.plain.root_intervals import INTERVAL, steps_said
from lessonmaker.script.plain.root_motion import RootMotion
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["KeyClaim", "Keys", "key_claims"]

LETTER = r"(?P<letter>[a-g](?:b|#|[ -]flat|[ -]sharp)?)(?: (?P<mode>major|minor))?"
NO_KEY = (
    r"(?![\w#'])(?! (?:seven(?:th)?|six(?:th)?|nine|thirteen|sus|chords?|scales?|triads?|arpeggios?"
    r"|pentatonic"
    r"|shapes?|dominant|half|dim\w*|aug\w*|alt\w*|major|minor|natural|edition|instruments?|position|flat"
    r"|sharp|harmonic|melodic|dorian|phrygian|lydian|mixolydian|aeolian|locrian|whole|bebop|blues)\b)"
)
KEY = (
    rf"(?:(?:the |our )?key of )?(?:{LETTER}{NO_KEY}|(?:the |its |our )?(?P<relative>relative (?:major|minor))"
    r"|the (?P<step>subdominant|dominant)(?! (?:chord|seven\w*)\b)"
    r"|(?:the |our )?(?P<home>home(?: key)?|tonic key|original key|main key|key we (?:started"
    r"|began) in))(?: key)?"
)
# A key that is no chord or note by its words.
NAMED_KEY = (
    rf"(?:(?:the )?key of {LETTER}{NO_KEY}|(?P<tonic>[a-g](?:b|#|[ -]flat|[ -]sharp)?) (?P<its>major|minor){NO_KEY}"
    r"|(?:the |its |our )?(?P<relative>relative (?:major|minor))"
    r"|(?:the |our )?(?P<home>home key|tonic key|original key|main key|key we (?:started|began) in))"
)
WHERE = (
    r"(?:(?:still|now|back|all|firmly|suddenly|really|here|safely|again|squarely|over|right|entirely|just"
    r"|already|briefly|simply|plainly|both|home|by now) )*"
)
WE = (
    r"(?:we're|we are|we've been|(?:we|you) (?:find|see|have) (?:our|your)sel(?:f|ves)|you're|you are|this is"
    r"|that is|it's|it is|that's|everything(?:'s| is)"
    r"|all of (?:this|it)(?: is)?|we (?:stay|remain|live)"
    r"|(?:this|that|the|our) (?:(?:whole|entire|next|last|first) )?(?:part|bridge|tune|piece|section|line"
    r"|music|harmony|key|stretch|page|passage|phrase|bit|half|middle|turn)"
    r"(?: \w+)?(?:'s| is| are| sits| stays| lives| remains| happens)|(?:bars? [\w -]+?|they"
    r"|these(?: \w+)?(?: bars)?|both)(?: are| is| sit| sits| stay| stays)|puts us|places us|leaves us"
    r"|finds us)"
)
MODULATES = (
    r"(?:modulat(?:es?|ed|ing|ion)|(?:a )?(?:detour|excursion|modulation|change of key|key change)"
    r"|(?:the )?key (?:changes|moves|goes|shifts|turns))"
)
MOVES = (
    r"(?:(?:we|it|this|the (?:bridge|tune|music|harmony|section|piece|line))(?:'ve|'s| has| have)?"
    r" (?:go|goes|gone|went|moves?|moved|shifts?|shifted|turns?|turned|heads?|headed|slides?|slid|swings?"
    r"|switch(?:es)?|drops?|jumps?|steps?|travels?|lands?|landed|changes?|ends? up|slips?|slipped|drifts?|drifted"
    r"|sneaks?|settles?|settled|arrives?|arrived|comes?|wanders?|wandered|sinks?|sank|lifts?)"
    r"|takes us|brings us|lifts us|drops us|(?:a )?(?:trip|visit|tour))"
)
MUSIC = r"(?:we|it|this|(?:this|that|the) (?:bridge|tune|music|section|piece|etude|line|form|song|chorus))"
VISITS = (
    r"(?:flirt(?:s|ing)? with|visit(?:s|ing)?|dip(?:s|ping)? into|touch(?:es|ing)? (?:on|upon)|pass(?:es"
    r"|ing)? through"
    r"|(?:wander|slip|drift|stray|stroll|venture|wade|sink|settle)(?:s|ing)? (?:in)?to|return(?:s|ed"
    r"|ing)? to|tonici[sz](?:es|ing)"
    r"|leans? towards?|points? to)"
)
# The relative key, whatever leads there.
TO_RELATIVE = r"(?:(?:in)?to|towards?) (?:the |its |our |their )?(?P<relative>relative (?:major|minor))"
# A key that is told by its name as well: "the relative major, B flat".
BY_NAME = pattern_of(
    rf",(?: which is| that's| that is| namely| so)? (?:the key of )?{LETTER}{NO_KEY}(?=\s*(?:[,.;:!?]|$))"
)
# The key that is left for it: "from E flat over to its relative minor".
LEFT = pattern_of(
    rf"(?:from|out of) (?:the key of )?{LETTER}{NO_KEY}(?: (?:over|back|straight|right|up|down|away|on|home|in))*,? $"
)
# (the words, whether they can be false).
ROWS: tuple[tuple[str, bool], ...] = (
    (rf"{WE} {WHERE}(?:in|inside) {KEY}", True),
    (
        rf"(?:we're|we are|you're|you are) (?:\w+(?:ing|ly|ed)(?: out| around| over| down| up)? )+in {NAMED_KEY}",
        True,
    ),
    (rf"{MODULATES} {WHERE}(?:away |up |down |out )?(?:to|into|in) {KEY}", False),
    (rf"{MOVES} {WHERE}(?:away |off |up |down |through |out )?(?:to|into|in) {NAMED_KEY}", False),
    (rf"{MOVES} {WHERE}(?:away |off |up |down |through |out )?(?:into|in) {KEY}", False),
    (
        rf"we(?:'ve| have) (?:just |now |only )?(?:moved|shifted|gone|changed|switched) {WHERE}(?:away "
        rf"|on )?to {KEY}",
        False,
    ),
    (rf"{MUSIC} {ENDING} (?:\w+ )??in {NAMED_KEY}", False),
    (rf"{MUSIC} {STARTING} (?:\w+ )??in {NAMED_KEY}", False),
    (
        r"(?:an? |the |our )?(?:new key|key change)(?: here| now)?[:,] "
        rf"(?:(?:{NUMBER}|no) (?:sharps?|flats?)[:,] )?(?:it's |that's )?{KEY}",
        False,
    ),
    (
        r"(?:the|our|this) (?:(?:last|next|new|second) )?(?:bridge|middle eight|release|section|second half)"
        rf"(?:(?: is|'s|,) (?:\w+ )??)? ?in {NAMED_KEY}",
        False,
    ),
    (
        rf"\bsame (?:thing|idea|phrase|lick|line|shape|pattern|story|figure),? (?:again |now |but |only )*in {KEY}",
        False,
    ),
    (
        rf"{VISITS} (?:the key of )?(?P<letter>[a-g](?:b|#|[ -]flat|[ -]sharp)?) (?P<mode>major"
        rf"|minor){NO_KEY}",
        False,
    ),
    (rf"(?:back|home)(?: again| safe| once more)? in {KEY}", False),
    (rf"back(?: again| safe| once more)? (?:to|at) {NAMED_KEY}", False),
    (
        rf"(?:the )?(?:key|tonality)(?: (?:here|centre|center))*(?: (?:of|in) [^,;:]{{1,40}})?(?:,[^,;:]{{3,40}},)?"
        rf"(?:'s| is| changes to| becomes)(?: now)? {KEY}",
        True,
    ),
    (rf"{KEY} is (?:the key|home|where we are)", True),
    (rf"(?:^|(?<=[.,;:] ))(?:the )?key of {LETTER}{NO_KEY}", True),
    (
        r"(?:all (?:of )?(?:this|it|that)|everything(?: here)?|the whole (?:thing|lot|line|passage|phrase)"
        r"|this (?:line"
        rf"|bar|part|passage|phrase)) (?:happens|takes place|lives|plays(?: out)?|unfolds|sits"
        rf"|goes on) {WHERE}in {NAMED_KEY}",
        True,
    ),
    (
        r"(?P<letter>[a-g](?:b|#|[ -]flat|[ -]sharp)?) (?P<mode>major|minor)(?= (?:until|till|up to the)\b)",
        False,
    ),
    (rf"an? {INTERVAL} (?:up|down|higher|lower|away),? in {KEY}", False),
    (
        rf"(?:moved|modulated|shifted|(?:the )?key [a-z]+) (?:up"
        rf"|down) (?:by )?an? {INTERVAL},? (?:in)?to {KEY}",
        False,
    ),
    (rf"(?:all|this is|firmly|squarely) in {KEY}", True),
    (rf"{TO_RELATIVE}(?! chord\b)", False),
    (
        r"(?<!of )(?<!, )(?:the |its |our )(?P<relative>relative (?:major|minor))(?! (?:chord|of)\b)",
        False,
    ),
)
ENTERS = pattern_of(rf"{MODULATES}|{MOVES}|{VISITS}|{TO_RELATIVE}")
# What is false where nothing speaks for the key.
PLAINLY = pattern_of(
    rf"{MODULATES}|(?:an? |the |our )?new key"
    r"|(?:we|it|this|the (?:bridge|tune|music|harmony|section|piece))(?:'ve|'s| has| have)?"
    r" (?:lands?|landed|arrives?|arrived|ends? up|settles?|settled) (?:\w+ )*?in "
    r"|(?:takes|brings|lifts|drops) us "
)
AT_AN_END = {
    "ends": pattern_of(rf"{MUSIC} {ENDING}"),
    "starts": pattern_of(rf"{MUSIC} {STARTING}"),
}
# Where chords are told one by one, "back to D minor" is one of them.
TWO_FIVES = pattern_of(r"\btwo[- ]fives?\b")
WORDS = tuple((pattern_of(rf"(?<![\w'#-]){pattern}"), false) for pattern, false in ROWS)
WORDS_BESIDE_CHORDS = tuple(row for row in WORDS if "back(?: again| safe" not in row[0].pattern)
CHANGING = pattern_of(
    rf"(?:(?:the |our )?(?:keys?|key cent(?:re|er)s?|tonal cent(?:re|er)s?|tonality|tonic) (?:just |then |simply "
    rf"|now )?(?P<verb>[a-z]+) (?:[a-z]+ )*?(?:an? |by an? |by |in )?{INTERVAL}"
    rf"|(?:a|another|in a|to a) key (?:that's "
    rf"|which is )?an? {INTERVAL.replace('interval', 'interval2').replace('manner', 'manner2')} (?P<way>up"
    rf"|down|higher|lower|above|below|away)"
    rf"|modulat\w+ (?:up|down) (?:by )?an? {INTERVAL.replace('interval', 'interval3').replace('manner', 'manner3')})"
)
# "The key goes down from B flat to A".
FROM_KEY_TO_KEY = pattern_of(
    r"(?:the |our )?(?:keys?|key cent(?:re|er)s?|tonal cent(?:re|er)s?|tonality|tonic|music modulates|we modulate)"
    r"(?: [a-z]+){0,3}? from (?P<one>[a-g](?:b|#|[ -]flat|[ -]sharp)?)(?: (?:major|minor))?"
    r"(?: (?:up|down|straight|right|over|all the way))* (?:in)?to (?P<other>[a-g](?:b|#|[ -]flat|[ -]sharp)?)"
    r"(?: (?:major|minor))?(?![\w#'])"
)
OF_KEYS = pattern_of(r"\b(?:keys?|key cent(?:re|er)s?|tonal cent(?:re|er)s?|tonality|tonalities|tonics?)\b")
EACH = pattern_of(r",? (?:every|each|again and again|twice|at a time|over and over)")


@dataclass(frozen=True)
class KeyClaim(Claim):
    """A claim of a key: its `tonic` as written (or "relative major", "home") and `mode`, or `steps` from the last.

    The `name` of one that is gone to is "enters". `false` says that it is false where it is not so; `count` -1 that
    each key follows so.
    """

    tonic: str = ""
    mode: str = ""
    steps: tuple[int, ...] = ()
    false: bool = False


def key_claims(sentence: Sentence) -> Iterator[KeyClaim]:
    """What a sentence says of keys."""
    taken: list[tuple[int, int]] = []
    for match in CHANGING.finditer(sentence.text):
        words = next(
            filter(
                None,
                (match.groupdict().get(f"{name}{n}") for name in ("interval", "manner") for n in ("", 2, 3)),
            )
        )
        count = -1 if EACH.match(sentence.text, match.end()) or "keys" in match[0] else 0
        taken.append(match.span())
        yield KeyClaim("key", *match.span(), "moves", count=count, steps=steps_said(words, match[0]))
    for match in FROM_KEY_TO_KEY.finditer(sentence.text):
        one, other = (root_said(match[name]).pitch_class for name in ("one", "other"))
        taken.append(match.span())
        yield KeyClaim("key", *match.span(), "moves", steps=((other - one) % OCTAVE,))
    for pattern, false in WORDS if TWO_FIVES.search(sentence.text) is None else WORDS_BESIDE_CHORDS:
        for match in pattern.finditer(sentence.text):
            claim = _claim_of(sentence, match, false)
            if claim is not None and not any(
                claim.first < last and first < claim.last for first, last in taken
            ):
                taken.append((claim.first, claim.last))
                yield claim


def _claim_of(sentence: Sentence, match: re.Match[str], false: bool) -> KeyClaim | None:
    groups = match.groupdict()
    tonic = groups.get("letter") or groups.get("tonic") or groups.get("relative") or groups.get("home") or ""
    if tonic == "a" and not groups.get("mode") and sentence.written[match.start("letter")] != "A":
        return None
    name = "enters" if ENTERS.match(match[0]) else "in"
    name = next((at for at, words in AT_AN_END.items() if words.match(match[0])), name)
    mode = groups.get("mode") or groups.get("its") or ""
    if groups.get("relative"):
        mode = tonic.split()[1]
    elif groups.get("step"):
        tonic = f"step {groups['step']}"
    elif groups.get("home"):
        tonic = "home"
    named = BY_NAME.match(sentence.text, match.end()) if groups.get("relative") else None
    last = named.end() if named is not None else match.end()
    left = LEFT.search(sentence.text[: match.start()]) if groups.get("relative") else None
    first = left.start() if left is not None else match.start()
    return KeyClaim("key", first, last, name, tonic=tonic, mode=mode, false=false)


class Keys(RootMotion):
    """Decides in which key some bars are said to be."""

    def key(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The bars that are in a key, or in one that stands so far from the last."""
        assert isinstance(claim, KeyClaim)  # as key_claims makes them
        if claim.name == "moves":
            return self.key_moves(claim, scope)
        tonics, scope = self.tonics(claim), self.scope_within(claim, scope)
        if claim.name in AT_AN_END:
            return self.key_at_an_end(claim, scope, tonics)
        parts = [
            part
            for span in self.chord_stretches(scope)
            for key in self.harmony.keys_in(span)
            if self.is_key(key, tonics, claim) and (claim.name == "in" or self.begins_in(key, span))
            for part in self.shared(key.span, span)
        ]
        if parts:
            return self.lit_stretch(hull(parts))
        chords = self.chords_in(scope)
        if chords and tonics and all(each.root in tonics for each in chords):
            return self.lit_chords(chords)
        told = [run for tonic in tonics for run in [self.cadence_to(tonic, claim, chords)] if run]
        if told:
            return self.lit_chords(told[0])
        return self.other_key(claim, scope, tonics)

    def key_at_an_end(self, claim: KeyClaim, scope: Scope, tonics: set[int]) -> Decided:
        """The first or the last chord, where it is the tonic of the key in which something begins or ends."""
        chords = self.chords_in(scope)
        one = chords[:1] if claim.name == "starts" else chords[-1:]
        if not one or not tonics:
            return NOTHING
        keys = self.harmony.keys_in(one[0].span)
        small = one[0].family == "minor"
        if one[0].root in tonics and (not claim.mode or small == (claim.mode == "minor")):
            return self.lit_chords(one)
        if any(self.is_key(key, tonics, claim) for key in keys):
            return self.lit_chords(one)
        return self.other_key(replace(claim, false=True), scope, tonics)

    def begins_in(self, key: KeyCentre, span: Span) -> bool:
        """Whether a key is one that the music goes to in a span."""
        return key.span.start >= span.start and key != self.music.analysis.keys[0]

    def shared(self, one: Span, other: Span) -> list[Span]:
        """What two spans have in common."""
        if overlap(one, other) <= 0:
            return []
        return [Span(max(one.start, other.start), min(one.end, other.end))]

    def tonics(self, claim: KeyClaim) -> set[int]:
        """The pitch classes that the tonic of a key may be, as it sounds."""
        if claim.tonic == "home":
            return {self.harmony.home.tonic.pitch_class} if self.harmony.home is not None else set()
        if claim.tonic.startswith("step "):
            home = self.harmony.home
            steps = semitones_of(claim.tonic.removeprefix("step "), home) if home is not None else frozenset()
            return {(home.tonic.pitch_class + step) % OCTAVE for step in steps} if home is not None else set()
        if claim.tonic.startswith("relative"):
            tonic = self.harmony.relative(claim.mode)
            return set() if tonic is None else {tonic}
        return {sounding(root_said(claim.tonic), self.harmony)}

    def is_key(self, key: KeyCentre, tonics: set[int], claim: KeyClaim) -> bool:
        """Whether a key is the one that is said."""
        fits = not claim.mode or is_minor(key) == (claim.mode == "minor")
        return key.tonic.pitch_class in tonics and fits

    def cadence_to(self, tonic: int, claim: KeyClaim, chords: Sequence[Heard]) -> list[Heard]:
        """The chords round a cadence to a tonic, as far as they are of its key; none where there is no cadence."""
        modes = [claim.mode] if claim.mode else ["major", "minor"]
        for one, other in pairwise(chords):
            if one.family in DOMINANT and one.root == (tonic + FIFTH) % OCTAVE and other.root == tonic:
                mode = "minor" if other.family == "minor" else "major"
                if mode not in modes:
                    continue
                own = [each for each in chords if is_of_mode(mode, each, tonic)]
                return next(run for run in self.runs_of([*own]) if one in run or other in run)
        return []

    def other_key(self, claim: KeyClaim, scope: Scope, tonics: set[int]) -> Decided:
        """A fault, where nothing speaks for the key that is said."""
        spans = self.chord_stretches(scope)
        keys = [key for span in spans for key in self.harmony.keys_in(span)]
        words = self.sentence.words(claim.first, claim.last)
        whole = "the key of" in words and self.is_of_the_piece(spans)
        if not claim.false and not whole and not PLAINLY.match(words):
            return NOTHING
        speak = [
            each
            for each in self.chords_in(scope)
            if each.root in tonics or (each.family in DOMINANT and (each.root - FIFTH) % OCTAVE in tonics)
        ]
        home = [each for each in speak if each.root in tonics and each.family in ("major", "minor")]
        if claim.mode and home and all((each.family == "minor") != (claim.mode == "minor") for each in home):
            speak = []  # its tonic is there, and in the other mode
        if not keys or not tonics or speak or not self.is_certain(claim, scope):
            return NOTHING
        names = " and ".join(dict.fromkeys(self.key_said(key) for key in keys))
        so = any(self.is_key(key, tonics, claim) for key in keys)  # yet its tonic is not landed on
        there = f"has {self.harmony.said(self.chords_in(scope))}" if so else f"is in {names}"
        what = f"“{self.sentence.words(claim.first, claim.last)}”: {self.told_of(spans[0], there)}"
        return Decided(None, format_span(self.music.score, spans[0]), (), what, "say which key it is in")

    def is_of_the_piece(self, spans: Sequence[Span]) -> bool:
        """Whether some bars are all that there are, but for a pickup."""
        return all(any(span.start <= bar.start < span.end for span in spans) for bar in self.music.full_bars)

    def key_said(self, key: KeyCentre) -> str:
        """A key by its name on the score's page."""
        tonic = key.tonic.transposed(self.music.score.transposition)
        sign = {-1: "♭", 1: "♯"}.get(tonic.alter, "")
        return f"{tonic.step}{sign} {key.mode}"

    def into_bar(self, claim: RootsClaim, scope: Scope) -> Decided:
        """The chord of a bar from the one before it, or its key from the last."""
        each = super().into_bar(claim, scope)
        if each.says:
            return each
        return self.key_moves(KeyClaim("key", claim.first, claim.last, "moves", steps=claim.steps), scope)

    # From key to key ------------------------------------------------------------------------------------

    def key_moves(self, claim: KeyClaim, scope: Scope) -> Decided:
        """The key of some bars, or each of several, that stands so far from the one before."""
        every = self.music.analysis.keys
        here = [key for span in self.chord_stretches(scope) for key in self.harmony.keys_in(span)]
        if claim.count == -1 and len(here) > 1:
            pairs: Sequence[tuple[KeyCentre, KeyCentre]] = list(pairwise(here))
        else:
            pairs = [(one, other) for one, other in pairwise(every) if other in here]
        fitting = [pair for pair in pairs if self.is_so_far(claim, *pair)]
        if not pairs:
            return NOTHING
        several = self.key_run(claim, pairs) if len(fitting) < len(pairs) and self.is_of_many(claim) else []
        if several:
            return self.lit_stretch(Span(several[0][0].span.start, several[-1][1].span.end))
        if len(fitting) == len(pairs) or (len(fitting) == 1 and claim.count == 0):
            shown = self.shared(
                Span(fitting[0][1].span.start, fitting[-1][1].span.end), self.chord_stretches(scope)[0]
            )
            spans = [span for key in here for span in self.shared(key.span, self.chord_stretches(scope)[0])]
            whole = spans if claim.count == -1 else shown
            return self.lit_stretch(Span(whole[0].start, whole[-1].end)) if whole else NOTHING
        return NOTHING

    def is_of_many(self, claim: KeyClaim) -> bool:
        """Whether keys are said to go on by an interval: "by whole steps"."""
        return self.sentence.words(claim.first, claim.last).endswith("s")

    def key_run(
        self, claim: KeyClaim, pairs: Sequence[tuple[KeyCentre, KeyCentre]]
    ) -> list[tuple[KeyCentre, KeyCentre]]:
        """The longest run of keys of which each stands so far from the one before, if it is of three or more."""
        runs: list[list[tuple[KeyCentre, KeyCentre]]] = [[]]
        for pair in pairs:
            if self.is_so_far(claim, *pair):
                runs[-1].append(pair)
            else:
                runs.append([])
        longest = max(runs, key=len)
        return longest if len(longest) > 1 else []

    def row(self, claim: RootsClaim, scope: Scope) -> Decided:
        """Chords in a row on roots that are named, or the keys that follow each other."""
        each = super().row(claim, scope)
        if each.says or OF_KEYS.search(self.sentence.text) is None:
            return each
        tonics = [sounding(root_said(name), self.harmony) for name in claim.names]
        keys = [key for span in self.chord_stretches(scope) for key in self.harmony.keys_in(span)]
        rows = [keys[at : at + len(tonics)] for at in range(len(keys) - len(tonics) + 1)]
        found = [row for row in rows if [key.tonic.pitch_class for key in row] == tonics]
        if len(found) != 1:
            return NOTHING
        return self.lit_stretch(Span(found[0][0].span.start, found[0][-1].span.end))

    def is_so_far(self, claim: KeyClaim, one: KeyCentre, other: KeyCentre) -> bool:
        """Whether the tonics of two keys stand as is said."""
        return (other.tonic.pitch_class - one.tonic.pitch_class) % OCTAVE in claim.steps
