"""The kinds of chord: their tones, families, house symbols and spoken words.

`KINDS` has a row for every `kind-value` of MusicXML 4.0, and one more, "altered", which the standard
lacks. Tones are degree names against the root. Two choices are common practice, no source: a thirteenth
chord on a major third leaves the eleventh out (it clashes with the third), and a second or a suspended
second is named 9. Augmented sixths and the Tristan chord are taken from the root as the standard's
functional kinds are commonly read (the root is the tonic of an augmented sixth); the Neapolitan stands on
its own root.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = [
    "DEGREE_SEMITONES",
    "KINDS",
    "KIND_ALIASES",
    "MAJOR_TENSIONS_WITHOUT_SEVENTH",
    "MUSICXML_KINDS",
    "NAMES_BY_FAMILY",
    "TENSIONS_BY_FAMILY",
    "Family",
    "Kind",
]

Family = Literal[
    "major",
    "minor",
    "dominant",
    "altered",
    "suspended",
    "half-diminished",
    "diminished",
    "augmented",
    "open",
    "none",
]

DEGREE_SEMITONES = {
    "1": 0,
    "b9": 1,
    "9": 2,
    "#9": 3,
    "b3": 3,
    "3": 4,
    "4": 5,
    "11": 5,
    "#11": 6,
    "b5": 6,
    "5": 7,
    "#5": 8,
    "b13": 8,
    "6": 9,
    "13": 9,
    "bb7": 9,
    "b7": 10,
    "7": 11,
}


@dataclass(frozen=True)
class Kind:
    """One kind of chord.

    `quality` is drawn beside the root ("m"), `superscript` raised; `seventh` says that a seventh is
    understood, so that the sixth above the root is a 13.
    """

    tones: tuple[str, ...]
    family: Family
    quality: str
    superscript: str
    spoken: str
    seventh: bool


def _kind(
    tones: str, family: Family, quality: str, superscript: str, spoken: str, seventh: bool | None = None
) -> Kind:
    names = tuple(tones.split())
    understood = any(name.endswith("7") for name in names) if seventh is None else seventh
    return Kind(names, family, quality, superscript, spoken, understood)


KINDS: dict[str, Kind] = {
    "major": _kind("1 3 5", "major", "", "", ""),
    "minor": _kind("1 b3 5", "minor", "m", "", "minor"),
    "augmented": _kind("1 3 #5", "augmented", "", "+", "augmented"),
    "diminished": _kind("1 b3 b5", "diminished", "", "°", "diminished", True),
    "dominant": _kind("1 3 5 b7", "dominant", "", "7", "seven"),
    "major-seventh": _kind("1 3 5 7", "major", "", "maj7", "major seven"),
    "minor-seventh": _kind("1 b3 5 b7", "minor", "m", "7", "minor seven"),
    "diminished-seventh": _kind("1 b3 b5 bb7", "diminished", "", "°7", "diminished seven"),
    "augmented-seventh": _kind("1 3 #5 b7", "dominant", "", "7(♯5)", "seven sharp five"),
    "half-diminished": _kind("1 b3 b5 b7", "half-diminished", "m", "7(♭5)", "minor seven flat five"),
    "major-minor": _kind("1 b3 5 7", "minor", "m", "(maj7)", "minor major seven"),
    "major-sixth": _kind("1 3 5 6", "major", "", "6", "six"),
    "minor-sixth": _kind("1 b3 5 6", "minor", "m", "6", "minor six"),
    "dominant-ninth": _kind("1 3 5 b7 9", "dominant", "", "9", "nine"),
    "major-ninth": _kind("1 3 5 7 9", "major", "", "maj9", "major nine"),
    "minor-ninth": _kind("1 b3 5 b7 9", "minor", "m", "9", "minor nine"),
    "dominant-11th": _kind("1 3 5 b7 9 11", "dominant", "", "11", "eleven"),
    "major-11th": _kind("1 3 5 7 9 11", "major", "", "maj11", "major eleven"),
    "minor-11th": _kind("1 b3 5 b7 9 11", "minor", "m", "11", "minor eleven"),
    "dominant-13th": _kind("1 3 5 b7 9 13", "dominant", "", "13", "thirteen"),
    "major-13th": _kind("1 3 5 7 9 13", "major", "", "maj13", "major thirteen"),
    "minor-13th": _kind("1 b3 5 b7 9 11 13", "minor", "m", "13", "minor thirteen"),
    "suspended-second": _kind("1 9 5", "open", "", "sus2", "sus two"),
    "suspended-fourth": _kind("1 4 5", "suspended", "", "sus", "sus", True),
    "Neapolitan": _kind("1 3 5", "major", "", "N6", "Neapolitan"),
    "Italian": _kind("1 #11 b13", "open", "", "It+6", "Italian sixth"),
    "French": _kind("1 9 #11 b13", "open", "", "Fr+6", "French sixth"),
    "German": _kind("1 b3 #11 b13", "open", "", "Ger+6", "German sixth"),
    "pedal": _kind("1", "open", "", "ped", "pedal"),
    "power": _kind("1 5", "open", "", "5", "five"),
    "Tristan": _kind("1 b3 b5 b7", "half-diminished", "", "Tristan", "Tristan chord"),
    "other": _kind("1", "open", "", "", ""),
    "none": _kind("", "none", "", "", "no chord"),
    "altered": _kind("1 3 b7 b9 #9 #11 b13", "altered", "", "7alt", "seven altered"),
}

# MusicXML 4.0, kind-value: every value of the standard.
MUSICXML_KINDS = tuple(kind for kind in KINDS if kind != "altered")

# Kind values outside the standard that real files carry, as the text of a symbol.
KIND_ALIASES = {
    "maj69": "6/9",
    "min69": "m6/9",
    "minor-major": "m(maj7)",
    "minor-major-seventh": "m(maj7)",
    "dominant-seventh": "7",
    "augmented-ninth": "9(#5)",
    "augmented-major-seventh": "maj7(#5)",
    "half-diminished-seventh": "m7b5",
    "suspended-fourth-seventh": "7sus",
    "dominant-suspended": "7sus",
    "diminished-major-seventh": "°(maj7)",
    "min": "m",
    "maj": "",
    "dim": "°",
    "aug": "+",
    "maj7": "maj7",
    "min7": "m7",
    "dim7": "°7",
    "7": "7",
    "6": "6",
    "9": "9",
    "min6": "m6",
    "min9": "m9",
    "maj9": "maj9",
    "sus47": "7sus",
}

# Names of the pitches outside the chord that have two names, by semitones above the root. The sixth is
# named by whether a seventh is understood.
NAMES_BY_FAMILY: dict[Family, dict[int, str]] = {
    "major": {3: "#9", 5: "4", 6: "#11", 8: "#5"},
    "augmented": {3: "#9", 5: "4", 6: "#11", 8: "#5"},
    "minor": {3: "b3", 5: "11", 6: "#11", 8: "b13"},
    "half-diminished": {3: "b3", 5: "11", 6: "b5", 8: "b13"},
    "diminished": {3: "b3", 5: "11", 6: "b5", 8: "b13", 9: "bb7"},
    "dominant": {3: "#9", 5: "11", 6: "#11", 8: "b13"},
    "altered": {3: "#9", 5: "11", 6: "#11", 8: "b13"},
    "suspended": {3: "#9", 5: "4", 6: "#11", 8: "b13"},
    "open": {3: "b3", 5: "4", 6: "#11", 8: "b13"},
    "none": {},
}

# Common practice, no source: what may be leaned on over a family, apart from what the symbol prints.
# Major chords without a seventh take neither 13 nor #5; over plain triads the sixth and sevenths are colours.
TENSIONS_BY_FAMILY: dict[Family, tuple[str, ...]] = {
    "major": ("9", "#11", "13", "#5"),
    "augmented": ("9", "#11", "b7", "7"),
    "minor": ("9", "11", "13", "6", "b7", "7"),
    "half-diminished": ("b9", "9", "11", "b13"),
    "diminished": ("9", "11", "b13", "7"),
    "dominant": ("b9", "9", "#9", "#11", "b13", "13"),
    "altered": ("b9", "#9", "#11", "b13"),
    "suspended": ("b9", "9", "13"),
    "open": ("9", "#11", "13", "6", "b7", "7"),
    "none": (),
}
MAJOR_TENSIONS_WITHOUT_SEVENTH = ("9", "#11", "6", "7")
