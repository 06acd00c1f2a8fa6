"""Chord symbols of real files (music21's corpus and the LilyPond suite in it): tones against music21's own."""

from __future__ import annotations

from pathlib import Path

import music21
import pytest
from music21 import converter, harmony

from lessonmaker.score.read import read_score
from lessonmaker.theory.chord import chord_tones

PACKAGE = Path(music21.__file__).parent
SHEETS = sorted(
    [
        *PACKAGE.glob("corpus/leadSheet/*.mxl"),
        *PACKAGE.glob("corpus/demos/*hord*.mxl"),
        *PACKAGE.glob("musicxml/lilypondTestSuite/71[acfg]*.xml"),
    ]
)

# An eleventh over a major third is left out here, a seventh is understood under "sus", the Neapolitan stands
# on its own root: choices told in `kinds`. Music21 keeps a root that a symbol subtracts, and reads no
# "minor-major", a name for the standard's major-minor.
DIFFERS = {"dominant-13th": {5}, "major-13th": {5}, "suspended-fourth": {10}}
NOT_COMPARED = ("Neapolitan", "minor-major")


def test_there_are_sheets() -> None:
    assert len(SHEETS) >= 7


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_tones_agree(path: Path) -> None:
    symbols = [
        symbol
        for symbol in converter.parse(path).recurse().getElementsByClass(harmony.ChordSymbol)
        if symbol.chordKind != "none"
    ]
    ours = [change.chord for change in read_score(path).changes if change.chord is not None]
    assert len(ours) == len(symbols)
    for chord, symbol in zip(ours, symbols, strict=True):
        if symbol.chordKind not in NOT_COMPARED:
            bass = chord.bass or chord.root
            read = {*chord_tones(chord), chord.root.pitch_class, bass.pitch_class}
            differing = read ^ {pitch.pitchClass for pitch in symbol.pitches}
            above_root = {(pitch_class - chord.root.pitch_class) % 12 for pitch_class in differing}
            assert above_root <= DIFFERS.get(chord.kind, set()), symbol.figure
