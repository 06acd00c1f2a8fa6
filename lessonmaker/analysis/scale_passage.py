"""A passage that one scale explains: its name, the notes that decide it, and how sure it is.

Conventions: a passage over one chord is named from the chord's root, over several from the key's tonic or the
scale's own. What decides a scale is what sounds in it and is missing from the scale one expects there. A
confidence is the scale's share among all scales, the key left out of account, lowered where few different
notes are there to tell it by, where notes speak against it, and where it lacks a tone of its chord.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import groupby, pairwise
from math import fsum, log2

from lessonmaker.analysis.etude import Etude, ids_of, span_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import ScaleUse
from lessonmaker.analysis.scale_fit import (
    ADDED_NOTE_BITS,
    CONTRADICTING,
    Atom,
    Bits,
    Collection,
    added,
    collections,
    costs,
    key_at,
    missing_bits,
    of_key,
    tie_bits,
    unexpected_bits,
)
from lessonmaker.analysis.scale_text import Told, degrees_used, scale_sentence
from lessonmaker.theory.chord import Chord, chord_tones, family, readings
from lessonmaker.theory.degree import degree_of, is_chord_tone
from lessonmaker.theory.pitch import NoteName

__all__ = [
    "SURE",
    "Passage",
    "expected_total",
    "lacking",
    "named_use",
    "passage_of",
    "root_and_family",
    "total_of",
    "use_of",
]

SURE = 0.5
FEWEST_NOTES = 4
SEVEN_NOTE_BITS, EIGHT_NOTE_BITS = log2(7), 3.0
# How sure different notes make a reading, by their number.
EVIDENCE = {4: 0.5, 5: 0.75, 6: 0.95}
STRANGE_TELLS = 3  # notes foreign to the expected scale tell as much as so many notes and themselves
RIVALS = 2
SMALL_SOUNDS = 2.5  # times each note of a small scale, before the scale is sure
PAIR, TRITONE = 2, 6
BLUE_NOTE = 6  # semitones above the root of the blues scale
LACKING_BITS = 3.0
AT_ODDS = 0.4  # what remains of the confidence in a scale at odds with its chord
PLAIN_PARENTS = ("major", "melodic minor", "harmonic minor", "major pentatonic")
# The scales one expects over a chord, from which the notes must tell any other.
EXPECTED = {
    "major": ("major", "lydian"),
    "minor": ("dorian", "aeolian"),
    "dominant": ("mixolydian", "lydian dominant"),
    "altered": ("mixolydian", "lydian dominant"),
    "suspended": ("mixolydian", "dorian"),
    "half-diminished": ("locrian", "locrian natural 2"),
    "diminished": ("whole-half diminished", "locrian"),
}
# What a scale is mixed up with beyond that.
MIXED_UP = {"half-whole diminished": ("altered",), "whole tone": ("altered",)}
# The scales a key names from its tonic, by its mode; a mode's own name stands for itself.
OF_A_KEY = {
    "major": ("major", "major pentatonic", "bebop major", "blues", "major blues"),
    "minor": ("aeolian", "melodic minor", "harmonic minor", "dorian", "minor pentatonic", "blues"),
    "blues": ("blues", "major blues", "mixolydian", "minor pentatonic", "major pentatonic", "bebop dominant"),
}
# The scales that are named from a chord's root over several chords too.
OF_CHORDS = ("whole tone", "half-whole diminished", "whole-half diminished", "bebop dominant", "bebop dorian")


@dataclass(frozen=True)
class Passage:
    """Notes that one collection explains: `total` is what they cost in each collection, the key left out."""

    atoms: tuple[Atom, ...]
    index: int
    total: Bits

    @cached_property
    def collection(self) -> Collection:
        """What explains it."""
        return collections()[self.index]

    @cached_property
    def notes(self) -> tuple[Heard, ...]:
        """Its notes in time."""
        return tuple(heard for atom in self.atoms for heard in atom.notes)

    @cached_property
    def ranked(self) -> list[int]:
        """The places of the collections, the cheapest first."""
        total = added(self.total, tie_bits(self.atoms[0].reference))
        return sorted(range(len(total)), key=total.__getitem__)

    @cached_property
    def chords(self) -> tuple[Chord | None, ...]:
        """The chords one after the other, those of one root and family once; (None,) where none sounds."""
        sounding = [atom.chord for atom in self.atoms if atom.chord is not None]
        return tuple(next(group) for _, group in groupby(sounding, key=root_and_family)) or (None,)

    @cached_property
    def only_chord(self) -> Chord | None:
        """The chord where there is one only."""
        return self.chords[0] if len(self.chords) == 1 else None

    @cached_property
    def used(self) -> set[int]:
        """The pitch classes that sound and belong to the collection."""
        return {heard.pitch % 12 for heard in self.notes} & self.collection.pitch_classes

    @cached_property
    def outside(self) -> tuple[Heard, ...]:
        """The notes foreign to the collection."""
        return tuple(heard for heard in self.notes if heard.pitch % 12 not in self.collection.pitch_classes)

    @cached_property
    def contradicting(self) -> tuple[Heard, ...]:
        """The notes outside that no chromatic passing or approach excuses."""
        bits = {
            heard.note.id: cost
            for atom in self.atoms
            for heard, cost in zip(atom.notes, atom.foreign, strict=True)
        }
        return tuple(heard for heard in self.outside if bits[heard.note.id] in CONTRADICTING)


@lru_cache(maxsize=4096)
def root_and_family(chord: Chord | None) -> tuple[int, str] | None:
    """What makes two chords one for a scale: their root and family, all dominants alike; None where none sounds."""
    if chord is None:
        return None
    heard = readings(chord)[0]
    kind = family(heard)
    return heard.root.pitch_class, "dominant" if kind in ("altered", "suspended") else kind


def expected_total(etude: Etude, atoms: Sequence[Atom]) -> Bits:
    """What the atoms cost together, and a little for what one does not expect of their key and chords."""
    return added(total_of(atoms), _sum([unexpected_bits(etude, atom) for atom in atoms]))


def _sum(rows: Sequence[Bits]) -> Bits:
    return tuple(map(sum, zip(*rows, strict=True)))


def passage_of(atoms: Sequence[Atom], index: int) -> Passage:
    """Atoms in a row that one collection (its place) explains; a landing on another chord is left out."""
    kept = _without_landing(tuple(atoms))
    return Passage(kept, index, total_of(kept))


def _without_landing(atoms: tuple[Atom, ...]) -> tuple[Atom, ...]:
    """A scale over one chord ends where the next is only landed on, and begins after a last note of the one before."""
    inner = atoms[1 if len(atoms[0].notes) == 1 else 0 : -1 if len(atoms[-1].notes) == 1 else None]
    chords = {root_and_family(atom.chord) for atom in inner}
    return inner if len(chords) == 1 and None not in chords else atoms


def total_of(atoms: Sequence[Atom]) -> Bits:
    """What the atoms cost in each collection together; chord tones it lacks count once a chord, not once a bar."""
    again = [
        tuple(-bits for bits in missing_bits(later.chord))
        for earlier, later in pairwise(atoms)
        if root_and_family(earlier.chord) == root_and_family(later.chord)
    ]
    return _sum([tuple(each.bits for each in collections()), *map(costs, atoms), *again])


# Uses ----------------------------------------------------------------------------------------------------


def use_of(etude: Etude, passage: Passage, turn: int) -> ScaleUse:
    """A passage under its own name; `turn` varies the sentence."""
    return named_use(etude, passage, *_name(etude, passage), turn)


def named_use(etude: Etude, passage: Passage, root: int, scale: str, turn: int = 0) -> ScaleUse:
    """A passage under the name of a scale on a root (pitch class)."""
    deciding, confidence = _deciding(etude, passage), _confidence(passage)
    order = sorted(deciding, key=lambda pitch: (pitch - root) % 12)
    told = Told(
        scale,
        root,
        passage.chords,
        tuple(order),
        outside=len(passage.outside),
        in_passing=not passage.contradicting,
        sure=confidence >= SURE,
    )
    return ScaleUse(
        span_of(passage.notes),
        _spelt(etude, passage, root),
        scale,
        ids_of(passage.notes),
        degrees_used(scale, root, passage.used),
        ids_of(heard for heard in passage.notes if heard.pitch % 12 in deciding),
        ids_of(passage.outside),
        scale_sentence(told, turn),
        confidence,
    )


def lacking(passage: Passage) -> str | None:
    """A chord tone that a scale over its chord may not lack, or None."""
    for chord in passage.chords:
        if chord is None or missing_bits(chord)[passage.index] - min(missing_bits(chord)) < LACKING_BITS:
            continue
        for pitch, degree in chord_tones(readings(chord)[0]).items():
            if pitch not in passage.collection.pitch_classes:
                return degree
    return None


def _confidence(passage: Passage) -> float:
    if len(passage.notes) < FEWEST_NOTES or len(passage.used) < min(EVIDENCE) or _unasked_for(passage):
        return 0.0
    if _is_of_dominants(passage):
        return 0.0
    doubts = (_far_from_its_chord, _missed)
    odd = lacking(passage) is not None or any(doubt(passage) for doubt in doubts)
    fitting = AT_ODDS if odd else 1.0
    inside = 1 - len(passage.outside) / len(passage.notes)
    contradicted = len(passage.contradicting) / len(passage.notes)
    return round(_share(passage) * _evidence(passage) * fitting * inside * (1 - contradicted) ** 2, 3)


def _share(passage: Passage) -> float:
    """The passage's scale among its rivals.

    Eight-note scales are taken as if they had seven, so that being smaller or plainer alone makes no scale sure.
    """
    own = passage.collection
    level = len(passage.notes) * (EIGHT_NOTE_BITS - SEVEN_NOTE_BITS)
    rivals = [
        bits - each.bits - (level if len(own.pitch_classes) == 7 and len(each.pitch_classes) == 8 else 0)
        for each, bits in zip(collections(), passage.total, strict=True)
        if each == own or _is_rival(each, passage)
    ]
    mine = passage.total[passage.index] - own.bits
    least = min(mine, *rivals)  # what is counted from the best cannot grow beyond what a number holds
    return float(2.0 ** (least - mine)) / fsum(2.0 ** (least - bits) for bits in rivals)


def _is_rival(other: Collection, passage: Passage) -> bool:
    """Whether anyone would think of another scale.

    Not of one with an eighth note added while nothing asks for it, nor of a pentatonic or blues scale of which a
    note is missing, nor, over one chord, of a scale that has no name from the chord's root.
    """
    if other.is_small:
        return other.pitch_classes <= {heard.pitch % 12 for heard in passage.notes}
    named = passage.only_chord is None or bool(other.names.keys() & set(_chord_roots(passage)))
    return named and not other.pitch_classes > passage.collection.pitch_classes


def _unasked_for(passage: Passage) -> bool:
    """A bebop scale whose added note no run has."""
    added_notes = {
        heard.pitch % 12
        for atom in passage.atoms
        for heard, bits in zip(atom.notes, atom.foreign, strict=True)
        if bits == ADDED_NOTE_BITS
    }
    return "bebop" in passage.collection.parent[1] and not added_notes & passage.collection.pitch_classes


def _is_of_dominants(passage: Passage) -> bool:
    """A minor scale over plain dominants alone, unless a tritone apart: of a blues, where each has its own scale."""
    kinds = {root_and_family(chord) for chord in passage.chords}
    plain = all(chord is not None and family(readings(chord)[0]) == "dominant" for chord in passage.chords)
    roots = sorted(kind[0] for kind in kinds if kind is not None)
    tritone = len(roots) == PAIR and roots[1] - roots[0] == TRITONE
    return plain and len(roots) > 1 and not tritone and "minor" in passage.collection.parent[1].split()


def _missed(passage: Passage) -> bool:
    """Whether the line leaves out a note of an eight-note scale for one that contradicts it."""
    own = passage.collection
    eight = len(own.pitch_classes) == 8 and own.parent[1] in OF_CHORDS
    return eight and bool(passage.contradicting) and passage.used != own.pitch_classes


def _far_from_its_chord(passage: Passage) -> bool:
    """Over one chord only a scale named from its root, or a plain one, is believed; over none, no chord's scale."""
    if passage.only_chord is None:
        return passage.collection.is_of_a_chord and passage.chords == (None,)
    named = passage.collection.names.keys() & set(_chord_roots(passage))
    return not named and passage.collection.parent[1] not in PLAIN_PARENTS


