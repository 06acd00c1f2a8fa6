"""Everything that is found is the same in every key, however the notes are spelt and however they are tied."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.analysis.model import Analysis
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Key, Note, Score
from lessonmaker.theory.chord import parse_chord, transpose_chord
from lessonmaker.theory.pitch import Interval, Pitch
from tests.tools.plain_score import plain_score

KINDS = ["maj7", "m7", "7", "7alt", "m7b5", "7sus", "6", "7b9", "m6"]
SHARPS = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]
FLATS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
LENGTHS = [Fraction(1, 2), Fraction(1, 2), Fraction(1), Fraction(3, 2), Fraction(2)]

notes = st.lists(
    st.tuples(st.integers(55, 84) | st.none(), st.sampled_from(LENGTHS)), min_size=3, max_size=24
)
chords = st.lists(st.tuples(st.integers(0, 11), st.sampled_from(KINDS)), min_size=1, max_size=8)
intervals = st.sampled_from(["m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "-M2", "-m3", "-P8"])


def pitch(midi: int, names: list[str]) -> Pitch:
    name = names[midi % 12]
    return Pitch(name[0], name.count("#") - name[1:].count("b"), midi // 12 - 1)


def score(line: list[tuple[int | None, Fraction]], changes: list[tuple[int, str]], names: list[str]) -> Score:
    time, struck = Fraction(0), []
    for midi, length in line:
        if midi is not None:
            struck.append((time, length, pitch(midi, names)))
        time += length
    printed = [
        (Fraction(4 * bar), parse_chord(FLATS[root] + kind)) for bar, (root, kind) in enumerate(changes)
    ]
    return plain_score(struck, printed, len(changes))


def transposed(music: Score, interval: Interval) -> Score:
    moved = tuple(replace(note, sounding=note.sounding.transposed(interval)) for note in music.notes)
    changes = tuple(replace(each, chord=transpose_chord(each.chord, interval)) for each in music.changes)
    bars = tuple(replace(bar, key=Key(interval.fifths)) for bar in music.bars)
    return replace(music, notes=moved, changes=changes, bars=bars)


def tied(music: Score) -> Score:
    """Every note of a quarter and more written as two, tied."""
    notes: list[Note] = []
    for note in music.notes:
        if note.held < 1:
            notes.append(note)
            continue
        half = note.held / 2
        notes.append(replace(note, duration=half))
        notes.append(
            replace(
                note, id=f"{note.id}t", onset=note.onset + half, duration=half, held=Fraction(0), tied_on=True
            )
        )
    return replace(music, notes=tuple(notes))


def told(found: Analysis) -> list[object]:
    """All that is found, without the names of chords and keys."""
    return [
        [(one.note, one.degree, one.role, one.resolves_to) for one in found.findings],
        found.phrases,
        [(key.span, key.mode, key.confidence) for key in found.keys],
        [(one.span, one.numeral, one.function) for one in found.functions],
        [(use.span, use.scale, use.text, use.deciding) for use in found.scales],
        found.devices,
        [(one.span, one.kind, one.text) for one in found.proposals],
        found.tension,
    ]


@settings(max_examples=30, deadline=None)
@given(notes, chords, intervals)
def test_any_transposition_is_heard_alike(line, changes, interval) -> None:
    here = score(line, changes, FLATS)
    assert told(analyse(transposed(here, Interval.parse(interval)))) == told(analyse(here))


@settings(max_examples=30, deadline=None)
@given(notes, chords)
def test_any_spelling_is_heard_alike(line, changes) -> None:
    assert told(analyse(score(line, changes, SHARPS))) == told(analyse(score(line, changes, FLATS)))


@settings(max_examples=30, deadline=None)
@given(notes, chords)
def test_any_ties_are_heard_alike(line, changes) -> None:
    here = score(line, changes, FLATS)
    assert told(analyse(tied(here))) == told(analyse(here))
