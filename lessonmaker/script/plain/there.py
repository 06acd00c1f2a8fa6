"""What is plainly there, and so meant, though how it is said might deny it, wish for it or say it of others.

Whoever names a bar and a thing that is in it means that thing, however it is put: "what I should like you to admire in
bar seven is the ninth". What is spoken of as known ("the ninth", "its third") is there to be spoken of, unless it is
what somebody does not play, would put, or almost reaches; what is not ("a ninth") may well be wished for. Common
practice, no source; the tests hold sentences of both kinds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stance import is_general, is_left_out
from lessonmaker.script.plain.stance_words import (
    ADVICE,
    ALMOST,
    ASKING,
    CALLED,
    CALLED_SO,
    DENIALS,
    EACH,
    ELSEWHERE,
    MADE_UP,
    NOT_DENIED,
    OTHERS,
    POINTING,
    TOLD,
    UNREAL,
    WISHES,
)
from lessonmaker.script.plain.text import Sentence

__all__ = ["doubted", "is_definite", "is_known", "is_own", "is_pinned"]

# Where what was denied or wished for ends, and something else is said of another thing.
ANEW = pattern_of(
    r"[;:,]|(?<!anything )(?<!everything )(?<!nothing )(?<!all )\bbut\b"
    r"|\b(?:because|since|so|then|which|(?<!not )(?<!n't )where|(?<!anybody )(?<!anyone )(?<!those )who|until"
    r"|till)\b"
    r"|\b(?:we (?:get|have|meet)|it's|it is|that's|this is|(?:and|it) (?:goes|falls|rises|starts?|ends?|lands?))\b"
)
# "What the old books call a hemiola": it is one.
SO_CALLED = pattern_of(rf"{OTHERS.pattern} calls?(?: this| that| it)?\b")
# "The ninth" is there to be spoken of, whoever is surprised by it, unless it is what is not played, put or reached.
THE = r"\b(?:the|that|this|its|your|our|these|those)(?: [\w-]+)? $"
OWN = r"\b(?:that|this|your|our|these|those)(?: (?!(?:the|an?)\b)[\w-]+)? $"
# "There is a D I always crack": one that is there.
I_DO = pattern_of(r",? (?:that |which )?i (?:always|never|usually|often|still|keep)\b")
# What all who listen are asked to do.
TO_ALL = pattern_of(
    r"\b(?:everybody|everyone)(?=,? (?:please |now )?(?:enjoy|feel|give|hear|hold|lean|listen|look|play|say|sing|wait"
    r"|watch|wave)\b)"
)
DONE = pattern_of(
    r"\b(?:plays?|sings?|mentions?|touch(?:es)?|states?|shows?|puts?|adds?|uses?|ha(?:s|ve|d)|takes?|took|covers?|writes?|wrote|place[sd]?|needs?|wants?"
    r"|voices?|doubles?|hits?|h[eo]lds?|keeps?|kept|leaves?|left|expects?|reach(?:es)?|insists? on|finds?|found|gets?"
    r"|(?:looks?|looked|search(?:es|ed)?) for|replaces?|swaps?|changes?|exchanges?|tr(?:y|ies)|practi[sc]es?"
    r"|isolates?|loops?|worr(?:y|ies) about|handles?|looks? after|takes? care of|deals? with"
    r"|suppl(?:y|ies)|provides?|owns?|(?:\w+n't|not) where"
    r"|(?:ends?|ended|lands?|starts?|begins?|go|goes|sits?|falls?|rises?|resolves?|moves?) (?:\w+ \w+ )?"
    rf"(?:on|at|with|up|down|to|for))(?: us| you| me)? {THE}"
)
NOT_THE = pattern_of(rf"{DENIALS}(?: us| you| me)?(?: (?:on|at|in|with|to|into|from|by|over|for))? {THE}")
# What did not happen: "he might have gone up to the fifth".
UNDONE = pattern_of(
    r"\b(?:could|might|would|should)(?:n't| not)? (?:\w+ )?have (?!(?:adored|called|caught|enjoyed|expected|felt"
    r"|forgotten|found|guessed|hated|heard|liked|loved|met|missed|noticed|overlooked|recogni[sz]ed|seen|spotted|sworn"
    rf"|wondered)\b)\w+(?: [\w-]+){{0,4}}? {THE}"
)
NEARLY_THE = pattern_of(rf"\b(?:almost|nearly|not quite)(?: \w+){{0,2}} {THE}")
OF_THE_LINE = ("degree", "device", "role", "scale")
PINNED = pattern_of(
    r"\b(?:that|this|these|those) $|\bcall (?:that|this|it) an? $"
    r"|\b(?:it's|it is|that's|this is|here's|there's)(?: \w+){0,2} $"
)
# "A tritone substitute shares its third and its seventh with the dominant that it replaces".
OF_ANY = pattern_of(
    r"\W*(?:(?:and|but|so|now|well),? )*(?:an?|any|each|every|many|most|some) "
    r"|.*\b(?:as a rule|by and large|generally|in (?:general|principle|theory)|on the whole)\b"
)
GOES_THERE = pattern_of(
    r" (?:would|could|might|should)(?:n't| not)? (?:normally|usually|ordinarily|otherwise|go|come)\b"
)


def doubted(sentence: Sentence, named: Sequence[Claim], kept: Sequence[Claim]) -> list[Claim]:
    """Claims that seem not to be meant, but are meant where they are plainly there.

    Args:
        sentence: what is said.
        named: what it names.
        kept: those of them that are meant.
    """
    unreal = pattern_of(f"{CALLED_SO}|{MADE_UP}").search(sentence.text)
    if unreal or (sentence.is_question and ASKING.match(sentence.text)):
        return []
    sure = {(claim.kind, claim.first) for claim in kept}
    left = [claim for claim in named if (claim.kind, claim.first) not in sure]
    return [replace(claim, stance="touched") for claim in left if not _is_ruled_out(sentence, claim)]


def is_pinned(sentence: Sentence, claim: Claim, scope: Scope) -> bool:
    """Whether a claim is one of this music alone: it names a bar, a note or a chord by its letter, or likens bars."""
    names = list(chord_names(sentence))
    over = any(p.first < name.last and name.first < p.last for p in scope.used for name in names)
    if claim.kind == "alike":
        return not pattern_of(WISHES).search(sentence.text)
    return scope.explicit or claim.kind == "note" or over or _is_pointed_at(sentence, claim)


def _is_pointed_at(sentence: Sentence, claim: Claim) -> bool:
    """Whether something of the line is pointed at, in this music: "that ninth", "it's a sequence"."""
    pointed = claim.kind in OF_THE_LINE and PINNED.search(sentence.text[: claim.first])
    return bool(pointed) and not (ELSEWHERE.search(sentence.text) or CALLED.search(sentence.text))


def is_known(sentence: Sentence, claim: Claim, named: Sequence[Claim]) -> bool:
    """Whether a note is spoken of as one that is there, of whatever there is to be said of it: "watch the third".

    Args:
        sentence: what is said.
        claim: the note.
        named: all that the sentence names.
    """
    if is_own(sentence, claim):
        return True
    if claim.kind not in ("degree", "note") or not pattern_of(THE).search(sentence.text[: claim.first]):
        return False
    at_large = is_general(sentence, named, True) or OTHERS.search(TO_ALL.sub("", sentence.text))
    return not at_large and len(named) == 1 and not pattern_of(f"{WISHES}|{UNREAL}").search(sentence.text)


def is_own(sentence: Sentence, claim: Claim) -> bool:
    """Whether a note is pointed at as this music's own: "that ninth", "your third"."""
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    own = pattern_of(OWN).search(before) or I_DO.match(after)
    return claim.kind in ("degree", "note") and own is not None