def _evidence(passage: Passage) -> float:
    """How much there is to tell the scale by: how many of its notes sound, or are printed as an altered chord.

    Notes foreign to the scale one expects tell more. A pentatonic or blues scale sounds as one when its notes
    come more than twice.
    """
    own = passage.collection
    told = passage.used | (_printed_colours(passage) & own.pitch_classes)
    if own.is_small:
        if not _sounds_whole(passage):
            return 0.0
        return min(1.0, len(passage.notes) / (SMALL_SOUNDS * len(own.pitch_classes)))
    if told == own.pitch_classes:
        return 1.0
    chord = passage.only_chord
    strange = (
        min((len(passage.used - each.pitch_classes) for each in _expected(passage, chord)), default=0)
        if chord
        else 0
    )
    return EVIDENCE.get(max(len(told), STRANGE_TELLS + strange), 1.0)


def _sounds_whole(passage: Passage) -> bool:
    """Whether all notes of a pentatonic scale sound; of a blues scale one may be missing, but not the blue note."""
    root, scale = passage.collection.parent
    if scale != "blues":
        return passage.used == passage.collection.pitch_classes
    return (root + BLUE_NOTE) % 12 in passage.used and len(passage.used) >= len(
        passage.collection.pitch_classes
    ) - 1


def _printed_colours(passage: Passage) -> set[int]:
    """The pitch classes of altered dominants, whose symbol is the name of a scale."""
    sounding = (readings(chord)[0] for chord in passage.chords if chord is not None)
    return {pitch for heard in sounding if family(heard) == "altered" for pitch in chord_tones(heard)}


