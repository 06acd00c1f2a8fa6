"""Chords as a sentence tells them: by name, kind, step of the key, or what they do there.

"G seven", "a half-diminished chord", "the flat six", "the five of two", "a tritone sub for E seven". Each is a test of
a chord as it is heard. Common practice, no source: a step may be counted in the key of the moment or in the home key;
a dominant stands in for the one a tritone away; a borrowed chord is one of the other mode that its own has not.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Literal

from lessonmaker.analysis.model import KeyCentre
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName, chord_names
from lessonmaker.script.plain.heard import DOMINANT, SMALL, Harmony, Heard, is_minor
from lessonmaker.script.plain.intervals import MAJOR_STEPS, OCTAVE
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import ALTERATIONS, CARDINALS, ORDINAL, ordinal_of
from lessonmaker.theory.chord import readings
from lessonmaker.theory.kinds import Family
from lessonmaker.theory.pitch import NoteName

__all__ = [
    "FIFTH",
    "KEY_NAME",
    "NO_CHORD",
    "OF_A_STEP",
    "PLACED",
    "ROOT_NAME",
    "STEP",
    "TARGET",
    "TRITONE",
    "ChordSaid",
    "chords_said",
    "function_fits",
    "is_of_mode",
    "is_spelt",
    "root_said",
    "semitones_of",
    "sounding",
    "step_fits",
    "whole_words",
]

Fits = Callable[[Heard, Harmony], bool]
Sort = Literal["name", "slash", "kind", "step", "number", "function", "nth"]
FIFTH, TRITONE = 7, 6
TRIADS = {"major": {0, 4, FIFTH}, "minor": {0, 3, FIFTH}}  # semitones above the root


def whole_words(pattern: str) -> re.Pattern[str]:
    """What finds a pattern that begins with a word."""
    return pattern_of(rf"(?<![\w#-])(?:{pattern})")


# What makes a chord's name something else: "a G minor arpeggio", "the C major scale".
NO_CHORD = pattern_of(
    r"[ -](?:notes?|triads?|arpeggios?|scales?|shapes?|pentatonic|blues|lines?|licks?|runs?|grips?"
    r"|patterns?|sounds?|colou?rs?"
    r"|flavou?rs?|broken|spelled|stuff|business|things?|tensions?|edition|instruments?|third|sixth|key\b|pedal|over\b|tonality|area)"
)


@dataclass(frozen=True)
class ChordSaid:
    """Words at [first, last) that tell a chord; `fits` says whether one that is heard is so told.

    `sort` is "name", "slash" for one over another bass, "kind", "step", "number" for a step that may be a degree,
    "function", or "nth" for a chord told by its place in a row (`nth`: -1 the last);
    `applied` is a step of another step.
    """

    first: int
    last: int
    sort: Sort
    fits: Fits
    nth: int = 0
    applied: bool = False


def chords_said(sentence: Sentence, sorts: tuple[str, ...] = ()) -> list[ChordSaid]:
    """The chords that a sentence tells, in its order, none inside another.

    Args:
        sentence: what is said.
        sorts: those that are wanted; all of them where none is named.
    """
    return [each for each in _all_said(sentence) if not sorts or each.sort in sorts]


@lru_cache(maxsize=1)  # of one sentence they are asked for many times
def _all_said(sentence: Sentence) -> tuple[ChordSaid, ...]:
    found: list[ChordSaid] = []
    for finder in (_functions, _applied, _slashes, _names, _changing, _steps, _kinds, _nths):
        for each in finder(sentence):
            if not any(each.first < other.last and other.first < each.last for other in found):
                found.append(each)
    return tuple(sorted(found, key=lambda each: each.first))


# By name -------------------------------------------------------------------------------------------------

ROOT_NAME = r"(?<![\w'#])[a-g](?:b|#|[ -]flat|[ -]sharp)?(?![\w#'])"
# A chord's name without a seventh, which a key has as well.
KEY_NAME = pattern_of(rf"(?P<root>{ROOT_NAME}) (?P<mode>major|minor)")
# What a name says of the tones above the fifth, and which of them another chord of the family has instead.
COLOURS: tuple[tuple[str, str], ...] = (
    (r"(?:maj(?:or)?|minor[- ]major)[ -]?(?:seven(?:th)?|7)", "7"),
    (r"(?:six(?:th)?|6)(?!\w)", "6"),
    (r"(?:minor|\bmin|m)[ -]?(?:seven(?:th)?|7)(?! flat)", "b7"),
)


def _names(sentence: Sentence) -> Iterator[ChordSaid]:
    for name in chord_names(sentence):
        words = sentence.text[name.first : name.last]
        yield ChordSaid(name.first, name.last, "name", partial(_is_named, name, words))


def _is_named(name: ChordName, words: str, each: Heard, _: Harmony) -> bool:
    """Whether a chord is printed with a root, of a family, and with no other sixth or seventh than is said."""
    roots = {way.root.pitch_class for way in (each.written, *readings(each.written))}
    if name.root.pitch_class not in roots or (name.families and each.family not in name.families):
        return False
    return _has_colour(words, each)


def _has_colour(words: str, each: Heard) -> bool:
    """Whether a chord has the sixth or seventh that is said, or no other; whether one called altered is."""
    if pattern_of(r"\balt(?:ered)?\b").search(words) and each.family == "dominant":
        return bool(each.tones & ALTERATIONS)
    for pattern, tone in COLOURS:
        if pattern_of(pattern).search(words):
            return tone in each.tones or not each.tones & {"7", "b7", "6"}
    return True


def root_said(text: str) -> NoteName:
    """The root that a name without a quality says: "b flat"."""
    sign = pattern_of(r"flat|sharp|(?<=.)b|#").search(text)
    alter = 0 if sign is None else -1 if sign[0] in ("flat", "b") else 1
    return NoteName(text[0].upper(), alter)


def is_spelt(words: str, where: Span, harmony: Harmony) -> bool:
    """Whether the line of some bars is nothing but the triad that words name: "it's B flat major, on top"."""
    name = KEY_NAME.fullmatch(words)
    if name is None:
        return False
    root, notes = (
        sounding(root_said(name["root"]), harmony),
        harmony.music.struck_between(where.start, where.end),
    )
    return {(note.sounding.midi - root) % OCTAVE for note in notes} == TRIADS[name["mode"]]


# A chord over a bass of its own: "D over A", "the E minor with G in the bass".
A_QUALITY = r" ?(?:major|minor|m|seven(?:th)?|7|maj7|m7|dominant)?(?: seven(?:th)?)?(?: chord)?"
A_SEVENTH = r"(?:(?: (?:major|minor|dominant))? (?:seven(?:th)?|7)(?: chord)?)"
SLASH = pattern_of(
    rf"(?P<root>{ROOT_NAME})(?:(?:{A_SEVENTH}? over| slash|/)(?: an?| the)? ?(?P<bass>{ROOT_NAME})"
    r"(?: in the bass| bass)?"
    rf"|{A_QUALITY} (?:with|over|on|slash)(?: an?| its| the)? (?P<low>{ROOT_NAME})"
    r" (?:in|as|for) (?:the|its) (?:bass|bottom))"
    r"(?! ?(?:major|minor|seven|7|maj|m7|chord|dominant|alt|sus|dim|half|flat|sharp|nine|six))"
)


def _slashes(sentence: Sentence) -> Iterator[ChordSaid]:
    for match in SLASH.finditer(sentence.text):
        bass = match["bass"] or match["low"]
        if any(sentence.is_article(match, group) for group in ("root", "bass", "low")):
            continue
        yield ChordSaid(*match.span(), "slash", partial(_is_over, root_said(match["root"]), root_said(bass)))


def _is_over(root: NoteName, bass: NoteName, each: Heard, _: Harmony) -> bool:
    """Whether a chord is printed with a root and a bass."""
    own = each.written.bass.pitch_class if each.written.bass is not None else None
    return each.written.root.pitch_class == root.pitch_class and own == bass.pitch_class


# What is a chord, since it becomes one of another kind: "A flat turns minor", "the four goes minor".
BECOMES_A_KIND = (
    r"(?= (?:(?:then|now|just|suddenly|simply|really|has|have) )*"
    r"(?:turn(?:s|ed|ing)?(?: in)?(?:to)?|go(?:es|ing|ne)?|went|becom(?:es?|ing)|became"
    r"|(?:chang|switch|flip|shift|soften|darken|melt|sour)(?:s|es|ed|ing|e)? (?:in)?to)(?: an?)? "
    r"(?:minor|major|dominant|(?:half[- ])?diminished|altered|augmented|sus|suspended)(?![\w-])"
    r"(?! (?:second|third|sixth|seventh|ninth|scale|mode|pentatonic|key|triad|arpeggio)))"
)
CHANGING_ROOT = pattern_of(rf"{ROOT_NAME}{BECOMES_A_KIND}")


def _changing(sentence: Sentence) -> Iterator[ChordSaid]:
    for match in CHANGING_ROOT.finditer(sentence.text):
        if sentence.is_article(match, 0):
            continue
        yield ChordSaid(*match.span(), "name", partial(_has_root, root_said(match[0])))


def _has_root(root: NoteName, each: Heard, harmony: Harmony) -> bool:
    return sounding(root, harmony) in each.roots


# By kind -------------------------------------------------------------------------------------------------

KINDS: tuple[tuple[str, Callable[[Heard], bool]], ...] = (
    (
        r"half[- ]diminished(?: seven(?:th)?)?|minor seven(?:th)? flat fives?",
        lambda each: each.family == "half-diminished",
    ),
    (
        r"(?:passing |full(?:y)? )?diminished(?: seven(?:th)?)?",
        lambda each: each.family == "diminished",
    ),
    (
        r"altered(?! (?:notes?|tones?|tensions?|degrees?|extensions?|colou?rs?)\b)(?: dominants?)?(?: seven(?:th)?)?",
        lambda each: (
            each.family == "altered" or (each.family == "dominant" and bool(each.tones & ALTERATIONS))
        ),
    ),
    (r"(?:suspended|sus)(?: dominant| four)?", lambda each: each.family == "suspended"),
    (r"dominant(?: seven(?:th)?| nine| thirteen)?", lambda each: each.family in DOMINANT),
    (
        r"(?:minor[- ]major|minor with a major)(?: seven(?:th)?)?",
        lambda each: each.family == "minor" and "7" in each.tones,
    ),
    (r"major seven(?:th)?", lambda each: each.family == "major" and not each.tones & {"6", "b7"}),
    (r"minor seven(?:th)?", lambda each: each.family == "minor" and not each.tones & {"6", "7"}),
    (r"major six(?:th)?", lambda each: each.family == "major" and "6" in each.tones),
    (r"minor six(?:th)?", lambda each: each.family == "minor" and "6" in each.tones),
    (r"augmented(?: seven(?:th)?)?", lambda each: each.family == "augmented"),
    (r"minor", lambda each: each.family == "minor"),
    (r"major", lambda each: each.family == "major"),
)
KIND_ENDS = r"(?:s|es)?(?: chords?)?(?![\w-])(?! (?:two|2|ii)[ -](?:five|5|v)\b)"
KIND_WORDS = tuple((whole_words(f"(?:{pattern}){KIND_ENDS}"), test) for pattern, test in KINDS)


def _kinds(sentence: Sentence) -> Iterator[ChordSaid]:
    for pattern, test in KIND_WORDS:
        for match in pattern.finditer(sentence.text):
            yield ChordSaid(*match.span(), "kind", partial(_is_of_kind, test))


def _is_of_kind(test: Callable[[Heard], bool], each: Heard, _: Harmony) -> bool:
    return test(each)


# By the step of the key ----------------------------------------------------------------------------------

NUMERALS = {"ii": 2, "iii": 3, "iv": 4, "vi": 6, "vii": 7}
NUMBER = r"(?:one|two|three|four|five|six|seven|[1-7]|iii|ii|iv|vii|vi)"
# "A minor seven" is a kind of chord, and no step.
SIGN = (
    r"(?:(?:flat|sharp|b|#)[ -]?|(?:minor|major|dominant|half[- ]diminished|diminished|altered)[ -]"
    r"(?!(?:seven|six|7|6)))?"
)
OF_A_STEP = r"(?:minor|major|dominant|diminished|half[- ]diminished|sus)"
QUALITY = rf"(?:[ -](?:{OF_A_STEP}|seven(?:th)?))?"
STEP = rf"{SIGN}{NUMBER}{QUALITY}"
# A step whose kind says that it is a chord: "the minor two", "the sharp four diminished".
CHORD_STEP = (
    rf"(?:(?:minor|major|dominant|half[- ]diminished)[ -](?:one|two|four|five|[1245]|ii|iv)(?! (?:{OF_A_STEP}))"
    rf"|(?:(?:flat|sharp|b|#)[ -]?)?{NUMBER}[ -]{OF_A_STEP}"
    r"|(?:flat |b)(?:two|seven)[ -]seven(?:th)?)"  # "the flat two seven"
)
BY_WORD = {
    "tonic": 1, "home": 1, "supertonic": 2, "mediant": 3, "subdominant": 4, "dominant": 5, "submediant": 6,
    "leading-tone": 7, "neapolitan": 2,
}  # fmt: skip
WORD = r"(?:tonic|home|supertonic|submediant|mediant|subdominant|neapolitan)"
# Semitones above the tonic, in major and in minor.
MINOR_STEPS: tuple[frozenset[int], ...] = tuple(
    map(frozenset, ((0,), (2,), (3, 4), (5,), (7,), (8, 9), (10, 11)))
)
ENDS_THERE = (
    r"(?=\s*(?:[,.;:!?]|$)| (?:now|here|again|in|of (?:the key|[a-g]\b)|and|with|for|but|chord|at|on|before"
    r"|after|to)\b)"
)
TARGET = (
    rf"(?:the )?(?P<target>relative (?:major|minor)|{STEP}|tonic|subdominant|dominant"
    r"|[a-g](?:b|#|[ -]flat|[ -]sharp)?(?: major| minor)?)(?: chord| key)?(?![\w'#])"
)
APPLIED = (
    rf"(?:the |its |our )?(?<!flat )(?<!sharp )(?P<step>dominant|five|5|two|2)(?: chord| seven(?:th)?"
    rf"| seventh chord)?[ -]of[ -]{TARGET}"
)
STEPS = (
    rf"(?:the |our )(?!one chord (?:a|per|to|in|for|each|every) )(?P<step>{STEP}) chord(?![\w-])",
    rf"(?:the |our |a |an )?(?<![\w#])(?P<step>{STEP}) chord(?![\w-])(?! (?:a|per|to|in|for|each|every) )",
    rf"(?:the |our |a )?(?P<step>{WORD})(?: chord| minor| major)(?![\w-])(?! (?:key|triad|note))",
    rf"(?:the |our |a )?(?P<step>(?:minor|major) {WORD})(?: chord)?(?![\w-])(?! (?:key|triad|note))",
    rf"(?:the |our |its )(?P<step>{CHORD_STEP}){ENDS_THERE}",
    rf"(?:the |our |its )(?P<step>{STEP}){BECOMES_A_KIND}",
)
# Without "chord" they are degrees as often.
BARE_STEPS = (
    rf"the (?P<step>{STEP}){ENDS_THERE}",
    rf"(?:the |our )?(?P<step>{WORD}){ENDS_THERE}",
    rf"the (?P<step>dominant)(?: chord)?{ENDS_THERE}",
    rf"(?:(?<=\bis )|(?<='s )|(?<=\bas ))(?:our )?(?P<step>{STEP}){ENDS_THERE}",
)
LETTER = pattern_of(r"[a-g][b#]?(?![a-z])")
APPLIED_STEP = whole_words(APPLIED)
# What is no note, before what is said of it: "this chord is the five of F minor".
CHORD_IS = pattern_of(
    r"\b(?:chord|harmony|(?<!the )(?:seven|seventh|dominant)|(?:bar|measure) [\w-]+|[a-g][b#]?7)"
    r"(?: (?:here|there|itself))?,?"
    r"(?: (?:is|was|acts? as|works? as|functions? as|serves? as|becomes)|'s)(?: (?:just|really|simply|only|now))? $"
)
STEP_WORDS: tuple[tuple[re.Pattern[str], Sort], ...] = (
    *((whole_words(pattern), "step") for pattern in STEPS),
    *((whole_words(pattern), "number") for pattern in BARE_STEPS),
)


def _applied(sentence: Sentence) -> Iterator[ChordSaid]:
    for match in APPLIED_STEP.finditer(sentence.text):
        told = CHORD_IS.search(sentence.text[: match.start()])
        is_note = match["step"] != "dominant" and LETTER.match(match["target"])  # "the five of c"
        sort: Sort = "number" if is_note and not told else "step"
        yield ChordSaid(
            *match.span(), sort, partial(_is_applied, match["step"], match["target"]), applied=True
        )


def _steps(sentence: Sentence) -> Iterator[ChordSaid]:
    for pattern, sort in STEP_WORDS:
        for match in pattern.finditer(sentence.text):
            yield ChordSaid(*match.span(), sort, partial(_is_step, match["step"]))


def step_fits(words: str) -> Fits:
    """What tells a chord by the words of its step: "minor four", "the five of five"."""
    applied = APPLIED_STEP.fullmatch(words)
    if applied is not None:
        return partial(_is_applied, applied["step"], applied["target"])
    return partial(_is_step, pattern_of(r"^(?:the|our|an?) | chord$").sub("", words))


def _is_step(words: str, each: Heard, harmony: Harmony) -> bool:
    """Whether a chord stands on a step of the key, in the one that it is heard in or at home."""
    return _quality_fits(words, each) and any(
        (root - key.tonic.pitch_class) % OCTAVE in semitones_of(words, key)
        for key in harmony.keys_of(each)
        for root in each.roots
    )


def semitones_of(words: str, key: KeyCentre) -> frozenset[int]:
    """How far above the tonic a step may be that is said by number or word."""
    sign = pattern_of(r"(?:flat|b(?!\w)|b(?=\d|iii|ii|iv|v)|sharp|#)").match(words)
    number = _number(words)
    if number == 0:
        return frozenset()
    if words.startswith("neapolitan"):
        return frozenset((1,))
    if sign is not None:
        return frozenset(((MAJOR_STEPS[number - 1] + (1 if sign[0] in ("sharp", "#") else -1)) % OCTAVE,))
    return MINOR_STEPS[number - 1] if is_minor(key) else frozenset((MAJOR_STEPS[number - 1],))


def _number(words: str) -> int:
    if words in BY_WORD:
        return BY_WORD[words]
    for word in pattern_of(r"[ -]").split(pattern_of(r"^(?:b|#)(?=[1-7iv])").sub("", words)):
        if word in NUMERALS or word in CARDINALS or word.isdecimal():
            return NUMERALS.get(word) or CARDINALS.get(word) or int(word)
    return next((BY_WORD[word] for word in words.split() if word in BY_WORD), 0)


# The families of a step whose kind is said.
STEP_FAMILIES: tuple[tuple[re.Pattern[str], frozenset[Family]], ...] = (
    (pattern_of(r"\bhalf[- ]diminished\b"), frozenset(("half-diminished",))),
    (pattern_of(r"\bdiminished\b"), frozenset(("diminished", "half-diminished"))),
    (pattern_of(r"\bminor\b"), SMALL),
    (pattern_of(r"\bmajor\b"), DOMINANT | {"major"}),
    (pattern_of(r"\bsus\b"), frozenset(("suspended",))),
    (pattern_of(r"\baltered\b|\bdominant\b(?! chord)(?=.)|(?<=.)\bdominant\b"), DOMINANT),
)


def _quality_fits(words: str, each: Heard) -> bool:
    return next((each.family in own for said, own in STEP_FAMILIES if said.search(words)), True)


def _is_applied(step: str, target: str, each: Heard, harmony: Harmony) -> bool:
    """Whether a chord is the dominant, or the second step, of what another word names."""
    above = 2 if step in ("two", "2") else FIFTH
    fits = each.family in (SMALL if above == 2 else DOMINANT | {"major"})
    return fits and any((root - above) % OCTAVE in _targets(target, each, harmony) for root in each.roots)


def _targets(target: str, each: Heard, harmony: Harmony) -> set[int]:
    """The pitch classes that "two", "the relative major", or "B flat" may stand for."""
    relative = pattern_of(r"relative (major|minor)").match(target)
    if relative:
        tonic = harmony.relative(relative[1])
        return set() if tonic is None else {tonic}
    if LETTER.match(target):
        name = root_said(pattern_of(r" (?:major|minor)$").sub("", target))
        return {sounding(name, harmony)}
    return {
        (key.tonic.pitch_class + above) % OCTAVE
        for key in harmony.keys_of(each)
        for above in semitones_of(target, key)
    }


def sounding(name: NoteName, harmony: Harmony) -> int:
    """The pitch class of a name on the score's page, as it sounds."""
    return name.transposed(-harmony.music.score.transposition).pitch_class


