"""Chords as values: their tones, families, readings and transposition.

Conventions: a `kind` is a MusicXML 4.0 kind value or "altered". `degrees` follow the standard's `degree`:
an added degree is counted from a dominant chord (an added 7 is a minor seventh), an altered one from the
chord's own. `text` is the source's text for the kind ("7alt"), never the root, so that it survives
transposition. Degree names are ASCII: 1 b9 9 #9 b3 3 4 11 #11 b5 5 #5 b13 13 6 bb7 b7 7.

Source: MusicXML 4.0, elements kind and degree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from lessonmaker.theory.kinds import DEGREE_SEMITONES, KINDS, Family
from lessonmaker.theory.pitch import Interval, NoteName

__all__ = [
    "Chord",
    "ChordDegree",
    "chord_tones",
    "family",
    "readings",
    "seventh_understood",
    "simplified",
    "transpose_chord",
]

NATURAL_SEMITONES = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 2, 11: 5, 13: 9}
DEGREE_NAMES = {
    (1, 0): "1",
    (2, -1): "b9",
    (2, 0): "9",
    (2, 1): "#9",
    (9, -1): "b9",
    (9, 0): "9",
    (9, 1): "#9",
    (3, -1): "b3",
    (3, 0): "3",
    (4, 0): "4",
    (4, 1): "#11",
    (11, 0): "11",
    (11, 1): "#11",
    (5, -1): "b5",
    (5, 0): "5",
    (5, 1): "#5",
    (6, -1): "b13",
    (6, 0): "6",
    (13, -1): "b13",
    (13, 0): "13",
    (7, -1): "bb7",
    (7, 0): "b7",
    (7, 1): "7",
}
ALTERED_COLOURS = ({1}, {3}, {6}, {8})

# A degree that makes another kind of a kind: (kind, value, alteration) of an added or altered degree.
SIMPLER_KINDS = {
    ("major", 7, 0): "dominant",
    ("major", 7, 1): "major-seventh",
    ("major", 6, 0): "major-sixth",
    ("major", 5, 1): "augmented",
    ("minor", 7, 0): "minor-seventh",
    ("minor", 7, 1): "major-minor",
    ("minor", 6, 0): "minor-sixth",
    ("minor", 5, -1): "diminished",
    ("minor-seventh", 5, -1): "half-diminished",
    ("diminished", 7, 0): "half-diminished",
    ("diminished", 7, -1): "diminished-seventh",
    ("augmented", 7, 0): "augmented-seventh",
    ("dominant", 5, 1): "augmented-seventh",
}


@dataclass(frozen=True)
class ChordDegree:
    """A degree that a chord symbol adds, alters or leaves out: "add", 9, +1 is an added sharp nine."""

    action: str
    value: int
    alter: int


@dataclass(frozen=True)
class Chord:
    """A chord symbol: `kind` is a MusicXML 4.0 kind value or "altered", `text` the source's text for it."""

    root: NoteName
    kind: str
    degrees: tuple[ChordDegree, ...] = ()
    bass: NoteName | None = None
    text: str = ""


@lru_cache(maxsize=4096)
def simplified(chord: Chord) -> Chord:
    """The same chord with its degrees folded into its kind where a kind says them.

    A dominant that carries every altered colour (b9, #9, b5 or #11, #5 or b13), or whose text says
    "alt", is "altered".
    """
    says_altered = "alt" in chord.text and KINDS[chord.kind].family in ("dominant", "major")
    if says_altered or _has_altered_colours(chord):
        return replace(chord, kind="altered", degrees=())
    kind, degrees = _suspended(chord.kind, list(chord.degrees))
    fifths = [degree for degree in degrees if degree.value == 5]
    for degree in list(degrees):
        simpler = SIMPLER_KINDS.get((kind, degree.value, degree.alter))
        if degree.action != "subtract" and simpler is not None and not (degree.value == 5 and fifths[1:]):
            kind = simpler
            degrees.remove(degree)
    return replace(chord, kind=kind, degrees=tuple(degrees))


def _has_altered_colours(chord: Chord) -> bool:
    dominant = KINDS[chord.kind].family == "dominant"
    return dominant and all(colour & _tones(chord).keys() for colour in ALTERED_COLOURS)


def _suspended(kind: str, degrees: list[ChordDegree]) -> tuple[str, list[ChordDegree]]:
    """A dominant without its third but with a fourth is a suspended chord."""
    third = ChordDegree("subtract", 3, 0)
    fourths = [d for d in degrees if d.value in (4, 11) and d.alter == 0 and d.action == "add"]
    without_third = next((d for d in degrees if (d.action, d.value) == (third.action, third.value)), None)
    if KINDS[kind].family not in ("dominant", "major") or without_third is None or not fourths:
        return kind, degrees
    rest = [d for d in degrees if d is not without_third and d not in fourths]
    extensions = {"dominant": (7,), "dominant-ninth": (7, 9), "dominant-13th": (7, 9, 13)}.get(kind, ())
    return "suspended-fourth", [ChordDegree("add", value, 0) for value in extensions] + rest


@lru_cache(maxsize=4096)
def _tones(chord: Chord) -> dict[int, str]:
    """Degree names by semitones above the root, of a chord taken at its word."""
    tones = {DEGREE_SEMITONES[name]: name for name in KINDS[chord.kind].tones}
    for degree in chord.degrees:
        _apply(degree, tones)
    if chord.kind == "suspended-fourth" and 10 not in tones and 11 not in tones:
        tones[10] = "b7"
    return tones


