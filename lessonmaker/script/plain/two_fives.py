"""Progressions that are counted, named by their key or their steps, or said to get home or not.

"Three two-fives in a row", "a two-five of A that goes nowhere", "one six two five, then three six two five". Common
practice, no source: a two five is a minor or half-diminished chord and the dominant a fourth above it; it gets home
where the root goes on by a fourth.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonmaker.score.position import Span, format_span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.chord_words import (
    FIFTH,
    KEY_NAME,
    OF_A_STEP,
    TARGET,
    ChordSaid,
    root_said,
    semitones_of,
    sounding,
    step_fits,
)
from lessonmaker.script.plain.chord_words import STEP as CHORD_STEP
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.heard import DOMINANT, SMALL, Heard
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.key_claims import LETTER, NO_KEY, KeyClaim, Keys
from lessonmaker.script.plain.root_intervals import INTERVAL, interval_said, steps_said
from lessonmaker.script.plain.root_motion import SIZES
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import MOVING
from lessonmaker.script.plain.vocabulary import CARDINAL, NUMBER

__all__ = [
    "NEXT_STEP",
    "OF_ROOTS",
    "TIME",
    "ProgressionClaim",
    "TwoFives",
    "is_in_a_two_five",
    "progression_claims",
    "steps_in_key",
    "without_names",
]

TWO_FIVE = r"(?P<two>two|2|ii)[ -](?:five|5|v)(?P<one>[ -](?:one|1|i(?!s\b)))?"
TWO_FIVES = pattern_of(
    rf"(?<![\w-])(?<!backdoor )(?<!back[ -]door )"
    rf"(?:(?P<count>{CARDINAL}|[2-9])(?: more| further| other| such)? )?(?P<minor>minor |major )?"
    rf"{TWO_FIVE}(?P<plural>s)?(?![\w])"
)
STEP_OF_KEY = r"(?:(?:two|three|four|five|six) chord(?!s)|subdominant)"
IN_KEY = pattern_of(
    rf"(?: progression| cadence)? (?:of|in|to|into|towards?|for|going to|heading (?:to|for)|in the key of"
    rf"|that (?:belongs|goes|leads) to)"
    rf" (?:the key of )?(?:{LETTER}{NO_KEY}|(?:the )?(?P<relative>relative (?:major|minor))"
    rf"|the (?P<step>{STEP_OF_KEY}))"
)
PLACE = rf"(?:(?: here|,)? ?(?:in|of) (?:bars? |measures? )?{NUMBER}(?:(?: and |-| to ){NUMBER})?|,| here)?"
# "The two-five in bar nine is aimed at G minor".
AIMED_AT = pattern_of(
    rf"{PLACE}(?:(?:'s| is)(?: \w+ly)? (?:aim(?:ed|ing)|bound|directed|head(?:ed|ing)|point(?:ed|ing))"
    r"|(?: (?:that|which))?(?: \w+ly)? (?:aims|heads|leads|points|wants to go|is on its way)"
    rf"|,? (?:aim(?:ed|ing)|bound|head(?:ed|ing)|leading|pointing)) (?:at|for|to|towards?) {LETTER}{NO_KEY}"
)
NOWHERE = (
    r"(?:,? (?:that|which|but it|and it|it|who))? ?(?:just |simply |quite )*(?:(?:never|does(?:n't| not)"
    r"|do(?:n't| not)|won't|didn't|refuses to|fails to)(?: [a-z]+)? "
    r"(?:gets?|go(?:es)?|resolves?|comes?|arrives?|lands?|makes? it|reach(?:es)?|finds?)(?: (?:home|there"
    r"|anywhere|to (?:its|the) (?:one|tonic|home)"
    r"|where it(?:'s| is) (?:going|headed|heading|supposed to go)|its (?:one|tonic|home|target|goal)"
    r"|the one|on (?:its|the) one))?"
    r"|goes (?:nowhere|elsewhere|somewhere else)(?: near [a-z]+)?|(?:has|with) no (?:one|tonic|home|resolution)"
    r"|(?:is )?(?:left )?(?:unresolved|hanging)|(?:is )?without (?:a |its |any )?(?:one|tonic|resolution|home))"
)
GOAL = (
    r"(?P<goal>[a-g](?:b|#|[ -]flat|[ -]sharp)?)(?: (?:major|minor)(?: seven(?:th)?| six)?"
    r"| seven)?(?![\w#'])"
)
HOME = (
    r"(?:,? (?:that|which|and it|and))? ?(?:just |duly |really )*(?:gets?|goes|resolves?|comes?|lands?"
    r"|arrives?|takes us|brings us) "
    r"(?:home|on (?:the|its) (?:one|tonic)|to (?:the|its) (?:one|tonic)|where it(?:'s| is) (?:going|headed)"
    rf"|(?:on|to|at|in) {GOAL})"
    rf"(?: (?:in|at) (?:bar |measure )?{NUMBER})?"
)
ENDINGS = tuple(
    (pattern_of(rf"{PLACE}{pattern}"), name) for pattern, name in ((NOWHERE, "nowhere"), (HOME, "home"))
)
# How far each of them is from the last.
EACH_APART = pattern_of(
    r"[^.;:]{0,20}?,? (?:each|every one|always)(?: one| time| pair| of them)?(?: is| comes| stands)? "
    rf"(?:an? )?{INTERVAL} (?:lower|higher|down|up|below|above|under|beneath)(?: than)?"
    r"(?: the (?:last|one before|previous one)| each time)?"
)
# "The two-fives come down by semitones"; "the second two-five is a whole tone below the first".
MOVES_BY = pattern_of(
    rf"(?: (?:here|just|simply|that|which))* (?:{MOVING})(?: (?:along|down|up|steadily|away))*"
    rf" (?:(?:an?|by|in|one) )?{INTERVAL}(?: (?:down|up|at a time|each time|every time))*"
)
BELOW = pattern_of(
    rf"(?: here)?(?: is|'s| comes| lies| sits| stands) (?:exactly |just )?(?:an? )?{INTERVAL}"
    r" (?:(?:above|below|higher than|lower than|under|over|up from|down from)"
    r" the (?:first|other|one before|previous one)"
    r"|(?:higher|lower)(?: again)?(?=[,.;:!?]|$| and\b))"
)
# Progressions by their steps, which no line of notes is told by.
STEP = r"(?:one|two|three|four|five|six|[1-6])"
LAST_STEP = rf"{STEP}(?! (?:bars?|measures?|beats?|chords?|each)\b)"
ROW = pattern_of(rf"(?<![\w-]){STEP}(?:(?:,? |-|, ?){LAST_STEP}){{3,4}}(?![\w-])")
KNOWN = {"1625", "3625", "36251", "16251", "6251", "2514", "1645", "1451", "1436", "1362", "1425", "2536"}
# Chords by their steps, each with its kind or what it leads to: "major four to minor four", "five of five, then five".
ONE_STEP = (
    rf"(?:the |our |an? )?(?:(?:five|5)(?: chord)? of (?:{pattern_of('[?]P<target>').sub('?:', TARGET)})"
    rf"|{CHORD_STEP}(?: chord)?)(?![\w-]| (?:over|under) )"
)
NEXT_STEP = (
    r"(?:,? (?:(?:and )?then|and(?: then)?(?: back)?(?: to)?|(?:going |moving |back |right )*(?:in)?to|becomes"
    r"|turns into)(?: an?| the| our)? |, |; )"
)
STEP_ROW = pattern_of(rf"(?<![\w'#-]){ONE_STEP}(?:{NEXT_STEP}{ONE_STEP})+")
EACH_STEP = pattern_of(ONE_STEP)
# "The four chord goes from major to minor", "major to minor on the four chord".
A_KIND, A_NUMBER = r"(?:major|minor|dominant)", r"(?:one|two|three|four|five|six|seven)"
FROM_KIND = pattern_of(
    rf"\b(?P<step>{A_NUMBER}) chord,? (?:\w+,? )?from (?P<one>{A_KIND}) to (?P<other>{A_KIND})\b"
    r"(?! (?:third|six|seven))"
    rf"|\b(?:from )?(?P<one2>{A_KIND}) to (?P<other2>{A_KIND}) (?:on|for) the (?P<step2>{A_NUMBER})(?: chord)?\b"
    r"(?! of\b)"
)
# "Three and five of C sharp minor", "the three, the flat seven and the five of E flat" are notes.
OF_ITS_NOTES = pattern_of(
    r"(?=.*\b(?:three|seven)\b)(?!.*\b(?:two|four|six|chord|major (?:one|three)|minor (?:one|three))\b)"
    r"(?:(?! of ).)* of [a-g]\b.*"
)
# What is no degree by its words.
IS_A_CHORD = pattern_of(
    rf" of |^(?:\w+ )?\w+ chord|\b(?:tonic|subdominant)\b"
    r"|\b(?:half[- ]diminished|(?:minor|major|dominant)) (?:one|two|four|five|[1245])\b"
    rf"|(?:one|two|four|five|six|[12456]) {OF_A_STEP}\b"
)
# What is so where something else is.
TIME = pattern_of(
    r"\b(?:as|when|where|while|once|before|after|until|till|because) (?:soon as )?$"
)  # where something else is
# Degrees of a chord, among which a number is one more.
DEGREE = r"(?:roots?|thirds?|fourths?|fifths?|sixths?|sevenths?|ninths?|elevenths?|thirteenths?|nine|eleven|thirteen)"
AFTER_A_DEGREE = pattern_of(rf"\b{DEGREE}(?:,| and| then| to| the)* $")
OF_CHORDS = pattern_of(r"\b(?:progression|cadence|turnaround|in (?:our|this|the) key|harmony|vamp)\b")


@dataclass(frozen=True)
class ProgressionClaim(Claim):
    """A claim of two fives: `count` of them; of a key by its `tonic` as written; minor; with their one.

    `end` is "home" or "nowhere" where it is said; `steps` are those of a progression that is told by them, `chords`
    what names them; `apart` is how many semitones up each may be from the last.
    """

    tonic: str = ""
    minor: bool = False
    end: str = ""
    steps: tuple[str, ...] = ()
    chords: tuple[ChordSaid, ...] = ()
    apart: tuple[int, ...] = ()


@dataclass(frozen=True)
class TwoFive:
    """A second step, its dominant, and the chord that follows, if any."""

    two: Heard
    five: Heard
    after: Heard | None

    @property
    def tonic(self) -> int:
        """The pitch class that it leads to."""
        return (self.five.root - FIFTH) % OCTAVE

    @property
    def is_home(self) -> bool:
        """Whether it goes where it leads."""
        return self.after is not None and self.after.root == self.tonic

    @property
    def is_minor(self) -> bool:
        """Whether it is one of a minor key, by its second step or by where it goes."""
        to_minor = self.is_home and self.after is not None and self.after.family == "minor"
        return self.two.family == "half-diminished" or to_minor


def progression_claims(sentence: Sentence) -> Iterator[ProgressionClaim]:
    """What a sentence says of progressions by their number, key, end or steps."""
    rows = list(ROW.finditer(sentence.text))
    for match in rows:
        steps = tuple(str(number_said(word)) for word in pattern_of(STEP).findall(match[0]))
        if "".join(steps) in KNOWN:
            yield steps_in_key(sentence, match, steps)
        elif OF_CHORDS.search(sentence.text):
            yield ProgressionClaim("progression", *match.span(), "row", steps=steps)
    yield from _of_steps(sentence)
    yield from _of_kinds(sentence)
    for match in TWO_FIVES.finditer(sentence.text):
        if any(row.start() <= match.start() and match.end() <= row.end() for row in rows):
            continue
        claim = _claim_of(sentence, match)
        if claim is not None:
            yield claim


def _of_steps(sentence: Sentence) -> Iterator[ProgressionClaim]:
    """The rows of steps that are chords by their words."""
    for match in STEP_ROW.finditer(without_names(sentence)):
        words = tuple(each[0] for each in EACH_STEP.finditer(match[0]))
        before = sentence.text[: match.start()]
        if TIME.search(before) or AFTER_A_DEGREE.search(before) or OF_ITS_NOTES.fullmatch(match[0]):
            continue
        if is_in_a_two_five(sentence, match.start()):
            continue
        known = IS_A_CHORD.search(match[0]) or (len(words) > 2 and OF_CHORDS.search(sentence.text))
        if known and ROW.fullmatch(match[0]) is None:
            yield ProgressionClaim("progression", *match.span(), "row", steps=words)


def _of_kinds(sentence: Sentence) -> Iterator[ProgressionClaim]:
    """What a sentence says of a chord that becomes one of another kind."""
    for match in FROM_KIND.finditer(sentence.text):
        step = match["step"] or match["step2"]
        kinds = tuple(f"{match[name] or match[f'{name}2']} {step}" for name in ("one", "other"))
        yield ProgressionClaim("progression", *match.span(), "row", steps=kinds)


def is_in_a_two_five(sentence: Sentence, at: int) -> bool:
    """Whether a step is one of a progression that is named: "a two five one to the four chord"."""
    return any(match.start() < at < match.end() for match in TWO_FIVES.finditer(sentence.text))


def without_names(sentence: Sentence) -> str:
    """The text of a sentence without its chords' names: "D seven, the five of six" is no seven, five."""
    text = sentence.text
    for name in chord_names(sentence):
        if OF.search(text[: name.first]):
            continue
        text = text[: name.first] + NAME * (name.last - name.first) + text[name.last :]
    return text


