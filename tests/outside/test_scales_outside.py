"""Scales against the world: music21's scales, Forte's set classes, and the chords each scale is taught over."""

from __future__ import annotations

from fractions import Fraction

import pytest
from music21 import chord as chords
from music21 import corpus
from music21 import pitch as pitches
from music21 import scale as scales

from lessonmaker.analysis.scales import scale_of
from lessonmaker.analysis.whole import etude_of
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import chord_tones, parse_chord
from lessonmaker.theory.pitch import NoteName, Pitch
from lessonmaker.theory.scale import SCALES, scale_notes
from tests.tools.plain_score import plain_score

# Music21 spells flats with a minus sign. It has modes of its major scale and a few scales of its own; modes of the
# melodic and harmonic minor are taken here from the degree (from 1) of its parent that they begin on.
MODES_OF = {
    "major": (scales.MajorScale, 1),
    "dorian": (scales.MajorScale, 2),
    "phrygian": (scales.MajorScale, 3),
    "lydian": (scales.MajorScale, 4),
    "mixolydian": (scales.MajorScale, 5),
    "aeolian": (scales.MajorScale, 6),
    "locrian": (scales.MajorScale, 7),
    "melodic minor": (scales.MelodicMinorScale, 1),
    "dorian b2": (scales.MelodicMinorScale, 2),
    "lydian augmented": (scales.MelodicMinorScale, 3),
    "lydian dominant": (scales.MelodicMinorScale, 4),
    "mixolydian b6": (scales.MelodicMinorScale, 5),
    "locrian natural 2": (scales.MelodicMinorScale, 6),
    "altered": (scales.MelodicMinorScale, 7),
    "harmonic minor": (scales.HarmonicMinorScale, 1),
    "phrygian dominant": (scales.HarmonicMinorScale, 5),
    "whole tone": (scales.WholeToneScale, 1),
}
MODES_BY_NAME = {
    "dorian": scales.DorianScale,
    "phrygian": scales.PhrygianScale,
    "lydian": scales.LydianScale,
    "mixolydian": scales.MixolydianScale,
    "locrian": scales.LocrianScale,
    "aeolian": scales.MinorScale,
}


@pytest.mark.parametrize("name", MODES_OF)
def test_semitones_agree_with_music21(name: str) -> None:
    kind, degree = MODES_OF[name]
    notes = [note.pitchClass for note in kind("C").getPitches("C4", "C5")][:-1]
    turned = notes[degree - 1 :] + notes[: degree - 1]
    assert SCALES[name].semitones == tuple((note - turned[0]) % 12 for note in turned)


@pytest.mark.parametrize("name", MODES_BY_NAME)
@pytest.mark.parametrize("root", ["C", "G", "D", "A", "E", "F", "B-", "E-"])
def test_spelling_agrees_with_music21(root: str, name: str) -> None:
    theirs = MODES_BY_NAME[name](root).getPitches(f"{root}4", f"{root}5")[:-1]
    ours = scale_notes(NoteName(root[0], -root.count("-")), name)
    for our, their in zip(ours, theirs, strict=True):
        assert our.pitch_class == their.pitchClass
        assert our.step == their.step or abs(their.alter) == 2  # no double accidentals here


@pytest.mark.parametrize(
    ("name", "first_step"), [("half-whole diminished", "m2"), ("whole-half diminished", "M2")]
)
def test_diminished_scales_agree_with_music21(name: str, first_step: str) -> None:
    theirs = scales.OctatonicScale("C", first_step if first_step == "m2" else None).getPitches("C4", "C5")
    assert {note.pitchClass for note in theirs} == set(SCALES[name].semitones)


# Forte, The Structure of Atonal Music (1973), names of the set classes, from memory; music21 computes them from the
# notes by its own tables (and leaves out the Z of 6-Z47). Interval vectors from the same tables, from memory.
SET_CLASSES = {
    "major": ("7-35", [2, 5, 4, 3, 6, 1]),
    "melodic minor": ("7-34", [2, 5, 4, 4, 4, 2]),
    "harmonic minor": ("7-32", [3, 3, 5, 4, 4, 2]),
    "whole tone": ("6-35", [0, 6, 0, 6, 0, 3]),
    "half-whole diminished": ("8-28", [4, 4, 8, 4, 4, 4]),
    "major pentatonic": ("5-35", [0, 3, 2, 1, 4, 0]),
    "blues": ("6-47", [2, 3, 3, 2, 4, 1]),
    "bebop dominant": ("8-23", [4, 6, 5, 4, 7, 2]),
    "bebop dorian": ("8-23", [4, 6, 5, 4, 7, 2]),
    "major blues": ("6-47", [2, 3, 3, 2, 4, 1]),
    "bebop major": ("8-26", [4, 5, 6, 5, 6, 2]),
    "chromatic": ("12-1", [12, 12, 12, 12, 12, 6]),
}


