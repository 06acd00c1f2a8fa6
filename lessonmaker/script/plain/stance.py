"""Whether a sentence says of this music what its words name, or denies it, wishes for it, or speaks of something else.

Common practice, no source. What is unsure is left alone: rules of theory, other players, other pieces, comparisons
and what a player is told to do claim nothing unless they name a bar.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.denials import is_plainly_denied
from lessonmaker.script.plain.figures import CERTAIN
from lessonmaker.script.plain.handled import OWN_HABIT, is_handled
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stance_words import (
    ADVICE,
    ADVISED,
    ALMOST,
    ALWAYS,
    ASKING,
    AT_LARGE,
    BAR,
    CALLED,
    CORRECTED,
    DEFINITION,
    DENIALS,
    DENIED_AFTER,
    EACH,
    ELSE_OF,
    ELSEWHERE,
    HAS_IT,
    LARGE,
    LEAD,
    LEAVING,
    NOT_AS_IT_IS,
    NOT_DENIED,
    OTHERS,
    OUT,
    PLURAL_START,
    POINTED,
    POINTING,
    RHETORICAL,
    RULES,
    SOMEWHERE,
    STATING,
    THEORY,
    TOLD,
    UNREAL,
    WISHES,
)
from lessonmaker.script.plain.swaps import SWAPPED
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, LANDING, LEANING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER

AT_EACH_END = pattern_of(rf"\b(?:{STARTING}|{ENDING})\b[^,;:]* (?:on|with|from|at) ")
__all__ = ["is_general", "is_left_out", "meant", "says_nothing_of"]

# What the line does with something is said of what is there: "it finishes on a major seventh".
IT_LANDS = pattern_of(
    rf"((?:^|, |\b(?:and|but|so|then|now|here) )(?:it|we|he|she|(?:the|this|that|our) (?:\w+ )?\w+)"
    rf" (?:(?:all|just|then|even|now) )?(?:{STARTING}|{ENDING}|{LANDING}|{LEANING})(?: up| off| out)?)"
    r" (?:on|with|at)(?= an? )"
)
# What was tried and not kept: "I found the raised one too sweet".
FOUND_IT = pattern_of(r"\b(?:i|we) (?:found|thought|tried) (?:the|an?) (?:\w+ )?$")
TOO = pattern_of(r" (?:was |sounded |felt )?(?:far |much |a bit |just )?too \w+")
# What is said by the way, and no wish: "we end, as you'd expect, on the root".
AS_EXPECTED = pattern_of(
    r",? ?\bas (?:you|we|one|anyone)(?:'d| would| might| could)? (?:expect|imagine|guess|see|hear)\b,?"
    r"|,?(?: (?:and|which is|that's|just|exactly))* (?:how|as|where|what) (?:it|they|he|she) (?:should"
    r"|ought to|must) be\b,?"
)
# Nor what comes where another thing would be expected: "you'd expect the root, and you get a flat nine".
EXPECTED = pattern_of(
    r"\b(?:anyone|i|one|we|you)(?:'d| might| would)(?: \w+)? expect\b[^;:]*?, (?:and|but|yet)\b"
)
# "Nobody expects a ninth in bar two, and yet there it is".
THERE_IT_IS = pattern_of(
    r"\b(?:but|and|yet|still),? (?:yet,? |still,? )?(?:(?:there|here) (?:it|he|she) is|(?:it|he|she) (?:did|does|is|has"
    r"|was))\b"
)
# "I'd call this E flat altered" says that it is.
I_CALL = pattern_of(
    r"(?:^|\b(?:i|we|you)(?:'d|'ll| would| can| could| will)?(?: (?:just|also|even|rather|always))?) ?"
    r"call (?:it|this|that)\b"
)
# Nor how phrases may be told apart: "you could sing the first eight as two phrases".
TAKEN_AS = pattern_of(
    r"\b(?:i|one|we|you) (?:can|could|may|might) (?:\w+ )?(?:count|divide|parse|play|read|sing|split|take)\b"
    r"(?=[^,;:]* (?:as|into) $)"
)
# Nor is where notes may come from: "you could pull all four of those out of the altered scale".
TAKEN_FROM = pattern_of(
    r"\b(?:i|one|we|you) (?:can|could|may|might) (?:\w+ )?(?:build|derive|draw|find|get|lift|pick|pull|take)\b"
    r"(?=[^,;:]*\b(?:all|both|each|every|everything|it|that|them|these|this|those)\b[^,;:]* (?:out of|from|inside|in)"
    r" (?:the |an? |one )?(?:[a-g](?: flat| sharp)? )?$)"
)
# Nor is what is needed: "bar two wouldn't be the same without its ninth".
WITHOUT_IT = pattern_of(
    r"\b(?:wouldn't|would not|isn't|is not|would never) (?:be |sound |feel )?(?:the same|much|complete|anything|itself"
    r"|half as \w+) without\b"
)
# What was expected is told before what is there: "instead of C seven we get G flat seven".
INSTEAD = pattern_of(
    r"\b(?:instead|in place|in lieu) of [^.;:]{2,40}?,? (?=(?:we|you|i|it|he|she|there|here|the line)(?:'s|'ve)?"
    r"(?: \w+)? (?:get|gets|have|has|find|finds|hear|hears|meet|meets|play|plays|is|comes?|goes|lands?)\b)"
)
# "Sing the third of C: it's an E" says what it is.
IT_IS = pattern_of(r"\b(?:it's|it is|that's|that is|which is)(?: just| simply)? (?:an?|the|our|its) $")
# Nor is it a rule that something here is as ever: "the flat nine goes where it always goes, the fifth".
AS_EVER = pattern_of(
    r",? ?\b(?:(?:where|as|like|what|how|the way) (?:it|they|we|you|he|she|i|one) (?:\w+ )?(?:always|usually|often"
    r"|normally|generally|typically|tends? to)"
    r"(?: (?:does|do|is|are|goes|go|wants?(?: to)?|likes?(?: to)?|should))?|as always)\b,?"
)
# What a bar that is named is made of: "bar fifteen is a run of straight sixteenths".
MADE_OF = pattern_of(
    r"\b(?:(?:(?:the|this|that|our) (?:whole|entire) (?:bar|measure)|all of (?:bar|measure) [\w-]+)"
    r" (?:moves|goes|runs|is|flows|walks|rolls)"
    r" (?:along )?in"
    r"|is|are|'s|has|made of|full of|filled with|consists of|(?:run|flurry|string|row|burst|stream|line|bar|volley"
    r"|spray|cascade|handful|splash|rush|shower|couple|pair|group|bit|spurt|scatter|set|figure|flourish|roll) of)"
    r"(?: (?:all|just|only|nothing but|in|pure|straight|even|running|fast|steady|continuous|quick))* $"
)
# "Triplets on one and three": no such thing at large.
AT_ITS_BEATS = pattern_of(rf"(?: \w+)? on (?:the )?(?:down-?beat|(?:beats? )?{NUMBER}\b)")
OUTCOME = pattern_of(
    r", (?:so|which is why|because|since|that's why) (?:that )?(?:you|we|it|one|i|they|he|she|your|our)\b"
    r"|,? and (?:it|that|this)(?:'s| has| still)? (?:costs?|taken|takes?|took)\b"
)
BARE = pattern_of(r"(?:\W|\b(?:ah|and|here|look|more|now|oh|so|then|there)\b)*")
CLAUSE = pattern_of(r"[;:,]")
WHOLE = pattern_of(r"[;:]| but | yet | because of |, (?:we|you|it|he|she) (?:get|find|have|hear|meet)s? ")
ANOTHER = pattern_of(
    r"[;:,]|(?<!everything)(?<!anything)(?<!nothing)(?<!all) but (?!an?\b)| because | so (?:that )?| and then | then "
)


def _is_located(sentence: Sentence) -> bool:
    """Whether a sentence says that something is in sight, so that it is false where it is not there."""
    return bool(POINTING.search(sentence.text) or STATING.search(sentence.text))


def is_left_out(claim: Claim, before: str, after: str) -> bool:
    """Whether the words round a claim say that it is missing, left to others, or speak of it as such."""
    left = (LEAVING.search(before) and OUT.match(after)) or (FOUND_IT.search(before) and TOO.match(after))
    as_such = ELSE_OF.match(after) or (claim.kind == "scale" and HAS_IT.match(after))
    return bool(left or pattern_of(DENIED_AFTER).search(after) or as_such)


def says_nothing_of(sentence: Sentence, place: Place) -> bool:
    """Whether the part of a sentence with a place only denies something there, or tells of a player's habit."""
    first = CLAUSE.split(sentence.text[: place.first])[-1]
    part = first + CLAUSE.split(sentence.text[place.first :])[0]
    part = pattern_of(rf"{NOT_DENIED}|\bnothing but\b").sub("", part)
    return bool(pattern_of(DENIALS).search(part) or OWN_HABIT.search(part))


