"""Keys and numerals against analyses by people: chorales in RomanText, which music21 carries in its corpus and reads.

RomanText: Tymoczko, Gotham, Cuthbert and Ariza (ISMIR 2019), "The RomanText format". The chords of each analysis are
handed over as a lead sheet, without their keys and numerals. The analysts name a new key for a phrase of a few beats,
where a player over changes stays in the old one; so the keys must be near, and the same for most of the time.
"""

from __future__ import annotations

import warnings
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import music21
import pytest

from lessonmaker.analysis.model import Function
from lessonmaker.analysis.whole import analyse
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.numeral import bare_numeral
from tests.outside.test_chorales_music21 import symbol
from tests.tools.plain_score import plain_score

FOLDER = Path(music21.__file__).parent / "corpus" / "bach" / "choraleAnalyses"
CHORALES = tuple(range(1, 9))

# How another key that is heard lies to the analyst's, (analyst's mode, ours, semitones up), and why.
OTHER_KEYS = {
    ("major", "major", 5): "the tonic is heard as the fifth of the key before",
    ("major", "major", 7): "the fourth degree is heard as the tonic of the key before",
    ("minor", "minor", 5): "the tonic is heard as the fifth of the key before",
    ("minor", "minor", 7): "the fourth degree is heard as the tonic of the key before",
    ("minor", "major", 3): "the relative major, whose chords these are but for the dominant",
    ("major", "minor", 9): "the relative minor",
    ("minor", "major", 10): "a minor key on the second degree of the major one that is stayed in",
    ("minor", "major", 5): "a minor key on the fifth degree, likewise",
    ("minor", "major", 7): "a minor key on the fourth degree, likewise",
    ("minor", "major", 8): "a minor key on the third degree, likewise",
    ("major", "minor", 2): "a major key on the seventh degree of the minor one that is stayed in",
    ("major", "minor", 4): "a major key on the sixth degree, likewise",
    ("minor", "major", 0): "the last chord is major",
}
MOST_ELSEWHERE = 0.02  # of the time, in a key that lies otherwise

# Numerals are counted from the major scale in minor too, so the analyst's III, VI and VII have a flat here.
STEPS_IN_MINOR = {"iii": "biii", "vi": "bvi", "vii": "bvii"}


@dataclass(frozen=True)
class Heard:
    """A chord as the analyst names it, and as it is found."""

    length: float
    theirs: music21.roman.RomanNumeral
    ours: Function

    @property
    def relation(self) -> tuple[str, str, int]:
        """Their mode, ours, and how many semitones our tonic lies above theirs."""
        key = self.theirs.key
        return key.mode, self.ours.key.mode, (self.ours.key.tonic.pitch_class - key.tonic.pitchClass) % 12

    @property
    def same_key(self) -> bool:
        return self.relation in (("major", "major", 0), ("minor", "minor", 0))


@cache
def heard(number: int) -> tuple[Heard, ...]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        path = FOLDER / f"riemenschneider{number:03}.rntxt"
        stream = music21.converter.parse(path, format="romanText")
        numerals = {
            Fraction(numeral.getOffsetInHierarchy(stream)).limit_denominator(12): (symbol(numeral), numeral)
            for numeral in stream.recurse().getElementsByClass("RomanNumeral")
            if numeral.isTriad() or numeral.isSeventh()
        }
    named = {onset: pair for onset, pair in numerals.items() if pair[0]}
    changes = [(onset, parse_chord(text)) for onset, (text, _) in sorted(named.items())]
    functions = analyse(plain_score([], changes, int(changes[-1][0] // 4) + 2)).functions
    return tuple(
        Heard(
            float(numeral.quarterLength),
            numeral,
            next(one for one in functions if one.span.start <= onset < one.span.end),
        )
        for onset, (_, numeral) in sorted(named.items())
    )


def test_keys_are_those_of_the_analysts_or_lie_as_the_table_says() -> None:
    lengths: Counter[object] = Counter()
    for one in (one for number in CHORALES for one in heard(number)):
        lengths["same" if one.same_key else one.relation] += one.length
    total = sum(lengths.values())
    elsewhere = sum(length for relation, length in lengths.items() if relation not in {"same", *OTHER_KEYS})
    assert total > 400
    assert lengths["same"] >= 0.8 * total
    assert elsewhere <= MOST_ELSEWHERE * total


def main_keys(number: int) -> tuple[tuple[int, str], tuple[int, str]]:
    """The keys that most of a chorale is in: ours and the analyst's, as pitch class and mode."""
    ours: Counter[tuple[int, str]] = Counter()
    theirs: Counter[tuple[int, str]] = Counter()
    for one in heard(number):
        ours[one.ours.key.tonic.pitch_class, one.ours.key.mode] += one.length
        theirs[one.theirs.key.tonic.pitchClass, one.theirs.key.mode] += one.length
    return ours.most_common(1)[0][0], theirs.most_common(1)[0][0]


@pytest.mark.parametrize("number", CHORALES)
def test_the_key_of_most_of_a_chorale_is_the_analyst_s(number: int) -> None:
    ours, theirs = main_keys(number)
    assert ours == theirs


def test_numerals_in_the_same_key_are_the_analysts() -> None:
    """But for chords that the analyst applies to another step, and we count from the key: "V/V" of a plain triad."""
    counted: Counter[str] = Counter()
    for one in (one for number in CHORALES for one in heard(number) if one.same_key):
        theirs, ours = one.theirs.figure, bare_numeral(one.ours.numeral).lower()
        if "/" in theirs.replace("6/", "").replace("4/", ""):
            counted["applied"] += 1
            continue
        step = bare_numeral(theirs).lower()
        steps = {step, STEPS_IN_MINOR.get(step, step)} if one.theirs.key.mode == "minor" else {step}
        counted["same" if ours in steps else "other"] += 1
    assert counted["same"] > 250
    assert counted["other"] <= 0.01 * counted["same"]
    assert counted["applied"] < 0.1 * counted["same"]


def test_a_dominant_seventh_that_the_analyst_applies_is_applied_here_to_the_same_step() -> None:
    agreeing: Counter[bool] = Counter()
    for one in (one for number in range(1, 9) for one in heard(number) if one.same_key):
        if one.theirs.figure.startswith(("V7/", "V6/5/", "V4/3/", "V2/", "V4/2/")):
            step = one.theirs.figure.rsplit("/", 1)[1].lower()
            theirs = {step, STEPS_IN_MINOR.get(step, step)}
            agreeing[one.ours.numeral.lower().rsplit("/", 1)[-1] in theirs] += 1
    assert agreeing[True] >= 5
    assert agreeing[False] <= 0.25 * agreeing[True]
