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
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import groupby, pairwise
from math import log2
from operator import add

from lessonmaker.analysis.etude import Etude, in_force
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import KeyCentre
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, family, readings
from lessonmaker.theory.degree import degree_of, is_chord_tone, is_tension
from lessonmaker.theory.scale import SCALES

__all__ = [
    "ADDED_NOTE_BITS",
    "CONTRADICTING",
    "PLAIN_SCALES",
    "Atom",
    "Bits",
    "Collection",
    "added",
    "atoms_of",
    "best_path",
    "cheapest",
    "collections",
    "costs",
    "foreign_bits",
    "key_at",
    "missing_bits",
    "of_key",
    "tie_bits",
    "unexpected_bits",
]

Bits = tuple[float, ...]  # one number a collection, in the order of `collections()`

# All costs are multiples of 1/1024 of a bit, and what breaks ties is finer still, so that sums are exact in any
# order and nothing depends on the key that a score is written in.
PRECISION = 1024
TIE_BITS = 2.0**-24

# What a scale costs by itself: the plainer, the less.
SCALE_BITS = {
    "major": 0.0,
    "melodic minor": 1.5,
    "harmonic minor": 1.5,
    "whole tone": 3.0,
    "half-whole diminished": 3.0,
    "bebop dominant": 2.0,
    "bebop major": 2.5,
    "major pentatonic": 2.0,
    "blues": 2.0,
}
CHANGE_BITS = {"same chord": 5.0, "new chord": 2.0}
NOT_OF_THE_KEY_BITS = 0.5
NOT_PLAIN_BITS = 0.25

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

# The scales of a key whose mode is no scale's name.
KEY_SCALES = {"minor": ("aeolian",), "blues": ("mixolydian", "blues", "major blues")}

# What a note outside the scale costs.
STRUCTURAL_BITS = 9.0
ADDED_NOTE_BITS = 12.0  # the added note of a bebop scale in a run
BY_STEP_BITS = 8.0  # a step of the scale itself, as likely as not
HALF_STEP_APPROACH_BITS = 4.25
CHROMATIC_PASSING_BITS = 3.75
ENCLOSING_BITS = 3.25  # hardly more than a note inside: an enclosure takes what lies beside its target
BLUE_PASSING_BITS = 6.0  # the blue note between eleventh and fifth of a minor chord may be the scale's own
CONTRADICTING = (STRUCTURAL_BITS, BY_STEP_BITS)  # the notes that speak against a scale that lacks them
DECORATING = ("passing", "neighbour", "approach")
LONG = Fraction(1)  # quarters: an available tension as long is no decoration
RUN_WITH_A_PASSING_TONE = 5
ENCLOSING_STEP = 2  # semitones

# What a chord tone that the scale lacks costs, each bar.
MISSING_FIFTH_BITS = {"dominant": 0.5, "altered": 0.0, "suspended": 1.0}
MISSING_FIFTH_ELSE_BITS = 3.0
MISSING_TONE_BITS = 6.0
# Five-note scales and blues scales leave chord tones out by nature; notes strange to the chord speak against them.
MISSING_FROM_SMALL_BITS = 1.0
# Scales made for one chord cost this over any other.
OF_A_CHORD = ("whole tone", "half-whole diminished", "bebop dominant", "bebop major")
NOT_ITS_OWN_BITS = {"bebop dominant": 9.0, "bebop major": 9.0}
NOT_ITS_OWN_ELSE_BITS = 3.0
STRANGE_BITS = {"major pentatonic": 3.0, "blues": 0.5}


@dataclass(frozen=True)
class Collection:
    """The notes of a scale: `names` are what it is called from each root (pitch class)."""

    pitch_classes: frozenset[int]
    names: dict[int, str]

    @cached_property
    def parent(self) -> tuple[int, str]:
        """The root and name of its plainest scale."""
        order = list(SCALES)
        return min(self.names.items(), key=lambda named: (order.index(named[1]), named[0]))

    @property
    def bits(self) -> float:
        """What the collection costs by itself."""
        return SCALE_BITS[self.parent[1]]

    @cached_property
    def note_bits(self) -> float:
        """What each note inside costs."""
        return round(PRECISION * log2(len(self.pitch_classes))) / PRECISION

    @cached_property
    def is_of_a_chord(self) -> bool:
        """A scale made for one chord, on whose root it has a name of its own."""
        return self.parent[1] in OF_A_CHORD

    @cached_property
    def is_small(self) -> bool:
        """A pentatonic or blues scale: every note outside it speaks against it."""
        return self.parent[1] in STRANGE_BITS


