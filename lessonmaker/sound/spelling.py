"""Written words to the plain words that are spoken: numbers, note and chord names, numerals, symbols.

`spoken_words` never fails: what has no reading gives no words. The voice and the word timing read the same
words, so what is listened for is what was said.
"""

from __future__ import annotations

import re

from hibari.g2p import numbers

__all__ = ["END_OF_SENTENCE", "PAUSES", "ends_sentence", "pause_after", "spoken_words"]

PAUSES = ",;:.!?—…"
END_OF_SENTENCE = ".!?…"

ACCIDENTALS = {
    "♭": "flat", "b": "flat", "♯": "sharp", "#": "sharp", "♮": "natural", "♭♭": "double flat", "bb": "double flat",
    "𝄫": "double flat", "##": "double sharp", "♯♯": "double sharp", "𝄪": "double sharp",
}  # fmt: skip
CHORD_PARTS = {
    "maj": "major", "Maj": "major", "ma": "major", "M": "major", "Δ": "major", "△": "major", "m": "minor",
    "min": "minor", "mi": "minor", "-": "minor", "dim": "diminished", "°": "diminished", "o": "diminished",
    "ø": "half diminished", "aug": "augmented", "+": "augmented", "sus": "sus", "alt": "altered", "add": "add",
}  # fmt: skip
ROMAN = {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7}
SYMBOLS = {
    "&": "and", "+": "plus", "=": "equals", "%": "percent", "×": "times", "@": "at", "♭": "flat", "♯": "sharp",
    "#": "sharp", "♮": "natural", "°": "degrees", "𝄫": "double flat", "𝄪": "double sharp", "½": "half",
}  # fmt: skip
ABBREVIATIONS = {
    "vs": "versus", "e.g": "for example", "i.e": "that is", "etc": "et cetera", "approx": "approximately",
    "d.s": "dal segno", "d.c": "da capo",
}  # fmt: skip
ORDINARY = frozenset(["Am", "Ado", "Bo", "Co", "Do", "Fo", "Go", "Add", "Ma", "Emma"])
STOPPED = frozenset(["vs", "e.g", "i.e", "approx", "d.s", "d.c", "dr", "mr", "mrs", "ms", "st"])

_CHORD_PART = "|".join(re.escape(part) for part in sorted(CHORD_PARTS, key=len, reverse=True))
_ACCIDENTAL = "bb|##|♭♭|♯♯|[b#♭♯♮𝄫𝄪]"
_CHORD = re.compile(
    rf"([A-G])({_ACCIDENTAL})?((?:{_CHORD_PART}|{_ACCIDENTAL}|6/9|\d+|[()])*)(?:/([A-G])({_ACCIDENTAL})?)?"
)
_CHORD_TAIL = re.compile(rf"({_CHORD_PART})|({_ACCIDENTAL})|(\d+)")
_DEGREE = re.compile(rf"({_ACCIDENTAL})(\d+)")
_NUMERAL = re.compile(rf"({_ACCIDENTAL})?([IV]+|[iv]+)(°|o|ø|Δ|maj|m)?(\d+)?")
_PART = re.compile(r"\d+(?:st|nd|rd|th)\b|\d+(?:,\d{3})+|\d+\.\d+|\d+|[^\W\d_]+(?:'[^\W\d_]+)*|\S")
_RANGE = re.compile(r"\d+\s*[-–]\s*\d+")


def spoken_words(written: str) -> tuple[str, ...]:
    """The plain words said for one written word: "B♭7," gives ("B", "flat", "seven").

    Args:
        written: One written word with its punctuation, or several.
    """
    return tuple(word for part in written.split() for word in _read_word(part))


def pause_after(written: str) -> str:
    """The punctuation mark after a written word at which the voice pauses, "" where there is none."""
    tail = written.rstrip("\"'”’)]»")
    if _is_abbreviation(tail) or not tail or tail[-1] not in PAUSES:
        return "," if written.endswith((")", "]")) else ""
    return tail[-1]


