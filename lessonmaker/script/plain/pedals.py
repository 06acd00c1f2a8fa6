"""A bass that stays where it is while the chords change: "a pedal on the five", "the bass just sits on G sharp".

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, STEP
from lessonmaker.script.plain.root_claim import RootsClaim
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected

__all__ = ["pedal_claims"]

NOTE = rf"(?:(?:the |an? |its )?(?P<note>{ROOT_NAME}|tonic|dominant|home|{STEP})(?: chord| note)?(?![\w'#-]))"
STAYS = (
    rf"(?:{inflected('stay, sit, hold, remain, keep, hang, rest, park, camp, pedal, linger, insist, stand, stick')}"
    r"|(?:is|'s) (?:\w+ )?(?:pedalling|stuck|parked|planted|rooted|glued|anchored|nailed|fixed|held))"
)
ADVERBS = r"(?:(?:just|simply|always|still|all the time|put|there|down|right|firmly|stubbornly|out) )*"
PEDAL = r"pedal(?:[ -](?:point|tone|note))?(?![\w-])"
SAYINGS = tuple(
    pattern_of(rf"(?<![\w'#-]){pattern}")
    for pattern in (
        rf"{PEDAL} (?:on|of) {NOTE}",
        rf"(?:the |an? )?(?P<note>{ROOT_NAME}|tonic|dominant)[ -]{PEDAL}",
        rf"(?:the |our )?bass(?: line| note| player)? {ADVERBS}{STAYS} {ADVERBS}(?:on|at|to|onto)? ?{NOTE}",
        r"(?:both|all|each|every|these|those|they|the (?:two|three|four))\b[^,;:]{0,24} (?:have|has|share|keep|with)"
        rf" {NOTE} (?:in|as|for) (?:the|their) bass",
        r"(?P<note>)pedal[ -](?:point|tone)(?![\w-])",
        r"(?P<note>)(?:(?<=\bthere's a )|(?<=\bit's a )|(?<=\bhave a )|(?<=\bgot a ))pedal(?![\w-])",
    )
)
# A bass under a chord: "C is in the bass", "the bass note is E flat".
IN_BASS = pattern_of(
    rf"(?<![\w'#-])(?:(?P<note>{ROOT_NAME})(?:'s| is| stays| sits| remains)"
    r"(?: (?:still|again|now|down|back))? in the bass"
    r"|the bass(?: note)?(?: here| now| there)?(?:'s| is)(?: (?:just|simply|really|now|an?|the))*"
    rf" (?P<name>{ROOT_NAME}))"
    r"(?![\w'#-])"
)
# One of the line, not of the bass.
ON_TOP = pattern_of(r"\b(?:on top|above|melody|upper|up high|line|inverted)\b")


def pedal_claims(sentence: Sentence) -> Iterator[RootsClaim]:
    """What a sentence says of a bass that stays; the note or the step that it stays on is the claim's `anchor`."""
    if ON_TOP.search(sentence.text):
        return
    taken: list[tuple[int, int]] = []
    for pattern in SAYINGS:
        for match in pattern.finditer(sentence.text):
            article = sentence.is_article(match, "note")
            if not article and not any(match.start() < last and first < match.end() for first, last in taken):
                taken.append(match.span())
                yield RootsClaim("roots", *match.span(), "pedal", anchor=match["note"])
    for match in IN_BASS.finditer(sentence.text):
        group = "note" if match["note"] else "name"
        if sentence.written[match.start(group)].isupper() and not taken:
            yield RootsClaim("roots", *match.span(), "bass", anchor=match[group])
