"""What a sentence claims: degrees, runs of degrees, devices, roles and scales, each with its words.

Words that only sound like claims (an interval, a count, a chord's name) are left alone; what is denied, wished for or
said of other things is sorted out by `stance`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.beat_lists import beat_list_claims
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.chord_rows import chord_rows
from lessonmaker.script.plain.chord_shapes import chord_claims
from lessonmaker.script.plain.chord_times import changes_claims
from lessonmaker.script.plain.chord_words import chords_said
from lessonmaker.script.plain.claim import Claim, counted, number_said, words_like
from lessonmaker.script.plain.degree_words import DEGREE_FINDERS, NUMERAL
from lessonmaker.script.plain.entries import entry_claims
from lessonmaker.script.plain.extents import extent_claims, takes_its_words
from lessonmaker.script.plain.forms import form_claims
from lessonmaker.script.plain.intervals import QUALITY, interval_sizes
from lessonmaker.script.plain.key_claims import key_claims
from lessonmaker.script.plain.leaps_told import LEAPS_TOLD
from lessonmaker.script.plain.line_shapes import shape_claims
from lessonmaker.script.plain.lines import line_claims
from lessonmaker.script.plain.members import member_claims
from lessonmaker.script.plain.named_moves import NAMED_MOVES
from lessonmaker.script.plain.pedals import pedal_claims
from lessonmaker.script.plain.root_words import root_lists, roots_claims
from lessonmaker.script.plain.shape import shape_said
from lessonmaker.script.plain.standouts import moving_standouts, standout_claims
from lessonmaker.script.plain.swaps import swap_claims
from lessonmaker.script.plain.symbol_words import HARMONIC, SymbolClaim, is_of_a_step, symbol_claims
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.two_fives import progression_claims
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import (
    ACCIDENTALS,
    CARDINALS,
    DEVICE_WORDS,
    ORDINALS,
    ROLE_WORDS,
    SCALE_WORDS,
    degree_names,
)

__all__ = ["claims_in"]

Said = TypeVar("Said", bound=Claim)


def claims_in(sentence: Sentence, known: Sequence[Claim] = ()) -> tuple[Claim, ...]:
    """The claims of a sentence in order, none inside another; progressions and those that are `known` come first."""
    found: list[Claim] = list(progression_claims(sentence))
    found += _beside(form_claims(sentence), found)
    known = _beside(known, found)
    found += known
    told = chords_said(sentence)
    rows = list(chord_rows(sentence, told))
    found += _beside(key_claims(sentence), found)
    found += _beside(pedal_claims(sentence), found)
    found += _beside(swap_claims(sentence, told), found)
    found += _beside(roots_claims(sentence, told), found)
    found += _beside(changes_claims(sentence, told), found)
    found += _beside([row for row in rows if row.sure], found)
    chords = _beside(symbol_claims(sentence, told), found)
    found += [claim for claim in chords if claim.sure]
    shapes = list(chord_claims(sentence))
    taken = [
        (name.first, name.last)
        for name in chord_names(sentence)
        if not pattern_of(r" (?:triad|arpeggio|shape|chord,? spel|scale|mode|pentatonic|blues)").match(
            sentence.text[name.last :]
        )
        and not any(shape.first <= name.first and name.last <= shape.last for shape in shapes)
    ]
    taken += [(claim.first, claim.last) for claim in known]
    taken += [(each.first, each.last) for each in told if is_of_a_step(sentence, each)]
    taken += [match.span() for saying in LEAPS_TOLD for match in saying.pattern.finditer(sentence.text)]
    taken += [match.span() for match in words_like(NUMERAL).finditer(sentence.text)]
    taken += [*((claim.first, claim.last) for claim in found), *root_lists(sentence)]
    taken += [
        (claim.first, claim.last) for claim in extent_claims(sentence) if takes_its_words(sentence, claim)
    ]
    for finder in (
        chord_claims,
        shape_claims,
        _devices,
        _scales,
        _roles,
        _triads,
        *DEGREE_FINDERS,
    ):
        for claim in finder(sentence):
            if not any(claim.first < last and first < claim.last for first, last in taken):
                found.append(claim)
                taken.append((claim.first, claim.last))
    found = [claim for claim in found if not _is_named_after(sentence, claim, shapes)]
    found = [claim for claim in found if not _is_step_of_chord(sentence, claim)]
    if any(claim not in rows for claim in found):
        found = [claim for claim in found if claim not in rows]  # what is named so is what is spoken of
    else:
        found += _beside(rows, found)
        chords = _beside(chords, found)
    said = [claim for claim in chords if not claim.sure and (claim.of_bar or _is_alone(claim, found))]
    found += _beside(said, found)
    for more in (f(sentence) for f in (extent_claims, member_claims, beat_list_claims, line_claims)):
        found += _beside(more, found)
    if not any(claim.kind != "line" for claim in found):
        found += _beside([*entry_claims(sentence), *standout_claims(sentence)], found)
    found += _beside(moving_standouts(sentence, found), found)
    ordered = sorted((*found, *_others(sentence, found)), key=lambda claim: claim.first)
    return tuple(ordered)


# "The upper structure is an A flat triad": one thing, by its name.
IS_NAMED = pattern_of(
    r"(?:(?: triad)?(?: (?:here|there|on|over|of|in|above) [^,;:]{0,20})?(?:,? bars? \w+)?(?::|,)?"
    r"(?: (?:is|was|'s|it's|that's|this is))(?: (?:just|simply|really|only|a plain|an ordinary))?"
    r"(?: (?:an?|the|our|that of))? "
    r"|'s (?:an?|the) |: (?:an?|the) |, (?:an?|the) )"
)
UPPER = "upper-structure triad"


def _is_named_after(sentence: Sentence, claim: Claim, shapes: Sequence[Claim]) -> bool:
    """Whether an upper structure is named by its root after it."""
    if claim.kind != "device" or claim.name != UPPER or claim.detail:
        return False
    named = [each.first for each in shapes if each.names]
    named += [each.first for each in _triads(sentence)]
    between = [sentence.text[claim.last : first] for first in named]
    return any(IS_NAMED.fullmatch(words) for words in between)


# "A flat seven, the flat six, leads to G seven, the five": what chords are in their key.
ITS_STEP = pattern_of(r", (?:(?:that's|which is) )?(?:the|our) ")
NO_DEGREE = pattern_of(r"(?:(?:flat|sharp) )?(?:one|two|four|five|six)(?=[,.;!]|$)")
SAYS_WHERE = pattern_of(r"\b(?:above|against|at|in|of|on|over|under) (?:the |that |our )?$")


def _is_step_of_chord(sentence: Sentence, claim: Claim) -> bool:
    """Whether a number says right after a chord's name which step of the key it is."""
    text = sentence.text
    if claim.kind != "degree" or NO_DEGREE.match(text, claim.first) is None:
        return False
    return any(
        name.last <= claim.first
        and ITS_STEP.fullmatch(text[name.last : claim.first])
        and not SAYS_WHERE.search(text[: name.first])
        for name in chord_names(sentence)
    )


