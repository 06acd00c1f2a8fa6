"""The scale that a passage uses, and whether a claim about one holds.

Conventions: the melody is cut where another scale explains it better (`scale_fit`); one scale over several
chords is one passage ("one major scale serves all three chords"). A passage over one chord is named from the
chord's root (dorian, altered), over several from its tonic. Chromatic passing and approach notes do not
speak against a scale. A scale's confidence is its share among all scales, the key left out of account, lowered
where few different notes are there to tell it by.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import groupby, pairwise
from math import fsum
from typing import Literal

from lessonmaker.analysis.etude import Etude, span_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import ScaleUse
from lessonmaker.analysis.scale_fit import (
    CONTRADICTS,
    Atom,
    Bits,
    Collection,
    added,
    atoms_of,
    best_path,
    collections,
    costs,
    key_at,
    missing_bits,
    of_key,
    tie_bits,
    unexpected_bits,
)
from lessonmaker.analysis.scale_text import (
    Told,
    degrees_used,
    listed,
    root_words,
    scale_sentence,
    scale_step_words,
)
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, degree_spoken, family, readings
from lessonmaker.theory.degree import degree_of, is_chord_tone
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES, scales_named

__all__ = ["ScaleClaim", "parts_in_scale", "scale_fits", "scale_of", "scales_of"]

LEAST_CONFIDENCE = 0.3
SURE = 0.5
FEWEST_NOTES = 5
# How sure different notes make a reading, by their number.
EVIDENCE = {4: 0.5, 5: 0.75, 6: 0.95}
RIVALS = 2
NO_LESS_PLAUSIBLE_BITS = 1.0
LACKING_BITS = 3.0
AT_ODDS = 0.4  # what remains of the confidence in a scale at odds with its chord
PLAIN_PARENTS = ("major", "melodic minor", "harmonic minor", "major pentatonic")
FAR_FETCHED_BITS = 3.5
MOST_OTHERS = 3
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
class _Passage:
    """Notes that one collection explains: `total` is what they cost in each collection, the key left out."""

    atoms: tuple[Atom, ...]
    index: int
    total: Bits

    @property
    def collection(self) -> Collection:
        return collections()[self.index]

    @property
    def notes(self) -> tuple[Heard, ...]:
        return tuple(heard for atom in self.atoms for heard in atom.notes)

    @property
    def ranked(self) -> list[int]:
        """The places of the collections, the cheapest first."""
        total = added(self.total, tie_bits(self.atoms[0].reference))
        return sorted(range(len(total)), key=total.__getitem__)

    @property
    def chords(self) -> tuple[Chord | None, ...]:
        """The chords one after the other, those of one root and family once; (None,) where none sounds."""
        sounding = [atom.chord for atom in self.atoms if atom.chord is not None]
        return tuple(next(group) for _, group in groupby(sounding, key=_root_and_family)) or (None,)

    @property
    def only_chord(self) -> Chord | None:
        """The chord where there is one only."""
        return self.chords[0] if len(self.chords) == 1 else None

    @property
    def used(self) -> set[int]:
        """The pitch classes that sound and belong to the collection."""
        return {heard.pitch % 12 for heard in self.notes} & self.collection.pitch_classes

    @property
    def outside(self) -> tuple[Heard, ...]:
        return tuple(heard for heard in self.notes if heard.pitch % 12 not in self.collection.pitch_classes)

    @property
    def contradicting(self) -> tuple[Heard, ...]:
        """The notes outside that no chromatic passing or approach excuses."""
        bits = {
            heard.note.id: cost
            for atom in self.atoms
            for heard, cost in zip(atom.notes, atom.foreign, strict=True)
        }
        return tuple(heard for heard in self.outside if bits[heard.note.id] >= CONTRADICTS)


def _root_and_family(chord: Chord | None) -> tuple[int, str] | None:
    if chord is None:
        return None
    heard = readings(chord)[0]
    kind = family(heard)
    return heard.root.pitch_class, "dominant" if kind in ("altered", "suspended") else kind


# What is used ----------------------------------------------------------------------------------------------


def scales_of(etude: Etude) -> tuple[ScaleUse, ...]:
    """The scales of the melody in time; a passage that no scale is told by has none."""
    atoms = atoms_of(etude, etude.melody)
    path = best_path(etude, atoms)
    passages = [
        _passage([atoms[place] for place in places], index)
        for index, places in groupby(range(len(atoms)), key=path.__getitem__)
    ]
    uses = (_use(etude, passage, turn) for turn, passage in enumerate(passages))
    return tuple(use for use in uses if use.confidence >= LEAST_CONFIDENCE)


def scale_of(etude: Etude, span: Span) -> ScaleUse | None:
    """The one scale that explains the melody of a span best, or None without notes; see its confidence."""
    atoms = atoms_of(etude, etude.notes_between(span))
    if not atoms:
        return None
    total = _totals(atoms)
    expected = added(total, _unexpected(etude, atoms))
    return _use(etude, _Passage(atoms, expected.index(min(expected)), total), 0)


def _unexpected(etude: Etude, atoms: Sequence[Atom]) -> Bits:
    return _sum([unexpected_bits(etude, atom) for atom in atoms])


def _sum(rows: Sequence[Bits]) -> Bits:
    return tuple(map(sum, zip(*rows, strict=True)))


def _passage(atoms: Sequence[Atom], index: int) -> _Passage:
    kept = _without_landing(tuple(atoms))
    return _Passage(kept, index, _totals(kept))


def _without_landing(atoms: tuple[Atom, ...]) -> tuple[Atom, ...]:
    """A scale over one chord ends where the next is only landed on, and begins after a last note of the one before."""
    inner = atoms[1 if len(atoms[0].notes) == 1 else 0 : -1 if len(atoms[-1].notes) == 1 else None]
    chords = {_root_and_family(atom.chord) for atom in inner}
    return inner if len(chords) == 1 and None not in chords else atoms


def _totals(atoms: Sequence[Atom]) -> Bits:
    """What the atoms cost in each collection together; chord tones it lacks count once a chord, not once a bar."""
    again = [
        tuple(-bits for bits in missing_bits(later.chord))
        for earlier, later in pairwise(atoms)
        if _root_and_family(earlier.chord) == _root_and_family(later.chord)
    ]
    return _sum([tuple(each.bits for each in collections()), *map(costs, atoms), *again])


def _use(etude: Etude, passage: _Passage, turn: int) -> ScaleUse:
    return _named_use(etude, passage, *_name(etude, passage), turn)


def _named_use(etude: Etude, passage: _Passage, root: int, scale: str, turn: int = 0) -> ScaleUse:
    deciding, confidence = _deciding(etude, passage), _confidence(passage)
    order = sorted(deciding, key=lambda pitch: (pitch - root) % 12)
    told = Told(scale, root, passage.chords, tuple(order), len(passage.outside), confidence >= SURE)
    return ScaleUse(
        span_of(passage.notes),
        _spelt(etude, passage, root),
        scale,
        _ids(passage.notes),
        degrees_used(scale, root, passage.used),
        _ids(heard for heard in passage.notes if heard.pitch % 12 in deciding),
        _ids(passage.outside),
        scale_sentence(told, turn),
        confidence,
    )


def _ids(notes: Iterable[Heard]) -> tuple[str, ...]:
    return tuple(heard.note.id for heard in notes)


def _confidence(passage: _Passage) -> float:
    if len(passage.notes) < FEWEST_NOTES or len(passage.used) < min(EVIDENCE):
        return 0.0
    share = 1 / fsum(2 ** (passage.total[passage.index] - bits) for bits in passage.total)
    contradicted = len(passage.contradicting) / len(passage.notes)
    fitting = AT_ODDS if _lacking(passage) is not None or _far_from_its_chord(passage) else 1.0
    return round(share * _evidence(passage) * (1 - contradicted) ** 2 * fitting, 3)


def _far_from_its_chord(passage: _Passage) -> bool:
    """Over one chord only a scale named from its root, or a plain five- or seven-note one, is believed."""
    if passage.only_chord is None:
        return False
    named = passage.collection.names.keys() & set(_chord_roots(passage))
    return not named and passage.collection.parent[1] not in PLAIN_PARENTS


def _evidence(passage: _Passage) -> float:
    """How much there is to tell the scale by: its notes that sound, and those that the chord symbols print."""
    printed = {
        pitch for chord in passage.chords if chord is not None for pitch in chord_tones(readings(chord)[0])
    }
    told = passage.used | (printed & passage.collection.pitch_classes)
    return 1.0 if told == passage.collection.pitch_classes else EVIDENCE.get(len(told), 1.0)


def _rivals(etude: Etude, passage: _Passage) -> list[Collection]:
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


def _keys(etude: Etude, passage: _Passage) -> list[Collection]:
    key = key_at(etude, span_of(passage.notes))
    return [each for each in collections() if key is not None and of_key(each, key)]


def _expected(passage: _Passage, chord: Chord) -> list[Collection]:
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


def _deciding(etude: Etude, passage: _Passage) -> set[int]:
    """The pitch classes that sound and that some rival lacks; over one chord, its own tones decide nothing."""
    told = {pitch for rival in _rivals(etude, passage) for pitch in passage.used - rival.pitch_classes}
    chord = passage.only_chord
    if chord is None:
        return told
    return {pitch for pitch in told if not is_chord_tone(degree_of(pitch, chord), chord)}


# Names -----------------------------------------------------------------------------------------------------


def _name(etude: Etude, passage: _Passage) -> tuple[int, str]:
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
    symmetrical = (
        root for root in _chord_roots(passage) if SCALES[names.get(root, "major")].name in OF_CHORDS
    )
    of_a_chord = next(symmetrical, None)
    return _parent(passage) if of_a_chord is None else (of_a_chord, names[of_a_chord])


def _parent(passage: _Passage) -> tuple[int, str]:
    """The plainest name; of a scale that has several roots, from the first of its notes that is one."""
    root, scale = passage.collection.parent
    roots = [
        heard.pitch % 12 for heard in passage.notes if passage.collection.names.get(heard.pitch % 12) == scale
    ]
    return (roots[0] if scale in OF_CHORDS and roots else root), scale


def _chord_roots(passage: _Passage) -> tuple[int, ...]:
    return tuple(readings(chord)[0].root.pitch_class for chord in passage.chords if chord is not None)


def _spelt(etude: Etude, passage: _Passage, root: int) -> NoteName:
    """The root's name: a chord's root, the key's tonic, or a sounding note's, else the plainest."""
    key = key_at(etude, span_of(passage.notes))
    known = [readings(chord)[0].root for chord in passage.chords if chord is not None]
    known += [] if key is None else [key.tonic]
    known += [heard.note.sounding.name for heard in passage.notes]
    plainest = min(
        (NoteName.from_fifths(fifths) for fifths in range(-6, 6)), key=lambda n: n.pitch_class != root
    )
    return next((name for name in known if name.pitch_class == root), plainest)


# Claims ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ScaleClaim:
    """What becomes of the claim that a span uses a scale.

    Attributes:
        verdict: "true"; "false" (a note or a chord contradicts it); "undecided" (its notes fit, but another
            scale fits them at least as well).
        use: the claim as it was understood, as a ScaleUse (its `outside` the notes foreign to it).
        contradicting: the ids of the notes that speak against it, in time.
        others: the scales that fit no worse, best first, where it is undecided.
        nearest: the nearest true claim: the scale that the span does use; None where no scale is told by it.
        text: one sentence that says why.
    """

    verdict: Literal["true", "false", "undecided"]
    use: ScaleUse
    contradicting: tuple[str, ...]
    others: tuple[ScaleUse, ...]
    nearest: ScaleUse | None
    text: str


def scale_fits(etude: Etude, span: Span, scale: str, root: NoteName | None = None) -> ScaleClaim | None:
    """Whether the melody of a span uses a scale.

    Args:
        etude: the etude; keys, where they are known, decide between equals.
        span: the stretch that the claim speaks of.
        scale: any name of the scale, also one that several scales have ("diminished", "blues"): the claim is
            read the way that fits best.
        root: the scale's root where the claim says it; else the roots of the chords, the key's tonic, and for
            scales that are no mode of another ("melodic minor") any root are tried.

    Returns:
        The verdict, or None where the span has no notes.

    Raises:
        ValueError: the name is no scale's; the message has the nearest names.
    """
    named = scales_named(scale)
    if not named:
        raise ValueError(_unknown(scale))
    atoms = atoms_of(etude, etude.notes_between(span))
    if not atoms:
        return None
    return _judged(etude, span, *_understood(etude, span, atoms, named, root))


def parts_in_scale(
    etude: Etude, span: Span, scale: str, root: NoteName | None = None
) -> tuple[ScaleClaim, ...]:
    """The stretches over one chord within a span of which the claim of a scale is not false, true ones first.

    Arguments and errors are those of `scale_fits`.
    """
    atoms = atoms_of(etude, etude.notes_between(span))
    stretches = [list(group) for _, group in groupby(atoms, key=lambda atom: _root_and_family(atom.chord))]
    spans = [span_of((*stretch[0].notes, *stretch[-1].notes)) for stretch in stretches]
    claims = [scale_fits(etude, Span(part.start, part.end), scale, root) for part in spans]
    fitting = [claim for claim in claims if claim is not None and claim.verdict != "false"]
    return tuple(sorted(fitting, key=lambda claim: claim.verdict != "true"))


def _understood(
    etude: Etude, span: Span, atoms: tuple[Atom, ...], named: Sequence[str], root: NoteName | None
) -> tuple[_Passage, ScaleUse]:
    """The claim read the way that fits best; where none fits, from the likeliest root."""
    total = added(_totals(atoms), _unexpected(etude, atoms))
    ways = [way for name in named for way in _claimed(etude, span, atoms, name, root)]
    fitting = [way for way in ways if not _Passage(atoms, way[0], total).contradicting]
    likely = _likely_roots(etude, span, atoms)
    ways.sort(key=lambda way: way[1] not in likely)
    fitting.sort(key=lambda way: (round(total[way[0]], 3), way[1] not in likely))
    index, as_root, as_name = (fitting or ways)[0]
    passage = _Passage(atoms, index, total)
    return passage, _named_use(etude, passage, as_root, as_name)


def _unknown(scale: str) -> str:
    names = [name for each in SCALES.values() for name in (each.name, *each.others)]
    near = get_close_matches(scale.casefold(), names, 3)
    meant = f": did you mean {' or '.join(near)}?" if near else f": there are {', '.join(SCALES)}"
    return f"{scale!r} is no scale{meant}"


def _claimed(
    etude: Etude, span: Span, atoms: Sequence[Atom], name: str, root: NoteName | None
) -> list[tuple[int, int, str]]:
    """(collection, root, name) of each way to take the claim; the chromatic scale has no collection."""
    roots = [root.pitch_class] if root is not None else _possible_roots(etude, span, atoms, name)
    above = SCALES[name].semitones
    by_notes = {frozenset((at + each) % 12 for each in above): at for at in reversed(roots)}
    places = {each.pitch_classes: place for place, each in enumerate(collections())}
    return [(places[notes], at, name) for notes, at in reversed(by_notes.items()) if notes in places]


def _possible_roots(etude: Etude, span: Span, atoms: Sequence[Atom], name: str) -> list[int]:
    """The likely roots first; any for a scale that is no mode, but a major chord's major scale is its own."""
    likely = _likely_roots(etude, span, atoms)
    kinds = {key[1] for atom in atoms if (key := _root_and_family(atom.chord)) is not None}
    own = name == "major" and kinds == {"major"}
    if likely and (own or SCALES[name].parent != name):
        return likely
    any_root = ((atoms[0].reference + above) % 12 for above in range(12))
    return list(dict.fromkeys([*likely, *any_root]))