def _is_denied(sentence: Sentence, claim: Claim) -> bool:
    """Whether a denial or a wish stands before the claim in its own part of the sentence."""
    before, after = (
        AS_EXPECTED.sub("", part) for part in (sentence.text[: claim.first], sentence.text[claim.last :])
    )
    before = EXPECTED.sub("", INSTEAD.sub("", WITHOUT_IT.sub("", before)))
    before = TAKEN_FROM.sub("", before) if claim.kind == "scale" else before
    if THERE_IT_IS.search(after):
        return False
    if claim.kind == "extent":
        before = TAKEN_AS.sub("", before)
    before = CORRECTED.split(before)[-1]
    if sentence.is_question:
        before = RHETORICAL.sub("", before)  # "isn't it sweet how you stop on the eleventh?"
    clause = ANOTHER.split(before)[-1]
    whole = WHOLE.split(before)[-1]
    stated = I_CALL.sub("", pattern_of(NOT_DENIED).sub("", clause))
    if claim.kind == "member" or (claim.kind == "device" and claim.name == "diatonic passage"):
        return bool(pattern_of(WISHES).search(whole) or OTHERS.search(clause))
    own = "" if claim.kind == "symbol" else sentence.words(claim.first, claim.last)
    later = own + after  # but "it does what C seven would do"
    return bool(
        pattern_of(DENIALS).search(stated)
        or (claim.kind != "alike" and pattern_of(rf"{ALMOST.pattern}[^,;:]{{0,12}}$").search(stated))
        or OTHERS.search(clause)
        or pattern_of(WISHES).search(whole)
        or is_left_out(claim, before, after)
        or pattern_of(UNREAL).search(pattern_of(r"[;:]| but | yet | because | since |, so ").split(later)[0])
        or pattern_of(UNREAL).search(whole)
    )