@dataclass(frozen=True)
class Atom:
    """Notes over one chord within one bar; `foreign` is what each costs where a scale lacks it."""

    chord: Chord | None
    notes: tuple[Heard, ...]
    foreign: tuple[float, ...]

    @property
    def reference(self) -> int:
        """The pitch class from which others are counted: the chord's root, or the first note where none sounds."""
        return self.notes[0].pitch % 12 if self.chord is None else readings(self.chord)[0].root.pitch_class


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
        ADDED_NOTE_BITS if place in passing and not _is_blue(heard) else _foreign(etude, notes, place)
        for place, heard in enumerate(notes)
    )


def _is_blue(heard: Heard) -> bool:
    """Whether a note is the blue one of a minor chord, between its fifth and its eleventh, that no bebop scale adds."""
    return heard.chord is not None and heard.degree == "#11" and family(readings(heard.chord)[0]) == "minor"


def _foreign(etude: Etude, notes: Sequence[Heard], place: int) -> float:
    heard = notes[place]
    before = heard.pitch - notes[place - 1].pitch if place else 0
    after = notes[place + 1].pitch - heard.pitch if place + 1 < len(notes) else 0
    if before == after and abs(before) == 1 and not heard.is_strong:
        return BLUE_PASSING_BITS if _is_blue(heard) else CHROMATIC_PASSING_BITS
    role = etude.finding[heard.note.id].role
    if role not in DECORATING or (heard.is_available and heard.note.held >= LONG):
        return STRUCTURAL_BITS
    if role == "approach" and _encloses(notes, place):
        return ENCLOSING_BITS
    fills = before * after > 0 and abs(before) <= 2
    upper_neighbour = before == -after and after < 0
    excused = (role == "approach" or abs(after) == 1) and not (fills or upper_neighbour)
    return HALF_STEP_APPROACH_BITS if excused else BY_STEP_BITS


def _encloses(notes: Sequence[Heard], place: int) -> bool:
    """Whether a note and the one beside it lie on either side of the note they lead to, a half step away or two."""
    for target in (place + 1, place + 2):
        if not 2 <= target < len(notes):
            continue
        away = [notes[at].pitch - notes[target].pitch for at in (target - 2, target - 1)]
        if away[0] * away[1] < 0 and all(abs(step) <= ENCLOSING_STEP for step in away):
            return abs(notes[place].pitch - notes[target].pitch) == 1
    return False


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


def added(one: Bits, other: Bits) -> Bits:
    """Two costs together, collection by collection."""
    return tuple(map(add, one, other))


def costs(atom: Atom) -> Bits:
    """The cost of an atom in each collection: its notes, and the chord tones that the collection lacks."""
    sounding: dict[int, list[float]] = {}
    for heard, bits in zip(atom.notes, atom.foreign, strict=True):
        sounding.setdefault(heard.pitch % 12, []).append(bits)
    each = [_pitch_bits(pitch, len(foreign), sum(foreign)) for pitch, foreign in sounding.items()]
    return tuple(map(sum, zip(missing_bits(atom.chord), *each, strict=True)))


@lru_cache(maxsize=4096)
def _pitch_bits(pitch: int, count: int, foreign: float) -> Bits:
    """What the notes of one pitch class cost in each collection; `foreign` where it lacks them."""
    return tuple(
        count * each.note_bits
        if pitch in each.pitch_classes
        else max(foreign, count * STRUCTURAL_BITS * each.is_small)
        for each in collections()
    )


@lru_cache(maxsize=4096)
def missing_bits(chord: Chord | None) -> Bits:
    """What each collection costs over a chord by the chord tones that it lacks."""
    if chord is None:
        return (0.0,) * len(collections())
    tones = chord_tones(readings(chord)[0])
    strange = {
        (chord.root.pitch_class + above) % 12
        for above in range(12)
        if not _belongs(degree_of(chord.root.pitch_class + above, chord), chord)
    }
    return tuple(
        sum(_missing_tone_bits(each, tones[pitch], chord) for pitch in tones.keys() - each.pitch_classes)
        + len(strange & each.pitch_classes) * STRANGE_BITS.get(each.parent[1], 0.0)
        + _not_its_own_bits(each, readings(chord)[0].root.pitch_class)
        for each in collections()
    )


def _not_its_own_bits(collection: Collection, root: int) -> float:
    """What a scale that is made for one chord costs over another one; a bebop scale is hardly ever meant there."""
    if not collection.is_of_a_chord or root in collection.names:
        return 0.0
    return NOT_ITS_OWN_BITS.get(collection.parent[1], NOT_ITS_OWN_ELSE_BITS)