# By what it does -----------------------------------------------------------------------------------------

FOR_IT = (
    r"(?:the |an? (?!(?:flat |sharp )?(?:7|seven|altered))|that )?"
    rf"(?P<goal>[a-g](?:b|#|[ -]flat|[ -]sharp)?(?: ?(?:7|seven(?:th)?|altered|dominant"
    rf"|chord))?"
    rf"|five(?: chord)?|dominant|{STEP}(?: chord)?|tonic)(?![\w#])"
)
TRITONE_SUB = (
    r"(?:the |an? |our |its |your |another )?(?:tritone[- ](?:sub(?:stitut\w+|s)?|swap)|substitute dominant"
    r"|sub(?:stitute)?(?= for)|(?<=the )(?<!of the )substitute"
    r"(?= (?:chord )?(?:drops|falls|goes|leads|moves|resolves|sinks|slides|slips|steps|wants))"
    r"|(?:(?<=\bas a )|(?<=\bis a )|(?<='s a )|(?<=\bour )|(?<=\byour ))sub(?=[ ,.;]))"
    rf"(?![\w'-]| triad)(?: chord)?(?: (?:for|of) {FOR_IT})?"
)
STANDS_IN = (
    r"(?:stand(?:s|ing)? in for|fill(?:s|ing)? in for|instead of|in place of|in lieu of|replac(?:es|ing)"
    r"|tak(?:es|ing) (?:the place of|over from)|substitut(?:es|ing) for|sub(?:s|bing|bed)?(?: in)? for"
    r"|deputi[sz]es for|does duty for"
    rf"|(?:a )?stand-in for) {FOR_IT}"
)
DOES = r"(?:does|doing|do|did)"
DOES_THE_JOB = (
    rf"{DOES} {FOR_IT}'s (?:job|work|duty)",
    rf"{DOES} the (?:job|work|duty) of {FOR_IT}",
    rf"{DOES} (?:exactly |just )?what {FOR_IT} (?:would|might|normally|usually|could|should|does)\b(?: do(?:es)?)?",
    rf"(?:stand|sitt?|go)(?:s|es|ing)? (?:right )?where {FOR_IT} (?:should|would|could|might|ought to|usually|normally)"
    r"(?: have)?(?: be(?:en)?| stand| stood| sit| sat| go| gone)?",
    rf"{FOR_IT} in disguise",
)
BORROWED = whole_words(
    r"(?:borrowed|on loan|taken|lifted|stolen|pinched|imported|comes|coming)(?: straight"
    r"| directly)? (?:from|out of)"
    r" (?:the |its )?(?:parallel |tonic )?(?P<mode>minor|major)(?: key| mode| side| scale| world)?(?![\w-])"
)
# Said of a chord that is named: by itself it is looked for as a device.
BACKDOOR = pattern_of(
    r"(?:(?<=\bis )|(?<=\bas )|(?<=\bmakes ))(?:the |a |our )back[- ]?door(?: dominant| seven(?:th)?"
    r"| chord)?(?= (?:now|here|again|(?:in)?to|home)\b|\s*(?:[,.;:!?]|$))"
)
IN_A_ROW = pattern_of(
    r"(?: chord)?,? ?(?:to|into|and|then|and then|going to|followed by)?,? (?:the |an? |our )?"
)
SUBSTITUTES = tuple(map(whole_words, (TRITONE_SUB, STANDS_IN, *DOES_THE_JOB)))


