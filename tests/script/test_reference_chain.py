"""The chances of what names mean, against all ways written out one by one."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.script.plain.reference.chain import NEVER, Chances, Scores

SCORE = st.floats(-3, 3)


@st.composite
def scores(draw: st.DrawFn) -> Scores:
    """Up to four names with up to three candidates each."""
    counts = draw(st.lists(st.integers(0, 3), min_size=1, max_size=4))
    names = [name for name, count in enumerate(counts) for _ in range(count)]
    notes = [draw(SCORE) for _ in names]
    none = [draw(SCORE) for _ in counts]
    pairs = [[draw(SCORE) for other in names if other < name] for name in names]
    return Scores(names, notes, none, pairs)


def ways_of(given_scores: Scores) -> dict[tuple[int | None, ...], float]:
    """The score of each way: for each name a candidate, or None."""
    per_name = [
        [None, *(at for at, name in enumerate(given_scores.names) if name == own)]
        for own in range(len(given_scores.none))
    ]
    found = {}
    for way in itertools.product(*per_name):
        lit = [at for at in way if at is not None]
        total = sum(given_scores.notes[at] for at in lit)
        total += sum(none for none, at in zip(given_scores.none, way, strict=True) if at is None)
        total += sum(given_scores.pairs[later][one] for one, later in itertools.pairwise(lit))
        found[way] = total
    return found


@given(scores())
def test_chances_are_shares_of_all_ways(given_scores: Scores) -> None:
    ways = {way: math.exp(total) for way, total in ways_of(given_scores).items()}
    every = sum(ways.values())
    found = Chances(given_scores)
    assert found.total == pytest.approx(math.log(every))
    for at, chance in enumerate(found.notes):
        assert chance == pytest.approx(sum(w for way, w in ways.items() if at in way) / every)
    for name, chance in enumerate(found.none):
        assert chance == pytest.approx(
            sum(w for way, w in ways.items() if way[name] is None) / every, abs=1e-9
        )
    for later, row in enumerate(found.pairs):
        for one, chance in enumerate(row):
            both = [w for way, w in ways.items() if (one, later) in itertools.pairwise(lit_in(way))]
            assert chance == pytest.approx(sum(both) / every)


def lit_in(way: tuple[int | None, ...]) -> list[int]:
    return [at for at in way if at is not None]


def test_what_is_ruled_out_has_no_share() -> None:
    found = Chances(Scores([0, 0], [NEVER, 1.0], [NEVER], [[], []]))
    assert found.notes == [0.0, pytest.approx(1.0)]
    assert found.none == [0.0]


def test_no_way_is_left() -> None:
    assert Chances(Scores([0], [NEVER], [NEVER], [[]])).total == NEVER