def _is_alone(claim: SymbolClaim, found: Sequence[Claim]) -> bool:
    """Whether nothing is said but of the chords, or nothing at all where a chord is only named."""
    return not found or (claim.role != "named" and all(other.kind in HARMONIC for other in found))


def _beside(claims: Iterable[Said], found: Sequence[Claim]) -> list[Said]:
    """Those of some claims whose words are no others'."""
    return [
        claim
        for claim in claims
        if not any(claim.first < other.last and other.first < claim.last for other in found)
    ]


ANOTHER = pattern_of(
    r"\b(?:another(?: one)?|one more|a second one|how many(?: more)?|(?P<count>two|three|four|five|six) more)"
    r"(?= (?:in|on|over|at|right) )"
)

# "The flat nine on the and of one, and once more on the and of two."
ONCE_MORE = pattern_of(
    r"(?<=[\w,] )(?:(?:and|then|but|it|which) )*(?:(?:is|gets) )?"
    r"(?P<again>once (?:more|again)|(?:heard |struck |played |(?<!and ))again|(?:a second|another|one more) time"
    r"|returns?|returning|comes? back|coming back|back|reappears?|recurs?)(?= (?:in|on|over|at|right|just) )"
)
SOMEWHERE = pattern_of(r"[^.;:]*\b(?:in|of|on|over|at|opens|begins|starts)\b")


