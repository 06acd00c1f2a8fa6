"""The parts of a sentence that can stand for themselves, the longest first.

Of a sentence whose words round a claim are met by no rule, a part may be plain: "there's a root in bar fourteen" of
"there's a root in bar fourteen, where the whole band breathes". What is a rule, a wish or said of others as a whole
is so in all its parts. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.stance_words import (
    ALWAYS,
    CALLED,
    CALLED_SO,
    DEFINITION,
    EACH,
    ELSEWHERE,
    LARGE,
    OTHERS,
    PLURAL_START,
    RULES,
    THEORY,
    UNREAL,
    WISHES,
)
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = ["parts_of"]

MOST = 12
FEWEST_WORDS = 3
JOINT = pattern_of(r"\s*[,;:]\s+|\s+-+\s+|\s+(?=(?:so|because|since|which|where|while|though)\b)")
# What begins here is no part of its own: it is said under a condition.
UNDER = pattern_of(
    r"(?:and |but |so )*(?:if|when|whenever|unless|had|were|because|since|as|like|until|before|after|without|what"
    r"|whatever|whoever|on|upon|in|into|of|for|from|with|though|while|than|or)\b"
)
LED_IN = pattern_of(r"(?:(?:and|but|so|which|where|then)\s+)+")
IN_A_LIST = rf"(?:{NUMBER}|\d+|root|{ORDINAL}|[a-g](?: flat| sharp)?)"
LIST_END = pattern_of(rf"\b{IN_A_LIST}$")
LIST_GOES_ON = pattern_of(rf"(?:and |then )?(?:the )?(?:(?:flat|sharp|natural) )?{IN_A_LIST}\b")
# What only colours what is said.
COLOUR = pattern_of(
    r"\b(?:very|really|quite|just|simply|actually|basically|literally|honestly|certainly|surely|indeed|perhaps|maybe"
    r"|suddenly|gently|quietly|slowly|quickly|neatly|nicely|merely|plainly|clearly|nice|little|lovely|beautiful|sweet|big"
    r"|fat|good|pretty|gentle|sneaky|gorgeous|juicy|crunchy|spicy|tasty|tiny|single|particular|wonderful|great|proud"
    r"|lonely|humble|honest|modest|clever|cheeky|wicked|delicious|dramatic|elegant|graceful|wee|small) "
)
# What takes all of its words: a condition, what is not believed, what counts in, one chord for another.
WHOLE = (
    r"^\W*when(?:ever)? |\bgo\W*$|\b(?:swap\w*|replac\w*|instead)\b"
    r"|\b(?:refus\w*|doubt\w*|den(?:y|ies|ied)|l(?:ie|ies|ied|ying)|false\w*|wrong\w*|believe)\b"
)
AT_LARGE = pattern_of(f"{ALWAYS}|{WISHES}|{UNREAL}|{CALLED_SO}|{WHOLE}")


def parts_of(sentence: Sentence) -> Iterator[Sentence]:
    """The parts of a sentence from joint to joint, the longest first; none of what is said at large."""
    if _is_at_large(sentence.text):
        return
    plainer = _without(sentence, COLOUR)
    if plainer.text != sentence.text:
        yield plainer
    yield from _from_joint_to_joint(plainer)


def _from_joint_to_joint(sentence: Sentence) -> Iterator[Sentence]:
    """The parts of a sentence, by where they begin and end."""
    text = sentence.text
    ends = len(text.rstrip().rstrip(".!?"))
    joints = [match.span() for match in JOINT.finditer(text[:ends]) if not _is_in_a_list(text, *match.span())]
    starts = [0, *(last for _, last in joints)]
    stops = [*(first for first, _ in joints), ends]
    spans = [(a, b) for a in starts for b in stops if a < b and (a, b) != (0, ends)]
    for first, last in sorted(spans, key=lambda span: span[0] - span[1])[:MOST]:
        led = LED_IN.match(text, first)
        first = led.end() if led is not None else first
        if UNDER.match(text, first) or len(text[first:last].split()) < FEWEST_WORDS:
            continue
        yield _cut(sentence, first, last)


def _is_at_large(text: str) -> bool:
    """Whether a sentence is a rule, a wish, said of others, or of each of several."""
    return bool(
        AT_LARGE.search(text)
        or THEORY.search(text)
        or OTHERS.search(text)
        or ELSEWHERE.search(text)
        or EACH.search(text)
        or CALLED.search(text)
        or pattern_of(PLURAL_START).search(text)
        or DEFINITION.match(text)
        or LARGE.match(text)
        or RULES.match(text)
    )


def _is_in_a_list(text: str, first: int, last: int) -> bool:
    """Whether a joint only parts the numbers or notes of a list."""
    return bool(LIST_GOES_ON.match(text, last) and LIST_END.search(text[:first]))


def _without(sentence: Sentence, pattern: re.Pattern[str]) -> Sentence:
    """A sentence without what a pattern finds."""
    taken = {at for match in pattern.finditer(sentence.text) for at in range(*match.span())}
    kept = [at for at in range(len(sentence.text)) if at not in taken]
    return replace(
        sentence,
        text="".join(sentence.text[at] for at in kept),
        written="".join(sentence.written[at] for at in kept),
        offsets=tuple(sentence.offsets[at] for at in kept),
        pointers=(),
    )


def _cut(sentence: Sentence, first: int, last: int) -> Sentence:
    """A stretch of a sentence as a sentence of its own."""
    return replace(
        sentence,
        text=sentence.text[first:last] + ".",
        written=sentence.written[first:last] + ".",
        offsets=(*sentence.offsets[first:last], sentence.offsets[last - 1] + 1),
        pointers=(),
        later="",
    )