def ends_sentence(written: str) -> bool:
    """Whether a written word is the last of its sentence."""
    mark = pause_after(written)
    return mark != "" and mark in END_OF_SENTENCE


def _is_abbreviation(tail: str) -> bool:
    return tail.endswith(".") and tail.rstrip(".").lower().lstrip("(\"'“‘") in STOPPED


def _read_word(written: str) -> list[str]:
    core = written.replace("’", "'").replace("‘", "'").strip("\"'“”«»()[]{},;:!?…—–*_`").strip()
    bare = core.rstrip(".")
    if core != bare and bare.lower() in ABBREVIATIONS:
        return ABBREVIATIONS[bare.lower()].split()
    for read in (_read_chord, _read_degree, _read_numerals, _read_range):
        words = read(bare)
        if words:
            return words
    return [word for part in re.split(r"[-–—/_]", bare) for word in _read_parts(part)]


def _read_chord(core: str) -> list[str]:
    """A note with an accidental, or a chord symbol; a bare letter and ordinary words are left alone."""
    match = _CHORD.fullmatch(core)
    if not match or len(core) == 1 or core in ORDINARY:
        return []
    letter, accidental, tail, bass, bass_accidental = match.groups()
    words = _note(letter, accidental)
    for part, sign, digits in _CHORD_TAIL.findall(tail):
        words += _number(digits) if digits else (CHORD_PARTS.get(part) or ACCIDENTALS[sign]).split()
    return words + (["over", *_note(bass, bass_accidental)] if bass else [])


def _note(letter: str, accidental: str | None) -> list[str]:
    return [letter, *ACCIDENTALS.get(accidental or "", "").split()]


def _read_degree(core: str) -> list[str]:
    match = _DEGREE.fullmatch(core)
    return [*ACCIDENTALS[match[1]].split(), *_number(match[2])] if match else []


def _read_numerals(core: str) -> list[str]:
    """Harmonic numerals: "ii-V-I" is two five one; a single "I" or "i" is left to be a word."""
    parts = re.split(r"[-–/]", core)
    readings = [_numeral(part) for part in parts]
    if not all(readings) or core in ("I", "i", "v"):
        return []
    return [word for reading in readings for word in reading]


def _numeral(part: str) -> list[str]:
    match = _NUMERAL.fullmatch(part)
    if not match or match[2].lower() not in ROMAN:
        return []
    sign, numeral, quality, digits = match.groups()
    words = [*ACCIDENTALS.get(sign or "", "").split(), numbers.cardinal(ROMAN[numeral.lower()])]
    words += CHORD_PARTS.get(quality or "", "").split()
    return words + (_number(digits) if digits else [])


def _read_range(core: str) -> list[str]:
    if not _RANGE.fullmatch(core):
        return []
    first, last = re.split(r"[-–]", core)
    return [*_number(first), "to", *_number(last)]


def _read_parts(text: str) -> list[str]:
    return [word for part in _PART.findall(text) for word in _read_part(part)]


def _read_part(part: str) -> list[str]:
    if part[0].isdecimal():
        return _number(part)
    if part[0].isalpha():
        return [part]
    return SYMBOLS.get(part, "").split()


def _number(digits: str) -> list[str]:
    """A number in words; four digits without a comma from 1100 on are a year, over a million digit by digit."""
    plain = digits.replace(",", "")
    if plain[-2:] in ("st", "nd", "rd", "th"):
        return _split(numbers.ordinal(int(plain[:-2][-9:])))
    if "." in plain:
        whole, _, rest = plain.partition(".")
        return [*_number(whole), "point", *(numbers.ONES[int(digit)] for digit in rest)]
    value = int(plain[:12])
    if 1100 <= value <= 2099 and "," not in digits:
        return _split(numbers.year(value))
    if len(plain) > 6:
        return [numbers.ONES[int(digit)] for digit in plain]
    return _split(numbers.cardinal(value))


def _split(words: str) -> list[str]:
    return re.findall(r"[a-z]+", words)