def steps_in_key(sentence: Sentence, match: re.Match[str], steps: tuple[str, ...]) -> ProgressionClaim:
    """The claim of a progression by its steps, in the key that is named after it."""
    key = IN_KEY.match(sentence.text, match.end())
    if key is not None and sentence.is_article(key, "letter"):
        key = None
    last = key.end() if key is not None else match.end()
    tonic = "" if key is None else key["letter"] or key["relative"] or f"step {key['step']}"
    return ProgressionClaim("progression", match.start(), last, "steps", steps=steps, tonic=tonic)


def _claim_of(sentence: Sentence, match: re.Match[str]) -> ProgressionClaim | None:
    """The claim of a two five, where its number, its key or its end is said."""
    count = number_said(match["count"]) if match["count"] and match["plural"] else 0
    last = match.end()
    key = IN_KEY.match(sentence.text, last) or AIMED_AT.match(sentence.text, last)
    if key is not None and sentence.is_article(key, "letter"):
        key = None
    last = key.end() if key is not None else last
    end = goal = ""
    for pattern, name in ENDINGS:
        told = pattern.match(sentence.text, last)
        if told is not None and not end:
            end, last = name, told.end()
            goal = told.groupdict().get("goal") or goal
    before = pattern_of(r"\b(?:unresolved|deceptive) $").search(sentence.text[: match.start()])
    end = "nowhere" if before and not end else end
    is_minor = (
        pattern_of(r"\bis (?:just |really )?an? $").search(sentence.text[: match.start()])
        and match["minor"] == "minor "
    )
    said = key.groupdict() if key is not None else {}
    tonic = goal if key is None else said["letter"] or said.get("relative") or f"step {said['step']}"
    first = match.start("minor") if match["minor"] else match.start("two")
    first = match.start() if count else first
    apart = EACH_APART.match(sentence.text, last) or MOVES_BY.match(sentence.text, last)
    apart = apart if match["plural"] else None
    second = SECOND.search(sentence.text[: match.start()])
    if second is not None and not match["plural"]:
        apart, first = BELOW.match(sentence.text, last), second.start("nth")
    count = -1 if apart is not None and not count else count
    last = apart.end() if apart is not None else last
    if count in (0, 1) and key is None and not end and not is_minor:
        return None
    name = "two five one" if match["one"] else "two five"
    return ProgressionClaim(
        "progression",
        first,
        last,
        name,
        count=count,
        tonic=tonic,
        minor=match["minor"] == "minor ",
        end=end,
        apart=steps_said(interval_said(apart), apart[0]) if apart is not None else (),
    )