def _likely_roots(etude: Etude, span: Span, atoms: Sequence[Atom]) -> list[int]:
    roots = [readings(atom.chord)[0].root.pitch_class for atom in atoms if atom.chord is not None]
    key = key_at(etude, span)
    return list(dict.fromkeys([*roots, *([] if key is None else [key.tonic.pitch_class])]))


def _judged(etude: Etude, span: Span, passage: _Passage, use: ScaleUse) -> ScaleClaim:
    nearest = _nearest(etude, span)
    against = _ids(passage.contradicting)
    if against:
        return ScaleClaim("false", use, against, (), nearest, _false_text(passage, use))
    lacking = _lacking(passage)
    if lacking is not None:
        text = f"{_claim_name(passage, use)} lacks the {degree_spoken(lacking)} of the chord"
        return ScaleClaim("false", use, (), (), nearest, text)
    others = _as_plausible(etude, passage)
    if not others:
        return ScaleClaim("true", use, (), (), use, use.text)
    names = listed([root_words(each.scale, each.root.pitch_class, passage.only_chord) for each in others])
    if passage.total[passage.index] - min(passage.total) > FAR_FETCHED_BITS:
        text = f"nothing in the line asks for {_claim_name(passage, use)}: it fits {names}"
        return ScaleClaim("false", use, (), others, nearest, text)
    text = f"every note fits {_claim_name(passage, use)}, but {names} as well"
    return ScaleClaim("undecided", use, (), others, nearest, text)


