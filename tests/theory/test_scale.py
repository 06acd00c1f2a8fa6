"""The table of scales: what they are called, and how they are spelt (common practice, no source)."""

from __future__ import annotations

import pytest

from lessonmaker.theory.kinds import DEGREE_SEMITONES
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES, scale_notes, scale_spoken, scales_named

SEVEN = [name for name, scale in SCALES.items() if len(scale.degrees) == 7]
ROOTS = [NoteName.from_fifths(fifths) for fifths in range(-6, 7)]


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES)
def test_degrees_go_up_from_the_root(scale):
    assert scale.degrees[0] == "1"
    assert list(scale.semitones) == sorted(set(scale.semitones))
    assert scale.semitones == tuple(DEGREE_SEMITONES[degree] for degree in scale.degrees)


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES)
def test_a_mode_has_the_notes_of_its_parent(scale):
    own = set(scale.semitones)
    parent = SCALES[scale.parent].semitones
    assert any({(note + shift) % 12 for note in parent} == own for shift in range(12))


@pytest.mark.parametrize(
    ("text", "name"),
    {
        "major": "major",
        "Ionian mode": "major",
        "the Dorian scale": "dorian",
        "natural minor": "aeolian",
        "the minor scale": "aeolian",
        "jazz minor": "melodic minor",
        "super-locrian": "altered",
        "Superlocrian": "altered",
        "diminished whole-tone": "altered",
        "acoustic scale": "lydian dominant",
        "overtone": "lydian dominant",
        "Lydian ♭7": "lydian dominant",
        "lydian flat seven": "lydian dominant",
        "mixolydian sharp eleven": "lydian dominant",
        "mixolydian flat six": "mixolydian b6",
        "mixolydian b13": "mixolydian b6",
        "locrian natural two": "locrian natural 2",
        "Locrian ♮2": "locrian natural 2",
        "locrian #2": "locrian natural 2",
        "half-diminished scale": "locrian natural 2",
        "phrygian natural six": "dorian b2",
        "lydian sharp five": "lydian augmented",
        "Spanish Phrygian": "phrygian dominant",
        "the second mode of the major scale": "dorian",
        "third mode of melodic minor": "lydian augmented",
        "the seventh mode of the melodic minor scale": "altered",
        "fifth mode of the harmonic minor": "phrygian dominant",
        "whole-tone": "whole tone",
        "wholetone": "whole tone",
        "half-whole": "half-whole diminished",
        "whole/half": "whole-half diminished",
        "dominant bebop": "bebop dominant",
        "pentatonic major": "major pentatonic",
        "blues scale": "blues",
        "minor blues": "blues",
        "chromatic": "chromatic",
    }.items(),
)
def test_a_scale_is_known_by_its_other_names(text, name):
    assert scales_named(text)[0] == name


@pytest.mark.parametrize("text", ["", "the", "sale", "mixolydio", "b9", "dorian lydian"])
def test_what_is_no_scale_names_none(text):
    assert scales_named(text) == ()


@pytest.mark.parametrize(
    ("text", "names"),
    {
        "diminished": ("half-whole diminished", "whole-half diminished"),
        "octatonic": ("half-whole diminished", "whole-half diminished"),
        "bebop": ("bebop dominant", "bebop major", "bebop dorian"),
        "pentatonic": ("major pentatonic", "minor pentatonic"),
        "blues": ("blues", "major blues"),
        "minor": ("aeolian", "melodic minor", "harmonic minor"),
    }.items(),
)
def test_a_name_of_several_scales_names_them_all(text, names):
    assert scales_named(text) == names


def test_every_name_of_the_table_is_found():
    for scale in SCALES.values():
        for name in (scale.name, scale.spoken, *scale.others):
            assert scale.name in scales_named(name)


@pytest.mark.parametrize("scale", sorted(set(SEVEN) - {"altered"}))
@pytest.mark.parametrize("root", ROOTS, ids=str)
def test_seven_notes_have_seven_letters_unless_a_double_accidental_is_avoided(root, scale):
    notes = scale_notes(root, scale)
    assert [note.pitch_class for note in notes] == [
        (root.pitch_class + up) % 12 for up in SCALES[scale].semitones
    ]
    assert all(abs(note.alter) < 2 for note in notes)
    letters = len({note.step for note in notes})
    assert letters == 7 or _needs_a_double(root, scale)


def _needs_a_double(root: NoteName, scale: str) -> bool:
    """Whether some degree on its own letter would be doubly sharp or flat: counted on the line of fifths."""
    fifths = {
        "1": 0,
        "9": 2,
        "3": 4,
        "4": -1,
        "11": -1,
        "#11": 6,
        "5": 1,
        "13": 3,
        "7": 5,
        "b7": -2,
        "b3": -3,
    }
    fifths |= {"b13": -4, "b9": -5, "b5": -6, "#5": 8, "#9": 9}
    places = [root.fifths + fifths[degree] for degree in SCALES[scale].degrees]
    return max(places) > 12 or min(places) < -8


@pytest.mark.parametrize(
    ("root", "scale", "notes"),
    [
        ("G", "altered", "G A♭ B♭ B D♭ E♭ F"),
        ("C", "lydian dominant", "C D E F♯ G A B♭"),
        ("E", "phrygian dominant", "E F G♯ A B C D"),
        ("C", "whole tone", "C D E F♯ G♯ B♭"),
        ("C", "half-whole diminished", "C D♭ D♯ E F♯ G A B♭"),
        ("C", "whole-half diminished", "C D E♭ F G♭ A♭ A B"),
        ("G", "bebop dominant", "G A B C D E F F♯"),
        ("A", "blues", "A C D E♭ E G"),
        ("C", "major blues", "C D E♭ E G A"),
    ],
)
def test_scales_as_they_are_usually_written(root, scale, notes):
    assert " ".join(map(str, scale_notes(NoteName(root), scale))) == notes


def test_a_scale_is_spoken_with_its_article():
    assert scale_spoken("altered") == "the altered scale"
    assert scale_spoken("locrian natural 2") == "the locrian natural two scale"
