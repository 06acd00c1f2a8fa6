"""Chords by their names in a sentence: "over the C seven", "the B flat minor seven has". Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.text import Sentence
from lessonmaker.theory.chord import family, readings, transpose_chord
from lessonmaker.theory.kinds import Family
from lessonmaker.theory.pitch import NoteName

__all__ = ["SIGNS", "ChordName", "chord_names", "is_over"]

SEVENTH = r"(?:seven(?:th)?|7)"
COLOUR = r"(?:[ (]*(?:flat|sharp|b|#) ?(?:five|nine|eleven|thirteen|5|9|11|13)\)?)"
DOMINANTS: tuple[Family, ...] = ("dominant", "altered", "suspended")
# What follows a root, and the families of chord that it may name; longer ones first.
QUALITIES: tuple[tuple[str, tuple[Family, ...]], ...] = (
    (
        rf" ?(?:half[- ]diminished(?: {SEVENTH})?|m(?:in)?7b5| minor {SEVENTH} flat five)",
        ("half-diminished",),
    ),
    (rf" ?(?:diminished(?: {SEVENTH})?|dim7?)", ("diminished",)),
    (r" ?(?:augmented|aug)", ("augmented",)),
    (rf"(?: {SEVENTH}| thirteen|7|9|13)? ?(?:sus(?:pended)?|sus4)", ("suspended",)),
    (rf"(?: {SEVENTH}|7)? ?alt(?:ered)?", DOMINANTS),
    (rf"(?: major(?: {SEVENTH}| six(?:th)?| nine)?|maj[79]?| six(?:[ /]nine)?|6(?:/9)?)", ("major",)),
    (
        rf"(?: minor(?: {SEVENTH}| six(?:th)?| nine| major {SEVENTH})|m(?:in)?(?:6|7|9)(?![a-z]))",
        ("minor",),
    ),
    (r"(?: minor|m(?:in)?(?![a-z]))", ("minor", "half-diminished")),
    (
        rf"(?:(?: dominant)? (?:{SEVENTH}|nine|thirteen)|7|9|13){COLOUR}*| dominant(?! (?:pedal|scale))",
        DOMINANTS,
    ),
    (r"(?= (?:chord|bar|measure|line|lick)\b)", ()),
    (r"(?= arpeggio (?:climbs|rises|goes|runs|falls|descends|comes|starts|begins|ends)\b)", ()),
)
ROOT = r"(?<![\w'#])(?P<letter>[a-g])(?P<sign>b|#|[ -]flat|[ -]sharp)?"
# A root alone, of which a degree is named: "the third of C".
OF_IT = (
    r"\b(?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|three|seven|nine|eleven|thirteen)"
    r" of (?:the |that |our )?(?:(?:following|next|coming) )?"
)
# A root alone, with which a part of a sentence opens: "and over the F, the third, the fifth".
OPENS_OVER = r"(?:^\W*|[,;:] )(?:(?:and|but|so|now|then|here|again|finally) )*over (?:the |that |this )?"
# A root alone, over which a note is named: "the D natural over A flat".
LETTER = r"[a-g](?:[ -](?:flat|sharp|natural))?"
OVER_IT = (
    rf"\b(?:(?:the|that|this) {LETTER}|[a-g][ -]natural) over (?:the |that )?{ROOT}(?![\w#'-])",
    rf"(?<!\w){LETTER} over (?:the |that )?{ROOT}(?= (?:is|was) (?:the|an?)\b)",
)
NAMES = (
    *((pattern_of(rf"{ROOT}(?:{quality})(?![\w#])"), families) for quality, families in QUALITIES),
    (pattern_of(rf"{OF_IT}{ROOT}(?![\w#'-])"), ()),
    (pattern_of(rf"{OPENS_OVER}{ROOT}(?![\w#'-])"), ()),
    *((pattern_of(over), ()) for over in OVER_IT),
)
SIGNS = {"": 0, "b": -1, "flat": -1, "#": 1, "sharp": 1}


@dataclass(frozen=True)
class ChordName:
    """A chord's name at [first, last): its root as on the score's page, and the families it may be of (none: any)."""

    first: int
    last: int
    root: NoteName
    families: tuple[Family, ...]


@lru_cache(maxsize=1)  # of one sentence they are asked for many times
def chord_names(sentence: Sentence) -> tuple[ChordName, ...]:
    """The chords that a sentence names, in its order."""
    return tuple(_chord_names(sentence))


def _chord_names(sentence: Sentence) -> Iterator[ChordName]:
    at = 0
    while (found := _next_name(sentence, at)) is not None:
        yield found
        at = found.last


def _next_name(sentence: Sentence, at: int) -> ChordName | None:
    found = [
        (match.start("letter"), rank, match, families)
        for rank, (pattern, families) in enumerate(NAMES)
        for match in pattern.finditer(sentence.text, at)
        if not _is_article(sentence, match) and not _is_degree(sentence, match)
    ]
    if not found:
        return None
    _, _, match, families = min(found, key=lambda each: each[:2])
    root = NoteName(match["letter"].upper(), SIGNS[(match["sign"] or "").strip(" -")])
    return ChordName(match.start("letter"), match.end(), root, families)


# After a chord on A with which a sentence begins: where it goes, or which step it is.
GOES_SOMEWHERE = pattern_of(
    r"(?: [a-z']+){0,5}? (?:in)?to (?:[a-g](?![\w'])|home|the (?:one|two|four|five|six)(?![\w-]))"
    r"|(?: [a-z']+){0,5}? (?:becomes?|follows|meets|reach(?:es)?|comes after) (?:the )?[a-g](?![\w'])"
    r"|(?: (?!held|kept|sustained|repeated)[a-z']+)? for (?:this|that|these|the|all|a|one|two|four|bar|measure)\b"
    r"(?: \w+)? ?(?:bars?|measures?|\d)?"
    r"|,? (?:and )?then [a-g](?![\w'])|(?: here)?(?: is|'s|, (?:that's|which is)) (?:(?:just|really) )?"
    r"(?:(?:the |our |its )?(?:(?:flat |sharp )?(?:one|two|three|four|five|six)(?: chord)?(?: of|[,.;]| in)"
    r"|tonic|dominant|subdominant)|(?:a|the) (?:tritone|secondary))"
)
A_DOMINANT = pattern_of(r"a[ -](?:flat|sharp) (?:seven|dominant)")
# An "A seven" or "A minor" that opens a sentence and does something, whatever that is: "A seven just hands us".
PLAIN_NAME = pattern_of(rf"a(?: minor)?(?: seven|7)?{COLOUR}*")
DOES = pattern_of(
    r"(?: (?:just|only|also|even|never|always|still|really|simply|itself|alone|soon|finally|\w+ly))* "
    r"(?!(?:lands|falls|sits|stands|appears|arrives|rings|sounds|shows up|turns up|pops up) (?:right )?(?:on|at)\b)"
    r"(?:(?!(?:blues|bass|plus|less|notes|bars|steps|degrees|tones|twos|always)\b)[a-z]+[^\Ws]s(?![\w'-])"
    r"|(?:had|gave|brought|took|held|led|made|kept|put|set|began|carried|wanted|offered|pulled|handed"
    r"|can|will|would|may|might|must|should|could|doesn't|won't|can't)\b)"
)
# What follows an "A seven" or "A minor" that opens a sentence where it names the chord that is there.
AS_A_NAME = pattern_of(
    r"\s*[,;:]|\s*$|'s\b| (?:is|was|has|gives|offers|carries|gets|goes|holds|lasts|stays|moves|leads|slides|resolves"
    r"|comes|then|and|here|there|now|again|over|in|on|for|at)\b"
)


def _is_article(sentence: Sentence, match: re.Match[str]) -> bool:
    """Whether an "a" is no name: small, or at the start, unless "the" or the like stands before it."""
    if match["letter"] != "a" or pattern_of(r"\b(?:the|that|this|our) $").search(
        sentence.text[: match.start("letter")]
    ):
        return False
    spelt = match["sign"] is not None and pattern_of(r"(?:flat|sharp) (?:m[ai]|dim|aug|half|sus)").search(
        match[0]
    )
    if spelt or match[0][1:2].isdecimal() or match["sign"] in ("b", "#"):
        return False
    first = match.start("letter")
    if (
        match["sign"]
        and ("A", SIGNS[match["sign"].strip(" -")]) in sentence.roots
        and A_DOMINANT.match(match[0])
    ):
        return (
            sentence.written[first] == "a"
        )  # "A flat seven here is lydian dominant": the score has that chord
    opens = not sentence.written[:first].strip()
    says = [GOES_SOMEWHERE, AS_A_NAME, *([DOES] if PLAIN_NAME.fullmatch(match[0]) else ())]
    after = (each.match(sentence.text, match.end()) for each in says)
    if opens and not match["sign"] and ("A", 0) in sentence.roots and any(after):
        return False
    return opens or sentence.written[first] == "a"


def _is_degree(sentence: Sentence, match: re.Match[str]) -> bool:
    """Whether a small b before a number is a flat."""
    small = sentence.written[match.start("letter")] == "b"
    return small and match["sign"] is None and match[0][1:2].isdecimal()


def is_over(name: ChordName, note: Note, music: Music) -> bool:
    """Whether a note sounds over a chord of this name."""
    chord = music.finding(note).chord
    if chord is None:
        return False
    written = transpose_chord(chord, music.score.transposition)
    roots = {each.root.pitch_class for each in (written, *readings(written))}
    kind = family(readings(chord)[0])
    return name.root.pitch_class in roots and (not name.families or kind in name.families)