def _nearest(etude: Etude, span: Span) -> ScaleUse | None:
    """The scale of the span, or the surest one of a part of it that lies over one chord."""
    whole = scale_of(etude, span)
    if whole is not None and whole.confidence >= SURE:
        return whole
    uses = [use for use in scales_of(etude) if use.span.start < span.end and use.span.end > span.start]
    return max(uses, key=lambda use: use.confidence, default=None)


def _claim_name(passage: _Passage, use: ScaleUse) -> str:
    return root_words(use.scale, use.root.pitch_class, passage.only_chord)


def _false_text(passage: _Passage, use: ScaleUse) -> str:
    words = [_heard_words(heard, use) for heard in passage.contradicting]
    return f"{_claim_name(passage, use)} has no {' and no '.join(dict.fromkeys(words))}"


def _heard_words(heard: Heard, use: ScaleUse) -> str:
    """A note by its degree against its own chord, or against the scale's root where no chord sounds."""
    if heard.degree is None:
        return scale_step_words(heard.pitch - use.root.pitch_class).removeprefix("the ")
    return degree_spoken(heard.degree)


def _lacking(passage: _Passage) -> str | None:
    """A chord tone that a scale over its chord may not lack, or None."""
    for chord in passage.chords:
        if chord is None or missing_bits(chord)[passage.index] - min(missing_bits(chord)) < LACKING_BITS:
            continue
        for pitch, degree in chord_tones(readings(chord)[0]).items():
            if pitch not in passage.collection.pitch_classes:
                return degree
    return None


def _as_plausible(etude: Etude, passage: _Passage) -> tuple[ScaleUse, ...]:
    """Scales that every note fits too and that are no less plausible, the likeliest first."""
    limit = passage.total[passage.index] + NO_LESS_PLAUSIBLE_BITS
    indices = [index for index in passage.ranked if passage.total[index] <= limit]
    others = [replace(passage, index=index) for index in indices if index != passage.index]
    return tuple(_use(etude, other, 0) for other in others if not other.contradicting)[:MOST_OTHERS]
