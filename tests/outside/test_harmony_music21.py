"""Numerals, keys and chord symbols against music21 (a general toolkit) and its corpus (open data)."""

from __future__ import annotations

import warnings
import zipfile
from fractions import Fraction
from pathlib import Path

import music21
import pytest

from lessonmaker.analysis.report import analysis_json
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.numeral import numeral_of
from lessonmaker.theory.pitch import Pitch
from tests.tools.plain_score import plain_score

CORPUS = Path(music21.__file__).parent / "corpus"
SYMBOL_TAG = b"<harmony"
FEWEST_SHEETS = 10
ENOUGH_CHORDS, MOST_CHORDS = 5, 50


def sheets() -> list[Path]:
    """The scores of the corpus that have chord symbols."""
    found = []
    for path in sorted(CORPUS.rglob("*")):
        if path.suffix in (".mxl", ".xml", ".musicxml") and SYMBOL_TAG in content(path):
            found.append(path)
    return found


def content(path: Path) -> bytes:
    if path.suffix != ".mxl":
        return path.read_bytes()
    with zipfile.ZipFile(path) as packed:
        return b"".join(packed.read(name) for name in packed.namelist() if name.endswith("xml"))


# What a lead sheet writes, and the degree and quality that music21's figure has for the same chord in C.
SAME = [
    ("Dm7", "ii7"),
    ("G7", "V7"),
    ("Am", "vi"),
    ("F", "IV"),
    ("Em7", "iii7"),
    ("Bm7b5", "viiø7"),
    ("C", "I"),
    ("Fm", "iv"),
]


@pytest.mark.parametrize(("symbol", "figure"), SAME)
def test_a_numeral_is_the_one_of_roman_numeral_analysis(symbol: str, figure: str) -> None:
    assert numeral_of(parse_chord(symbol), 0) == figure
    named = music21.roman.romanNumeralFromChord(
        music21.chord.Chord([Pitch("C", 0, 4).midi + step for step in tones(symbol)]), music21.key.Key("C")
    )
    letters = "".join(char for char in named.figure if char in "IViv")
    assert letters == "".join(char for char in figure if char in "IViv")


def tones(symbol: str) -> list[int]:
    """A chord's tones in close position above middle C, by music21's own reading of the symbol."""
    chord = music21.harmony.ChordSymbol(symbol.replace("m7b5", "ø7"))
    return [tone.midi - 60 + (12 if tone.midi < 60 else 0) for tone in chord.pitches]


@pytest.mark.parametrize("tonic", range(0, 12, 5))
def test_the_key_of_a_plain_cadence_is_music21_s(tonic: int) -> None:
    """Krumhansl's profiles on the tones of I IV V I and our own costs agree on the key."""
    names = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
    chords = [
        names[(tonic + step) % 12] + kind for step, kind in ((0, "maj7"), (2, "m7"), (7, "7"), (0, "maj7"))
    ]
    stream = music21.stream.Stream()
    for symbol in chords:
        parsed = parse_chord(symbol)
        stream.append(music21.chord.Chord([60 + (parsed.root.pitch_class + step) % 12 for step in (0, 4, 7)]))
    score = plain_score(
        [], [(Fraction(4 * bar), parse_chord(symbol)) for bar, symbol in enumerate(chords)], 4
    )
    (key,) = analyse(score).keys
    assert (key.tonic.pitch_class, key.mode) == (tonic, "major")
    assert stream.analyze("key").tonic.pitchClass in (tonic, (tonic + 7) % 12, (tonic + 9) % 12)


def test_the_chord_sheets_of_the_corpus_are_analysed_in_the_keys_that_music21_hears() -> None:
    """No score stops the analysis; where a sheet has chords enough, its main key is the one of music21's profiles.

    Signatures prove nothing here: the corpus has songs in F without a flat. The file that lists all kinds of chord
    has no key, and madrigals with two or three letters over them are no sheets.
    """
    read, agreeing = 0, []
    for path in sheets():
        score = silently_read(path)
        read += 1
        found = analyse(score)
        assert analysis_json(score, found)["notes"] is not None
        if ENOUGH_CHORDS <= len(score.changes) <= MOST_CHORDS and "madrigal" not in path.name:
            main = max(found.keys, key=lambda key: key.span.end - key.span.start)
            heard = music21.converter.parse(path).analyze("key")
            agreeing.append(main.tonic.pitch_class == heard.tonic.pitchClass)
    assert read >= FEWEST_SHEETS
    assert len(agreeing) >= 3
    assert all(agreeing)


def silently_read(path: Path) -> Score:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return read_score(path)