def _once_more(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """The degree or note named last, where it is said to come again elsewhere."""
    for match in ONCE_MORE.finditer(sentence.text):
        before = [claim for claim in found if claim.last <= match.start("again")]
        last = max(before, key=lambda claim: claim.first, default=None)
        if last is None or last.kind not in ("degree", "note") or last.count or last.which:
            continue
        if SOMEWHERE.match(sentence.text[last.last : match.start()]):
            yield replace(last, first=match.start("again"), last=match.end())


def _others(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """Degrees and notes that are only counted on: "a sharp eleven in bar two and another one in bar four"."""
    yield from _once_more(sentence, found)
    for match in ANOTHER.finditer(sentence.text):
        before = [
            claim for claim in found if claim.kind in ("degree", "note") and claim.last <= match.start()
        ]
        count = number_said(match["count"]) if match["count"] else -1 if match[0].startswith("how") else 0
        if before and (before[-1].kind == "degree" or count):
            yield replace(before[-1], first=match.start(), last=match.end(), which=0, count=count)


# Devices, roles, scales ----------------------------------------------------------------------------------


def _devices(sentence: Sentence) -> Iterator[Claim]:
    for pattern, kind, manner in DEVICE_WORDS:
        for match in words_like(f"(?:{pattern})").finditer(sentence.text):
            which, count = counted(sentence.text, match.start(), match[0])
            shape = shape_said(sentence.text, match.start(), match.end())
            if kind == "over-the-barline phrase" and HELD_OVER.search(sentence.text[: match.start()]):
                continue
            if " side" in match[0] and OF_NOTES.search(sentence.text[: match.start()]):
                continue
            # "chromatically" says how a line moves: no run by itself
            if match[0] == "chromatically" and LIKE.match(sentence.text, match.end()):
                continue
            sure = not match[0].endswith("ally") and kind not in UNSURE and manner != "loose"
            yield Claim("device", match.start(), match.end(), kind, (), "", which, count, sure, shape)


# Notes that stand on both sides of another, apart from it: "two flat sevens, one on each side of the ninth".
OF_NOTES = pattern_of(
    r"\b(?:two|both|a pair of) (?:[\w-]+ )?(?:roots|thirds|fourths|fifths|sixths|sevenths?|sevens|ninths|nines"
    r"|elevenths|elevens|thirteenths|thirteens|[a-g]s)\b|\bone $"
)
HELD_OVER = pattern_of(
    rf"\b{inflected('hold, tie, hang, ring, sustain, carry, let ring')}(?: (?!phrase|line|idea)[\w'-]+){{0,7}} $"
)
LIKE = pattern_of(r" (?:adjacent|related|altered|inflected|speaking|neighbou?ring)\b")
UNSURE = ("two five", "minor two five", *NAMED_MOVES)


def _roles(sentence: Sentence) -> Iterator[Claim]:
    for pattern, role in ROLE_WORDS:
        for match in words_like(f"(?:{pattern})").finditer(sentence.text):
            which, count = counted(sentence.text, match.start(), match[0])
            yield Claim("role", match.start(), match.end(), role, (), "", which, count)


def _scales(sentence: Sentence) -> Iterator[Claim]:
    for match in words_like(
        rf"{SCALE_WORDS}(?! (?:{'|'.join(ORDINALS)}|four|two|six|seven)\b)(?!(?: dominant)? (?:notes?|tones?))"
    ).finditer(sentence.text):
        if match[0] in ("whole tone", "whole-tone") and _is_a_step(sentence.text, match):
            continue
        root = SCALE_ROOT.match(sentence.text, match.end()) or ROOT_BEFORE.search(
            sentence.text[: match.start()]
        )
        name = match[0]
        if root is not None and root["mode"]:
            name = f"{root['mode']} {name}" if "pentatonic" in name or "blues" in name else name
        names = (root["root"],) if root is not None and _is_root(sentence, root) else ()
        before = names and root is not None and root.end() == match.start()
        first = root.start("root") if before and root is not None else match.start()
        sure = IN_THE_WAY_OF.match(sentence.text, match.end()) is None
        if not sure and not HEARD_AS.search(sentence.text[:first]):
            continue
        yield Claim("scale", first, match.end(), name, names, sure=sure)


# A scale's sound, which needs not all of it: "that's the Lydian colour".
IN_THE_WAY_OF = pattern_of(r"(?: dominant)? (?:quality|colou?r|flavou?r|sound|feel|vibe|touch|tinge)(?!\w)")


HEARD_AS = pattern_of(
    r"(?:\b(?:that's|this is|that is|it's|it is|gives (?:us|you|it)|here's|(?:you|we) (?:get|hear|have|catch)"
    r"|there's|has|have|notice)"
    r"|^\s*(?:(?:now|so|then|and|just|here),? )*(?:listen (?:to|for)|look (?:out )?for"
    r"|hear|feel|enjoy|catch|watch for))"
    r" (?:the|an?|your|our|that|this)(?: (?:classic|typical|real|true|old|pure|famous|whole|bright|dark))? $"
)


def _is_root(sentence: Sentence, root: re.Match[str]) -> bool:
    """Whether a letter before a scale is its root, and no article."""
    first = root.start("root")
    small = root["root"] != "a"
    return small or (sentence.written[first] == "A" and bool(sentence.written[:first].strip()))


def _is_a_step(text: str, match: re.Match[str]) -> bool:
    """Whether a whole tone is the distance: "falls by a whole tone", "a whole tone lower"."""
    counted = pattern_of(r"\b(?:an?|one|another|each|by|the) $").search(text[: match.start()])
    line = pattern_of(r" (?:run|line|passage|pattern|collection|sound|flavou?r|colou?r|thing)\b").match(
        text[match.end() :]
    )
    return counted is not None and line is None


SCALE_ROOT = pattern_of(
    r" (?:of|on|from) (?P<root>[a-g](?: flat| sharp|-flat|-sharp|b|#)?)(?: (?P<mode>major|minor))?(?!\w)"
)
ROOT_BEFORE = pattern_of(r"(?<![\w'])(?P<root>[a-g](?: flat| sharp|-flat|-sharp|b|#)?)(?P<mode>(?!))? $")


TRIAD_STEPS = {
    "b9": "bII", "9": "II", "#9": "bIII", "b3": "bIII", "3": "III", "4": "IV", "11": "IV", "#11": "bV", "b5": "bV",
    "5": "V", "b13": "bVI", "#5": "bVI", "13": "VI", "6": "VI", "b7": "bVII", "7": "VII",
}  # fmt: skip
TRIAD = (
    r"(major |minor )?triad (?:that is |built |that starts )?(?:on|from|off|over|up from|based on) (?:the |its )?"
    rf"((?:{'|'.join(ACCIDENTALS)}) ?)?({'|'.join([*ORDINALS, *CARDINALS])}|\d{{1,2}}(?:th|rd|nd)?)"
)


# "A flat six triad", "the two triad"; without an accidental, so named, it is the second or sixth step's.
NUMBERED_TRIAD = (
    rf"(?:((?:{'|'.join(ACCIDENTALS)}))[ -](two|three|five|six|2|3|5|6)|(two|six)) (major |minor )?triad"
)


# "The major triad a whole step above the root", "a triad built a minor third up".
UP_FROM = (
    rf"(major |minor )?triad (?:that is |that's |built |sitting |starting )?(?:up )?(?:an? )?"
    rf"((?:{QUALITY} )?(?:third|fourth|fifth|sixth|seventh)|(?:half|whole)[ -](?:step|tone)|semitone) "
    r"(?:above|up from|over|higher than|up)(?: (?:the |its |that )?(?:root|chord|bass))?"
)
STEPS_UP = ("", "bII", "II", "bIII", "III", "IV", "bV", "V", "bVI", "VI", "bVII", "VII")


def _triads_up(sentence: Sentence) -> Iterator[Claim]:
    """Triads that are told by how far they stand above the root."""
    for match in words_like(UP_FROM).finditer(sentence.text):
        up = interval_sizes(match[2].replace("-", " "))
        if len(up) == 1:
            minor = " minor" if (match[1] or "").strip() == "minor" else ""
            yield Claim("device", *match.span(), UPPER, (), f"{STEPS_UP[up[0]]}{minor}")


def _triads(sentence: Sentence) -> Iterator[Claim]:
    yield from _triads_up(sentence)
    found = [
        (match, match[1] or "", match[2] or "", match[3])
        for match in words_like(TRIAD).finditer(sentence.text)
    ]
    found += [
        (match, match[4] or "", match[1] or "", match[2] or match[3])
        for match in words_like(NUMBERED_TRIAD).finditer(sentence.text)
    ]
    for match, mode, sign, number in found:
        names = degree_names(sign.strip(), number_said(number))
        if names and names[0] in TRIAD_STEPS:
            minor = " minor" if mode.strip() == "minor" else ""
            kind = (
                "tritone-substitute triad"
                if names[0] in ("#11", "b5") and not minor
                else "upper-structure triad"
            )
            detail = "" if kind.startswith("tritone") else f"{TRIAD_STEPS[names[0]]}{minor}"
            yield Claim("device", match.start(), match.end(), kind, (), detail)
