"""Everything that is found is the same in every key, however the notes are spelt and however they are tied."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.pitch import Interval
from tests.tools.heard_alike import FLATS, SHARPS, pitch, told, transposed
from tests.tools.plain_score import plain_score
from tests.tools.written_otherwise import tied

KINDS = ["maj7", "m7", "7", "7alt", "m7b5", "7sus", "6", "7b9", "m6"]
LENGTHS = [Fraction(1, 2), Fraction(1, 2), Fraction(1), Fraction(3, 2), Fraction(2)]

notes = st.lists(
    st.tuples(st.integers(55, 84) | st.none(), st.sampled_from(LENGTHS)), min_size=3, max_size=24
)
chords = st.lists(st.tuples(st.integers(0, 11), st.sampled_from(KINDS)), min_size=1, max_size=8)
intervals = st.sampled_from(["m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "-M2", "-m3", "-P8"])


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


@settings(max_examples=30)
@given(notes, chords, intervals)
def test_any_transposition_is_heard_alike(line, changes, interval) -> None:
    here = score(line, changes, FLATS)
    assert told(analyse(transposed(here, Interval.parse(interval)))) == told(analyse(here))


@settings(max_examples=30)
@given(notes, chords)
def test_any_spelling_is_heard_alike(line, changes) -> None:
    assert told(analyse(score(line, changes, SHARPS))) == told(analyse(score(line, changes, FLATS)))


@settings(max_examples=30)
@given(notes, chords)
def test_any_ties_are_heard_alike(line, changes) -> None:
    here = score(line, changes, FLATS)
    assert told(analyse(tied(here))) == told(analyse(here))