PAIR, NAME = 2, "\0"
SECOND = pattern_of(r"\b(?P<nth>second|next|other) (?:(?:minor |major )?(?:two|2|ii)[ -](?:five|5|v)|$)")
KNOWN_ONES = pattern_of(r"\b(?:our|the|these|those) $")
OF = pattern_of(r"(?<! way) of (?:the )?$")


class TwoFives(Keys):
    """Decides which progressions are meant."""

    def progression_said(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """The progressions that are as many, of the key, and end as is said."""
        assert isinstance(claim, ProgressionClaim)  # as progression_claims makes them
        if claim.steps:
            return self.by_steps(claim, scope)
        if claim.chords:
            return self.by_names(claim, scope)
        scope = self.scope_within(claim, scope)
        every = self.two_fives(scope)
        found = [each for each in every if self.is_so(claim, each)]
        if claim.count:
            return self.counted_ones(claim, scope, found)
        if len(found) == 1:
            return self.lit_two_fives(claim, found)
        if len(found) > 1:
            spans = [format_span(self.music.score, self.span_of(claim, each)) for each in found]
            return self.question(self.sentence.words(claim.first, claim.last), spans)
        return self.other_progression(claim, scope, every)

    def two_fives(self, scope: Scope) -> list[TwoFive]:
        """The two fives that begin in a claim's place."""
        chords, found = self.chords_in(scope), []
        for two in chords:
            five = self.harmony.after(two)
            if five is None or two.family not in SMALL or five.family not in DOMINANT:
                continue
            if (five.root - two.root) % OCTAVE != OCTAVE - FIFTH or not self.is_seen(five.span):
                continue
            after = self.harmony.after(five)
            while after is not None and after.root == five.root and after.family in DOMINANT:
                after = self.harmony.after(after)  # the same dominant, in another form
            found.append(TwoFive(two, five, after))
        return found

    def is_so(self, claim: ProgressionClaim, each: TwoFive) -> bool:
        """Whether a two five is of the key and the kind that is said, and ends so."""
        home = each.is_home or claim.end == "nowhere" or (not claim.end and not claim.name.endswith("one"))
        away = claim.end != "nowhere" or not each.is_home
        minor = not claim.minor or each.is_minor
        return home and away and minor and (not claim.tonic or each.tonic in self.tonics_said(claim))

    def tonics_said(self, claim: ProgressionClaim) -> set[int]:
        """The pitch class of the key that is said."""
        if claim.tonic.startswith("relative"):
            tonic = self.harmony.relative(claim.tonic.split()[1])
            return set() if tonic is None else {tonic}
        if claim.tonic.startswith("step "):
            return self.tonics(KeyClaim("key", claim.first, claim.last, tonic=claim.tonic))
        return {sounding(root_said(claim.tonic), self.harmony)}

    def span_of(self, claim: ProgressionClaim, each: TwoFive) -> Span:
        """From a two five's first chord to its last, its one with it where that is said."""
        home = each.after is not None and each.is_home and (claim.end == "home" or claim.name.endswith("one"))
        last = each.after if home and each.after is not None else each.five
        return Span(each.two.span.start, last.span.end)

    def lit_two_fives(self, claim: ProgressionClaim, found: Sequence[TwoFive]) -> Decided:
        """Light some two fives as one stretch."""
        return self.lit_stretch(Span(found[0].two.span.start, self.span_of(claim, found[-1]).end))

    def counted_ones(self, claim: ProgressionClaim, scope: Scope, found: Sequence[TwoFive]) -> Decided:
        """As many two fives as is said, or a fault."""
        moves = [(other.tonic - one.tonic) % OCTAVE for one, other in pairwise(found)]
        several = claim.count == -1 and len(found) > 1
        if (several or len(found) == claim.count) and (not claim.apart or set(moves) <= set(claim.apart)):
            second = len(found) == PAIR and SECOND.match(self.sentence.text, claim.first)
            return self.lit_two_fives(claim, found[1:] if second else found)
        before = self.sentence.text[: claim.first]
        known = POINTED.search(self.sentence.text) or (claim.apart and KNOWN_ONES.search(before))
        if not (scope.explicit or known or not before.strip()):
            return NOTHING
        if not self.is_certain(claim, scope):
            return NOTHING
        if claim.count == -1 and len(found) < 2:
            return NOTHING
        if several or len(found) == claim.count:
            return self.false_progression(claim, scope, f"the second is {SIZES[moves[0]]} from the first")
        at = " and ".join(format_span(self.music.score, self.span_of(claim, each)) for each in found)
        there = (
            f"there is one, in {at}"
            if len(found) == 1
            else f"there are {len(found)}, in {at}"
            if found
            else "there is none"
        )
        return self.false_progression(claim, scope, there)

    def other_progression(self, claim: ProgressionClaim, scope: Scope, every: Sequence[TwoFive]) -> Decided:
        """A fault, where the one two five there is of another key, or ends in another way."""
        if len(every) != 1 or not self.is_certain(claim, scope):
            return NOTHING
        each = every[0]
        goes = f"go to {each.after.text}" if each.after is not None else "are the last there are"
        return self.false_progression(claim, scope, f"{self.harmony.said([each.two, each.five])} {goes}")

    def false_progression(self, claim: ProgressionClaim, scope: Scope, there: str) -> Decided:
        """A fault of a progression."""
        words, span = self.sentence.words(claim.first, claim.last), self.chord_stretches(scope)[0]
        return Decided(None, format_span(self.music.score, span), (), f"“{words}”: {there}", "say what it is")

    def by_steps(self, claim: ProgressionClaim, scope: Scope) -> Decided:
        """A progression by its steps."""
        chords, size = self.chords_in(scope if scope.explicit else Scope()), len(claim.steps)
        rows = [chords[at : at + size] for at in range(len(chords) - size + 1)]
        found = [row for row in rows if self.is_one_stretch(row) and self.has_steps(claim, row)]
        if not found and size == 2 and len(chords) == 1 and BECOMES.search(self.sentence.text):
            before = self.harmony.before(chords[0])  # what a chord in a bar that is named was before
            pair = [before, chords[0]] if before is not None else []
            found = [pair] if pair and self.has_steps(claim, pair) else []
        if len(found) == 1:
            return self.lit_chords(found[0])
        if len(found) > 1:
            targets = [
                format_span(self.music.score, Span(row[0].span.start, row[-1].span.end)) for row in found
            ]
            return self.question(self.sentence.words(claim.first, claim.last), targets)
        elsewhere = replace(claim, tonic="")
        true = [
            row for row in rows if claim.tonic and self.is_one_stretch(row) and self.has_steps(elsewhere, row)
        ]
        if true and self.is_certain(claim, scope):
            return self.false_progression(claim, scope, f"{self.harmony.said(true[0])} are not in that key")
        plain = claim.name == "row" and IS_A_CHORD.search(self.sentence.words(claim.first, claim.last))
        if plain and len(chords) == size and self.is_certain(claim, scope):
            return self.false_progression(claim, scope, f"the chords are {self.harmony.said(chords)}")
        return NOTHING

    def by_names(self, claim: ProgressionClaim, scope: Scope) -> Decided:
        """Chords that are named one after the other, where they follow each other."""
        if scope.used and all(place.pointed and place.first >= claim.first for place in scope.used):
            scope = Scope()  # "F seven, then B flat in the next bar"
        scope = self.of_this_part(claim, scope)
        chords, size = self.chords_in(scope), len(claim.chords)
        rows = [chords[at : at + size] for at in range(len(chords) - size + 1)]
        found = [row for row in rows if self.is_one_stretch(row) and self.is_named_so(claim, row)]
        if not found and scope.explicit and len(chords) == 1:
            row = self.leading_to(chords[0], size)  # "B seven slides to B flat in bar twenty"
            found = [row] if len(row) == size and self.is_named_so(claim, row) else []
        if len(found) == 1:
            return self.lit_as_far(found[0], scope)
        keys = [] if found else self.keys_on_the_way(claim, chords)
        if keys:
            return self.lit_stretch(Span(keys[0].span.start, keys[-1].span.end))
        return NOTHING if found else self.other_names(claim, scope, chords)

    def other_names(self, claim: ProgressionClaim, scope: Scope, chords: list[Heard]) -> Decided:
        """A fault where the chords that are named one after the other are plainly others."""
        of_roots, size = OF_ROOTS.search(self.sentence.text), len(claim.chords)
        full = [each for each in claim.chords if each.sort == "name" or of_roots]
        if not chords or len(full) < size or not self.is_certain(claim, scope):
            return NOTHING
        if size == len(chords) and scope.explicit:
            return self.false_progression(claim, scope, f"the chords are {self.harmony.said(chords)}")
        first = [each for each in chords if full[0].fits(each, self.harmony)]
        after = self.harmony.after(first[0]) if len(first) == 1 and size == PAIR else None
        if after is not None and not full[1].fits(after, self.harmony):
            chords = [first[0], after]
            return self.false_progression(claim, scope, f"the chords are {self.harmony.said(chords)}")
        near = [*filter(None, (self.harmony.before(chords[0]), *chords, self.harmony.after(chords[-1])))]
        absent = [said for said in full if not any(said.fits(each, self.harmony) for each in near)]
        if absent and len(absent) < size:
            return self.false_progression(claim, scope, f"the chords are {self.harmony.said(chords)}")
        return NOTHING

    def keys_on_the_way(self, claim: ProgressionClaim, chords: Sequence[Heard]) -> list[Heard]:
        """The chords of keys that are told, with others on the way: "B flat major goes to A major"; else none."""
        words = [self.sentence.words(said.first, said.last) for said in claim.chords]
        if not all(KEY_NAME.fullmatch(each) for each in words):
            return []
        left, found = list(chords), list[Heard]()
        for said in claim.chords:
            at = next((n for n, each in enumerate(left) if said.fits(each, self.harmony)), None)
            if at is None:
                return []
            found, left = [*found, left[at]], left[at + 1 :]
        tonics = {key.tonic.pitch_class for key in self.music.analysis.keys}
        return found if all(each.root in tonics for each in found) else []

    def leading_to(self, last: Heard, size: int) -> list[Heard]:
        """So many chords in a row, the last of which is known; fewer where there are no more."""
        row = [last]
        while len(row) < size and (before := self.harmony.before(row[0])) is not None:
            row.insert(0, before)
        return row

    def lit_as_far(self, row: Sequence[Heard], scope: Scope) -> Decided:
        """Light chords in a row; the last no farther than the bar in which it is said to be reached."""
        last, bars = row[-1].span, scope.spans if scope.explicit and len(scope.spans) == 1 else ()
        if bars and bars[0].start == last.start and bars[0].end < last.end:
            return self.lit_stretch(Span(row[0].span.start, bars[0].end))
        return self.lit_chords(row)

    def is_named_so(self, claim: ProgressionClaim, row: Sequence[Heard]) -> bool:
        """Whether chords in a row are those that are named."""
        return all(said.fits(each, self.harmony) for said, each in zip(claim.chords, row, strict=True))

    def has_steps(self, claim: ProgressionClaim, row: Sequence[Heard]) -> bool:
        """Whether chords in a row stand on some steps of one key."""
        if claim.name == "row":
            return any(
                all(step_fits(step)(each, self.harmony) for each, step in zip(row, steps, strict=True))
                for steps in (claim.steps, _of_one_key(claim.steps))
            )
        if claim.tonic:
            return any(
                all(
                    (each.root - tonic) % OCTAVE in semitones_of(step, key)
                    for each, step in zip(row, claim.steps, strict=True)
                )
                for tonic in self.tonics_said(claim)
                for key in self.music.analysis.keys
            )
        return any(
            all(
                (each.root - key.tonic.pitch_class) % OCTAVE in semitones_of(step, key)
                for each, step in zip(row, claim.steps, strict=True)
            )
            for key in self.harmony.keys_of(row[0])
        )


OF_KEY = pattern_of(r" of (?:[a-g]\b|the relative).*$")


def _of_one_key(steps: Sequence[str]) -> tuple[str, ...]:
    """Steps of which the last names the key for all: "the two and the five of C minor"."""
    key = OF_KEY.search(steps[-1])
    if key is None or any(OF_KEY.search(step) for step in steps[:-1]):
        return tuple(steps)
    return (*(f"{step}{key[0]}" for step in steps[:-1]), steps[-1])


OF_ROOTS = pattern_of(r"\broots\b|\broot (?:\w+ )?from\b")
BECOMES = pattern_of(r"\b(?:becom|turn)")
POINTED = pattern_of(
    r"\b(?:here|these|this|there (?:is|are)|there's|that's|we (?:have|get|string)|(?:line|bridge"
    r"|section) (?:\w+ )?(?:has|is|strings))\b"
)