def _functions(sentence: Sentence) -> Iterator[ChordSaid]:
    for pattern in SUBSTITUTES:
        for match in pattern.finditer(sentence.text):
            yield ChordSaid(*match.span(), "function", partial(_stands_in, match["goal"] or ""))
    for match in BACKDOOR.finditer(sentence.text):
        if _is_of_two(sentence, match.start()):
            continue
        yield ChordSaid(*match.span(), "function", _is_backdoor)
    for match in BORROWED.finditer(sentence.text):
        yield ChordSaid(*match.span(), "function", partial(_is_borrowed, match["mode"]))


def _is_of_two(sentence: Sentence, first: int) -> bool:
    """Whether what begins at `first` is said of two chords, named one after the other: the whole move, and no chord."""
    names = [name for name in chord_names(sentence) if name.last <= first][-2:]
    return len(names) > 1 and IN_A_ROW.fullmatch(sentence.text, names[0].last, names[1].first) is not None


def function_fits(goal: str) -> Fits:
    """What tells a chord that stands in for the one that some words name."""
    return partial(_stands_in, goal)


def _stands_in(goal: str, each: Heard, harmony: Harmony) -> bool:
    """Whether a chord is the dominant a tritone from another, or falls a half step as such a one does."""
    if each.family not in DOMINANT:
        return False
    if goal:
        word = pattern_of(r" ?(?:7|seven(?:th)?|altered|dominant|chord)$").sub("", goal)
        return bool(
            {(root + TRITONE) % OCTAVE for root in each.roots} & _targets(word or goal, each, harmony)
        )
    after = harmony.after(each)
    function = harmony.function(each)
    falls = after is not None and (each.root - after.root) % OCTAVE == 1
    return falls or (function is not None and function.function == "substitute dominant")


