"""Scales, shapes, passages and tension are the same in every key and however the notes are spelt."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import example, given, settings
from hypothesis import strategies as st

from lessonmaker.analysis.devices.passages import passages_of
from lessonmaker.analysis.devices.shape import shapes_of
from lessonmaker.analysis.scales import scale_fits, scales_of
from lessonmaker.analysis.tension_curve import tension_curve
from lessonmaker.analysis.whole import etude_of
from lessonmaker.score.model import Key, Score
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import parse_chord, transpose_chord
from lessonmaker.theory.pitch import Interval, NoteName, Pitch
from lessonmaker.theory.scale import SCALES
from tests.tools.plain_score import plain_score

KINDS = ["maj7", "m7", "7", "7alt", "m7b5", "°7", "7sus", "6", "7b9", "m6"]
SHARPS, FLATS = (
    ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"],
    ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"],
)

roots = st.integers(0, 11)
bars = st.tuples(
    roots, st.sampled_from(KINDS), st.lists(st.integers(55, 84) | st.none(), min_size=8, max_size=8)
)
# Two scales explain the middle chords equally well: which one is chosen may not depend on the key.
EQUALS = [
    (0, "maj7", [76, None, None, None, 72, None, None, None]),
    (3, "maj7", [67, None, None, None, 75, None, None, None]),
    (8, "maj7", [72, None, None, None, 68, None, None, None]),
    (1, "maj7", [65, None, None, None, 73, None, None, None]),
]
intervals = st.sampled_from(["m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "-M2", "-m3", "-P8"])


def pitch(midi: int, names: list[str]) -> Pitch:
    name = names[midi % 12]
    return Pitch(name[0], name.count("#") - name[1:].count("b"), midi // 12 - 1)


def score(music, names: list[str] = FLATS) -> Score:
    """Bars of eighths (None rests), each over one chord."""
    half = Fraction(1, 2)
    notes = [
        (Fraction(4 * index) + half * place, half, pitch(midi, names))
        for index, (_, _, line) in enumerate(music)
        for place, midi in enumerate(line)
        if midi is not None
    ]
    chords = [
        (Fraction(4 * index), parse_chord(names[root] + kind)) for index, (root, kind, _) in enumerate(music)
    ]
    return plain_score(notes, chords, len(music))


def transposed(music: Score, interval: Interval) -> Score:
    notes = tuple(replace(note, sounding=note.sounding.transposed(interval)) for note in music.notes)
    changes = tuple(replace(each, chord=transpose_chord(each.chord, interval)) for each in music.changes)
    bars = tuple(replace(bar, key=Key(interval.fifths)) for bar in music.bars)
    return replace(music, notes=notes, changes=changes, bars=bars)


def found(music: Score):
    """All that is found, with roots counted from the lowest chord root of the first bar."""
    etude = etude_of(music)
    scales = scales_of(etude)
    first = music.changes[0].chord.root.pitch_class
    uses = [(replace(use, root=NoteName("C")), (use.root.pitch_class - first) % 12) for use in scales]
    return uses, shapes_of(etude), passages_of(etude, scales), tension_curve(etude)


@settings(max_examples=40)
@example([(1, "°7", [None] * 4 + [66, 76, None, 83]), (10, "°7", [None] * 6 + [55, 55])], "-M2")
@example(EQUALS, "M2")
@example(EQUALS, "P4")
@given(st.lists(bars, min_size=1, max_size=5), intervals)
def test_any_transposition_finds_the_same(music, interval):
    here = score(music)
    assert found(transposed(here, Interval.parse(interval))) == found(here)


@settings(max_examples=25)
@given(st.lists(bars, min_size=1, max_size=5))
def test_any_spelling_finds_the_same(music):
    assert found(score(music, SHARPS)) == found(score(music, FLATS))


@settings(max_examples=25)
@given(st.lists(bars, min_size=1, max_size=3), intervals, st.sampled_from(sorted(SCALES)))
def test_a_claim_has_one_verdict_in_every_key(music, interval, scale):
    def verdict(one: Score):
        claim = scale_fits(etude_of(one), Span(one.bars[0].start, one.bars[-1].end), scale)
        return claim and (claim.verdict, claim.text, claim.contradicting, claim.use.text)

    here = score(music)
    assert verdict(transposed(here, Interval.parse(interval))) == verdict(here)


@settings(max_examples=40)
@given(st.lists(bars, min_size=1, max_size=5))
def test_what_is_found_is_in_the_score(music):
    here = score(music)
    etude = etude_of(here)
    names = {note.id for note in here.notes}
    for use in scales_of(etude):
        assert set(use.deciding) | set(use.outside) <= set(use.notes) <= names
        assert not set(use.deciding) & set(use.outside)
        assert set(use.used) <= set(SCALES[use.scale].degrees)
        assert 0 < use.confidence <= 1
    for device in (*shapes_of(etude), *passages_of(etude, scales_of(etude))):
        assert set(device.notes) <= names
        assert here.bars[0].start <= device.span.start < device.span.end <= here.bars[-1].end