def _rivals(etude: Etude, passage: Passage) -> list[Collection]:
    """What the passage could have been: what one expects of chord or key, or else the next best readings."""
    chord = passage.only_chord
    expected = (
        _neighbours(passage.collection) + _keys(etude, passage)
        if chord is None
        else _expected(passage, chord)
    )
    if any(passage.used - each.pitch_classes for each in expected):
        return expected
    ranked = [collections()[index] for index in passage.ranked]
    return [each for each in ranked if passage.used - each.pitch_classes][:RIVALS]


def _keys(etude: Etude, passage: Passage) -> list[Collection]:
    key = key_at(etude, span_of(passage.notes))
    return [each for each in collections() if key is not None and of_key(each, key)]


def _expected(passage: Passage, chord: Chord) -> list[Collection]:
    """The plain scale of the chord, or where the passage uses that, the next plainest; and what it is mixed up with."""
    heard = readings(chord)[0]
    root = heard.root.pitch_class
    own = passage.collection.names.get(root, "")
    plainest = [name for name in EXPECTED.get(family(heard), ()) if name != own][:1]
    names = (*plainest, *MIXED_UP.get(own, ()))
    return [each for each in collections() if each.names.get(root) in names]


def _neighbours(collection: Collection) -> list[Collection]:
    """The major scales that differ from a collection in one note."""
    majors = (each for each in collections() if each.parent[1] == "major")
    return [each for each in majors if len(collection.pitch_classes - each.pitch_classes) == 1]


