"""Which place each claim of a sentence is about, and which claims stand in one list."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import FALLING, LANDING, MOVING, RISING, STARTING

__all__ = ["BEFORE_IT", "MOVES_ON", "RESOLVED", "Scope", "is_next_subject", "lists_in", "scopes_of"]

# Between a claim and a place that is its own: no other part of the sentence begins there.
BREAKS = (
    r"(?:and|but|or|then|before|until|till|after|while|so|because|where|when|whereas|although|though|if|like|than"
    r"|as|not"
    r"|no|leads?|leading|takes|brings|goes on|going on|heads?|heading|into|to|towards|for)\b"
)
FOLLOWS = pattern_of(
    r"(?:'s)?\s*,?\s*(?:(?:note|notes|here|there|right|just|again|struck|placed|that|which|you|we"
    r"|hear|see|found|heard|sits?|comes?|is|are|sitting|coming"
    r"|appears?|standing|stands?|lands?|landing|falls?|early|late|back|down|up|over|across"
    r"|takes? up|occup(?:y|ies)|fills?|happens?|returns?|recurs?|reappears?|it|we've|got|have|goes|through"
    r"|throughout|all|at all)\s+)*"
    r"(?:in|of|on|at|over|from|during|inside|within|against|above|to|for|into|,)?\s*(?:the |both )?"
    rf"|(?:,? (?!{BREAKS})[a-z][a-z'-]*)?(?: (?!{BREAKS})[a-z][a-z'-]*){{0,7}},? "
    r"(?:in|of|on|at|over|during|inside|within|against|above|across|throughout|under|underneath)\s+"
    r"(?:the |both |all of )?"
)
LISTED = pattern_of(
    r"(?:\s|,|;|-|:|\bthen\b|\band\b|\bor\b|\bthe\b|\ba\b|\ban\b|\bto\b|\bdown\b|\bup\b"
    r"|\bwith\b|\bits\b|\bplus\b|\bnext\b|\balso\b|\bboth\b|\bfrom\b"
    r"|\bthrough\b|\binto\b|\bafter that\b|\bafterwards\b|\bfollowed by\b|\bfinally\b|\bby\b"
    r"|\bback\b|\bagain\b|\banother\b|\bon\b|\bnote\b|\babove\b|\bbelow\b|\bunder\b"
    rf"|\b{MOVING}\b|\b(?:half|whole|step|steps|stepwise|semitone|tone|chromatically|diatonically|over|past|via"
    rf"|straight|right|all"
    r"|way|it|which|that|first|there|comes|as well)\b)*"
)
# Between claims that share the place after the last one: no motion from one to the other.
JOINED = pattern_of(r"(?:\s|,|\bthen\b|\band\b|\bor\b|\bthe\b|\ba\b|\ban\b|\bplus\b|\balso\b|\bboth\b)*")

BEFORE_IT = pattern_of(
    r"\b(?:before|until|till|approaching|leading (?:in)?to"
    r"|(?:kick|lead|pick|push|slip|sneak|spill)(?:s|es|ed|ing)? (?:up )?into"
    r"|on the way to|ahead of)(?: \w+){0,4} $"
)
# "That E seven's got a sharp eleven": it is plainly the chord's own.
HAS_IT = pattern_of(
    r"(?: chord)?(?: here| there)?(?:'s| has| have| gets?| got| wants| needs| takes| carries| brings| wears"
    r"| comes with| sports)"
    r"(?: got)?(?: (?:an?|its|the))? "
)
WITH_ONE = pattern_of(r"\b(?:with|has|got) (?:an?|its) $")  # "here's B flat seven, with a flat nine in it"
IN_IT = pattern_of(r" (?:in|inside|on top of) it\b")
GOAL = pattern_of(r"(?:to|into|from|for|across) ")  # before a chord that something moves to
# "He resolves that B flat on the downbeat": the place is where it goes, and not where it is.
RESOLVED = pattern_of(r"\bresolv(?:e|es|ing) (?:the|that|this|our|its)(?: \w+)? $")
# "Leave the downbeat empty and come in on the flat nine": a beat of what was done before.
AND_DOES = pattern_of(
    rf"\band (?:(?:we|you|i|he|she|it|only|just) )?(?:{STARTING}|{LANDING}|{FALLING}|{RISING})\b(?!.*\bits?\b)"
)
# What parts a device from a bar that is named after it: "arpeggiates from the root to the seventh in bar nine".
PARTED = pattern_of(r"[,;:]|\b(?:and|but|while|whereas|before|after|into|than|like|as|not|no|because|so)\b")
# Before the bar of a chord that another leads to: "aimed at the G minor in bar seven".
OF_A_GOAL = pattern_of(
    r"\b(?:aim\w*|lead\w*|point\w*|head\w*|pull\w*|push\w*|resolv\w*|wants? to (?:go|get|resolve)|bound|go(?:es|ing)?"
    r"|tak(?:es|ing) us|gets us) (?:\w+ )?(?:to|into|onto|at|for|towards?)(?: the| an?)? [a-g](?:[ -](?:flat|sharp))?"
    r"(?: (?:minor|major|seven|seventh|six|chord|altered|sus))* (?:in|of) $"
)
AND_THEN = pattern_of(r"\b(?:then|before)\b|[;:]")
UNTIL_THEN = pattern_of(rf"{AND_THEN.pattern}|\b(?:until|till)\b")
MOVES_ON = pattern_of(
    r"\b(?:then|next|after|afterwards|later|before|until|to|into|onto|followed|finally)\b|;"
)


@dataclass(frozen=True)
class Scope:
    """What a claim is about: spans that its bars may be (none: the cue's), tests of notes, and the places used.

    `followed` says that the bars stand right after the claim, so that they are its own. `carried` are those of the
    tests that were named before another claim, which need not hold any more after a "then". `each` says that all of
    the spans are meant, not one of them. `borrowed` are tests that another claim's place makes.
    """

    spans: tuple[Span, ...] = ()
    tests: tuple[Test, ...] = ()
    next_chord: bool = False
    explicit: bool = False
    used: tuple[Place, ...] = ()
    unknown: bool = False
    followed: bool = False
    carried: tuple[Test, ...] = ()
    each: bool = False
    borrowed: bool = False

    def passes(self, note: Note, music: Music) -> bool:
        """Whether a note stands where the claim says."""
        return all(test(note, music) for test in self.tests)

    @property
    def is_nowhere(self) -> bool:
        """Whether it is in some bar of those in sight, and nothing tells in which."""
        return any(place.level == "bar" and place.pointed and not place.spans for place in self.used)

    def moved_on(self) -> Scope:
        """The scope without the chords that were named before another claim."""
        return replace(self, tests=tuple(test for test in self.tests if test not in self.carried), carried=())


def scopes_of(sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place]) -> list[Scope]:
    """The scope of each claim; what is said of the line as it stands parts no other claim from its place."""
    others = [claim for claim in claims if claim.kind != "line"]
    by_first = {
        claim.first: scope for claim, scope in zip(others, _scopes(sentence, others, places), strict=True)
    }
    every = _scopes(sentence, claims, places) if len(others) < len(claims) else []
    return [
        by_first[claim.first] if claim.kind != "line" else every[index] for index, claim in enumerate(claims)
    ]


def _scopes(sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place]) -> list[Scope]:
    own = [_without_goals(sentence, claim, places) for claim in claims]
    followed = [_following(sentence, claim, claims, near) for claim, near in zip(claims, own, strict=True)]
    followed = _shared(sentence, claims, followed, places)
    scopes = [
        _scope(sentence, claim, near, _preceding(sentence, claim, claims, each, near), each, len(claims))
        for claim, near, each in zip(claims, followed, own, strict=True)
    ]
    return [
        replace(
            scope,
            carried=_carried(sentence, claim, claims, scope),
            borrowed=any(_is_borrowed(sentence, place, claim, claims) for place in scope.used if place.test),
        )
        for claim, scope in zip(claims, scopes, strict=True)
    ]


def _without_goals(sentence: Sentence, claim: Claim, places: Sequence[Place]) -> Sequence[Place]:
    """The places that a claim may be about: what chords do is not in the bar of the chord that they lead to."""
    if claim.kind not in ("device", "progression"):
        return places
    return [
        place
        for place in places
        if place.level != "bar"
        or place.first < claim.last
        or not OF_A_GOAL.search(sentence.text, claim.last, place.first)
    ]


def _is_borrowed(sentence: Sentence, place: Place, claim: Claim, claims: Sequence[Claim]) -> bool:
    """Whether a place was named for another claim than the one that it is taken for."""
    others = [other for other in claims if other is not claim and other.first < claim.first]
    between = any(place.last <= other.first for other in others)
    return place.last <= claim.first and (
        between or any(_belongs(sentence, place, other) for other in others)
    )


def _carried(sentence: Sentence, claim: Claim, claims: Sequence[Claim], scope: Scope) -> tuple[Test, ...]:
    """The chords named before another claim from which the sentence moves on: "over the two chord ..., then ..."."""
    before = [other for other in claims if other.last <= claim.first]
    chords = [place for place in scope.used if place.level == "chord" and place.last <= claim.first]
    had = [
        place
        for place in chords
        if (place.pointed and HAS_IT.fullmatch(sentence.text[place.last : claim.first]))
        or (WITH_ONE.search(sentence.text[: claim.first]) and IN_IT.match(sentence.text, claim.last))
    ]
    chords = [place for place in chords if place not in had]
    old = [place for place in chords if place.pointed or GOAL.match(sentence.text[place.first :])]
    if before and MOVES_ON.search(sentence.text[before[-1].last : claim.first]):
        old += [place for place in chords if place.last <= before[-1].first]
    return tuple(dict.fromkeys(place.test for place in old if place.test is not None))


def lists_in(sentence: Sentence, claims: Sequence[Claim]) -> list[list[int]]:
    """Runs of degree claims with nothing but "then", "and", "to the" between, as indices."""
    runs: list[list[int]] = []
    for index, claim in enumerate(claims):
        if claim.kind not in ("degree", "note"):
            continue
        last = claims[runs[-1][-1]] if runs else None
        between = sentence.text[last.last : claim.first] if last is not None else ""
        if last is not None and runs[-1][-1] == index - 1 and LISTED.fullmatch(between):
            runs[-1].append(index)
        else:
            runs.append([index])
    return runs


def _following(
    sentence: Sentence, claim: Claim, claims: Sequence[Claim], places: Sequence[Place]
) -> tuple[Place, ...]:
    """The places that directly follow a claim, one attached to the other."""
    found: list[Place] = []
    at = claim.last
    if RESOLVED.search(sentence.text[: claim.first]):
        return ()
    for place in places:
        if place.first < at or any(at <= other.first < place.first for other in claims):
            continue
        again = any(place.level == other.level for other in found) or _opens_a_clause(sentence, at, place)
        again = again or _is_of_the_next(sentence, claim, place, claims, places)
        if FOLLOWS.fullmatch(sentence.text[at : place.first]) and not again:
            found.append(place)
            at = place.last
        else:
            break
    return tuple(found)


THEN = pattern_of(r"\bthen\b")
# "..., fifth, the second half is F sharp seven": a place of which something else is said.
HAS = pattern_of(
    r"(?: of (?:it|the bar|the measure))?(?:'s| (?:is|has|gets|goes|does|brings|takes|starts|ends|begins)\b)"
)


def _is_of_the_next(
    sentence: Sentence, claim: Claim, place: Place, claims: Sequence[Claim], places: Sequence[Place]
) -> bool:
    """Whether a place is the next claim's, as another stands before this one: "on one a third, on two a fifth"."""
    parted = pattern_of(r"\s*[,;]").match(sentence.text[claim.last : place.first])
    before = [other for other in places if other.level == place.level and other.last <= claim.first]
    own = before and not any(before[-1].last <= other.first < claim.first for other in claims)
    return bool(parted and own)


# Before a place that another part of the sentence begins with: ", beat three is ...", "and on three it's ...".
NEXT_PART = pattern_of(
    r"(?:[,;:]|\b(?:and|but|while|whereas|then)\b)(?: (?:and|but|so|then|the))*(?P<on> (?:on|at|in)(?: the)?)? $"
)
LED_BY = pattern_of(r"(?:on|at|in|over|against|above)\b")
NEXT_SUBJECT = pattern_of(
    r",? (?:(?:it|there|that)(?:'s| is| was| has)|(?:we|you|i|he|she)(?:'s|'ve| [a-z]+))\b"
)


def is_next_subject(sentence: Sentence, place: Place, places: Sequence[Place]) -> bool:
    """Whether another part of a sentence begins with a place: "on one the fifth, beat two is the third"."""
    led = NEXT_PART.search(sentence.text[: place.first])
    if led is None or any(other.last == led.start() and other.level != place.level for other in places):
        return False  # "in bar nine, beat two, ..." is one place
    is_led = led["on"] or LED_BY.match(sentence.text, place.first)
    return (NEXT_SUBJECT if is_led else HAS).match(sentence.text, place.last) is not None


def _opens_a_clause(sentence: Sentence, at: int, place: Place) -> bool:
    """Whether a place after a comma is what the next part of a sentence is about."""
    parted = pattern_of(r"\s*[,;:]").match(sentence.text[at : place.first])
    return bool(parted and HAS.match(sentence.text, place.last))


def _shared(
    sentence: Sentence,
    claims: Sequence[Claim],
    followed: Sequence[tuple[Place, ...]],
    places: Sequence[Place],
) -> list[tuple[Place, ...]]:
    """What follows the last of a list holds for all of it, where they have nothing of their own: bars and chords.

    The bar named right before one is its own: "bar eight, a triad from a tritone away, and the ninth in bar nine".
    """
    shared = list(followed)
    for index in range(len(claims) - 2, -1, -1):
        between = sentence.text[claims[index].last : claims[index + 1].first]
        acts = claims[index].kind == "degree" and claims[index + 1].kind == "device" and not between.strip()
        if not shared[index] and JOINED.fullmatch(between) and not acts:
            apart = ("beat", "chord") if THEN.search(between) else ("beat",)
            apart = (*apart, "bar") if _has_a_bar(claims[index], claims, places) else apart
            shared[index] = tuple(place for place in shared[index + 1] if place.level not in apart)
    return shared


def _has_a_bar(claim: Claim, claims: Sequence[Claim], places: Sequence[Place]) -> bool:
    """Whether a bar is named before a claim, and no other claim after it."""
    before = [place for place in places if place.level == "bar" and place.last <= claim.first]
    return bool(before) and not any(before[-1].last <= other.first < claim.first for other in claims)


def _preceding(
    sentence: Sentence, claim: Claim, claims: Sequence[Claim], places: Sequence[Place], near: Sequence[Place]
) -> tuple[Place, ...]:
    """The nearest places before a claim, one of each level that what follows it does not say."""
    found: list[Place] = []
    levels = {place.level for place in near}
    for place in reversed([place for place in places if place.last <= claim.first]):
        taken = any(_belongs(sentence, place, other) for other in claims if other is not claim)
        between = any(place.last <= other.first < claim.first for other in claims)
        stays = place.level == "bar" or not between or (place.level == "chord" and not taken)
        left = AND_THEN.search(sentence.text[place.last : claim.first]) is not None
        goes_on = AND_DOES.search(sentence.text[place.last : claim.first])
        taken_beat = place.level == "beat" and (left or taken or goes_on)
        if place.level not in levels and stays and not taken_beat:
            levels.add(place.level)
            found.append(place)
            if place.level == "bar":
                joined = () if between or left else _joined_to(sentence, place, places, levels)
                others = [other for other in claims if other is not claim]
                degree = claim.kind in ("degree", "note", "set")
                return (
                    *found,
                    *(
                        e
                        for e in joined
                        if not (degree and any(_belongs(sentence, e, other) for other in others))
                    ),
                )
    return tuple(found)


def _joined_to(
    sentence: Sentence, bar: Place, places: Sequence[Place], levels: Collection[str]
) -> tuple[Place, ...]:
    """A beat or chord right before a bar: "on the and of two in bar 41"."""
    before = [place for place in places if place.last <= bar.first and place.level not in (*levels, "bar")][
        -1:
    ]
    joined = before and FOLLOWS.fullmatch(sentence.text[before[0].last : bar.first])
    return tuple(before) if joined else ()


def _belongs(sentence: Sentence, place: Place, claim: Claim) -> bool:
    """Whether a place directly follows another claim, whose own it is."""
    follows = claim.last <= place.first and FOLLOWS.fullmatch(sentence.text[claim.last : place.first])
    return bool(follows) and not _opens_a_clause(sentence, claim.last, place)


def _scope(
    sentence: Sentence,
    claim: Claim,
    near: Sequence[Place],
    before: Sequence[Place],
    places: Sequence[Place],
    count: int,
) -> Scope:
    used = [*near, *before]
    if not any(place.level == "bar" for place in used):
        later = [place for place in places if place.level == "bar" and place.first >= claim.last]
        apart_by = UNTIL_THEN if claim.kind in ("degree", "note") else AND_THEN
        apart = later and apart_by.search(sentence.text[claim.last : later[0].first])
        own = (
            later and claim.kind == "device" and not PARTED.search(sentence.text[claim.last : later[0].first])
        )
        if len(later) == 1 and (count == 1 or own) and not apart:
            used += later
    bars = [place for place in used if place.level == "bar"]
    scope = Scope(explicit=any(not place.pointed for place in bars), used=tuple(used))
    if bars:
        unknown = not bars[0].spans
        followed = any(place in near for place in bars)
        scope = replace(
            scope, spans=bars[0].spans, unknown=unknown, followed=followed, each=bool(bars[0].parts)
        )
    tests = tuple(place.test for place in used if place.test is not None)
    next_chord = any(place.level == "chord" and place.test is None for place in used)
    return replace(scope, tests=tests, next_chord=next_chord)
