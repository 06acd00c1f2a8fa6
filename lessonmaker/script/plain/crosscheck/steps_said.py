"""Chords that are said to be something in a key, and are not: "A flat seven is the five of our key".

Common practice, no source. A chord is named and, beside it, told by its step, by what it does or by the key of which it
is the relative one; false where no chord of that name in sight or near it is so told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, root_said, semitones_of, sounding
from lessonmaker.script.plain.crosscheck.near import chords_near
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.heard import Harmony, Heard
from lessonmaker.script.plain.intervals import OCTAVE

__all__ = ["steps_said"]

# From a chord's name to what it is.
IS = pattern_of(
    r"(?: chord)?(?: (?:here|there|now|you (?:see|hear)|in (?:bar|measure) [\w-]+))*,?"
    r"(?: (?:(?:that|which|it|and|so|who) )?(?:is|was|'s|acts? as|works? as|serves? as|functions? as|being|as)|'s|,|)"
    r"(?: (?:simply|just|really|only|merely|plainly|nothing but|of course|well|basically|our|the|an?|its|good|old))* ?"
)
# A step of a key: "the five of our home key", "the four chord in B flat minor", "the tonic of D".
NUMBER = r"one|two|three|four|five|six|seven|tonic|subdominant|dominant|relative minor|relative major"
IN_A_KEY = pattern_of(
    rf"(?<![\w-])(?P<step>(?:flat )?(?:{NUMBER}))(?: chord)? (?:of|in|to)"
    rf" (?:(?:the|our|this|its) (?P<home>(?:home |main |whole )*(?:key|home|tune|tonic))"
    rf"|(?P<tonic>{ROOT_NAME})(?: (?P<mode>major|minor))?)"
    r"(?![\w'-])(?! (?:seven|chord|altered|dominant|half))"
)
RELATIVE = {"relative minor": 9, "relative major": 3}
NO_FACT = pattern_of(r"\b(?:not|n't|never|as if|like|could|might|would|almost)\b")


# Any such chord: "a dominant is the five of its key".
A_SORT = pattern_of(r"(?:^|[,;:.] )(?:an?|any|every) (?:[\w-]+ )?(?:dominant|seventh|chord|tonic)\b[^,;:.]*$")


def steps_said(told: Told) -> Iterator[Untrue]:
    """What chords that are named are said to be, and none of that name in sight or near it is."""
    harmony = told.harmony
    near = chords_near(told, harmony)
    for match in IN_A_KEY.finditer(told.text):
        root = _root_before(told, match.start(), harmony)
        if A_SORT.search(told.text[: match.start()]):
            continue
        if root is None or NO_FACT.search(told.text[told.part_of(match.start())[0] : match.end()]):
            continue
        if not _is_of_key(told, match, root, near, harmony):
            words = told.sentence.words(*match.span())
            yield Untrue(
                *match.span(), f"it is not “{words}”: {_step_of(root, harmony)}", "say what it is there"
            )


def _root_before(told: Told, at: int, harmony: Harmony) -> int | None:
    """The root of the chord that is named right before what it is said to be."""
    names = [(name.first, name.last, name.root) for name in told.chords_named if name.last <= at]
    if names and IS.fullmatch(told.text, names[-1][1], at):
        return sounding(names[-1][2], harmony)
    return _bare_root(told, at, harmony)


BARE = pattern_of(rf"(?:into|in|to|on|towards?|for|up|the) (?P<root>{ROOT_NAME}), (?:the|our|its) $")


def _bare_root(told: Told, at: int, harmony: Harmony) -> int | None:
    match = BARE.search(told.text[:at])
    if match is None or told.sentence.is_article(match, "root"):
        return None
    return sounding(root_said(match["root"]), harmony)


def _is_of_key(told: Told, match: re.Match[str], root: int, near: list[Heard], harmony: Harmony) -> bool:
    """Whether a root stands where it is said to in a key: the one that is named, home, or one that is heard there."""
    step = match["step"]
    if match["tonic"]:
        if told.sentence.is_article(match, "tonic"):
            return True
        tonic = sounding(root_said(match["tonic"]), harmony)
        above = {RELATIVE[step]} if step in RELATIVE else _above(step, match["mode"] or "")
        return (root - tonic) % OCTAVE in above
    keys = [harmony.home] if harmony.home is not None else []
    if "home" not in match["home"]:
        keys += [key for each in near for key in harmony.keys_of(each)]
    if not keys:
        return True
    if step in RELATIVE:
        return any((root - key.tonic.pitch_class) % OCTAVE == RELATIVE[step] for key in keys)
    return any((root - key.tonic.pitch_class) % OCTAVE in semitones_of(step, key) for key in keys)


STEPS = {
    "one": (0, 0), "tonic": (0, 0), "two": (2, 2), "three": (4, 3), "four": (5, 5), "subdominant": (5, 5),
    "five": (7, 7), "dominant": (7, 7), "six": (9, 8), "seven": (11, 10),
}  # fmt: skip


def _above(step: str, mode: str) -> set[int]:
    """How far above a tonic a step may be, in a mode or, where that is not said, in both."""
    number = step.removeprefix("flat ")
    major, minor = STEPS[number]
    if step != number:
        return {major - 1}
    return {major} if mode == "major" else {major, minor}


def _step_of(root: int, harmony: Harmony) -> str:
    home = harmony.home
    if home is None:
        return "its root is another one"
    names = ("one", "flat two", "two", "flat three", "three", "four", "sharp four", "five", "flat six", "six")
    step = (*names, "flat seven", "seven")[(root - home.tonic.pitch_class) % OCTAVE]
    return f"it stands on {step} of the home key"