def meant(sentence: Sentence, named: Sequence[Claim], places: Sequence[Place]) -> list[Claim]:
    """Those of a sentence's claims that are said of this music, neither denied nor only wished for.

    Args:
        sentence: what is said.
        named: what it names.
        places: where; a bar that is named makes sure that this music is meant.
    """
    asked = sentence.is_question and ASKING.match(sentence.text)
    in_a_bar = any(place.level == "bar" and place.spans and not place.pointed for place in places)
    handled = [claim for claim in named if is_handled(sentence, claim)]
    if asked or (named and not in_a_bar and is_general(sentence, named, bool(handled))):
        called = CALLED.search(sentence.text)
        return [claim for claim in named if claim.stance == "found" and not called]
    kept: list[Claim] = []
    for claim in named:
        if claim.stance == "found" or claim.name == SWAPPED:
            kept.append(claim)
        elif is_plainly_denied(sentence, claim):
            kept.append(replace(claim, stance="denied"))
        elif claim in handled:
            kept.append(replace(claim, stance="handled"))
        elif not _is_told(sentence, claim, in_a_bar) and not _is_denied(sentence, claim):
            shared = replace(claim, stance="shared") if _is_shared(sentence, claim) else claim
            kept.extend(_as_advised(sentence, shared, in_a_bar))
    return kept


def _as_advised(sentence: Sentence, claim: Claim, in_a_bar: bool) -> Iterator[Claim]:
    """A claim as it is; one that is part of an advice only where it is sure to be one of this music."""
    clause = pattern_of(r"[;:,]").split(sentence.text[: claim.first])[-1]
    if not pattern_of(ADVICE).search(clause):
        yield claim
    elif in_a_bar and ADVISED.search(sentence.text[: claim.first]) and not NOT_AS_IT_IS.search(sentence.text):
        yield replace(claim, stance="touched")