def _is_backdoor(each: Heard, harmony: Harmony) -> bool:
    """Whether a chord is the dominant on the flattened seventh step of a major key."""
    return each.family in DOMINANT and any(
        (each.root - key.tonic.pitch_class) % OCTAVE == 10 and not is_minor(key)
        for key in harmony.keys_of(each)
    )


# The chords of each mode: the step's semitones and the families it may be of.
MODES: dict[str, dict[int, frozenset[str]]] = {
    "major": {
        0: frozenset(("major",)), 2: frozenset(("minor",)), 4: frozenset(("minor",)), 5: frozenset(("major",)),
        7: DOMINANT | {"major"}, 9: frozenset(("minor",)), 11: frozenset(("half-diminished",)),
    },
    "minor": {
        0: frozenset(("minor",)), 2: frozenset(("half-diminished",)), 3: frozenset(("major",)),
        5: frozenset(("minor",)), 7: DOMINANT | {"minor"}, 8: frozenset(("major",)) | DOMINANT,
        10: DOMINANT | {"major"}, 11: frozenset(("diminished",)), 1: frozenset(("major",)),
    },
}  # fmt: skip


def _is_borrowed(mode: str, each: Heard, harmony: Harmony) -> bool:
    """Whether a chord is one of the other mode, which the key's own has not."""
    own = "major" if mode == "minor" else "minor"
    return any(
        is_minor(key) == (own == "minor")
        and is_of_mode(mode, each, key.tonic.pitch_class)
        and not is_of_mode(own, each, key.tonic.pitch_class)
        for key in harmony.keys_of(each)
    )


def is_of_mode(mode: str, each: Heard, tonic: int) -> bool:
    """Whether a chord is one of the key of a tonic, in a mode."""
    return each.family in MODES[mode].get((each.root - tonic) % OCTAVE, ())


# By its place in a row -----------------------------------------------------------------------------------

NTH = whole_words(
    rf"(?:very )?(?P<nth>{ORDINAL}|last|final|closing|opening|penultimate) (?:chord|change)(?!\w)(?! on)"
)
OUTER = {"last": -1, "final": -1, "closing": -1, "penultimate": -2, "opening": 1}
# A chord that is told by where it is: "the chord in bar four", "what we've got on beat three".
PLACED = pattern_of(
    r"\b(?:(?:the|that|this) (?:chord|harmony)|what (?:we've|we have|you've|you have)(?: got)?|what(?:'s"
    r"| is| sits))"
    r"(?= (?:in|on|of|at|for|here|there|over|under|is|we|you)\b)"
)


def _nths(sentence: Sentence) -> Iterator[ChordSaid]:
    for match in NTH.finditer(sentence.text):
        nth = OUTER.get(match["nth"]) or ordinal_of(match["nth"])
        yield ChordSaid(*match.span(), "nth", lambda *_: True, nth)