def _missing_tone_bits(collection: Collection, degree: str, chord: Chord) -> float:
    kind = family(readings(chord)[0])
    plain = MISSING_FIFTH_BITS.get(kind, MISSING_FIFTH_ELSE_BITS) if degree == "5" else MISSING_TONE_BITS
    return min(plain, MISSING_FROM_SMALL_BITS) if collection.is_small else plain


def _belongs(degree: str, chord: Chord) -> bool:
    return is_chord_tone(degree, chord) or is_tension(degree, chord)


# What one expects ----------------------------------------------------------------------------------------


def key_at(etude: Etude, span: Span) -> KeyCentre | None:
    """The key in force at the start of a span, or None where none is known."""
    return in_force(etude.keys, span.start)


def unexpected_bits(etude: Etude, atom: Atom) -> Bits:
    """A little for every collection that is neither the key's own nor what one expects over the chord.

    It decides between scales that explain the notes equally well; confidence leaves it out.
    """
    key = key_at(etude, Span(atom.notes[0].note.onset, atom.notes[0].end))
    plain = added(_not_plain_bits(atom.chord), tie_bits(atom.reference))
    return plain if key is None else added(plain, _not_of_key_bits(key.tonic.pitch_class, key.mode))


@lru_cache(maxsize=12)
def tie_bits(reference: int) -> Bits:
    """Next to nothing, another amount for every collection: by how far it lies from a pitch class, and how plain.

    A diminished or whole-tone collection has several roots: the nearest one counts, in every key.
    """
    order = list(SCALE_BITS)
    return tuple(
        TIE_BITS * (order.index(each.parent[1]) + len(order) * _fifths_away(each, reference))
        for each in collections()
    )


def _fifths_away(collection: Collection, reference: int) -> int:
    plainest = collection.parent[1]
    roots = [root for root, name in collection.names.items() if name == plainest]
    return min((root - reference) * 7 % 12 for root in roots)


@lru_cache(maxsize=256)
def _not_of_key_bits(tonic: int, mode: str) -> Bits:
    return tuple(NOT_OF_THE_KEY_BITS * (not _names_key(each, tonic, mode)) for each in collections())


@lru_cache(maxsize=4096)
def _not_plain_bits(chord: Chord | None) -> Bits:
    if chord is None:
        return (0.0,) * len(collections())
    heard = readings(chord)[0]
    plain, root = PLAIN_SCALES.get(family(heard)), heard.root.pitch_class
    return tuple(NOT_PLAIN_BITS * (each.names.get(root) != plain) for each in collections())


def of_key(collection: Collection, key: KeyCentre) -> bool:
    """Whether a collection is a key's own scale."""
    return _names_key(collection, key.tonic.pitch_class, key.mode)


def _names_key(collection: Collection, tonic: int, mode: str) -> bool:
    return collection.names.get(tonic) in KEY_SCALES.get(mode, (mode,))


# Passages ------------------------------------------------------------------------------------------------


def best_path(etude: Etude, atoms: Sequence[Atom]) -> tuple[int, ...]:
    """The index of each atom's collection in the cheapest division into passages (Viterbi's algorithm)."""
    if not atoms:
        return ()
    own = tuple(collection.bits for collection in collections())
    total, back = added(own, _expected_costs(etude, atoms[0])), []
    for before, after in pairwise(atoms):
        best = cheapest(total, before.reference)
        entry = total[best] + _change_bits(before, after)
        entered = tuple(entry + bits for bits in own)
        ways = enumerate(zip(total, entered, strict=True))
        back.append([place if stays <= enters else best for place, (stays, enters) in ways])
        total = added(tuple(map(min, total, entered)), _expected_costs(etude, after))
    path = [cheapest(total, atoms[-1].reference)]
    for places in reversed(back):
        path.append(places[path[-1]])
    return tuple(reversed(path))


def cheapest(total: Bits, reference: int) -> int:
    """The place of the collection that costs least; of equals the nearest to a pitch class, in every key."""
    near = tie_bits(reference)
    return min(range(len(total)), key=lambda place: (total[place], near[place]))


def _expected_costs(etude: Etude, atom: Atom) -> Bits:
    return added(costs(atom), unexpected_bits(etude, atom))


def _change_bits(before: Atom, after: Atom) -> float:
    return CHANGE_BITS["same chord" if _sound(before.chord) == _sound(after.chord) else "new chord"]
