"""Scales: their degrees, the names teachers give them, and their notes from a root.

Conventions: degrees are the names that labels have (1 b9 9 #9 b3 3 4 11 #11 b5 5 #5 b13 13 bb7 b7 7), counted
from the scale's own root, so that a scale's notes can be matched with the labels of a chord on that root.
Common practice, no source: which scales there are, what they are called, and how they are spelt: a degree
keeps its letter (the altered scale keeps the letter of the chord's third), and a note that would need a
double accidental takes its plainer name. `tests/outside` compares them with published tables.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache

from lessonmaker.theory.kinds import DEGREE_SEMITONES
from lessonmaker.theory.pitch import STEP_SEMITONES, STEPS, NoteName
from lessonmaker.theory.signs import ASCII_SIGNS

__all__ = ["SCALES", "Scale", "scale_notes", "scale_spoken", "scales_named"]


@dataclass(frozen=True)
class Scale:
    """A scale: its degrees upwards from the root, how it is said, and what else it is called.

    `parent` is the major, melodic minor or harmonic minor scale of which it is a mode, or itself.
    """

    name: str
    degrees: tuple[str, ...]
    spoken: str
    parent: str
    others: tuple[str, ...] = ()

    @cached_property
    def semitones(self) -> tuple[int, ...]:
        """Semitones of each degree above the root."""
        return tuple(DEGREE_SEMITONES[degree] for degree in self.degrees)

    @cached_property
    def degree_at(self) -> dict[int, str]:
        """Degree names by semitones above the root."""
        return dict(zip(self.semitones, self.degrees, strict=True))


def _scale(name: str, degrees: str, parent: str = "", others: str = "", spoken: str = "") -> Scale:
    spoken = spoken or f"the {name} scale"
    return Scale(
        name, tuple(degrees.split()), spoken, parent or name, tuple(filter(None, others.split(", ")))
    )


# Of one set of notes, the plainest scale first.
_TABLE = (
    _scale("major", "1 9 3 4 5 13 7", "", "ionian, diatonic major"),
    _scale("dorian", "1 9 b3 11 5 13 b7", "major", "dorian minor"),
    _scale("phrygian", "1 b9 b3 11 5 b13 b7", "major"),
    _scale("lydian", "1 9 3 #11 5 13 7", "major", "lydian major, major sharp four, major sharp eleven"),
    _scale("mixolydian", "1 9 3 11 5 13 b7", "major", "dominant, dominant seventh, major flat seven"),
    _scale("aeolian", "1 9 b3 11 5 b13 b7", "major", "natural minor, minor, pure minor, eolian"),
    _scale("locrian", "1 b9 b3 11 b5 b13 b7", "major"),
    _scale(
        "melodic minor",
        "1 9 b3 11 5 13 7",
        "",
        "jazz minor, ascending melodic minor, jazz melodic minor, minor",
    ),
    _scale(
        "dorian b2",
        "1 b9 b3 11 5 13 b7",
        "melodic minor",
        "dorian b9, phrygian natural 6, phrygian #6, phrygian 13",
        "the dorian flat two scale",
    ),
    _scale("lydian augmented", "1 9 3 #11 #5 13 7", "melodic minor", "lydian #5, lydian augmented major"),
    _scale(
        "lydian dominant",
        "1 9 3 #11 5 13 b7",
        "melodic minor",
        "lydian b7, acoustic, overtone, mixolydian #4, mixolydian #11, lydian mixolydian",
    ),
    _scale(
        "mixolydian b6",
        "1 9 3 11 5 b13 b7",
        "melodic minor",
        "mixolydian b13, hindu, melodic major, aeolian dominant, aeolian major",
        "the mixolydian flat six scale",
    ),
    _scale(
        "locrian natural 2",
        "1 9 b3 11 b5 b13 b7",
        "melodic minor",
        "locrian #2, locrian natural 9, locrian 9, locrian 2, half diminished, half diminished seventh, aeolian b5",
        "the locrian natural two scale",
    ),
    _scale(
        "altered",
        "1 b9 #9 3 #11 b13 b7",
        "melodic minor",
        "super locrian, altered dominant, diminished whole tone, alt, locrian b4",
    ),
    _scale("harmonic minor", "1 9 b3 11 5 b13 7", "", "minor"),
    _scale(
        "phrygian dominant",
        "1 b9 3 11 5 b13 b7",
        "harmonic minor",
        "spanish phrygian, phrygian major, mixolydian b9 b13, spanish gypsy, freygish",
    ),
    _scale("whole tone", "1 9 3 #11 #5 b7", "", "augmented dominant, wholetone"),
    _scale(
        "half-whole diminished",
        "1 b9 #9 3 #11 5 13 b7",
        "",
        "half whole, half step whole step diminished, dominant diminished, diminished, octatonic, "
        "diminished half whole, half step whole step, symmetrical diminished, symmetric diminished, "
        "inverted diminished, diminished dominant, eight note dominant",
    ),
    _scale(
        "whole-half diminished",
        "1 9 b3 11 b5 b13 bb7 7",
        "",
        "whole half, whole step half step diminished, diminished, octatonic, diminished whole half, "
        "whole step half step, symmetrical diminished, symmetric diminished, fully diminished",
    ),
    _scale(
        "bebop dominant", "1 9 3 11 5 13 b7 7", "", "bebop, bebop seventh, dominant bebop, bebop mixolydian"
    ),
    _scale("bebop major", "1 9 3 4 5 #5 13 7", "", "bebop, major bebop, bebop sixth, sixth diminished"),
    _scale("bebop dorian", "1 9 b3 3 11 5 13 b7", "", "bebop, bebop minor, minor bebop, dorian bebop"),
    _scale("major pentatonic", "1 9 3 5 13", "", "pentatonic, pentatonic major, major five note"),
    _scale("minor pentatonic", "1 b3 11 5 b7", "", "pentatonic, pentatonic minor, minor five note"),
    _scale("blues", "1 b3 11 b5 5 b7", "", "minor blues, blues minor, six note blues"),
    _scale("major blues", "1 9 b3 3 5 13", "", "blues, blues major"),
    _scale("chromatic", "1 b9 9 #9 3 11 #11 5 b13 13 b7 7", "", "half step, twelve note, semitone"),
)
SCALES: dict[str, Scale] = {scale.name: scale for scale in _TABLE}

# The scale's spelling where its letters are not those of its degrees: a minor third, not a raised ninth.
_SPELT = {"altered": ("1", "b9", "b3", "3", "b5", "b13", "b7")}

_SIGNS = str.maketrans(
    ASCII_SIGNS | {"♮": None, "-": " ", "‑": " ", "–": " ", "/": " ", "'": None, "’": None}
)
_NUMBERS = {"two": "2", "second": "2", "third": "3", "four": "4", "fourth": "4", "five": "5", "fifth": "5"}
_NUMBERS |= {"six": "6", "sixth": "6", "seven": "7", "seventh": "7", "nine": "9", "ninth": "9"}
_NUMBERS |= {"eleven": "11", "eleventh": "11", "thirteen": "13", "thirteenth": "13"}
_LEFT_OUT = {"the", "a", "an", "scale", "scales", "mode", "modes", "sound", "with"}
_SIGN_WORDS = re.compile(r"\b(flat|flattened|lowered) (?=\d)|\b(sharp|sharpened|raised) (?=\d)")


def scales_named(text: str) -> tuple[str, ...]:
    """The scales that a text may mean, the likeliest first; empty where it names none.

    Case, hyphens, "the" and "scale" do not matter; signs may be words ("lydian flat seven").
    """
    return _index().get(_plain(text), ())


@lru_cache(maxsize=1)
def _index() -> dict[str, tuple[str, ...]]:
    """Scale names by every plain name: of two scales with one name, the one whose own name it is first."""
    index: dict[str, tuple[str, ...]] = {}
    for scale in _TABLE:
        for name in {
            _plain(name): None for name in (scale.name, scale.spoken, *scale.others, *_as_mode(scale))
        }:
            known = index.get(name, ())
            own = _plain(scale.name) == name
            index[name] = (scale.name, *known) if own else (*known, scale.name)
    return index


def _as_mode(scale: Scale) -> tuple[str, ...]:
    """The name of a mode by its number: the altered scale is "the seventh mode of the melodic minor scale"."""
    parent = SCALES[scale.parent].semitones
    degrees = (
        number
        for number, start in enumerate(parent, 1)
        if {(note - start) % 12 for note in parent} == set(scale.semitones)
    )
    return () if scale.parent == scale.name else tuple(f"{number} of {scale.parent}" for number in degrees)


def _plain(text: str) -> str:
    words = text.translate(_SIGNS).casefold().split()
    plain = " ".join(_NUMBERS.get(word, word) for word in words if word not in _LEFT_OUT)
    plain = plain.replace("wholetone", "whole tone").replace("superlocrian", "super locrian")
    return _SIGN_WORDS.sub(lambda match: "b" if match[1] else "#", plain)


def scale_spoken(scale: str) -> str:
    """The scale in words, with its article: "the half-whole diminished scale".

    Raises:
        KeyError: there is no such scale.
    """
    return SCALES[scale].spoken


def scale_notes(root: NoteName, scale: str) -> tuple[NoteName, ...]:
    """The notes of a scale upwards from its root, spelt.

    Raises:
        KeyError: there is no such scale.
    """
    degrees = _SPELT.get(scale, SCALES[scale].degrees)
    return tuple(_spelt(root, degree) for degree in degrees)


def _spelt(root: NoteName, degree: str) -> NoteName:
    """The note a degree above the root, by its letter; by a plainer one instead of a double accidental."""
    letter = STEPS[(STEPS.index(root.step) + int(degree.lstrip("b#")) - 1) % 7]
    pitch_class = (root.pitch_class + DEGREE_SEMITONES[degree]) % 12
    named = _on_letter(letter, pitch_class)
    if abs(named.alter) < 2:
        return named
    step = 1 if named.alter > 0 else -1
    return _on_letter(STEPS[(STEPS.index(letter) + step) % 7], pitch_class)


def _on_letter(letter: str, pitch_class: int) -> NoteName:
    return NoteName(letter, (pitch_class - STEP_SEMITONES[letter] + 6) % 12 - 6)