@pytest.mark.parametrize("name", SET_CLASSES)
def test_set_classes(name: str) -> None:
    forte, vector = SET_CLASSES[name]
    notes = chords.Chord([pitches.Pitch(60 + up) for up in SCALES[name].semitones])
    assert notes.forteClassTn.rstrip("AB") == forte
    assert notes.intervalVector == vector


# Which scale is taught over which chord: common practice, no source. The scale has every tone of the chord; over a
# plain dominant the altered and whole-tone scales leave its fifth out.
TAUGHT_OVER = {
    "Cmaj7": ("major", "lydian", "bebop major"),
    "Cmaj7#5": ("lydian augmented",),
    "Cm7": ("dorian", "aeolian", "phrygian", "dorian b2", "bebop dorian"),
    "Cm6": ("dorian", "melodic minor"),
    "Cm(maj7)": ("melodic minor", "harmonic minor"),
    "C7": ("mixolydian", "lydian dominant", "mixolydian b6", "phrygian dominant", "half-whole diminished"),
    "C7b9": ("phrygian dominant", "half-whole diminished"),
    "C7#5": ("whole tone", "altered"),
    "C7alt": ("altered",),
    "Cm7b5": ("locrian", "locrian natural 2"),
    "C°7": ("whole-half diminished",),
}


@pytest.mark.parametrize("symbol", TAUGHT_OVER)
def test_a_scale_has_the_tones_of_the_chords_it_is_taught_over(symbol: str) -> None:
    tones = set(chord_tones(parse_chord(symbol)))
    for name in TAUGHT_OVER[symbol]:
        assert tones <= set(SCALES[name].semitones), name


# Melodies of chorales from music21's corpus, whose scale stands in their key signature.
CHORALES = ("bwv104.6", "bwv112.5", "bwv117.4", "bwv127.5", "bwv128.5", "bwv13.6", "bwv137.5", "bwv139.6")
CHORALES += ("bwv140.7", "bwv145-a", "bwv151.5", "bwv155.5", "bwv157.5")


def _melody(name: str) -> tuple[Score, set[int]]:
    """A chorale's first part without chords, and the pitch classes of its key signature."""
    part = corpus.parse(f"bach/{name}").parts[0].flatten()
    signature = part.getElementsByClass("KeySignature")[0]
    inside = {(7 * signature.sharps + step) % 12 for step in SCALES["major"].semitones}
    spelt = [
        (
            Fraction(note.offset),
            Fraction(note.quarterLength),
            Pitch(note.step, int(note.pitch.alter), note.octave),
        )
        for note in part.notes
    ]
    return plain_score(spelt), inside


@pytest.mark.filterwarnings("ignore")
def test_a_chorale_melody_is_in_the_scale_of_its_signature() -> None:
    """Where it is sure: a melody may stay off the note that tells its key from the next on the circle of fifths."""
    agreeing, sure = 0, 0
    for name in CHORALES:
        score, inside = _melody(name)
        use = scale_of(etude_of(score), Span(score.bars[0].start, score.bars[-1].end))
        if use is not None and use.confidence >= 0.5:
            sure += 1
            agreeing += {(use.root.pitch_class + step) % 12 for step in SCALES[use.scale].semitones} == inside
    assert sure >= 9
    assert agreeing >= 0.85 * sure


# Numbers of scales in Ring's catalogue (a bit for each semitone above the root), from memory.
CATALOGUE = {
    "major": 2741,
    "dorian": 1709,
    "phrygian": 1451,
    "lydian": 2773,
    "mixolydian": 1717,
    "aeolian": 1453,
    "locrian": 1387,
    "melodic minor": 2733,
    "harmonic minor": 2477,
    "altered": 1371,
    "lydian dominant": 1749,
    "phrygian dominant": 1459,
    "whole tone": 1365,
    "half-whole diminished": 1755,
    "whole-half diminished": 2925,
    "major pentatonic": 661,
    "minor pentatonic": 1193,
    "blues": 1257,
    "chromatic": 4095,
}


def test_every_scale_stands_in_some_table() -> None:
    assert set(SCALES) == {*MODES_OF, *SET_CLASSES, *CATALOGUE}


@pytest.mark.parametrize("name", CATALOGUE)
def test_numbers_in_the_catalogue(name: str) -> None:
    assert sum(1 << semitones for semitones in SCALES[name].semitones) == CATALOGUE[name]