def _is_told(sentence: Sentence, claim: Claim, in_a_bar: bool) -> bool:
    """Whether a claim is only part of what the player is to do, wherever it may be."""
    told = not claim.sure and pattern_of(TOLD).search(sentence.text) and not in_a_bar
    told = told and not IT_IS.search(sentence.text[: claim.first])
    told = told and not pattern_of(SOMEWHERE).search(sentence.text)
    uncounted = claim.count == -1 and claim.kind == "device" and not _is_located(sentence)
    made = MADE_OF.search(sentence.text[: claim.first])
    if made and (in_a_bar or (claim.name in CERTAIN and made[0].endswith(("of ", "in ")))):
        uncounted = False
    if claim.name in CERTAIN and AT_ITS_BEATS.match(sentence.text[claim.last :]):
        uncounted = False
    known = pattern_of(r"\b(?:the|these|those|all|its|some) $").search(sentence.text[: claim.first])
    if uncounted and not known and not _is_all_said(sentence, claim):
        return True
    return bool(told)


def _is_all_said(sentence: Sentence, claim: Claim) -> bool:
    """Whether a sentence only names a thing, as it comes: "Triplets!"."""
    rest = sentence.text[: claim.first] + sentence.text[claim.last :]
    return BARE.fullmatch(rest) is not None


def _is_shared(sentence: Sentence, claim: Claim) -> bool:
    """Whether a claim holds of each of many."""
    before = sentence.text[: claim.first]
    return bool(claim.kind == "degree" and EACH.search(before) and not AT_EACH_END.search(before))


def is_general(sentence: Sentence, named: Sequence[Claim], handled: bool) -> bool:
    """Whether a sentence is about all such things, about other music, or about this at large.

    Args:
        sentence: what is said.
        named: what it names.
        handled: whether something is asked of the player, so that a habit is the player's own.
    """
    text = _without_chords(sentence).strip()
    if handled:
        text = OWN_HABIT.sub("", text)
    if BAR.search(text):
        return False
    text = IT_LANDS.sub(r"\1 here", _without_outcome(AS_EVER.sub("", text), named))
    if pattern_of(ALWAYS).search(text) or pattern_of(PLURAL_START).search(text) or ELSEWHERE.search(text):
        return True
    if CALLED.search(text):
        return True
    if POINTING.search(text) or POINTED.search(text):
        return False
    of_notes = named[0].kind == "member"  # "the G seven is full of altered notes"
    at_large = (
        THEORY.search(text)
        or (AT_LARGE.search(text) and not of_notes)
        or DEFINITION.match(text)
        or LARGE.match(text)
    )
    return bool(at_large or _is_rule(sentence, named[0]))


def _without_outcome(text: str, named: Sequence[Claim]) -> str:
    """The words of a sentence without what comes of all that it claims: "..., so you always know where you are"."""
    outcome = OUTCOME.search(text)
    after = outcome is not None and all(claim.last <= outcome.start() for claim in named)
    return text[: outcome.start()] if outcome is not None and after else text


def _without_chords(sentence: Sentence, *, keep: bool = False) -> str:
    """The words of a sentence, its chords by a sign: "of A flat major seven" is not said of any such chord.

    With `keep` each word stays at its place.
    """
    text = sentence.text
    for name in reversed(list(chord_names(sentence))):
        signs = "§" * (name.last - name.first) if keep else "§"
        text = f"{text[: name.first]}{signs}{text[name.last :]}"
    return text


def _is_rule(sentence: Sentence, first: Claim) -> bool:
    """Whether the first claim of a sentence is what it speaks of, uncounted and nowhere."""
    text = _without_chords(
        sentence, keep=True
    )  # "A flat seven is the tritone sub" is said of one that is here
    rule = RULES.match(text) if pattern_of(rf"{LEAD}(?:an?|any|every) ").match(text) else None
    article = pattern_of(LEAD).match(text)
    is_note = first.kind == "note" and article is not None and first.first == article.end()  # "A flat is ..."
    return rule is not None and first.first < rule.end() and not is_note
