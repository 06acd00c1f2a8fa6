"""Roman numerals of lead-sheet chords: the step of the key, the case and figure of the chord.

Conventions: steps are named against the major scale on the tonic in both modes (bIII, bVI, bVII in minor too); small
numerals for chords with a minor third. Common practice, no source.
"""

from __future__ import annotations

import re

from lessonmaker.theory.chord import Chord, chord_tones, family, readings, seventh_understood

__all__ = ["STEP_NUMERALS", "bare_numeral", "numeral_of", "step_above"]

STEP_NUMERALS = ("I", "bII", "II", "bIII", "III", "IV", "#IV", "V", "bVI", "VI", "bVII", "VII")
BARE = re.compile(r"[b#]*[IViv]+")
SMALL = ("minor", "half-diminished", "diminished")
FIGURES = {"half-diminished": "ø7", "diminished": "°7", "altered": "7alt", "suspended": "7sus"}


def step_above(chord: Chord, tonic: int) -> int:
    """How many semitones a chord's root stands above a tonic (a pitch class): 0 to 11."""
    return (readings(chord)[0].root.pitch_class - tonic) % 12


def numeral_of(chord: Chord, tonic: int, falls: bool = False) -> str:
    """A chord's numeral against a tonic (a pitch class): "ii7", "V7", "Imaj7", "bVII7", "viiø7".

    Args:
        chord: the chord.
        tonic: the tonic's pitch class.
        falls: whether the root falls by a half step to the next: a diminished chord between steps is named by it
            ("biii°7"), else from the step below ("#ii°7").

    Raises:
        ValueError: the chord's kind is "none".
    """
    heard = readings(chord)[0]
    if family(heard) == "none":
        raise ValueError("no numeral without a chord: its kind is none")
    step = STEP_NUMERALS[step_above(chord, tonic)]
    small = family(heard) in SMALL
    if family(heard) == "diminished" and falls:
        step = "bV" if step == "#IV" else step
    elif small and step.startswith("b") and family(heard) != "minor":
        step = _sharp_name(step)
    accidental = step.rstrip("IV")
    letters = step.removeprefix(accidental)
    return accidental + (letters.lower() if small else letters) + _figure(heard)


def bare_numeral(numeral: str) -> str:
    """A numeral without its figure and without what it is applied to: "bVI" for "bVI7", "V" for "V7/ii".

    Empty for what names no step of the key ("subV7").
    """
    match = BARE.match(numeral)
    return match[0] if match else ""


def _sharp_name(step: str) -> str:
    """Diminished chords mostly lead upwards: #i, #ii, #v rather than bii, biii, bvi."""
    return {"bII": "#I", "bIII": "#II", "bVI": "#V", "bVII": "#VI"}[step]


def _figure(heard: Chord) -> str:
    kind = family(heard)
    tones = set(chord_tones(heard).values())
    if kind in FIGURES:
        triad = kind == "diminished" and "bb7" not in tones
        return "°" if triad else FIGURES[kind]
    if not seventh_understood(heard):
        return "6" if "6" in tones else "+" if kind == "augmented" else ""
    if "7" in tones:
        return "maj7"
    return "7"