def _apply(degree: ChordDegree, tones: dict[int, str]) -> None:
    held = [semitones for semitones, name in tones.items() if _number(name) == degree.value]
    alter = 0 if _is_seventh_of_suspension(degree, tones) else degree.alter
    natural = NATURAL_SEMITONES.get(degree.value)
    if natural is None:
        return
    if degree.action == "subtract":
        for semitones in held:
            del tones[semitones]
        return
    if degree.action == "alter" and held:
        natural = DEGREE_SEMITONES[tones[held[0]]]
        del tones[held[0]]
    if degree.value == 5 and alter and degree.action == "add":
        tones.pop(7, None)
    semitones = (natural + alter) % 12
    name = DEGREE_NAMES.get((degree.value, semitones - NATURAL_SEMITONES[degree.value]))
    tones[semitones] = name or next(name for name, above in DEGREE_SEMITONES.items() if above == semitones)


def _is_seventh_of_suspension(degree: ChordDegree, tones: dict[int, str]) -> bool:
    """Some programs write the flat seventh of a suspended chord as an added 7 lowered by one."""
    return degree.action == "add" and degree.value == 7 and degree.alter == -1 and "b5" not in tones.values()


def _number(name: str) -> int:
    return int(name.lstrip("b#"))


@lru_cache(maxsize=4096)
def chord_tones(chord: Chord) -> Mapping[int, str]:
    """Degree names by pitch class (0 is C) of the tones that the symbol says, extensions included."""
    root = chord.root.pitch_class
    return MappingProxyType({(root + above) % 12: name for above, name in _tones(simplified(chord)).items()})


@lru_cache(maxsize=4096)
def family(chord: Chord) -> Family:
    """The family that decides names and available tensions: "dominant", "minor", "altered" ..."""
    simple = simplified(chord)
    tones = _tones(simple)
    if KINDS[simple.kind].family == "minor" and 6 in tones and 7 not in tones:
        return "half-diminished"
    return KINDS[simple.kind].family


def seventh_understood(chord: Chord) -> bool:
    """Whether a seventh is said or understood, so that the sixth above the root is a 13."""
    simple = simplified(chord)
    return KINDS[simple.kind].seventh or any(d.value == 7 and d.action == "add" for d in simple.degrees)


SEVENTHS = {10: ChordDegree("add", 7, 0), 11: ChordDegree("add", 7, 1)}


@lru_cache(maxsize=4096)
def readings(chord: Chord) -> tuple[Chord, ...]:
    """How a slash chord may be heard, the first being the one its labels come from.

    A bass that is a chord tone or a seventh is an inversion: one reading, on the printed root, which has that seventh
    (C/Bb is a C7). A triad or seventh chord over the note that suspends it (F/G, Dm7/G) is that suspended dominant.
    Any other hybrid is read from its printed root first, then from its bass.
    """
    if chord.bass is None:
        return (chord,)
    above = (chord.bass.pitch_class - chord.root.pitch_class) % 12
    tones = _tones(simplified(chord))
    if above in SEVENTHS and not tones.keys() & SEVENTHS.keys():
        return (replace(chord, degrees=(*chord.degrees, SEVENTHS[above])),)
    if above in SEVENTHS or _number(tones.get(above, "9")) < 9:
        return (chord,)
    from_bass = _over_bass(chord, chord.bass)
    if _suspends(chord, above):
        return (_suspended_dominant(chord, chord.bass),)
    return (chord, from_bass)


def _suspends(chord: Chord, bass_above_root: int) -> bool:
    kind = simplified(chord).kind
    whole_step_under = ("major", "major-seventh", "major-sixth", "major-ninth", "minor", "minor-sixth")
    fifth_under = ("minor-seventh", "minor-ninth", "minor-11th", "minor", "half-diminished")
    return kind in {2: whole_step_under, 5: fifth_under}.get(bass_above_root, ())


def _suspended_dominant(chord: Chord, bass: NoteName) -> Chord:
    upper = {(pitch - bass.pitch_class) % 12 for pitch in chord_tones(chord)}
    flat_nine = 1 in upper or (8 in upper and 2 not in upper)
    degrees = [ChordDegree("add", 7, 0), ChordDegree("add", 9, -1 if flat_nine else 0)]
    degrees += [ChordDegree("add", 13, 0)] if 9 in upper and 4 in upper else []
    return Chord(bass, "suspended-fourth", tuple(degrees), None, "")


def _over_bass(chord: Chord, bass: NoteName) -> Chord:
    """A hybrid heard from its bass: the kind whose third and seventh its tones give."""
    above = {(pitch - bass.pitch_class) % 12 for pitch in chord_tones(chord)}
    if 4 in above:
        kind = "dominant" if 10 in above else "major-seventh" if 11 in above else "major"
    elif 3 in above:
        kind = "minor-seventh" if 10 in above else "major-minor" if 11 in above else "minor"
    else:
        kind = "suspended-fourth" if 5 in above else "dominant" if 10 in above else "major-seventh"
    fifth = {6: -1, 8: 1}
    altered = [ChordDegree("alter", 5, fifth[n]) for n in (6, 8) if n in above and 7 not in above]
    return Chord(bass, kind, tuple(altered[:1]), None, "")


def transpose_chord(chord: Chord, interval: Interval) -> Chord:
    """The chord an interval away; kind, degrees and text stay."""
    bass = None if chord.bass is None else chord.bass.transposed(interval)
    return replace(chord, root=chord.root.transposed(interval), bass=bass)