def is_definite(sentence: Sentence, claim: Claim) -> bool:
    """Whether a thing is spoken of as known, in no sentence about any such thing: "the third", "its ninth"."""
    at_large = OF_ANY.match(sentence.text) and not POINTING.search(sentence.text)
    known = claim.kind in ("degree", "device", "role") and pattern_of(THE).search(
        sentence.text[: claim.first]
    )
    return bool(known and not at_large)


def _is_ruled_out(sentence: Sentence, claim: Claim) -> bool:
    """Whether a denial, a wish or another player stands so near a claim that it is this claim which it is about."""
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    clause = ANEW.split(SO_CALLED.sub("", pattern_of(NOT_DENIED).sub("", before)))[-1].lstrip()
    named = claim.kind == "device" and claim.names  # "think of an E major triad over the G7": there it is
    wished = "(?!)" if named else rf"{WISHES}|{ADVICE}|{TOLD}"
    unreal = pattern_of(rf"{DENIALS}|{UNREAL}|{wished}").search(clause) or OTHERS.search(clause)
    if pattern_of(THE).search(before):
        done = (
            NOT_THE.search(clause)
            or NEARLY_THE.search(clause)
            or UNDONE.search(clause)
            or (unreal and DONE.search(clause))
        )
        done = done or GOES_THERE.match(after)
    else:
        done = unreal or pattern_of(rf"{ALMOST.pattern}[^,;:]{{0,12}}$").search(clause)
        done = done or pattern_of(UNREAL).search(ANEW.split(after)[0])
    elsewhere = EACH.search(before) or ELSEWHERE.search(clause) or is_left_out(claim, before, after)
    return bool(done or elsewhere)
