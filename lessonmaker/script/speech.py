"""How a written word is said: trade writings, numbers and signs in words, all else as it stands.

Common practice, no source: "b9" is "flat nine", "ii-V-I" "two five one", "7/4" "seven four", "17-20" "seventeen
to twenty".
"""

from __future__ import annotations

import re
from collections.abc import Callable

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.theory.chord import chord_spoken, degree_spoken, parse_change
from lessonmaker.theory.counting import TENS, UNITS
from lessonmaker.theory.kinds import DEGREE_SEMITONES
from lessonmaker.theory.signs import ASCII_SIGNS

__all__ = ["number_spoken", "said"]

FIXED = {
    "1st": "first",
    "2nd": "second",
    "3rd": "third",
    "4th": "fourth",
    "5th": "fifth",
    "6th": "sixth",
    "7th": "seventh",
    "8th": "eighth",
    "9th": "ninth",
    "11th": "eleventh",
    "13th": "thirteenth",
    "8ths": "eighths",
    "16th": "sixteenth",
    "16ths": "sixteenths",
    "&": "and",
    "+": "plus",
    "=": "equals",
    "n.c": "no chord",
    "nc": "no chord",
}
JOINTS = {"-": " to ", "/": " ", "+": " plus ", ":": " to "}
ROMAN = {"i": "one", "ii": "two", "iii": "three", "iv": "four", "v": "five", "vi": "six", "vii": "seven"}
SIGN_WORDS = {"": "", "b": "flat ", "bb": "double flat ", "#": "sharp "}
ASCII = str.maketrans(ASCII_SIGNS | {"–": "-", "—": "-", "−": "-", "’": "'"})
ROMAN_CHORD = r"(?:bb|b|#)?(?:iii|ii|iv|i|vii|vi|v)(?:7)?"
MARKS = "\"'“”‘’()[]«»„*_.,;:!?…—–-"

PERCENT = pattern_of(r"([0-9]{1,4})%")
JOINED_NUMBERS = pattern_of(r"[0-9]{1,4}(?:[-/+:][0-9]{1,4})*")
DEGREES = pattern_of(r"(?:bb|b|#)[0-9]{1,2}(?:[-/](?:bb|b|#)?[0-9]{1,2})*")
ROMAN_CHORDS = pattern_of(rf"{ROMAN_CHORD}(?:-{ROMAN_CHORD})+", re.IGNORECASE)
ONE_ROMAN = pattern_of(r"(?:bb|b|#)?(?:II|III|IV|VI|VII|V|ii|iii|iv|vi|vii)7?|(?:bb|b|#)I")
CHORD_NAME = pattern_of(
    r"[A-G](?:(?:bb|b|#)(?![a-z]{2})|m$|m[0-9]|maj|min|dim|sus|alt|[0-9/]).*|[A-G](?:b|#)"
)


def said(word: str) -> str:
    """The words for one printed word; "" for bare punctuation."""
    plain = word.translate(ASCII)
    core = plain.strip(MARKS)
    if core.lower() in FIXED:
        return FIXED[core.lower()]
    ending = "'s" if core.endswith("'s") and len(core) > 2 else ""
    stem = core[: len(core) - len(ending)]
    for pattern, speak in WAYS:
        if pattern.fullmatch(stem):
            words = speak(stem)
            if words:
                return words + ending
    return without_signs(core)


def number_spoken(number: int) -> str:
    """A number up to 9999 in words."""
    for size, name in ((1000, " thousand"), (100, " hundred")):
        if number >= size:
            rest = f" {number_spoken(number % size)}" if number % size else ""
            return f"{number_spoken(number // size)}{name}{rest}"
    if number < len(UNITS):
        return UNITS[number]
    return TENS[number // 10] + (f" {UNITS[number % 10]}" if number % 10 else "")


def joined_numbers(text: str) -> str:
    """Numbers and what joins them: "7/4" is "seven four", "17-20" "seventeen to twenty"."""
    parts = re.split(r"([-/+:])", text)
    return "".join(JOINTS.get(part) or number_spoken(int(part)) for part in parts)


def percent(text: str) -> str:
    """A percentage."""
    return f"{number_spoken(int(text[:-1]))} percent"


def degrees(text: str) -> str:
    """Degrees: "b9" is "flat nine", "b9/#9" "flat nine sharp nine"."""
    return " ".join(degree(part) for part in re.split("[-/]", text))


def degree(text: str) -> str:
    """One degree, or a number with a sign that the trade would say the same way."""
    number = text.lstrip("b#")
    if text in DEGREE_SEMITONES and text not in ("1", "3", "b3"):
        return degree_spoken(text)
    return SIGN_WORDS.get(text[: len(text) - len(number)], "") + number_spoken(int(number))


def roman_chords(text: str) -> str:
    """Chords by their roman numbers: "ii-V-I" is "two five one", "bII7" "flat two seven"."""
    return " ".join(roman_chord(part) for part in text.split("-"))


def roman_chord(text: str) -> str:
    """One roman number with its sign and seventh."""
    sign, roman, seventh = re.fullmatch(r"(bb|b|#)?([iv]+)(7)?", text, re.IGNORECASE).groups()  # type: ignore[union-attr]
    return SIGN_WORDS[sign or ""] + ROMAN[roman.lower()] + (" seven" if seventh else "")


def chord_name(text: str) -> str:
    """A chord or note name: "B♭" is "B flat", "Dm7" "D minor seven"; nothing where it is another word."""
    try:
        return chord_spoken(parse_change(text))
    except ValueError:
        return ""


def without_signs(text: str) -> str:
    """A word as it stands; hyphens and strokes part it, numbers in it are words."""
    parted = re.sub(r"[^\w'.&%+]+|(?<=\d)(?=[^\W\d])|(?<=[^\W\d])(?=\d)|_", " ", text)
    parted = re.sub(r"(?<=[0-9])\.(?=[0-9])", " point ", parted)
    words = parted.replace("%", " percent ").replace("+", " plus ").split()
    return " ".join(FIXED.get(word) or digits_spoken(word) for word in words)


def digits_spoken(word: str) -> str:
    """A number of up to four digits in words, any other word as it stands."""
    return number_spoken(int(word)) if re.fullmatch(r"[0-9]{1,4}", word) else word


WAYS: tuple[tuple[re.Pattern[str], Callable[[str], str]], ...] = (
    (PERCENT, percent),
    (JOINED_NUMBERS, joined_numbers),
    (DEGREES, degrees),
    (ROMAN_CHORDS, roman_chords),
    (ONE_ROMAN, roman_chords),
    (CHORD_NAME, chord_name),
)