def _deciding(etude: Etude, passage: Passage) -> set[int]:
    """The pitch classes that sound and that some rival lacks; over one chord, its own tones decide nothing."""
    told = {pitch for rival in _rivals(etude, passage) for pitch in passage.used - rival.pitch_classes}
    chord = passage.only_chord
    if chord is None:
        return told
    return {pitch for pitch in told if not is_chord_tone(degree_of(pitch, chord), chord)}


# Names -----------------------------------------------------------------------------------------------------


def _name(etude: Etude, passage: Passage) -> tuple[int, str]:
    """Root (pitch class) and name: from the chord's root over one chord, else from the key's tonic."""
    names = passage.collection.names
    roots = set(_chord_roots(passage))
    if len(roots) == 1 and (root := min(roots)) in names:
        return root, names[root]
    key = key_at(etude, span_of(passage.notes))
    if key is not None:
        tonic = key.tonic.pitch_class
        if names.get(tonic) in OF_A_KEY.get(key.mode, (key.mode,)):
            return tonic, names[tonic]
    of_chords = [(names[at], at) for at in _chord_roots(passage) if names.get(at) in OF_CHORDS]
    if not of_chords:
        return _parent(passage)
    scale, root = min(of_chords, key=lambda named: OF_CHORDS.index(named[0]))
    return root, scale


def _parent(passage: Passage) -> tuple[int, str]:
    """The plainest name; of a scale that has several roots, from the first of its notes that is one."""
    root, scale = passage.collection.parent
    roots = [
        heard.pitch % 12 for heard in passage.notes if passage.collection.names.get(heard.pitch % 12) == scale
    ]
    return (roots[0] if scale in OF_CHORDS and roots else root), scale


def _chord_roots(passage: Passage) -> tuple[int, ...]:
    return tuple(readings(chord)[0].root.pitch_class for chord in passage.chords if chord is not None)


def _spelt(etude: Etude, passage: Passage, root: int) -> NoteName:
    """The root's name: a chord's root, the key's tonic, or a sounding note's, else the plainest."""
    key = key_at(etude, span_of(passage.notes))
    known = [readings(chord)[0].root for chord in passage.chords if chord is not None]
    known += [] if key is None else [key.tonic]
    known += [heard.note.sounding.name for heard in passage.notes]
    plainest = min(
        (NoteName.from_fifths(fifths) for fifths in range(-6, 6)), key=lambda n: n.pitch_class != root
    )
    return next((name for name in known if name.pitch_class == root), plainest)
