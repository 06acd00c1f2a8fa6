"""Reading against music21 (https://www.music21.org): its own reader, on real files of its corpus.

Onsets, printed lengths and sounding pitches of every note of the first part, chord roots, and the order in
which repeats are played. Left out are files where music21 keeps hidden notes, splits a part of two staves in
two, or makes an eighth-note pickup longer than it is.
"""

import warnings
from fractions import Fraction
from pathlib import Path

import music21
import pytest

from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score

CORPUS = Path(music21.__file__).parent / "corpus"
FILES = [
    "leadSheet/berlinAlexandersRagtime.mxl",
    "leadSheet/fosterBrownHair.mxl",
    "demos/ComprehensiveChordSymbolsTestFile.mxl",
    "demos/chorale_with_parallels.mxl",
    "demos/chord_realization_exercise.mxl",
    "demos/incorrect_time_signature_pv.mxl",
    "demos/layoutTest.xml",
    "demos/multiple-verses.xml",
    "demos/nested_tuplet_finale_test.xml",
    "demos/nested_tuplet_finale_test2.xml",
    "demos/two-voices.xml",
    "demos/voices_with_chords.xml",
    "bach/bwv164.6.mxl",
    "bach/bwv245.26.mxl",
    "bach/bwv391.mxl",
    "bach/bwv48.7.mxl",
    "johnson_j_r/lift_every_voice.mxl",
    "liliuokalani/aloha_oe.mxl",
    "trecento/PMFC_06_Piero_2-Chavalcando.xml",
    "trecento/PMFC_12_24-Benedicamus.xml",
    "trecento/PMFC_13_02-Kyrie-Questa-fanciulla.mxl",
    "monteverdi/madrigal.4.20.mxl",
    "monteverdi/madrigal.3.20.mxl",
    "mozart/k458/movement2.mxl",
]
REPEATED = [
    "leadSheet/berlinAlexandersRagtime.mxl",
    "leadSheet/fosterBrownHair.mxl",
    "bach/bwv391.mxl",
    "johnson_j_r/lift_every_voice.mxl",
]

Heard = tuple[Fraction, int, Fraction]


def theirs(path: Path) -> music21.stream.Part:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return music21.converter.parse(path, forceSource=True).parts[0]


def exact(number: float | Fraction) -> Fraction:
    return Fraction(number).limit_denominator(5040)


def their_notes(part: music21.stream.Part) -> list[Heard]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = part.toSoundingPitch()
    return sorted(
        (exact(note.getOffsetInHierarchy(part)), pitch.midi, exact(note.duration.quarterLength))
        for note in part.recurse().getElementsByClass([music21.note.Note, music21.chord.Chord])
        if not isinstance(note, music21.harmony.Harmony) and not note.duration.isGrace
        for pitch in note.pitches
    )


def our_notes(score: Score) -> list[Heard]:
    start = score.bars[0].start
    return sorted((n.onset - start, n.sounding.midi, n.duration) for n in score.notes if not n.grace)


def test_there_are_files_enough() -> None:
    assert len(FILES) >= 20 and all((CORPUS / name).is_file() for name in FILES)


@pytest.mark.parametrize("name", FILES)
def test_notes_and_chords_are_those_that_music21_reads(name: str) -> None:
    score = read_score(CORPUS / name)
    part = theirs(CORPUS / name)
    assert our_notes(score) == their_notes(part)
    start = score.bars[0].start
    ours = [(change.onset - start, change.chord.root.pitch_class) for change in score.changes if change.chord]
    symbols = [
        h for h in part.recurse().getElementsByClass(music21.harmony.ChordSymbol) if h.chordKind != "none"
    ]
    assert ours == [(exact(h.getOffsetInHierarchy(part)), h.root().pitchClass) for h in symbols]


@pytest.mark.parametrize("name", REPEATED)
def test_repeats_are_played_in_the_order_of_music21(name: str) -> None:
    score = read_score(CORPUS / name)
    measures = theirs(CORPUS / name).expandRepeats().getElementsByClass(music21.stream.Measure)
    assert [score.bars[visit.bar].number for visit in score.order] == [
        str(measure.number) for measure in measures
    ]


repeat = music21.repeat
JUMPS: dict[str, dict[int, music21.base.Music21Object]] = {
    "da capo": {6: repeat.DaCapo()},
    "da capo al fine": {2: repeat.Fine(), 6: repeat.DaCapoAlFine()},
    "dal segno": {2: repeat.Segno(), 6: repeat.DalSegno()},
    "dal segno al fine": {2: repeat.Segno(), 3: repeat.Fine(), 6: repeat.DalSegnoAlFine()},
    "da capo al coda": {2: repeat.Coda(), 4: repeat.DaCapoAlCoda(), 5: repeat.Coda()},
    "dal segno al coda": {1: repeat.Segno(), 3: repeat.Coda(), 4: repeat.DalSegnoAlCoda(), 5: repeat.Coda()},
}


def jumping_part(marks: dict[int, music21.base.Music21Object]) -> music21.stream.Part:
    """Six bars of 4/4, each of one note that tells it from the others, with marks by bar number."""
    part = music21.stream.Part()
    for number in range(1, 7):
        measure = music21.stream.Measure(number=number)
        if number == 1:
            measure.append(music21.meter.TimeSignature("4/4"))
        measure.append(music21.note.Note(60 + number, quarterLength=4))
        if number in marks:
            signs = (repeat.Segno, repeat.Coda)
            measure.insert(0 if isinstance(marks[number], signs) else 4, marks[number])
        part.append(measure)
    return part


@pytest.mark.parametrize("name", JUMPS)
def test_jumps_are_played_in_the_order_of_music21(name: str, tmp_path: Path) -> None:
    part = jumping_part(JUMPS[name])
    path = Path(music21.stream.Score([part]).write("musicxml", tmp_path / "jump.musicxml"))
    score = read_score(path)
    expected = [note.pitch.midi - 60 for note in part.expandRepeats().recurse().notes]
    assert len(expected) > len(score.bars)
    assert [visit.bar + 1 for visit in score.order] == expected
