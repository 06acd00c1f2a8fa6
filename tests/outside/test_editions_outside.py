"""Editions against the world outside: a handbook's table of instruments, and music21's instruments and keys.

The table is from memory, as orchestration handbooks print it (written note above sounding note); music21's
instruments state the interval from written to sounding pitch.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import instrument, interval, key, pitch

from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.read import read_score
from lessonmaker.score.spelling import choose_key
from lessonmaker.theory.pitch import Interval, NoteName, Pitch

MEDIA = Path(__file__).parents[2] / "media"
# What a player of each instrument reads where C4 sounds (from memory), and the edition that serves it.
HANDBOOK = {
    "flute": ("C4", "concert"),
    "clarinet in B flat": ("D4", "b-flat"),
    "trumpet in B flat": ("D4", "b-flat"),
    "soprano saxophone": ("D4", "b-flat"),
    "tenor saxophone": ("D5", "b-flat"),
    "bass clarinet": ("D5", "b-flat"),
    "alto saxophone": ("A4", "e-flat"),
    "baritone saxophone": ("A5", "e-flat"),
    "trombone": ("C4", "bass-clef"),
    "double bass": ("C5", "bass-clef"),
}
INSTRUMENTS = {
    "flute": instrument.Flute,
    "clarinet in B flat": instrument.Clarinet,
    "trumpet in B flat": instrument.Trumpet,
    "soprano saxophone": instrument.SopranoSaxophone,
    "tenor saxophone": instrument.TenorSaxophone,
    "bass clarinet": instrument.BassClarinet,
    "alto saxophone": instrument.AltoSaxophone,
    "baritone saxophone": instrument.BaritoneSaxophone,
    "trombone": instrument.Trombone,
    "double bass": instrument.Contrabass,
}


def to_music21(one: Pitch) -> pitch.Pitch:
    return pitch.Pitch(f"{one.step}{'#' * one.alter}{'-' * -one.alter}{one.octave}")


@pytest.mark.parametrize("name", list(HANDBOOK))
def test_editions_serve_the_instruments_of_the_handbook(name: str) -> None:
    """Same letter and alteration; the octave is the edition's own choice."""
    written, edition = HANDBOOK[name]
    made = Pitch("C", 0, 4).transposed(EDITIONS[edition].interval)
    assert str(made.name) == written[:-1]


@pytest.mark.parametrize("name", list(HANDBOOK))
def test_editions_serve_music21s_instruments(name: str) -> None:
    to_sounding = INSTRUMENTS[name]().transposition
    written = pitch.Pitch("C4")
    if to_sounding is not None:
        written = written.transpose(to_sounding.reverse())
    made = Pitch("C", 0, 4).transposed(EDITIONS[HANDBOOK[name][1]].interval)
    assert made.step == written.step
    assert made.alter == int(written.alter)


@pytest.mark.parametrize("edition", list(EDITIONS))
@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_written_notes_are_music21s_up_to_octave_and_enharmonic_name(name: str, edition: str) -> None:
    score = read_score(MEDIA / f"{name}.musicxml")
    steps = EDITIONS[edition].interval
    moved = interval.Interval(pitch.Pitch("C4"), to_music21(Pitch("C", 0, 4).transposed(steps)))
    alike = 0
    for note in make_edition(score, EDITIONS[edition]).score.notes:
        expected = to_music21(note.sounding).transpose(moved)
        assert to_music21(note.written).pitchClass == expected.pitchClass
        alike += note.written.step == expected.step
    assert alike >= 0.95 * len(score.notes)


@pytest.mark.parametrize("text", ["M2", "M6", "m3", "P4", "A4", "M9", "-m3"])
@pytest.mark.parametrize("fifths", range(-6, 7))
def test_keys_sound_as_music21s_and_have_no_more_accidentals(text: str, fifths: int) -> None:
    """The key chosen is music21's transposed key or an enharmonic one with fewer accidentals."""
    tonic = key.KeySignature(fifths).asKey("major").tonic
    moved = tonic.transpose(text.replace("-", "") if not text.startswith("-") else text)
    theirs = NoteName(moved.step, int(moved.alter))
    ours = choose_key(fifths + Interval.parse(text).fifths, fifths)
    assert NoteName.from_fifths(ours).pitch_class == theirs.pitch_class
    assert abs(ours) <= min(abs(theirs.fifths), 6)
