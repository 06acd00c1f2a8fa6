"""How well each scale explains notes over their chords, counted in bits.

Conventions: a collection is a scale's notes whatever its tonic (one collection serves all seven modes). The cost
of a passage in a collection is minus the binary logarithm of the chance of its notes: a note inside
costs log2 of the collection's size, so that of two scales that hold every note the smaller explains better;
a note outside costs what a foreign note of its kind does, little for chromatic passing and approach notes. To
this come what the collection costs by itself, and the chord tones that it lacks.

Source of the method: Temperley, Music and Probability (2007), key finding by Bayes' rule over pitch-class
profiles with a cost for each change of key, solved by dynamic programming (from memory); the costs themselves
and their use for scales over chords are our own choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, pairwise
from math import log2

import numpy as np
import numpy.typing as npt

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import KeyCentre
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, family, readings
from lessonmaker.theory.degree import degree_of, is_chord_tone, is_tension
from lessonmaker.theory.scale import SCALES

__all__ = [
    "CONTRADICTS",
    "PLAIN_SCALES",
    "Atom",
    "Collection",
    "atoms_of",
    "best_path",
    "collections",
    "costs",
    "foreign_bits",
    "key_at",
    "missing_bits",
    "of_key",
    "unexpected_bits",
]

Bits = npt.NDArray[np.float64]

# What a scale costs by itself: the plainer, the less.
SCALE_BITS = {
    "major": 0.0,
    "melodic minor": 1.5,
    "harmonic minor": 1.5,
    "whole tone": 3.0,
    "half-whole diminished": 3.0,
    "bebop dominant": 2.5,
    "bebop major": 4.0,
    "major pentatonic": 2.0,
    "blues": 3.0,
}
CHANGE_BITS = {"same chord": 5.0, "new chord": 2.0}
NOT_OF_THE_KEY_BITS = 0.5
NOT_PLAIN_BITS = 0.3

# The scale one expects over a chord.
PLAIN_SCALES = {
    "major": "major",
    "minor": "dorian",
    "dominant": "mixolydian",
    "altered": "altered",
    "suspended": "mixolydian",
    "half-diminished": "locrian",
    "diminished": "whole-half diminished",
}

# What a note outside the scale costs.
STRUCTURAL_BITS = 9.0
BY_STEP_BITS = 8.0  # a step of the scale itself, as likely as not
HALF_STEP_APPROACH_BITS = 4.2
CHROMATIC_PASSING_BITS = 3.8
CONTRADICTS = 7.0  # a note that costs as much or more speaks against a scale that lacks it
DECORATING = ("passing", "neighbour", "approach")
RUN_WITH_A_PASSING_TONE = 5

# What a chord tone that the scale lacks costs, each bar.
MISSING_FIFTH_BITS = {"dominant": 0.5, "altered": 0.0, "suspended": 1.0}
MISSING_FIFTH_ELSE_BITS = 3.0
MISSING_TONE_BITS = 6.0
# Five-note scales and blues scales leave chord tones out by nature; notes strange to the chord speak against them.
MISSING_FROM_SMALL_BITS = 1.0
STRANGE_IN_PENTATONIC_BITS = 3.0
STRANGE_IN_BLUES_BITS = 1.0


@dataclass(frozen=True)
class Collection:
    """The notes of a scale: `names` are what it is called from each root (pitch class)."""

    pitch_classes: frozenset[int]
    names: dict[int, str]

    @property
    def parent(self) -> tuple[int, str]:
        """The root and name of its plainest scale."""
        order = list(SCALES)
        return min(self.names.items(), key=lambda named: (order.index(named[1]), named[0]))

    @property
    def bits(self) -> float:
        """What the collection costs by itself."""
        return SCALE_BITS[self.parent[1]]


@dataclass(frozen=True)
class Atom:
    """Notes over one chord within one bar; `foreign` is what each costs where a scale lacks it."""

    chord: Chord | None
    notes: tuple[Heard, ...]
    foreign: tuple[float, ...]


@lru_cache(maxsize=1)
def collections() -> tuple[Collection, ...]:
    """Every collection of the table of scales, the chromatic one left out."""
    names: dict[frozenset[int], dict[int, str]] = {}
    for scale in SCALES.values():
        if len(scale.degrees) == 12:
            continue
        for root in range(12):
            notes = frozenset((root + above) % 12 for above in scale.semitones)
            names.setdefault(notes, {}).setdefault(root, scale.name)
    return tuple(Collection(notes, named) for notes, named in names.items())


# Notes ---------------------------------------------------------------------------------------------------


def atoms_of(etude: Etude, notes: Sequence[Heard]) -> tuple[Atom, ...]:
    """Notes of a line (in time) grouped by chord and bar."""
    foreign = dict(zip((heard.note.id for heard in notes), foreign_bits(etude, notes), strict=True))
    groups = groupby(notes, key=lambda heard: (_sound(heard.chord), heard.note.bar))
    atoms = [tuple(group) for _, group in groups]
    return tuple(Atom(group[0].chord, group, tuple(foreign[h.note.id] for h in group)) for group in atoms)


@lru_cache(maxsize=4096)
def _sound(chord: Chord | None) -> tuple[int, tuple[int, ...]] | None:
    if chord is None:
        return None
    heard = readings(chord)[0]
    return heard.root.pitch_class, tuple(sorted(chord_tones(heard)))


def foreign_bits(etude: Etude, notes: Sequence[Heard]) -> tuple[float, ...]:
    """What each note of a line costs a scale that lacks it, by its role and its steps."""
    passing = _tones_within_runs([heard.pitch for heard in notes])
    return tuple(
        STRUCTURAL_BITS if place in passing else _foreign(etude, notes, place) for place in range(len(notes))
    )


def _foreign(etude: Etude, notes: Sequence[Heard], place: int) -> float:
    role = etude.finding[notes[place].note.id].role
    if role not in DECORATING:
        return STRUCTURAL_BITS
    before = notes[place].pitch - notes[place - 1].pitch if place else 0
    after = notes[place + 1].pitch - notes[place].pitch if place + 1 < len(notes) else 0
    if before == after and abs(before) == 1:
        return CHROMATIC_PASSING_BITS
    fills = before * after > 0 and abs(before) <= 2
    upper_neighbour = before == -after and after < 0
    excused = (role == "approach" or abs(after) == 1) and not (fills or upper_neighbour)
    return HALF_STEP_APPROACH_BITS if excused else BY_STEP_BITS


def _tones_within_runs(pitches: Sequence[int]) -> set[int]:
    """Places of chromatic tones that belong to the scale run they stand in, as a bebop scale's eighth note.

    The run moves one way by step, at least five notes on both sides together, with no more half steps in a
    row than such a scale has (three).
    """
    steps = [later - earlier for earlier, later in pairwise(pitches)]
    places: set[int] = set()
    start = 0
    for sign, group in groupby(steps, key=lambda step: (step > 0) - (step < 0) if 1 <= abs(step) <= 2 else 0):
        length = len(list(group))
        if sign and length >= RUN_WITH_A_PASSING_TONE:
            places |= _single_chromatic(steps, start, start + length)
        start += length
    return places


def _single_chromatic(steps: Sequence[int], start: int, end: int) -> set[int]:
    halves = "".join("h" if abs(step) == 1 else "w" for step in steps[start:end])
    if "hhhh" in halves or not halves.count("w"):
        return set()
    return {start + place for place in range(1, len(halves)) if halves[place - 1 : place + 1] == "hh"}


# Costs ---------------------------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _members() -> Bits:
    """One row a collection, one column a pitch class: 1 where the collection has it."""
    rows = [[float(pitch in each.pitch_classes) for pitch in range(12)] for each in collections()]
    return np.array(rows)


@lru_cache(maxsize=1)
def _sizes() -> Bits:
    return np.array([log2(len(each.pitch_classes)) for each in collections()])


@lru_cache(maxsize=1)
def _small() -> npt.NDArray[np.bool_]:
    """Which collections are pentatonic or blues scales: every note outside one speaks against it."""
    return np.array([len(each.pitch_classes) < 6 or each.parent[1] == "blues" for each in collections()])


@lru_cache(maxsize=4096)
def missing_bits(chord: Chord | None) -> Bits:
    """What each collection costs over a chord by the chord tones that it lacks."""
    if chord is None:
        return np.zeros(len(collections()))
    heard = readings(chord)[0]
    kind = family(heard)
    total = np.zeros(len(collections()))
    small = _small()
    for pitch, degree in chord_tones(heard).items():
        plain = MISSING_FIFTH_BITS.get(kind, MISSING_FIFTH_ELSE_BITS) if degree == "5" else MISSING_TONE_BITS
        lacks = 1 - _members()[:, pitch]
        total += lacks * np.where(small, min(plain, MISSING_FROM_SMALL_BITS), plain)
    strange = [not _belongs(degree_of(pitch, chord), chord) for pitch in range(12)]
    return np.asarray(total + (_members() @ np.array(strange)) * _strange_bits())


@lru_cache(maxsize=1)
def _strange_bits() -> Bits:
    """What each note of a collection that is strange to the chord costs."""
    by_scale = {"major pentatonic": STRANGE_IN_PENTATONIC_BITS, "blues": STRANGE_IN_BLUES_BITS}
    return np.array([by_scale.get(each.parent[1], 0.0) for each in collections()])


def _belongs(degree: str, chord: Chord) -> bool:
    return is_chord_tone(degree, chord) or is_tension(degree, chord)


def costs(atoms: Sequence[Atom]) -> Bits:
    """The cost of each atom in each collection: notes and missing chord tones, one row an atom."""
    inside, foreign = np.zeros((len(atoms), 12)), np.zeros((len(atoms), 12))
    for row, atom in enumerate(atoms):
        for heard, bits in zip(atom.notes, atom.foreign, strict=True):
            inside[row, heard.pitch % 12] += 1
            foreign[row, heard.pitch % 12] += bits
    members = _members()
    strict = (inside @ (1 - members).T) * STRUCTURAL_BITS
    notes = (inside @ members.T) * _sizes() + np.where(_small(), strict, foreign @ (1 - members).T)
    missing = np.array([missing_bits(atom.chord) for atom in atoms]).reshape(len(atoms), -1)
    return np.asarray(notes + missing)


def key_at(etude: Etude, span: Span) -> KeyCentre | None:
    """The key in force at the start of a span, or None where none is known."""
    return next((key for key in etude.keys if key.span.start <= span.start < key.span.end), None)


def unexpected_bits(etude: Etude, atom: Atom) -> Bits:
    """A little for every collection that is neither the key's own nor what one expects over the chord.

    It decides between scales that explain the notes equally well; confidence leaves it out.
    """
    key = key_at(etude, Span(atom.notes[0].note.onset, atom.notes[0].end))
    total = _not_plain_bits(atom.chord)
    if key is None:
        return total
    return total + [NOT_OF_THE_KEY_BITS * (not of_key(each, key)) for each in collections()]


@lru_cache(maxsize=4096)
def _not_plain_bits(chord: Chord | None) -> Bits:
    if chord is None:
        return np.zeros(len(collections()))
    heard = readings(chord)[0]
    plain, root = PLAIN_SCALES.get(family(heard)), heard.root.pitch_class
    return np.array([NOT_PLAIN_BITS * (each.names.get(root) != plain) for each in collections()])


def of_key(collection: Collection, key: KeyCentre) -> bool:
    """Whether a collection is a key's own scale."""
    mode = {"minor": "aeolian", "blues": "mixolydian"}.get(key.mode, key.mode)
    return collection.names.get(key.tonic.pitch_class) == mode


# Passages ------------------------------------------------------------------------------------------------


def best_path(etude: Etude, atoms: Sequence[Atom]) -> tuple[int, ...]:
    """The index of each atom's collection in the cheapest division into passages (Viterbi's algorithm)."""
    if not atoms:
        return ()
    each = costs(atoms) + np.array([unexpected_bits(etude, atom) for atom in atoms])
    own = np.array([collection.bits for collection in collections()])
    total, back = each[0] + own, []
    for row in range(1, len(atoms)):
        entered = float(total.min()) + own + _change_bits(atoms[row - 1], atoms[row])
        stays = total <= entered
        back.append(np.where(stays, np.arange(len(own)), int(total.argmin())))
        total = np.where(stays, total, entered) + each[row]
    path = [int(total.argmin())]
    for came_from in reversed(back):
        path.append(int(came_from[path[-1]]))
    return tuple(reversed(path))


def _change_bits(before: Atom, after: Atom) -> float:
    return CHANGE_BITS["same chord" if _sound(before.chord) == _sound(after.chord) else "new chord"]
